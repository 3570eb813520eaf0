import { expect, it } from 'vitest';
import { fromTop, labelHeights, lightnessAt } from './ladder';

it('has L* 100 at its top and 0 at its foot', () => {
  expect([fromTop(100), fromTop(0), lightnessAt(0, 500), lightnessAt(500, 500), lightnessAt(-9, 500)]).toEqual([0, 100, 100, 0, 100]);
});

it('leaves labels at their ticks where there is room', () => {
  expect(labelHeights([80, 20], 500, 24)).toEqual([100, 400]);
});

it('moves crowded labels apart, in order, and keeps all of them on the ladder', () => {
  const heights = labelHeights([50, 50.5, 49, 99, 98, 1, 0], 500, 24);
  const sorted = [...heights].sort((a, b) => a - b);
  sorted.slice(1).forEach((height, at) => expect(height - (sorted[at] ?? 0)).toBeGreaterThanOrEqual(24 - 1e-9));
  expect(sorted[0]).toBeGreaterThanOrEqual(12);
  expect(sorted.at(-1)).toBeLessThanOrEqual(488);
  expect((heights[1] ?? 0) < (heights[0] ?? 0) && (heights[0] ?? 0) < (heights[2] ?? 0)).toBe(true);
});
