import { describe, expect, it } from 'vitest';
import type { CurveInfo, PaintInfo } from '../wire/generated';
import { atToneWords, dabWords, filtered, glazeWords, halves, outcomeWords, shareWords, sorted, stepOf, stripWarningWords } from './tones';

function paint(id: number, name: string, curve: Partial<CurveInfo> | null): PaintInfo {
  const about = { name, maker: '', pigments: 'PB29', mixedOf: '', notes: 'sinks', transparent: false, granulating: false, staining: false };
  return { id, about, curve } as unknown as PaintInfo;
}

const PAINTS = [
  paint(1, 'Grey', { light: 90, dark: 20, hue: 200, chroma: 3 }),
  paint(2, 'Yellow', { light: 92, dark: 80, hue: 90, chroma: 80 }),
  paint(3, 'Violet', { light: 90, dark: 25, hue: 310, chroma: 50 }),
  paint(4, 'Untried', null),
];

describe('paints', () => {
  it('are sorted with neutrals after the hues, and what was not painted last', () => {
    const names = (order: Parameters<typeof sorted>[1]) => sorted(PAINTS, order).map(({ about }) => about.name);
    expect(names('hue')).toEqual(['Yellow', 'Violet', 'Grey', 'Untried']);
    expect(names('range')).toEqual(['Grey', 'Violet', 'Yellow', 'Untried']);
    expect(names('darkest')).toEqual(['Grey', 'Violet', 'Yellow', 'Untried']);
    expect(names('begun')).toEqual(['Grey', 'Yellow', 'Violet', 'Untried']);
  });

  it('are found by words in any part', () => {
    expect(filtered(PAINTS, 'viol pb29').map(({ id }) => id)).toEqual([3]);
    expect(filtered(PAINTS, ' ')).toHaveLength(4);
  });
});

describe('words', () => {
  it('tell steps by halves', () => {
    expect([0.2, 0.5, 4.3, 4.8].map(halves)).toEqual(['0', '½', '4½', '5']);
    const at = { kind: 'reaches', step: 4.4, plusMinus: 0.2, lightness: 50, srgb: [1, 2, 3] } as const;
    expect(atToneWords({ ...at, srgb: [1, 2, 3] }, stepOf(8, false))).toBe('step 4½ ±½');
    expect(atToneWords({ ...at, srgb: [1, 2, 3] }, stepOf(8, true))).toBe('step 4½ ±½');
    expect(atToneWords({ ...at, step: 2, srgb: [1, 2, 3] }, stepOf(8, true))).toBe('step 7 ±½');
    expect(atToneWords({ kind: 'staysLighter', by: 12.4 }, stepOf(8, false))).toBe('not dark enough: 12 too light');
    expect(atToneWords({ kind: 'staysDarker', by: 0.3 }, stepOf(8, false))).toBe('more water than was painted: <1 too dark');
  });

  it('tell a dab as a painter would', () => {
    const dab = { lightness: 55, meant: 50, plusMinus: 0.3, stranger: null };
    expect(dabWords({ ...dab, paleBy: 0.5, says: 'littleMorePaint' }, 5)).toBe('Half a step pale for step 5: a little more paint.');
    expect(dabWords({ ...dab, paleBy: -2, says: 'moreWater' }, 5)).toBe('2 steps dark for step 5: more water.');
    expect(dabWords({ ...dab, paleBy: 0.1, says: 'right' }, 5)).toBe('Right for step 5.');
  });

  it('ask of a dab in another hue whether it is the right paint', () => {
    const dab = { lightness: 55, meant: 50, plusMinus: 0.3, stranger: { kind: 'hue', hueName: 'yellow' } } as const;
    expect(dabWords({ ...dab, paleBy: 0.1, says: 'right' }, 3)).toBe('Right tone for step 3, but this is a yellow: is it the right paint?');
    expect(dabWords({ ...dab, paleBy: 0.5, says: 'littleMorePaint' }, 3)).toBe(
      'Half a step pale for step 3: a little more paint. And this is a yellow: is it the right paint?',
    );
    expect(dabWords({ ...dab, paleBy: 0.1, says: 'right', stranger: { kind: 'grey' } }, 3)).toContain('but this is a grey');
  });

  it('tell what becomes of two washes by the colour that is predicted', () => {
    const wash = { lightness: 50, chroma: 40, srgb: [40, 120, 60] as [number, number, number] };
    const green = { share: 0.5, wash, intensity: 'strong', hueName: 'green', lessVivid: true, outcome: 'subdued', dullness: 0.55, sureness: 0.65 } as const;
    expect(outcomeWords(green)).toBe('a clear green, less vivid than either');
    expect(outcomeWords({ ...green, intensity: 'muted', outcome: 'dull', sureness: 0.95 })).toBe('greys: a muted green, less vivid than either');
    expect(outcomeWords({ ...green, intensity: 'vivid', hueName: 'orange', lessVivid: false, outcome: 'clean', sureness: 0.75 })).toBe('probably stays clean: a vivid orange');
    expect(outcomeWords({ ...green, intensity: 'neutral', hueName: null, outcome: 'dull', sureness: 0.95 })).toBe('greys: a grey, less vivid than either');
    expect(outcomeWords({ ...green, intensity: 'greyed', lessVivid: false, outcome: 'clean', sureness: 0.95 })).toBe('a greyed green');
  });

  it('give a glaze no number without its bounds', () => {
    const at = (lightness: number) => ({ lightness, chroma: 40, srgb: [0, 0, 0] as [number, number, number] });
    expect(glazeWords({ darkest: at(29.6), lightest: at(55.2), transparent: false })).toBe('L* 29 to 56, by how well it covers');
    expect(glazeWords({ darkest: at(24.2), lightest: at(24.9), transparent: true })).toBe('L* 24 to 25');
  });

  it('say what to do about a strip, turned round or not', () => {
    expect(stripWarningWords({ kind: 'tooFar', steps: [3, 4] }, stepOf(8, false))).toContain('Between 3 and 4');
    expect(stripWarningWords({ kind: 'tooFar', steps: [3, 4] }, stepOf(8, true))).toContain('Between 5 and 6');
  });

  it('tell shares as parts', () => {
    expect([0, 0.2, 0.25, 1 / 3, 0.5, 2 / 3, 0.8].map(shareWords)).toEqual(['alone', '4:1', '3:1', '2:1', '1:1', '1:2', '1:4']);
  });
});
