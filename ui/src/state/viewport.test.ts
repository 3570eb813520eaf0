import { describe, expect, it } from 'vitest';
import { Viewport } from './viewport.svelte';

function shown(area: { width: number; height: number }, picture: { width: number; height: number }): Viewport {
  const viewport = new Viewport();
  viewport.area = area;
  viewport.show(picture);
  return viewport;
}

const PHONE = { width: 918, height: 1650 };
const PHOTO = { width: 4096, height: 3072 };

describe('the viewport', () => {
  it('fits the whole picture on whole device pixels, in the middle', () => {
    const { placed, visible, part } = shown(PHONE, PHOTO);
    // 3072 * 918 / 4096 = 688.5, rounded; (1650 - 689) / 2 = 480.5, rounded.
    expect(placed).toEqual({ x: 0, y: 481, width: 918, height: 689 });
    expect(visible).toEqual(placed);
    expect(part).toEqual({ x: 0, y: 0, width: 1, height: 1 });
  });

  it('shows one working pixel to a device pixel at scale 1, from a whole pixel on', () => {
    const viewport = shown(PHONE, PHOTO);
    viewport.zoomTo(1, { x: 0.3, y: 0.6 });
    const { visible, part, placed } = viewport;
    expect([placed.width, placed.height]).toEqual([4096, 3072]);
    expect(part.width * PHOTO.width).toBeCloseTo(visible.width, 9);
    expect((part.x * PHOTO.width) % 1).toBeCloseTo(0, 9);
    expect((part.y * PHOTO.height) % 1).toBeCloseTo(0, 9);
  });

  it('keeps the point under the finger where it is', () => {
    const viewport = shown(PHONE, PHOTO);
    viewport.zoomBy(6);
    const finger = { x: 300, y: 900 };
    const before = viewport.pixelAt(finger);
    viewport.zoomBy(1.7, finger);
    const after = viewport.pixelAt(finger);
    // Rounding to whole device pixels moves it by at most one.
    const pixel = 1 / viewport.scale;
    expect(Math.abs(after.x - before.x)).toBeLessThanOrEqual(pixel);
    expect(Math.abs(after.y - before.y)).toBeLessThanOrEqual(pixel);
  });

  it('opens no gap beside a picture that is larger than the area, however it is pushed', () => {
    const viewport = shown(PHONE, PHOTO);
    viewport.zoomBy(5);
    for (const [x, y] of [
      [1e6, 1e6],
      [-1e6, -1e6],
    ] as const) {
      viewport.panBy(x, y);
      expect(viewport.visible).toEqual({ x: 0, y: 0, width: PHONE.width, height: PHONE.height });
      expect(viewport.part.x).toBeGreaterThanOrEqual(0);
      expect(viewport.part.x + viewport.part.width).toBeLessThanOrEqual(1 + 1e-12);
    }
  });

  it('goes from screen to picture and back', () => {
    const viewport = shown({ width: 640, height: 480 }, { width: 1000, height: 1500 });
    viewport.zoomBy(3, { x: 100, y: 50 });
    const pixel = { x: 412, y: 77 };
    const back = viewport.pixelAt(viewport.areaOf(pixel));
    expect(back.x).toBeCloseTo(pixel.x, 9);
    expect(back.y).toBeCloseTo(pixel.y, 9);
  });

  it('counts pixel centres from 0: the first lies half a pixel in', () => {
    const viewport = shown({ width: 100, height: 100 }, { width: 10, height: 10 });
    expect(viewport.areaOf({ x: 0, y: 0 })).toEqual({ x: 5, y: 5 });
  });

  it('brings a pixel into sight, and moves no more than it must', () => {
    const viewport = shown(PHONE, PHOTO);
    viewport.zoomBy(8);
    const far = { x: 4000, y: 100 };
    viewport.reveal(far);
    const { x, y } = viewport.areaOf(far);
    expect(x).toBeGreaterThanOrEqual(0);
    expect(x).toBeLessThanOrEqual(PHONE.width);
    expect(y).toBeGreaterThanOrEqual(0);
    const before = viewport.centre;
    viewport.reveal(far);
    expect(viewport.centre.x).toBeCloseTo(before.x, 2);
  });
});
