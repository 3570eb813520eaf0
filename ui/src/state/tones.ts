//! Paints' tones in words, and how they are sorted. Numbers come from the shell.

import type { AtToneInfo, DabInfo, PaintInfo, RunTogetherInfo, StripInfo, StripWarningInfo } from '../wire/generated';

/** A step as it is shown: 1 is the lightest, or, turned, the darkest. */
export type StepOf = (step: number) => number;

export function stepOf(steps: number, turned: boolean): StepOf {
  return (step) => (turned ? steps + 1 - step : step);
}

export const ORDERS = [
  ['begun', 'As begun'],
  ['hue', 'Hue'],
  ['range', 'Range'],
  ['darkest', 'Darkest'],
] as const;

export type PaintOrder = (typeof ORDERS)[number][0];

/** Neutrals come after the hues. */
export function sorted(paints: readonly PaintInfo[], order: PaintOrder): PaintInfo[] {
  const by: Record<PaintOrder, (paint: PaintInfo) => number> = {
    begun: () => 0,
    hue: ({ curve }) => (curve?.hue == null || curve.chroma < NEUTRAL ? 400 - (curve?.chroma ?? 0) : curve.hue),
    range: ({ curve }) => (curve ? curve.dark - curve.light : 0),
    darkest: ({ curve }) => curve?.dark ?? 101,
  };
  return [...paints].sort((a, b) => by[order](a) - by[order](b));
}

/** Below this chroma a paint has no hue to be sorted by. */
const NEUTRAL = 8;

/** Paints in whose name, maker, pigments or notes every word occurs. */
export function filtered(paints: readonly PaintInfo[], words: string): PaintInfo[] {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  const text = ({ about }: PaintInfo) => [about.name, about.maker, about.pigments, about.mixedOf, about.notes].join(' ').toLowerCase();
  return paints.filter((paint) => wanted.every((word) => text(paint).includes(word)));
}

export const rgb = ([r, g, b]: readonly [number, number, number]): string => `rgb(${r} ${g} ${b})`;

/** “step 4½ ±½”: to the half of a step, which is as near as a brush hits. */
export function stepWords(step: number, plusMinus: number): string {
  return `step ${halves(step)} ±${halves(Math.max(plusMinus, 0.5))}`;
}

/** A number to its nearest half. */
export function halves(number: number): string {
  const twice = Math.round(2 * number);
  const whole = Math.floor(twice / 2);
  return twice % 2 === 0 ? String(whole) : whole === 0 ? '½' : `${whole}½`;
}

/** What a paint does at a tone; `shown` turns its steps round. */
export function atToneWords(at: AtToneInfo, shown: StepOf): string {
  switch (at.kind) {
    case 'reaches':
      return stepWords(shown(at.step), at.plusMinus);
    case 'staysLighter':
      return `not dark enough: ${Math.max(1, Math.round(at.by))} too light`;
    case 'staysDarker':
      return `more water than was painted: ${Math.max(1, Math.round(at.by))} too dark`;
  }
}

/** “Half a step pale for step 5: a little more paint.” */
export function dabWords({ paleBy, says }: DabInfo, step: number): string {
  if (says === 'right') return `Right for step ${halves(step)}.`;
  const off = Math.abs(paleBy);
  const much = off < 0.75 ? 'Half a step' : off < 1.25 ? 'A step' : `${halves(off)} steps`;
  const does = { littleMorePaint: 'a little more paint', morePaint: 'more paint', littleMoreWater: 'a little more water', moreWater: 'more water' }[says];
  return `${much} ${paleBy > 0 ? 'pale' : 'dark'} for step ${halves(step)}: ${does}.`;
}

/** How even a strip is, in a word. */
export function evennessWords({ evenness, distinct, steps }: StripInfo): string {
  const even = evenness >= 0.8 ? 'Evenly spaced' : evenness >= 0.6 ? 'Fairly even' : 'Unevenly spaced';
  const apart = distinct === steps.length ? 'all told apart' : `${distinct} of ${steps.length} told apart`;
  return `${even}, ${apart}`;
}

/** What should be done about it. */
export function stripWarningWords(warning: StripWarningInfo, shown: StepOf): string {
  const pair = 'steps' in warning ? warning.steps.map(shown).sort((a, b) => a - b) : [];
  const [one, other] = pair;
  switch (warning.kind) {
    case 'tooClose':
      return `${one} and ${other} stand close: spread them, or leave one out.`;
    case 'tooFar':
      return `Between ${one} and ${other} a strength is missing: paint one between.`;
    case 'alike':
      return `${one} and ${other} can’t be told apart.`;
    case 'turnsBack':
      return `From ${one} to ${other} it turns back, as a very strong wash does that bronzes.`;
    case 'glare':
      return `${shown(warning.step)} shines: turn it from the light, and read it again.`;
    case 'shadow':
      return 'A shadow’s edge, or a fold, lies across: readings may be off by 4.';
  }
}

/** What becomes of two washes, in a word and how sure that is. */
export function outcomeWords({ outcome, sureness }: RunTogetherInfo): string {
  if (outcome === 'neutral') return 'both are nearly grey';
  const word = outcome === 'clean' ? 'stays clean' : 'greys';
  return `${sureness >= 0.9 ? '' : sureness >= 0.7 ? 'probably ' : 'perhaps '}${word}`;
}

/** “2:1”, the first's part first. */
export function shareWords(share: number): string {
  if (share === 0 || share === 1) return 'alone';
  return share <= 0.5 ? `${Math.round((1 - share) / share)}:1` : `1:${Math.round(share / (1 - share))}`;
}
