import { expect, it } from 'vitest';
import { BandsState } from './bands.svelte';

/** Stands for the shell, whose edges of even bands follow from their number. */
const even = async (count: number) => ({
  edges: Array.from({ length: count - 1 }, (_, at) => 100 - (100 * (at + 1)) / count),
  greys: Array<number>(count).fill(0),
  middles: Array.from({ length: count }, (_, at) => 100 - (100 * (at + 0.5)) / count),
  shares: Array<number>(count).fill(1 / count),
});

async function five(): Promise<BandsState> {
  const bands = new BandsState();
  await bands.set({ kind: 'even', count: 5 }, null, () => even(5));
  return bands;
}

it('keeps an edge 1 L* from its neighbours', async () => {
  const bands = await five();
  expect(bands.withEdge(1, 95)).toEqual({ kind: 'byHand', edges: [80, 79, 40, 20] });
  expect(bands.withEdge(0, 0)).toEqual({ kind: 'byHand', edges: [61, 60, 40, 20] });
  expect(bands.withEdge(3, 20.04)).toEqual({ kind: 'byHand', edges: [80, 60, 40, 20] });
});

it('starts by hand from the edges there are', async () => {
  const bands = await five();
  expect(bands.ofKind('byHand')).toEqual({ kind: 'byHand', edges: [80, 60, 40, 20] });
});

it('halves the widest band set by hand for one more, and joins the narrowest for one fewer', async () => {
  const bands = await five();
  bands.setting = { kind: 'byHand', edges: [90, 40, 30] };
  expect(bands.withCount(5)).toEqual({ kind: 'byHand', edges: [90, 65, 40, 30] });
  expect(bands.withCount(3)).toEqual({ kind: 'byHand', edges: [40, 30] });
});

it('has 2 to 12 bands, whatever is asked for', async () => {
  const bands = await five();
  expect(bands.withCount(1)).toEqual({ kind: 'even', count: 2 });
  expect(bands.withCount(99)).toEqual({ kind: 'even', count: 12 });
});

it('drops an answer that a later question has overtaken', async () => {
  const bands = new BandsState();
  let answer = (_: Awaited<ReturnType<typeof even>>) => {};
  const slow = bands.set({ kind: 'even', count: 3 }, null, () => new Promise((resolve) => (answer = resolve)));
  await bands.set({ kind: 'even', count: 4 }, null, () => even(4));
  answer(await even(3));
  await slow;
  expect(bands.count).toBe(4);
});

it('gives back what she had set, whatever was lent in its place', async () => {
  const edges = async (edges: number[]) => ({ edges, greys: [0, 0, 0], middles: [85, 50, 15], shares: [0, 0, 1] });
  const byHand = (...at: number[]) => ({ kind: 'byHand' as const, edges: at });
  const bands = await five();
  await bands.lend(byHand(62, 54), null, () => edges([62, 54]));
  await bands.lend(byHand(32, 24), null, () => edges([32, 24]));
  expect([bands.areLent, bands.own, bands.edges]).toEqual([true, { kind: 'even', count: 5 }, [32, 24]]);
  // Framed anew, or an edge moved: still lent.
  await bands.set(bands.setting, null, () => edges([32, 24]));
  await bands.set(bands.withEdge(0, 40), null, () => edges([40, 24]));
  expect(bands.areLent).toBe(true);
  await bands.set(bands.own, null, () => even(5));
  expect([bands.areLent, bands.setting, bands.edges.length]).toEqual([false, { kind: 'even', count: 5 }, 4]);

  // Hers may be as many, and by hand.
  await bands.set(byHand(70, 30), null, () => edges([70, 30]));
  await bands.lend(byHand(62, 54), null, () => edges([62, 54]));
  await bands.set(bands.own, null, () => edges([70, 30]));
  expect([bands.areLent, bands.edges]).toEqual([false, [70, 30]]);

  // Another number or kind is her own choice.
  await bands.lend(byHand(62, 54), null, () => edges([62, 54]));
  await bands.set(bands.withCount(4), null, () => even(4));
  expect([bands.areLent, bands.own]).toEqual([false, bands.setting]);
});
