//! Paints' tones in words, and how they are sorted. Numbers come from the shell.

import type { AtToneInfo, DabInfo, GlazeInfo, PaintInfo, RunTogetherInfo, StripInfo, StripWarningInfo } from '../wire/generated';
import { HUES } from './hues';

/** A step as it is shown: 1 is the lightest, or, turned, the darkest. */
export type StepOf = (step: number) => number;

export function stepOf(steps: number, turned: boolean): StepOf {
  return (step) => (turned ? steps + 1 - step : step);
}

export const ORDERS = [
  ['begun', 'Order added'],
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
      return `not dark enough: ${missWords(at)}`;
    case 'staysDarker':
      return `more water than was painted: ${missWords(at)}`;
  }
}

/** “9 too dark”: by how many L* a paint misses a tone, which is never called none. */
export function missWords({ kind, by }: Exclude<AtToneInfo, { kind: 'reaches' }>): string {
  return `${by < 0.5 ? '<1' : by.toFixed(0)} too ${kind === 'staysLighter' ? 'light' : 'dark'}`;
}

/** “Half a step pale for step 5: a little more paint.” Tone first; then whether it is that paint at all. */
export function dabWords(dab: DabInfo, step: number): string {
  const { says, stranger } = dab;
  if (stranger === null) return toneOfDabWords(dab, step);
  const asked = `this is a ${stranger.kind === 'hue' ? HUES[stranger.hueName] : 'grey'}: is it the right paint?`;
  return says === 'right' ? `Right tone for step ${halves(step)}, but ${asked}` : `${toneOfDabWords(dab, step)} And ${asked}`;
}

function toneOfDabWords({ paleBy, says }: DabInfo, step: number): string {
  if (says === 'right') return `Right for step ${halves(step)}.`;
  const off = Math.abs(paleBy);
  const much = off < 0.75 ? 'Half a step' : off < 1.25 ? 'A step' : `${halves(off)} steps`;
  const does = { littleMorePaint: 'a little more paint', morePaint: 'more paint', littleMoreWater: 'a little more water', moreWater: 'more water' }[says];
  return `${much} ${paleBy > 0 ? 'pale' : 'dark'} for step ${halves(step)}: ${does}.`;
}

/** How even a strip is, in a word. */
export function evennessWords({ evenness, distinct, steps }: StripInfo): string {
  const even = evenness >= 0.8 ? 'Even steps' : evenness >= 0.6 ? 'Fairly even steps' : 'Uneven steps';
  const apart = distinct === steps.length ? 'all different' : `${distinct} of ${steps.length} different`;
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
      return `${one} and ${other} are too much alike to tell apart.`;
    case 'turnsBack':
      return `From ${one} to ${other} it turns back, as a very strong wash does that bronzes.`;
    case 'glare':
      return `${shown(warning.step)} shines: turn it from the light, and read it again.`;
    case 'shadow':
      return 'A shadow’s edge, or a fold, lies across: readings may be off by 4.';
  }
}

/** What becomes of two washes: whether they grey and how sure that is, and the colour that is predicted. */
export function outcomeWords(together: RunTogetherInfo): string {
  const { outcome, sureness, intensity, lessVivid } = together;
  if (outcome === 'neutral') return 'both are nearly grey';
  const colour = `${mixedColourWords(together)}${lessVivid ? ', less vivid than either' : ''}`;
  // Of greyed parents nothing stays clean, though nothing is lost.
  if (outcome === 'subdued' || (outcome === 'clean' && (intensity === 'neutral' || intensity === 'greyed'))) return colour;
  const word = outcome === 'clean' ? 'stays clean' : 'greys';
  return `${sureness >= 0.9 ? '' : sureness >= 0.7 ? 'probably ' : 'perhaps '}${word}: ${colour}`;
}

/** “a clear green”. */
function mixedColourWords({ intensity, hueName }: RunTogetherInfo): string {
  if (hueName === null || intensity === 'neutral') return 'a grey';
  return `a ${{ greyed: 'greyed', muted: 'muted', strong: 'clear', vivid: 'vivid' }[intensity]} ${HUES[hueName]}`;
}

/** “L* 30 to 55, by how well it covers”: how light one wash over another may be. */
export function glazeWords({ darkest, lightest, transparent }: GlazeInfo): string {
  const [least, most] = [Math.floor(darkest.lightness), Math.ceil(lightest.lightness)];
  return `L* ${least} to ${most}${transparent ? '' : ', by how well it covers'}`;
}

/** “2:1”, the first's part first. */
export function shareWords(share: number): string {
  if (share === 0 || share === 1) return 'alone';
  return share <= 0.5 ? `${Math.round((1 - share) / share)}:1` : `1:${Math.round(share / (1 - share))}`;
}
