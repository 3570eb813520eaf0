//! Readings of pins and the difference of a pair, as the shell gives them.

import { SvelteMap } from 'svelte/reactivity';
import type { DifferenceInfo, NoReadingName, ReadingInfo, SpotAt, SpotInfo } from '../wire/generated';
import { compareSpots, readSpot } from '../wire/invoke';
import type { Pin } from './pins.svelte';

/** What readings depend on beside the spot itself. */
export type Basis = { id: number; edges: number[] };

type Asked = { key: string; running: boolean };

export class Measures {
  readonly readings = new SvelteMap<string, ReadingInfo>();
  /** Why pins have no reading. */
  readonly unread = new SvelteMap<string, NoReadingName>();
  difference = $state.raw<DifferenceInfo | null>(null);
  readonly #asked = new Map<string, Asked>();
  readonly #failed: (thrown: unknown) => void;

  constructor(failed: (thrown: unknown) => void) {
    this.#failed = failed;
  }

  /** Brings readings and difference up to date; asks only for what has changed, and for the newest only. */
  follow(basis: Basis, pins: readonly Pin[], pair: readonly [Pin, Pin] | null): void {
    const letters = new Set(pins.map((pin) => pin.letter));
    for (const letter of [...this.readings.keys(), ...this.unread.keys()]) if (!letters.has(letter)) this.#forget(letter);
    for (const pin of pins) {
      const spot = spotOf(pin);
      void this.#ask(pin.letter, keyOf(basis, spot), () => readSpot(basis.id, spot, basis.edges), (said) =>
        this.#take(pin.letter, said),
      );
    }
    if (!pair) {
      this.difference = null;
      this.#asked.delete('pair');
      return;
    }
    const [first, second] = [spotOf(pair[0]), spotOf(pair[1])];
    const key = keyOf(basis, first) + keyOf(basis, second);
    void this.#ask('pair', key, () => compareSpots(basis.id, first, second, basis.edges), (difference) => {
      this.difference = difference;
    });
  }

  clear(): void {
    this.readings.clear();
    this.unread.clear();
    this.#asked.clear();
    this.difference = null;
  }

  /**
   * One question at a time for each subject: while a spot is dragged the newest place is asked for as soon as the
   * answer before has come, so that none pile up.
   */
  async #ask<T>(subject: string, key: string, ask: () => Promise<T>, take: (answer: T) => void): Promise<void> {
    const before = this.#asked.get(subject);
    if (before?.key === key) return;
    const mine: Asked = { key, running: true };
    this.#asked.set(subject, mine);
    if (before?.running) await this.#idle(before);
    if (this.#asked.get(subject) !== mine) return this.#end(mine);
    try {
      const answer = await ask();
      if (this.#asked.get(subject) === mine) take(answer);
    } catch (thrown) {
      if (this.#asked.get(subject) === mine) this.#failed(thrown);
    } finally {
      this.#end(mine);
    }
  }

  readonly #waiting = new Map<Asked, () => void>();

  #idle(asked: Asked): Promise<void> {
    return new Promise((resolve) => this.#waiting.set(asked, resolve));
  }

  #end(asked: Asked): void {
    asked.running = false;
    this.#waiting.get(asked)?.();
    this.#waiting.delete(asked);
  }

  #take(letter: string, said: SpotInfo): void {
    if (said.kind === 'reading') {
      this.readings.set(letter, said.reading);
      this.unread.delete(letter);
    } else {
      this.readings.delete(letter);
      this.unread.set(letter, said.why);
    }
  }

  #forget(letter: string): void {
    this.readings.delete(letter);
    this.unread.delete(letter);
    this.#asked.delete(letter);
  }
}

function spotOf({ x, y, radius }: Pin): SpotAt {
  return { x, y, radius };
}

function keyOf({ id, edges }: Basis, { x, y, radius }: SpotAt): string {
  return `${id}/${x}/${y}/${radius}/${edges.join()};`;
}
