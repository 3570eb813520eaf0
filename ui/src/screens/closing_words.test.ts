import { expect, test } from 'vitest';
import { whatWaits } from './closing_words';

test.each([
  [1, 0, 0, '1 snapshot'],
  [0, 2, 0, '2 strips'],
  [2, 1, 0, '2 snapshots and 1 strip'],
  [3, 1, 2, '3 snapshots, 1 strip and the notes on 2 paints'],
  [0, 0, 1, 'the notes on 1 paint'],
])('%i snapshots, %i strips, %i paints', (snapshots, strips, paints, words) => {
  expect(whatWaits({ snapshots, strips, paints })).toBe(words);
});
