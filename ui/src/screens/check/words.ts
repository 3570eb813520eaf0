//! What measurements are called: numbers come from the shell, words are chosen here.

import { HUES } from '../../state/hues';
import type { DifferenceInfo, NoReadingName, ReadingInfo, StepName, WarningInfo } from '../../wire/generated';

/** A band's number as it is shown, which one setting turns round everywhere. */
export type NumberOf = (band: number) => number;

const STEPS: Record<StepName, string> = {
  shade: 'a shade darker',
  plain: 'darker',
  clear: 'clearly darker',
  far: 'far darker',
};

export function numberOf(count: number, turned: boolean): NumberOf {
  return (band) => (turned ? count + 1 - band : band);
}

/** A figure, how repeatable it is, and how true where that is known. */
export type Measured = { lightness: number; repeatable: number; plusMinus: number | null };

/** L* with the digits that its doubt leaves a meaning; with a ± only where a light was told. */
export function lightnessWords({ lightness, repeatable, plusMinus }: Measured): string {
  const figure = Math.abs(lightness).toFixed((plusMinus ?? repeatable) < 1 ? 1 : 0);
  return plusMinus === null ? figure : `${figure} ${within(plusMinus)}`;
}

/** What a reading stands on, and what to do where it has no ±. */
export function standsWords({ against, repeatable, plusMinus }: ReadingInfo): string {
  return stands(against, plusMinus === null ? `repeatable to ${within(repeatable)}` : null);
}

/** What the difference of a pair stands on, and what to do where it has no ±. The doubt is the pair's own. */
export function pairStandsWords({ repeatable, plusMinus }: DifferenceInfo, { against }: ReadingInfo): string {
  return stands(against, plusMinus === null ? `difference repeatable to ${within(repeatable)}` : null);
}

function stands(against: string, repeatable: string | null): string {
  if (against === CAMERA) return `Camera’s own tone${repeatable === null ? '' : `, ${repeatable}`}. State the light to know more`;
  const words = against.charAt(0).toUpperCase() + against.slice(1);
  return repeatable === null ? words : `${words}, ${repeatable}: how true is not known`;
}

/** Why a spot has no reading, as a question or a refusal. */
export function unreadWords(why: NoReadingName): string {
  switch (why) {
    case 'lighterThanWhite':
      return 'Lighter than white in the stated light. Does it shine, or is a patch not what you stated?';
    case 'cutOff':
      return 'The file is cut off here: there is nothing to read.';
    case 'outside':
      return 'This spot lies outside the picture.';
    case 'tooUncertain':
      return 'The stated light leaves this spot too uncertain to read. Mark paper nearer to it.';
  }
}

/** What core calls readings without a stated light. */
const CAMERA = 'as the camera saw it';

function within(doubt: number): string {
  const digits = doubt < 1 ? 1 : 0;
  return `±${Math.max(doubt, digits === 1 ? 0.1 : 1).toFixed(digits)}`;
}

/** Which of two is darker, and how clearly. `first` and `second` are what the painter calls them. */
export function verdictWords({ verdict }: DifferenceInfo, first: string, second: string): string {
  switch (verdict.kind) {
    case 'sameTone':
      return `${first} and ${second}: same tone`;
    case 'cannotTell':
      return 'Too textured to compare. Tap flatter spots';
    case 'darker':
      return `${second} is ${STEPS[verdict.step]}`;
    case 'lighter':
      return `${first} is ${STEPS[verdict.step]}`;
  }
}

/** How far apart two are. */
export function apartWords(difference: DifferenceInfo): string {
  const between = Math.abs(difference.bands);
  const inBands = between === 0 ? 'same band' : `${between} ${between === 1 ? 'band' : 'bands'} apart`;
  return `${inBands}, L* ${lightnessWords(difference)}`;
}

/** Intensity and hue, such as “muted blue green”. */
export function colourWords({ intensity, hueName }: ReadingInfo): string {
  return hueName === null || intensity === 'neutral' ? 'neutral grey' : `${intensity} ${HUES[hueName]}`;
}

/** Standard deviation of L* up to which a spot is even, a little uneven, and uneven: common practice. The least is what
 * an eye just notices, the most a band of a five-band study. */
const TEXTURE = [
  [2, 'even'],
  [5, 'a little uneven'],
  [20, 'uneven'],
] as const;

export function textureWords({ spread }: ReadingInfo): string {
  return TEXTURE.find(([most]) => spread < most)?.[1] ?? 'very uneven';
}

/** A reading is well inside its band when it is farther from the edge than this, and than its own doubt. */
const WELL_INSIDE = 2;

/** Whether its band is sure, and which is the next. */
export function edgeWords({ band, edgeDistance, edgeBand, repeatable, plusMinus }: ReadingInfo, number: NumberOf): string {
  const inside = edgeDistance > Math.max(WELL_INSIDE, plusMinus ?? repeatable);
  return inside ? `well inside band ${number(band)}` : `close to band ${number(edgeBand)}`;
}

export function warningWords(warning: WarningInfo, number: NumberOf): string {
  switch (warning.kind) {
    case 'clippedLight':
      return `${percent(warning.share)} is blown out: it may be lighter than it reads`;
    case 'clippedDark':
      return `${percent(warning.share)} is blocked up: it may be darker than it reads`;
    case 'uneven':
      return `Uneven: its parts differ by ${warning.spread.toFixed(1)}`;
    case 'onEdge':
      return `On the edge to band ${number(warning.band)}`;
    case 'aboveWhite':
      return `${percent(warning.share)} is lighter than white: a gloss, a lamp, or paper stated too dark`;
    case 'fewPixels':
      return `Only ${warning.pixels} pixels: use a larger spot`;
  }
}

/** What is doubtful about the file itself. */
export function fileWords(doubt: string): string {
  return `${doubt.charAt(0).toUpperCase()}${doubt.slice(1)}.`;
}

/** How much lighter a vivid colour looks than it measures. */
export function looksWords([least, most]: readonly [number, number]): string {
  const [from, to] = [Math.round(least), Math.round(most)];
  return `Will look ${from === to ? from : `${from}–${to}`} lighter than it measures`;
}

/** How neighbours push a spot; `by` above 0 where it looks lighter. */
export function pushedWords(by: number): string {
  return by < 0 ? 'Light surroundings make it look darker' : 'Dark surroundings make it look lighter';
}

export function percent(share: number): string {
  const whole = Math.round(100 * share);
  return share > 0 && whole === 0 ? '<1 %' : `${whole} %`;
}

/** Which places are shown, as the middle one of three bands; towards white and black there are but two. */
export function placesWords(edges: readonly number[]): string {
  const [light, dark] = edges.map((edge) => edge.toFixed(0));
  if (light === undefined) return '';
  return dark === undefined ? `The edge is at L* ${light}, that step's tone` : `The middle band is L* ${light} to ${dark}: that step's tone`;
}

/** An L* without digits that say nothing. */
export function plainLightness(lightness: number): string {
  return String(Math.round(10 * lightness) / 10);
}

/** All of a reading in one sentence, for those who hear it. */
export function spokenReading(label: string, reading: ReadingInfo, number: NumberOf): string {
  const parts = [
    `${label}: band ${number(reading.band)}`,
    `L star ${lightnessWords(reading).replace('±', 'plus or minus ')}`,
    colourWords(reading),
    ...reading.warnings.map((warning) => warningWords(warning, number)),
  ];
  return `${parts.join(', ')}.`;
}
