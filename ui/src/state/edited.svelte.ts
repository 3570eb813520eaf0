//! Fields that are being edited: what is typed stands on the screen until it is kept, whatever a list brings meanwhile.

import { Soon } from './soon';

export class Edited<T extends object> {
  /** What was typed, by field, until the source says the same. */
  #typed: Partial<T> = $state.raw({});
  readonly #source: () => T;
  readonly #keep: (value: T) => Promise<unknown>;
  readonly #soon = new Soon();

  /** `source` is what is kept now, and may change at any time; `keep` rejects where it could not keep. */
  constructor(source: () => T, keep: (value: T) => Promise<unknown>) {
    this.#source = source;
    this.#keep = keep;
  }

  /** What the fields show. */
  get value(): T {
    return { ...this.#source(), ...this.#typed };
  }

  /** A field was changed: it is kept once the hand rests. */
  change(change: Partial<T>): void {
    this.#typed = { ...this.#typed, ...change };
    this.#soon.ask(() => this.#write());
  }

  /** The form goes: what still waits is kept at once. */
  leave(): void {
    this.#soon.now();
  }

  async #write(): Promise<void> {
    const sent = this.value;
    try {
      await this.#keep(sent);
    } catch {
      // Whoever keeps tells why. The letters stand, and go along with the next change.
      return;
    }
    this.#forget(sent);
  }

  /** Drops what is kept now, as the source says, and was not typed over since. */
  #forget(sent: T): void {
    const source = this.#source();
    const open = Object.entries(this.#typed).filter(([field, typed]) => {
      const key = field as keyof T;
      return typed !== sent[key] || source[key] !== typed;
    });
    this.#typed = Object.fromEntries(open) as Partial<T>;
  }
}
