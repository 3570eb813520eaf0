//! The frame: what of the picture counts.

import type { FrameCorners } from '../wire/generated';
import { turned } from './pins.svelte';

export type Corner = readonly [number, number];

export class FrameState {
  /** Corners in fractions of the picture, in order round the area; null where all counts. */
  corners = $state.raw<FrameCorners | null>(null);
  /** Corners tapped so far, while a new frame is set. */
  tapped = $state.raw<readonly Corner[]>([]);
  /** Two taps make a rectangle, or four a leaning shape. */
  shape = $state<'rectangle' | 'four'>('rectangle');
  /** The corner that arrows and taps move. */
  chosen = $state<number | null>(null);

  get tapsNeeded(): number {
    return this.shape === 'rectangle' ? 2 : 4;
  }

  /** Begins anew with a shape. */
  begin(shape: 'rectangle' | 'four'): void {
    this.shape = shape;
    this.tapped = [];
    this.chosen = null;
  }

  /** Takes a tap at fractions of the picture; the corners once there are enough, for the shell to judge. */
  tap(x: number, y: number): FrameCorners | null {
    this.tapped = [...this.tapped, within(x, y)];
    if (this.tapped.length < this.tapsNeeded) return null;
    const [a, b, c, d] = this.tapped;
    this.tapped = [];
    if (!a || !b) return null;
    if (this.shape === 'rectangle') return rectangle(a, b);
    return c && d ? inOrder([a, b, c, d]) : null;
  }

  /** The frame with one corner elsewhere. */
  withCorner(at: number, x: number, y: number): FrameCorners | null {
    if (!this.corners) return null;
    const corners = [...this.corners] as FrameCorners;
    corners[at] = within(x, y);
    return corners;
  }

  turn(quarters: number): void {
    const turn = (corner: [number, number]): [number, number] => {
      const { x, y } = turned({ x: corner[0], y: corner[1] }, quarters, 1, 1);
      return [x, y];
    };
    this.corners = this.corners && (this.corners.map(turn) as FrameCorners);
    this.tapped = [];
  }

  restart(): void {
    this.corners = null;
    this.tapped = [];
    this.chosen = null;
  }
}

/** The rectangle between two opposite corners. */
export function rectangle([ax, ay]: Corner, [bx, by]: Corner): FrameCorners {
  const [left, right] = [Math.min(ax, bx), Math.max(ax, bx)];
  const [top, bottom] = [Math.min(ay, by), Math.max(ay, by)];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

/** Four corners in clockwise order about their middle, whatever order they were tapped in. */
export function inOrder(corners: readonly [Corner, Corner, Corner, Corner]): FrameCorners {
  const middle = [0, 1].map((axis) => corners.reduce((sum, corner) => sum + (corner[axis] ?? 0), 0) / 4);
  const [x = 0, y = 0] = middle;
  const angle = (corner: Corner) => Math.atan2(corner[1] - y, corner[0] - x);
  return [...corners].sort((a, b) => angle(a) - angle(b)).map(([cx, cy]) => [cx, cy]) as FrameCorners;
}

function within(x: number, y: number): [number, number] {
  return [Math.min(Math.max(x, 0), 1), Math.min(Math.max(y, 0), 1)];
}
