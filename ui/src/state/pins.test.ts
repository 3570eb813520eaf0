import { expect, it } from 'vitest';
import { MOST_PINS, Pins, spotRadius, turned } from './pins.svelte';

it('letters pins in order, and gives a letter that became free anew', () => {
  const pins = new Pins();
  for (const x of [1, 2, 3]) pins.add(x, 0, 5);
  pins.remove('B');
  expect(pins.add(9, 9, 5)?.letter).toBe('B');
  expect(pins.all.map((pin) => pin.letter).join('')).toBe('ABC');
});

it('takes no more pins than a ladder can tell apart', () => {
  const pins = new Pins();
  for (let at = 0; at < MOST_PINS; at++) expect(pins.add(at, 0, 5)).not.toBeNull();
  expect(pins.add(0, 0, 5)).toBeNull();
});

it('compares the two pins last touched', () => {
  const pins = new Pins();
  const pair = () => pins.pair?.map((pin) => pin.letter).join('');
  pins.add(0, 0, 5);
  expect(pair()).toBeUndefined();
  pins.add(1, 0, 5);
  expect(pair()).toBe('AB');
  pins.add(2, 0, 5);
  expect(pair()).toBe('BC');
  pins.select('A');
  expect(pair()).toBe('AC');
  pins.remove('C');
  expect(pair()).toBe('AB');
});

it('undoes a drag at once, a removal too', () => {
  const pins = new Pins();
  pins.add(0, 0, 5);
  for (let x = 1; x < 9; x++) pins.change('A', { x }, 'nudge');
  pins.endRun();
  pins.remove('A');
  pins.undo();
  expect(pins.find('A')?.x).toBe(8);
  pins.undo();
  expect(pins.find('A')?.x).toBe(0);
});

it('turns with the picture: the upper left pixel of 4 x 3 becomes the upper right one of 3 x 4', () => {
  expect(turned({ x: 0, y: 0 }, 1, 3, 2)).toEqual({ x: 2, y: 0 });
  expect(turned({ x: 3, y: 0 }, 1, 3, 2)).toEqual({ x: 2, y: 3 });
  expect(turned({ x: 3, y: 2 }, 2, 3, 2)).toEqual({ x: 0, y: 0 });
  expect(turned({ x: 1, y: 2 }, 4, 3, 2)).toEqual({ x: 1, y: 2 });
});

it('comes back after a turn to the right and one to the left', () => {
  const pins = new Pins();
  pins.add(3, 1, 5);
  pins.turn(1, 40, 30);
  pins.turn(3, 30, 40);
  expect(pins.find('A')).toMatchObject({ x: 3, y: 1 });
});

it('gives a spot its size by the long side, and never too few pixels', () => {
  expect(spotRadius(2, { width: 2000, height: 1000 })).toBe(15);
  expect(spotRadius(0, { width: 100, height: 100 })).toBe(2.6);
});
