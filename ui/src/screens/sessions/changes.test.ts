import { expect, test } from 'vitest';
import type { PinChangeInfo, PinKept, VerdictInfo } from '../../wire/generated';
import { changeWords, shareRows } from './changes';

const pin = (letter: string, name: string, band: number, lightness: number): PinKept => ({ letter, name, band, lightness, repeatable: 0.4, plusMinus: null, warnings: [] });
const change = (before: PinKept, after: PinKept, plusMinus: number | null, verdict: VerdictInfo): PinChangeInfo => ({
  before,
  after,
  lightness: after.lightness - before.lightness,
  repeatable: 0.6,
  plusMinus,
  verdict,
});

test('a change says what, how much, and how sure', () => {
  const darker = change(pin('A', 'Hull', 2, 62), pin('C', 'hull', 3, 44.2), 5.2, { kind: 'darker', step: 'clear' });
  expect(changeWords(darker, (band) => band)).toBe('hull: clearly darker (−18 ±5), band 2 → 3, L* 62 → 44');
  const same = change(pin('B', '', 1, 90), pin('B', '', 1, 90.5), null, { kind: 'sameTone' });
  expect(changeWords(same, (band) => 6 - band)).toBe('B: same tone, band 5, L* 90 → 91');
});

test('shares change by points of a hundred', () => {
  expect(shareRows([0.6, 0.4], [0.45, 0.55])).toEqual([
    { before: '60 %', after: '45 %', change: '−15' },
    { before: '40 %', after: '55 %', change: '+15' },
  ]);
});

test('a change is the difference of the shares that are shown', () => {
  const rows = shareRows([0.3051, 0.002], [0.4249, 0.12]);
  expect(rows[0]).toEqual({ before: '31 %', after: '42 %', change: '+11' });
  expect(rows[1]).toEqual({ before: '<1 %', after: '12 %', change: '+12' });
});
