import { expect, it } from 'vitest';
import { Camera, type Devices, listed, whyOf } from './camera.svelte';

type Track = EventTarget & { stopped: boolean; stop: () => void; getSettings: () => { deviceId: string } };

function track(): Track {
  return Object.assign(new EventTarget(), {
    stopped: false,
    stop(this: Track) {
      this.stopped = true;
    },
    getSettings: () => ({ deviceId: 'rear' }),
  });
}

function devices(tracks: Track[], asked: unknown[] = []): Devices {
  let next = 0;
  return {
    getUserMedia: async (wanted) => {
      asked.push(wanted);
      const one = tracks[next++];
      if (!one) throw new DOMException('', 'NotReadableError');
      return { getTracks: () => [one], getVideoTracks: () => [one] } as unknown as MediaStream;
    },
    enumerateDevices: async () => [
      { kind: 'videoinput', deviceId: 'front', label: '' },
      { kind: 'audioinput', deviceId: 'ear', label: 'Ear' },
      { kind: 'videoinput', deviceId: 'rear', label: 'Rear' },
    ] as MediaDeviceInfo[],
  };
}

it('opens the rear camera, lists those that see, and turns every track off', async () => {
  const one = track();
  const asked: { video?: unknown; audio?: unknown }[] = [];
  const camera = new Camera(devices([one], asked));
  await camera.open();
  expect(camera.phase.kind).toBe('running');
  expect(asked[0]).toMatchObject({ audio: false, video: { facingMode: { ideal: 'environment' } } });
  // The torch makes a hot spot: it is never asked for.
  expect(JSON.stringify(asked)).not.toContain('torch');
  expect(camera.cameras).toEqual([
    { id: 'front', label: 'Camera 1' },
    { id: 'rear', label: 'Rear' },
  ]);
  camera.close();
  expect([one.stopped, camera.phase.kind]).toEqual([true, 'off']);
});

it('turns one camera off before it opens another', async () => {
  const [one, two] = [track(), track()];
  const asked: unknown[] = [];
  const camera = new Camera(devices([one, two], asked));
  await camera.open();
  await camera.open('front');
  expect([one.stopped, two.stopped]).toEqual([true, false]);
  expect(asked[1]).toMatchObject({ video: { deviceId: { exact: 'front' } } });
});

it('turns off a camera that comes after it was closed', async () => {
  const one = track();
  const camera = new Camera(devices([one]));
  const opening = camera.open();
  camera.close();
  await opening;
  expect([one.stopped, camera.phase.kind]).toEqual([true, 'off']);
});

it('says why there is no picture', async () => {
  const one = track();
  const camera = new Camera(devices([one]));
  await camera.open();
  one.dispatchEvent(new Event('ended'));
  expect(camera.phase).toEqual({ kind: 'failed', why: 'unplugged' });
  await camera.open();
  expect(camera.phase).toEqual({ kind: 'failed', why: 'held' });
  const none = new Camera(undefined);
  await none.open();
  expect(none.phase).toEqual({ kind: 'failed', why: 'none' });
});

it('takes the names that platforms give to failures for what they mean', () => {
  const named = (name: string) => whyOf(new DOMException('', name));
  expect(['NotFoundError', 'OverconstrainedError', 'NotAllowedError', 'NotReadableError', 'TypeError'].map(named)).toEqual([
    'none',
    'none',
    'refused',
    'held',
    'other',
  ]);
  expect(whyOf('what')).toBe('other');
});

it('lists no camera that has not been allowed yet', () => {
  expect(listed([{ kind: 'videoinput', deviceId: '', label: '' }])).toEqual([]);
});

it('asks a camera that can for a lower exposure, and leaves any other alone', async () => {
  const asked: unknown[] = [];
  const able = (min: number) =>
    Object.assign(track(), {
      getCapabilities: () => ({ exposureCompensation: { min, max: 2, step: 0.1 } }),
      applyConstraints: async (wanted: unknown) => void asked.push(wanted),
    });
  for (const one of [able(-2), able(-0.5), able(0), track()]) await new Camera(devices([one])).open();
  expect(asked).toEqual([-0.7, -0.5].map((stops) => ({ advanced: [{ exposureCompensation: stops }] })));
});
