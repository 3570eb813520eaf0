//! What tests in the app's own window ask for; only there where a driver says that it drives.

import { AS_SEEN } from '../../gl/video';
import type { Drawing } from '../../state/drawing';
import type { Viewport } from '../../state/viewport.svelte';
import type { LiveControl } from './live_control';

type Pixels = { width: number; height: number; rgba: string };

declare global {
  interface Window {
    tonefast?: {
      /** What the canvas shows by WebGL2, once that is exact. */
      pixels: () => Promise<Pixels>;
      /** The same as core draws it. */
      truth: () => Promise<Pixels>;
      /** Shows `scale` device pixels to a pixel of the working copy about a point in fractions; 0 fits. */
      zoom: (scale: number, x: number, y: number) => void;
      loseContext: () => void;
      /** Shows a drawn frame in place of the camera's next, in the light that `gains` say. */
      feed: (rgba: Uint8ClampedArray<ArrayBuffer>, width: number, height: number, gains: [number, number, number]) => void;
      /** What the camera's canvas shows of the newest frame. */
      livePixels: () => Pixels;
      /** The newest frame as the camera gave it. */
      frame: () => Pixels;
      /** Frames drawn, messages sent. */
      counts: () => { frames: number; sent: number };
    };
  }
}

export function openSeam(drawing: Drawing, viewport: Viewport, control: LiveControl): void {
  if (!navigator.webdriver) return;
  window.tonefast = {
    pixels: async () => {
      await exact(drawing);
      return encoded(drawing.pixels());
    },
    truth: async () => {
      await exact(drawing);
      return encoded(await drawing.truth());
    },
    zoom: (scale, x, y) => (scale === 0 ? viewport.fit() : viewport.zoomTo(scale, { x, y })),
    loseContext: () => drawing.loseContext(),
    feed: (rgba, width, height, gains) => {
      control.drawing?.showIn({ ...AS_SEEN, gains });
      control.drawing?.take(new ImageData(rgba, width, height), { width, height }, performance.now() / 1000);
    },
    livePixels: () => encoded(control.drawing?.pixels() ?? null),
    frame: () => encoded(control.drawing?.frame() ?? null),
    counts: () => ({ frames: control.drawing?.frames ?? 0, sent: control.sent }),
  };
}

async function exact(drawing: Drawing): Promise<void> {
  while (!drawing.isExact) await new Promise(requestAnimationFrame);
}

function encoded(shown: { width: number; height: number; rgba: Uint8Array } | null): Pixels {
  if (!shown) throw new Error('nothing is drawn by WebGL2');
  let binary = '';
  // In parts: a call takes only so many arguments.
  for (let at = 0; at < shown.rgba.length; at += 0x8000) binary += String.fromCharCode(...shown.rgba.subarray(at, at + 0x8000));
  return { width: shown.width, height: shown.height, rgba: btoa(binary) };
}
