//! When one of a few choices may be shown: by a tap, or held for a peek; never flickering.

/** Held for longer than this, a choice is a peek, and what was before comes back: longer than a slow tap takes. */
const PEEK_AFTER_MS = 800;

/** WCAG 2.2, 2.3.1: no more than three flashes in any second. */
const CHANGES_A_SECOND = 3;

const SECOND_MS = 1000;

export type Clock = { now: () => number; after: (ms: number, call: () => void) => void };

const CLOCK: Clock = { now: () => performance.now(), after: (ms, call) => void setTimeout(call, ms) };

export class Switcher<T> {
  readonly #show: (choice: T) => void;
  readonly #peek: (before: T | null) => void;
  readonly #clock: Clock;
  #shown: T;
  #wanted: T;
  #changes: number[] = [];
  #waits = false;
  #held: { choice: T; since: number; before: T } | null = null;

  /** `peek` hears what comes back once a choice that is held is let go; null when it is. */
  constructor(first: T, show: (choice: T) => void, peek: (before: T | null) => void, clock: Clock = CLOCK) {
    this.#shown = this.#wanted = first;
    this.#show = show;
    this.#peek = peek;
    this.#clock = clock;
  }

  /** Shows a choice for good. */
  choose(choice: T): void {
    this.#held = null;
    this.#peek(null);
    this.#want(choice);
  }

  /** A finger or key goes down on a choice. A key's repeats are the same press. */
  press(choice: T): void {
    if (this.#held?.choice === choice) return;
    const held = { choice, since: this.#clock.now(), before: this.#held?.before ?? this.#wanted };
    this.#held = held;
    this.#want(choice);
    this.#clock.after(PEEK_AFTER_MS, () => {
      if (this.#held === held && held.before !== choice) this.#peek(held.before);
    });
  }

  /** It goes up again: what was only peeked at goes. */
  release(choice: T): void {
    if (this.#held?.choice !== choice) return;
    const { since, before } = this.#held;
    this.#held = null;
    this.#peek(null);
    if (this.#clock.now() - since >= PEEK_AFTER_MS) this.#want(before);
  }

  /** The window loses its keys: what is held comes up unheard. */
  letGo(): void {
    if (this.#held) this.release(this.#held.choice);
  }

  #want(choice: T): void {
    this.#wanted = choice;
    if (!this.#waits) this.#change();
  }

  #change(): void {
    this.#waits = false;
    if (this.#wanted === this.#shown) return;
    const now = this.#clock.now();
    this.#changes = this.#changes.filter((at) => now - at < SECOND_MS);
    const [oldest] = this.#changes;
    if (oldest !== undefined && this.#changes.length >= CHANGES_A_SECOND) {
      this.#waits = true;
      this.#clock.after(oldest + SECOND_MS - now, () => this.#change());
      return;
    }
    this.#changes.push(now);
    this.#shown = this.#wanted;
    this.#show(this.#shown);
  }
}
