//! What is kept before a camera or a gallery opens, since a system short of memory may end the app meanwhile.

import type { BandsSetting } from '../wire/generated';
import type { Look, SquintName, ViewName } from './look.svelte';
import { SQUINTS, VIEWS } from './look.svelte';
import type { Pin } from './pins.svelte';

const KEY = 'tonefast.kept';

/** What stood on the screen, and what was open. */
export type Kept = {
  where: 'camera' | 'gallery' | null;
  view: ViewName;
  outlined: boolean;
  squint: SquintName | null;
  setting: BandsSetting;
  /** Pins on a picture of that size. */
  pins: Pin[];
  size: { width: number; height: number } | null;
};

/** What of the screen is kept. */
export type Screen = {
  look: Look;
  bands: { own: BandsSetting };
  pins: { readonly all: readonly Pin[] };
  size: { width: number; height: number } | null;
};

type Storage = Pick<globalThis.Storage, 'getItem' | 'setItem'>;

export function keep({ look, bands, pins, size }: Screen, where: Kept['where'], storage = ours()): void {
  const { view, outlined, squint } = look;
  const kept: Kept = { where, view, outlined, squint, setting: bands.own, pins: [...pins.all], size: size && { ...size } };
  write(kept, storage);
}

/** Camera and gallery are closed in good order: how the picture is looked at is kept, and nothing is taken up. */
export function forget(storage = ours()): void {
  const kept = keptBefore(storage);
  if (kept) write({ ...kept, where: null, pins: [], size: null }, storage);
}

/** What was kept; null where nothing was, or where it makes no sense. */
export function keptBefore(storage = ours()): Kept | null {
  try {
    const kept: unknown = JSON.parse(storage?.getItem(KEY) ?? 'null');
    return isKept(kept) ? kept : null;
  } catch {
    return null;
  }
}

function write(kept: Kept, storage: Storage | null): void {
  try {
    storage?.setItem(KEY, JSON.stringify(kept));
  } catch {
    // No storage, or none left: nothing will be taken up again.
  }
}

function ours(): Storage | null {
  try {
    return globalThis.localStorage ?? null;
  } catch {
    return null;
  }
}

function isKept(value: unknown): value is Kept {
  if (typeof value !== 'object' || value === null) return false;
  const { where, view, outlined, squint, setting, pins, size } = value as Record<string, unknown>;
  const known =
    [null, 'camera', 'gallery'].includes(where as Kept['where']) &&
    VIEWS.includes(view as ViewName) &&
    typeof outlined === 'boolean' &&
    (squint === null || SQUINTS.includes(squint as SquintName));
  return known && isSetting(setting) && Array.isArray(pins) && pins.every(isPin) && (size === null || hasNumbers(size, ['width', 'height']));
}

function isSetting(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  const { kind, edges } = value as Record<string, unknown>;
  if (kind === 'byHand') return Array.isArray(edges) && edges.every((edge) => typeof edge === 'number');
  return (kind === 'even' || kind === 'fitted') && hasNumbers(value, ['count']);
}

function isPin(value: unknown): boolean {
  if (!hasNumbers(value, ['x', 'y', 'radius'])) return false;
  const { letter, name } = value as Record<string, unknown>;
  return typeof letter === 'string' && /^[A-L]$/.test(letter) && typeof name === 'string';
}

function hasNumbers(value: unknown, names: readonly string[]): boolean {
  return typeof value === 'object' && value !== null && names.every((name) => Number.isFinite((value as Record<string, unknown>)[name]));
}
