//! The camera: off, asked for, running, or failed, and why.

export type Why = 'none' | 'refused' | 'held' | 'unplugged' | 'graphics' | 'away' | 'other';

export type Phase =
  | { readonly kind: 'off' }
  | { readonly kind: 'asking' }
  | { readonly kind: 'running'; readonly stream: MediaStream }
  | { readonly kind: 'failed'; readonly why: Why };

export type Listed = { readonly id: string; readonly label: string };

/** What is asked of the platform; tests stand in for it. */
export type Devices = Pick<MediaDevices, 'getUserMedia' | 'enumerateDevices'>;

/** Sharp enough for a reading, and small enough to be shaded without a graphics card. */
const WANTED = { width: { ideal: 1280 }, height: { ideal: 720 }, frameRate: { ideal: 30 } };

/** Stops that the exposure is asked to be lower by, where the camera can: white paper then stays off the shoulder of its curve. */
const DARKER = -0.7;

const OFF: Phase = { kind: 'off' };

export class Camera {
  phase = $state.raw<Phase>(OFF);
  /** The cameras that there are, once one has been opened. */
  cameras = $state.raw<readonly Listed[]>([]);
  /** The one that runs, by its id. */
  chosen = $state<string | null>(null);
  readonly #devices: Devices | undefined;
  #asked = 0;

  constructor(devices: Devices | undefined = globalThis.navigator?.mediaDevices) {
    this.#devices = devices;
  }

  /** Whether the screen is the camera's, be it that it failed. */
  get isOpen(): boolean {
    return this.phase.kind !== 'off';
  }

  /** Opens a camera, the rear one where there is one, or the one of that id. */
  async open(id: string | null = null): Promise<void> {
    this.#stop();
    const number = ++this.#asked;
    if (!this.#devices) return this.fail('none');
    this.phase = { kind: 'asking' };
    const which = id === null ? { facingMode: { ideal: 'environment' } } : { deviceId: { exact: id } };
    try {
      const stream = await this.#devices.getUserMedia({ audio: false, video: { ...WANTED, ...which } });
      if (number !== this.#asked) return stopped(stream);
      this.#run(stream);
      const all = await this.#devices.enumerateDevices();
      if (number === this.#asked) this.cameras = listed(all);
    } catch (thrown) {
      if (number === this.#asked) this.fail(whyOf(thrown));
    }
  }

  /** Turns the camera off, light and all. */
  close(): void {
    this.#asked++;
    this.#stop();
    this.phase = OFF;
  }

  /** Turns it off, and says why. */
  fail(why: Why): void {
    this.#asked++;
    this.#stop();
    this.phase = { kind: 'failed', why };
  }

  #run(stream: MediaStream): void {
    const [track] = stream.getVideoTracks();
    this.chosen = track?.getSettings().deviceId ?? null;
    // It is heard of only where others end the track: unplugged, or taken away by the system.
    track?.addEventListener('ended', () => {
      if (this.phase.kind === 'running' && this.phase.stream === stream) this.fail('unplugged');
    });
    if (track) void exposeDarker(track);
    this.phase = { kind: 'running', stream };
  }

  #stop(): void {
    if (this.phase.kind === 'running') stopped(this.phase.stream);
  }
}

type Exposure = { exposureCompensation?: { min: number; max: number } };

/** Asks for a lower exposure; where the camera has no such setting, nothing happens. */
async function exposeDarker(track: MediaStreamTrack): Promise<void> {
  const { exposureCompensation } = (track.getCapabilities?.() ?? {}) as Exposure;
  if (!exposureCompensation || exposureCompensation.min >= 0) return;
  const stops = Math.max(exposureCompensation.min, DARKER);
  // A camera that refuses shows its picture all the same.
  await track.applyConstraints({ advanced: [{ exposureCompensation: stops } as MediaTrackConstraintSet] }).catch(() => undefined);
}

/** WebKit calls a missing camera overconstrained, others call it not found. */
export function whyOf(thrown: unknown): Why {
  switch (thrown instanceof Error || thrown instanceof DOMException ? thrown.name : '') {
    case 'NotFoundError':
    case 'OverconstrainedError':
      return 'none';
    case 'NotAllowedError':
    case 'SecurityError':
      return 'refused';
    case 'NotReadableError':
    case 'AbortError':
      return 'held';
    default:
      return 'other';
  }
}

/** Those that see; without a name they are counted. */
export function listed(devices: readonly Pick<MediaDeviceInfo, 'kind' | 'deviceId' | 'label'>[]): Listed[] {
  return devices
    .filter(({ kind, deviceId }) => kind === 'videoinput' && deviceId !== '')
    .map(({ deviceId, label }, at) => ({ id: deviceId, label: label || `Camera ${at + 1}` }));
}

function stopped(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}
