import { expect, it } from 'vitest';
import { forget, keep, keptBefore } from './kept';
import { Look } from './look.svelte';

function storage() {
  const held = new Map<string, string>();
  return { getItem: (key: string) => held.get(key) ?? null, setItem: (key: string, value: string) => void held.set(key, value) };
}

const PIN = { letter: 'B', x: 10, y: 20, radius: 9, name: 'hull' };

function screen() {
  const look = new Look();
  look.switcher.choose('bands');
  look.squint = 'half';
  return { look, bands: { own: { kind: 'byHand' as const, edges: [70, 30] } }, pins: { all: [PIN] }, size: { width: 1280, height: 720 } };
}

it('takes up what stood on the screen when the system ended the app', () => {
  const kept = storage();
  keep(screen(), 'camera', kept);
  expect(keptBefore(kept)).toEqual({
    where: 'camera',
    view: 'bands',
    outlined: false,
    squint: 'half',
    setting: { kind: 'byHand', edges: [70, 30] },
    pins: [PIN],
    size: { width: 1280, height: 720 },
  });
});

it('keeps only how the picture is looked at once the camera is closed', () => {
  const kept = storage();
  keep(screen(), 'camera', kept);
  forget(kept);
  expect(keptBefore(kept)).toMatchObject({ where: null, view: 'bands', pins: [], size: null });
});

it('takes up nothing that makes no sense', () => {
  for (const text of ['', '{', 'null', '7', '{"where":"camera"}', '{"where":"camera","view":"heat"}']) {
    const kept = storage();
    kept.setItem('tonefast.kept', text);
    expect(keptBefore(kept)).toBeNull();
  }
  const kept = storage();
  keep({ ...screen(), pins: { all: [{ ...PIN, letter: 'Z' }] } }, 'camera', kept);
  expect(keptBefore(kept)).toBeNull();
  expect(keptBefore(null)).toBeNull();
});
