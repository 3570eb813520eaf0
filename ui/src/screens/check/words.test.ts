import { describe, expect, it } from 'vitest';
import type { DifferenceInfo, ReadingInfo } from '../../wire/generated';
import { apartWords, colourWords, edgeWords, lightnessWords, looksWords, numberOf, pairStandsWords, percent, placesWords, pushedWords, spokenReading, standsWords, textureWords, unreadWords, verdictWords, warningWords } from './words';

const difference = (verdict: DifferenceInfo['verdict'], rest: Partial<DifferenceInfo> = {}): DifferenceInfo => ({
  lightness: -18,
  repeatable: 2,
  bands: 1,
  verdict,
  plusMinus: null,
  ...rest,
});

const READING: ReadingInfo = {
  lightness: 57.3,
  median: 57,
  spread: 1.24,
  repeatable: 0.42,
  chroma: 24,
  hue: 200,
  hueName: 'blueGreen',
  intensity: 'muted',
  band: 3,
  edgeDistance: 2.7,
  edgeBand: 2,
  pixels: 700,
  warnings: [],
  looksLighterBy: null,
  pushed: null,
  against: 'as the camera saw it',
  plusMinus: null,
};

describe('the verdict', () => {
  it('always names the darker one', () => {
    expect(verdictWords(difference({ kind: 'darker', step: 'clear' }), 'A', 'B')).toBe('B is clearly darker');
    expect(verdictWords(difference({ kind: 'lighter', step: 'clear' }), 'A', 'B')).toBe('A is clearly darker');
  });

  it('has a word for each step, and says when there is none', () => {
    const words = (['shade', 'plain', 'clear', 'far'] as const).map((step) => verdictWords(difference({ kind: 'darker', step }), 'A', 'hull'));
    expect(words).toEqual(['hull is a shade darker', 'hull is darker', 'hull is clearly darker', 'hull is far darker']);
    expect(verdictWords(difference({ kind: 'sameTone' }), 'A', 'B')).toBe('A and B: same tone');
    expect(verdictWords(difference({ kind: 'cannotTell' }), 'A', 'B')).toBe('Too textured to compare. Tap flatter spots');
  });

  it('tells how far apart they are without a sign', () => {
    expect(apartWords(difference({ kind: 'sameTone' }))).toBe('1 band apart, L* 18');
    expect(apartWords(difference({ kind: 'sameTone' }, { bands: -3, lightness: 61.24, plusMinus: 0.4 }))).toBe('3 bands apart, L* 61.2 ±0.4');
    expect(apartWords(difference({ kind: 'sameTone' }, { bands: 0, lightness: 0.3 }))).toBe('same band, L* 0');
  });

  it('has a doubt of its own, which is not that of either reading', () => {
    const last = { ...READING, repeatable: 20, plusMinus: null };
    const words = pairStandsWords(difference({ kind: 'sameTone' }, { repeatable: 3.1 }), last);
    expect(words).toBe('Camera’s own tone, difference repeatable to ±3. State the light to know more');
    const told = { ...READING, against: 'against paper 94.5, light taken as even', plusMinus: 9 };
    expect(pairStandsWords(difference({ kind: 'sameTone' }, { plusMinus: 4 }), told)).toBe('Against paper 94.5, light taken as even');
  });
});

describe('a spot without a reading', () => {
  it('has a question or a reason, and never a number', () => {
    const words = (['lighterThanWhite', 'cutOff', 'outside', 'tooUncertain'] as const).map(unreadWords);
    expect(words.filter((word) => /\d/.test(word))).toEqual([]);
    expect(words[0]).toContain('?');
  });
});

describe('a reading', () => {
  it('has the digits that its uncertainty leaves a meaning', () => {
    const words = (plusMinus: number) => lightnessWords({ lightness: 57.34, repeatable: 0.2, plusMinus });
    expect([words(0.42), words(2.6), words(0)]).toEqual(['57.3 ±0.4', '57 ±3', '57.3 ±0.1']);
  });

  it('has no ± before a light is told, and says what that would be against', () => {
    expect(lightnessWords(READING)).toBe('57.3');
    expect(standsWords(READING)).toBe('Camera’s own tone, repeatable to ±0.4. State the light to know more');
    expect(standsWords({ ...READING, against: 'against paper 94.5, light taken as even', plusMinus: 5.2 })).toBe(
      'Against paper 94.5, light taken as even',
    );
  });

  it('says so where paper in the hand leaves the light beyond it open', () => {
    expect(standsWords({ ...READING, against: 'relative to paper 94.5 in another light' })).toBe(
      'Relative to paper 94.5 in another light, repeatable to ±0.4: how true is not known',
    );
  });

  it('calls colours as a painter would', () => {
    expect(colourWords(READING)).toBe('muted blue green');
    expect(colourWords({ ...READING, intensity: 'neutral', hueName: null })).toBe('neutral grey');
  });

  it('tells the band beyond the nearest edge, whichever way bands are numbered', () => {
    expect(edgeWords({ ...READING, edgeDistance: 1.2 }, numberOf(5, false))).toBe('close to band 2');
    expect(edgeWords({ ...READING, edgeDistance: 1.2 }, numberOf(5, true))).toBe('close to band 4');
    expect(warningWords({ kind: 'onEdge', band: 1 }, numberOf(5, true))).toBe('On the edge to band 5');
  });

  it('is well inside its band only as far as it is sure', () => {
    expect(edgeWords({ ...READING, band: 2, edgeDistance: 9 }, numberOf(5, false))).toBe('well inside band 2');
    expect(edgeWords({ ...READING, edgeDistance: 9, plusMinus: 10 }, numberOf(5, false))).toBe('close to band 2');
    expect([0.4, 3, 8, 28].map((spread) => textureWords({ ...READING, spread }))).toEqual(['even', 'a little uneven', 'uneven', 'very uneven']);
  });

  it('is spoken in one sentence', () => {
    const spoken = spokenReading('A', { ...READING, plusMinus: 0.4, warnings: [{ kind: 'fewPixels', pixels: 9 }] }, numberOf(5, false));
    expect(spoken).toBe('A: band 3, L star 57.3 plus or minus 0.4, muted blue green, Only 9 pixels: use a larger spot.');
  });

  it('tells how it will look', () => {
    expect(looksWords([12.4, 16.3])).toBe('Will look 12–16 lighter than it measures');
    expect(looksWords([3.6, 4.4])).toBe('Will look 4 lighter than it measures');
    expect(pushedWords(-5)).toContain('look darker');
    expect(pushedWords(5)).toContain('look lighter');
  });
});

it('says which places are shown', () => {
  expect(placesWords([78.08, 74.1])).toBe("The middle band is L* 78 to 74: that step's tone");
  expect(placesWords([99])).toContain('The edge is at L* 99');
  expect(placesWords([])).toBe('');
});

it('calls a share that is there, but hardly, no nothing', () => {
  expect([percent(0), percent(0.001), percent(0.284)]).toEqual(['0 %', '<1 %', '28 %']);
});
