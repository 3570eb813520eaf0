import { beforeEach, expect, it, vi } from 'vitest';
import type { OpenedSnapshot, PhotoInfo } from '../wire/generated';
import { OpenedTogether } from './owner';
import { PhotoState } from './photo.svelte';

/** Stands in for the shell: photos that are open, and answers that come in any order. */
const shell = vi.hoisted(() => {
  const open = new Set<number>();
  let next = 0;
  let seed = 1;
  /** 0 to 1, the same on every run (the generator of Park and Miller, 1988). */
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  const later = () => new Promise((done) => setTimeout(done, Math.floor(random() * 4)));
  const keep = async () => {
    await later();
    const id = next++;
    open.add(id);
    await later();
    return { id } as PhotoInfo;
  };
  return { open, random, later, keep };
});

vi.mock('../wire/invoke', () => {
  let job = 0;
  return {
    nextJob: () => ++job,
    cancelOpen: () => Promise.resolve(),
    progressOf: () => Promise.resolve(0.5),
    errorInfo: (thrown: unknown) => thrown,
    closePhoto: async (id: number) => void shell.open.delete(id),
    turnPhoto: shell.keep,
    setLight: shell.keep,
  };
});
vi.mock('../wire/studio', () => ({
  openSnapshot: async () => ({ photo: await shell.keep() }) as OpenedSnapshot,
}));

beforeEach(() => shell.open.clear());

/** Until all answers are there and all that is given back is back. */
const settled = () => new Promise((done) => setTimeout(done, 40));

it('has one photo open after 200 were opened, overtaken, turned and lit', async () => {
  const photo = new PhotoState();
  const under: Promise<unknown>[] = [];
  for (let opened = 0; opened < 200; opened++) {
    under.push(photo.open(`photo ${opened}`, shell.keep));
    if (shell.random() < 0.6) await shell.later();
    under.push(photo.turn(1), photo.turn(1));
    if (shell.random() < 0.3) under.push(photo.relight([], { beyondThePaper: false, lifted: false, wet: false }));
    if (shell.random() < 0.15) await settled();
  }
  await Promise.all(under);
  await settled();
  expect([...shell.open]).toEqual([photo.info?.id]);
}, 20_000);

it('has none open after snapshots side by side were left at any moment', async () => {
  for (let time = 0; time < 100; time++) {
    const together = new OpenedTogether();
    const both = (async () => [await together.open(1), await together.open(2)])();
    await new Promise((done) => setTimeout(done, Math.floor(shell.random() * 20)));
    together.leave();
    await both;
  }
  await settled();
  expect(shell.open.size).toBe(0);
}, 20_000);
