import { expect, it } from 'vitest';
import { LARGEST, overviewOf, paperWindow, pinAsk, squareAbout } from './patches';

const FRAME = { width: 1280, height: 720 };

it('keeps a patch in the frame, and its spot in the patch', () => {
  const pin = { letter: 'A', x: 3, y: 717, radius: 50, name: 'hull' };
  expect(pinAsk(pin, FRAME)).toEqual({ letter: 'A', x: 3, y: 717, radius: 31, left: 0, top: 656, size: [64, 64] });
  const inside = pinAsk({ ...pin, x: 640, y: 360 }, FRAME);
  for (const [at, start] of [
    [640, inside.left],
    [360, inside.top],
  ] as const) {
    expect(at - 31).toBeGreaterThanOrEqual(start);
    expect(at + 31).toBeLessThan(start + 64);
  }
});

it('takes smaller patches of a frame that is smaller than one', () => {
  expect(squareAbout(10, 10, LARGEST, { width: 40, height: 30 })).toEqual({ left: 0, top: 0, size: [40, 30] });
});

// A hand that trembles by 2 % of the width from frame to frame goes 3 x 25.6 pixels between messages at 15 frames a second.
it('looks for the paper further than a hand goes between two messages', () => {
  const { square, step, size, first } = paperWindow(640, 360, FRAME);
  expect([step, size, square.size]).toEqual([5, [64, 64], [320, 320]]);
  expect([first.x, first.y]).toEqual([483, 203]);
  expect(640 - square.left - 3 * 25.6).toBeGreaterThan(31);
});

it('samples frames of any size by no more than a patch', () => {
  for (const frame of [FRAME, { width: 720, height: 1280 }, { width: 641, height: 479 }, { width: 3, height: 2 }, { width: 4000, height: 100 }]) {
    for (const { square, step, size } of [overviewOf(frame), paperWindow(frame.width, 0, frame)]) {
      expect(Math.max(...size)).toBeLessThanOrEqual(LARGEST);
      expect(Math.min(...size)).toBeGreaterThan(0);
      expect(square.size).toEqual([size[0] * step, size[1] * step]);
      expect(square.left + square.size[0]).toBeLessThanOrEqual(frame.width);
      expect(square.top + square.size[1]).toBeLessThanOrEqual(frame.height);
    }
  }
});
