//! The light of a photo as the painter tells it: patches of known tone, and what no patch can show.

import type { CircumstancesTold, PatchAt, PatchName } from '../wire/generated';
import { turned } from './pins.svelte';

/** A patch as it is told, and what the painter calls it (may be empty). */
export type Patch = PatchAt & { readonly name: string };

/** As many as a long grey scale and its papers need. */
export const MOST_PATCHES = 24;

const NONE: CircumstancesTold = { beyondThePaper: false, lifted: false, wet: false };

export class LightState {
  patches = $state.raw<readonly Patch[]>([]);
  circumstances = $state.raw<CircumstancesTold>(NONE);
  /** What a tap on the picture marks. */
  marks = $state<PatchName>('white');
  /** The patch that taps, arrows and buttons change. */
  chosen = $state<number | null>(null);
  /** Why what was told last could not be used. */
  trouble = $state.raw<string | null>(null);

  get isTold(): boolean {
    return this.patches.length > 0;
  }

  add(patch: Patch): void {
    if (this.patches.length < MOST_PATCHES) this.patches = [...this.patches, patch];
  }

  /** Changes a patch; a patch that is moved, or of another tone, was not confirmed yet. */
  change(at: number, change: Partial<Patch>): void {
    const stays = Object.keys(change).every((key) => key === 'name');
    const changed = (patch: Patch) => ({ ...patch, confirmed: stays && patch.confirmed, ...change });
    this.patches = this.patches.map((patch, index) => (index === at ? changed(patch) : patch));
  }

  remove(at: number): void {
    this.patches = this.patches.filter((_, index) => index !== at);
    this.chosen = null;
  }

  /** Carries patches along when a picture of `width` x `height` is turned clockwise by quarters. */
  turn(quarters: number, width: number, height: number): void {
    this.patches = this.patches.map((patch) => ({ ...patch, ...turned(patch, quarters, width - 1, height - 1) }));
  }

  restart(): void {
    this.patches = [];
    this.circumstances = NONE;
    this.chosen = null;
    this.trouble = null;
  }
}
