//! Which parts of a frame a message carries: small squares about pins and paper, and a coarse look at the whole.

import type { PinAsk } from '../wire/generated';
import type { Pin } from './pins.svelte';

export type Size = { width: number; height: number };

/** The longest side of a patch: core takes no more. */
export const LARGEST = 64;

/** The widest spot that a patch holds whole, with its centre up to half a pixel off the patch's. */
export const LARGEST_RADIUS = 31;

/** The part of a frame's width about the paper in which it is looked for: it may go 12 % either way between messages. */
const PAPER_REACH = 0.25;

/** Pixels from `left` and `top` on. */
export type Square = { left: number; top: number; size: [number, number] };

/** The square of at most `side` pixels about a place that lies wholly in a frame. */
export function squareAbout(x: number, y: number, side: number, frame: Size): Square {
  const [width, height] = [Math.min(side, frame.width), Math.min(side, frame.height)];
  const start = (at: number, length: number, whole: number) => Math.min(Math.max(Math.round(at - (length - 1) / 2), 0), whole - length);
  return { left: start(x, width, frame.width), top: start(y, height, frame.height), size: [width, height] };
}

/** A pin with the patch about it; the widest spots are cut to what a patch holds. */
export function pinAsk({ letter, x, y, radius }: Pin, frame: Size): PinAsk {
  return { letter, x, y, radius: Math.min(radius, LARGEST_RADIUS), ...squareAbout(x, y, LARGEST, frame) };
}

/** An even grid of samples: the square of the frame that it takes up, the frame's pixels from one to the next, and the first. */
export type Grid = { square: Square; step: number; size: [number, number]; first: { x: number; y: number } };

/** The window about the paper. */
export function paperWindow(x: number, y: number, frame: Size): Grid {
  const step = Math.max(1, Math.ceil((PAPER_REACH * frame.width) / LARGEST));
  return gridIn(squareAbout(x, y, step * LARGEST, frame), step);
}

/** The whole frame, but for the pixels at its end that fill no step. */
export function overviewOf(frame: Size): Grid {
  const step = Math.max(1, Math.ceil(Math.max(frame.width, frame.height) / LARGEST));
  return gridIn({ left: 0, top: 0, size: [frame.width, frame.height] }, step);
}

function gridIn({ left, top, size: [width, height] }: Square, step: number): Grid {
  const size: [number, number] = [Math.max(1, Math.floor(width / step)), Math.max(1, Math.floor(height / step))];
  const middle = Math.floor(step / 2);
  return { square: { left, top, size: [size[0] * step, size[1] * step] }, step, size, first: { x: left + middle, y: top + middle } };
}
