import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { Corners, PhotoInfo, StripInfo } from '../../wire/generated';
import { findStrips, findSwatch, markStrip } from '../../wire/paints';
import { Strips } from './strips.svelte';

vi.mock('../../wire/paints');

/** A swatch from a place to 10 pixels further on. */
const swatch = (x: number, y: number): Corners => [
  [x, y],
  [x + 10, y],
  [x + 10, y + 10],
  [x, y + 10],
];

const read = (swatches: readonly Corners[], lightness = 50): StripInfo => ({
  steps: swatches.map(() => ({ lightness, plusMinus: 2, srgb: [9, 9, 9] })),
  swatches: [...swatches],
  evenness: 1,
  distinct: swatches.length,
  warnings: [],
  papers: [],
});

const FOUND = [read([swatch(0, 0), swatch(20, 0)]), read([swatch(0, 40), swatch(20, 40)])];

describe('strips', () => {
  let strips: Strips;
  beforeEach(async () => {
    vi.mocked(findStrips).mockReset().mockResolvedValue(FOUND);
    vi.mocked(markStrip)
      .mockReset()
      .mockImplementation(async (photo, _paper, swatches) => read(swatches, photo));
    vi.mocked(findSwatch).mockImplementation(async (_photo, [x, y]) => swatch(x, y));
    strips = new Strips();
    await strips.find(1);
  });

  it('offers the paper beside it as a light to read by', async () => {
    const papers = [{ x: 5, y: -8, radius: 2 }];
    vi.mocked(findStrips).mockResolvedValue([{ ...read([swatch(0, 0)]), papers }]);
    await strips.find(2);
    strips.paper = 96;
    expect(strips.papers()).toEqual([{ kind: 'white', x: 5, y: -8, radius: 2, lightness: 96, name: 'paper of the strip', confirmed: false }]);
  });

  it('begun by hand and given up leave none behind', async () => {
    for (const giveUp of [() => strips.leave(), () => strips.next(1), () => strips.tap({ x: 5, y: 45 }), () => strips.byHand()]) {
      strips.byHand();
      expect(strips.strip).toBeNull();
      await giveUp();
      expect(strips.all).toEqual(FOUND);
    }
    await strips.tap({ x: 70, y: 70 });
    expect([strips.all?.length, strips.current, strips.marking]).toEqual([3, 2, false]);
    expect(strips.strip?.swatches).toEqual([swatch(70, 70)]);
  });

  it('are there to be marked where none was found, and gone with their last swatch', async () => {
    vi.mocked(findStrips).mockResolvedValue([]);
    await strips.find(2);
    await strips.tap({ x: 5, y: 5 });
    expect(strips.strip?.swatches).toEqual([swatch(5, 5)]);
    strips.chosen = 0;
    await strips.remove();
    expect(strips.all).toEqual([]);
  });

  it('keep their corrections in another light, and are read in that', async () => {
    strips.chosen = 1;
    await strips.remove();
    const corrected = [[swatch(0, 0)], [swatch(0, 40), swatch(20, 40)]];
    strips.follow(1, 7);
    strips.follow(7, 8);
    await strips.find(8);
    expect(strips.all?.map(({ swatches }) => swatches)).toEqual(corrected);
    expect(strips.all?.flatMap(({ steps }) => steps.map(({ lightness }) => lightness))).toEqual([8, 8, 8]);
    expect(findStrips).toHaveBeenCalledTimes(1);
    await strips.find(8);
    expect(markStrip).toHaveBeenCalledTimes(3);
    // Another picture is looked through anew.
    strips.follow(99, 100);
    await strips.find(100);
    expect(strips.all).toEqual(FOUND);
  });

  it('keep their corrections when the picture is turned', async () => {
    strips.chosen = 1;
    await strips.remove();
    const photo = (id: number, width: number, height: number) => ({ id, width, height }) as PhotoInfo;
    strips.turn(photo(1, 101, 51), photo(2, 51, 101), 1);
    // A quarter to the right: what was at the left is at the top, what was at the bottom at the left.
    expect(strips.all?.[1]?.swatches[0]).toEqual([
      [10, 0],
      [10, 10],
      [0, 10],
      [0, 0],
    ]);
    await strips.find(2);
    expect(strips.all?.map(({ swatches }) => swatches.length)).toEqual([1, 2]);
    expect(findStrips).toHaveBeenCalledTimes(1);
  });

  it('are asked to be kept by the name of their paint, and make room for the next', () => {
    expect(strips.ask()).toBeNull();
    strips.name = ' Clay ';
    expect(strips.ask()).toMatchObject({ name: 'Clay', photo: 1, swatches: FOUND[0]?.swatches });
    strips.took({ paint: 'Clay', dried: false });
    expect([strips.told, strips.current, strips.name]).toEqual(['Kept as a strip of Clay.', 1, '']);
    // What waits is told by the note that tells it of all that waits.
    strips.took(null);
    expect(strips.told).toBeNull();
  });
});
