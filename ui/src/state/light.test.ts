import { expect, it } from 'vitest';
import { LightState, MOST_PATCHES } from './light.svelte';

const paper = (x: number, y: number) => ({ kind: 'white' as const, x, y, radius: 5, lightness: 94.5, name: '', confirmed: false });

it('keeps patches in the order in which they were told, and turns them with the picture', () => {
  const light = new LightState();
  light.add(paper(10, 20));
  light.add({ ...paper(30, 40), kind: 'dark', lightness: 20.6 });
  light.turn(1, 100, 200);
  expect(light.patches.map(({ kind, x, y }) => [kind, x, y])).toEqual([
    ['white', 179, 10],
    ['dark', 159, 30],
  ]);
  light.turn(3, 200, 100);
  expect(light.patches[0]).toEqual(paper(10, 20));
});

it('lets go of a patch that is taken away', () => {
  const light = new LightState();
  light.add(paper(1, 1));
  light.add(paper(2, 2));
  light.chosen = 0;
  light.change(0, { lightness: 96 });
  expect(light.patches[0]?.lightness).toBe(96);
  light.remove(0);
  expect([light.chosen, light.patches.length, light.patches[0]?.x]).toEqual([null, 1, 2]);
});

it('asks anew about a patch that was confirmed and then moved, and not for a name', () => {
  const light = new LightState();
  light.add(paper(1, 1));
  light.change(0, { confirmed: true });
  light.change(0, { name: 'sheet' });
  expect(light.patches[0]?.confirmed).toBe(true);
  light.change(0, { x: 40 });
  expect(light.patches[0]?.confirmed).toBe(false);
});

it('takes no more patches than there may be', () => {
  const light = new LightState();
  for (let at = 0; at < MOST_PATCHES + 3; at++) light.add(paper(at, at));
  expect(light.patches.length).toBe(MOST_PATCHES);
});
