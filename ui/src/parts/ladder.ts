//! Where things stand on a ladder from L* 100 at its top to 0 at its foot.

export type Tick = { letter: string; lightness: number; strong: boolean };

/** A mark's height on the ladder in per cent from the top. */
export function fromTop(lightness: number): number {
  return 100 - Math.min(Math.max(lightness, 0), 100);
}

/** L* at a height in pixels from the top of a ladder `height` pixels tall. */
export function lightnessAt(y: number, height: number): number {
  return 100 - (100 * Math.min(Math.max(y, 0), height)) / height;
}

/**
 * Heights in pixels for the labels of ticks on a ladder of `height` pixels, each as near to its tick as the others let
 * it be when none may stand closer than `apart`.
 */
export function labelHeights(lightnesses: readonly number[], height: number, apart: number): number[] {
  const order = lightnesses.map((_, at) => at).sort((a, b) => (lightnesses[b] ?? 0) - (lightnesses[a] ?? 0));
  const heights = lightnesses.map((lightness) => (fromTop(lightness) / 100) * height);
  let least = apart / 2;
  for (const at of order) least = (heights[at] = Math.max(heights[at] ?? 0, least)) + apart;
  let most = height - apart / 2;
  for (const at of order.reverse()) most = (heights[at] = Math.min(heights[at] ?? 0, most)) - apart;
  return heights;
}
