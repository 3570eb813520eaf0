//! What changed between two snapshots, in words: numbers come from the shell.

import type { PinChangeInfo, StepName } from '../../wire/generated';
import { lightnessWords, type NumberOf, percent } from '../check/words';

/** Why a snapshot can't be measured, nor laid beside another. */
export const LEFT_OUT = 'Its photo was left out when it was handed over. It can be looked at and printed; to measure it, ask for it with its photo.';

const STEPS: Record<StepName, string> = { shade: 'a shade ', plain: '', clear: 'clearly ', far: 'far ' };

/** “Hull: L* 62 → 44, clearly darker (−18 ±5)”. */
export function changeWords(change: PinChangeInfo, number: NumberOf): string {
  const { before, after, verdict } = change;
  const called = after.name.trim() || before.name.trim() || (before.letter === after.letter ? before.letter : `${before.letter} → ${after.letter}`);
  const bands = before.band === after.band ? `band ${number(before.band)}` : `band ${number(before.band)} → ${number(after.band)}`;
  const tones = `L* ${before.lightness.toFixed(0)} → ${after.lightness.toFixed(0)}`;
  const by = `${change.lightness < 0 ? '−' : '+'}${lightnessWords(change)}`;
  switch (verdict.kind) {
    case 'sameTone':
      return `${called}: same tone, ${bands}, ${tones}`;
    case 'cannotTell':
      return `${called}: too textured to compare (${by}), ${bands}, ${tones}`;
    case 'darker':
    case 'lighter':
      return `${called}: ${STEPS[verdict.step]}${verdict.kind} (${by}), ${bands}, ${tones}`;
  }
}

/** Shares and their change, in points of a hundred. What is shown is rounded once, so that rows add up. */
export function shareRows(before: readonly number[], after: readonly number[]): { before: string; after: string; change: string }[] {
  return before.map((first, at) => {
    const second = after[at] ?? 0;
    return { before: percent(first), after: percent(second), change: points(Math.round(100 * second) - Math.round(100 * first)) };
  });
}

function points(whole: number): string {
  if (whole === 0) return '0';
  return `${whole < 0 ? '−' : '+'}${Math.abs(whole)}`;
}
