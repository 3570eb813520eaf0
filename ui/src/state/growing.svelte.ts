//! A long list comes part by part: what is in sight at once, the rest in the frames after it.

/** A screen's fill of cards, and what a frame has time for. */
const PART = 24;

export class Growing {
  #limit = $state(PART);

  /** As much of a list as has come; to be read where it is drawn. */
  of<T>(all: readonly T[]): readonly T[] {
    return all.length > this.#limit ? all.slice(0, this.#limit) : all;
  }

  /** Lets the rest come; to be called in an effect that reads the list's length. */
  follow(length: number): (() => void) | undefined {
    if (this.#limit >= length) return undefined;
    const frame = requestAnimationFrame(() => (this.#limit += PART));
    return () => cancelAnimationFrame(frame);
  }
}
