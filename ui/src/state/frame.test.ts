import { expect, it } from 'vitest';
import { FrameState, inOrder, rectangle } from './frame.svelte';

it('makes a rectangle of two opposite corners, whichever they are', () => {
  const wanted = [
    [0.1, 0.2],
    [0.7, 0.2],
    [0.7, 0.9],
    [0.1, 0.9],
  ];
  expect(rectangle([0.7, 0.2], [0.1, 0.9])).toEqual(wanted);
  expect(rectangle([0.1, 0.2], [0.7, 0.9])).toEqual(wanted);
});

it('puts four taps in order round the area', () => {
  const [a, b, c, d] = [[0.1, 0.1], [0.9, 0.2], [0.8, 0.9], [0.2, 0.8]] as const;
  for (const taps of [[a, b, c, d], [c, a, d, b], [d, c, b, a]] as const) {
    expect(inOrder(taps)).toEqual([a, b, c, d]);
  }
});

it('takes taps until there are enough, held inside the picture', () => {
  const frame = new FrameState();
  frame.begin('rectangle');
  expect(frame.tap(-0.2, 0.1)).toBeNull();
  expect(frame.tap(0.5, 1.3)?.[2]).toEqual([0.5, 1]);
  expect(frame.tapped).toEqual([]);
});
