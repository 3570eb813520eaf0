//! What is typed is kept when the hand rests, and not at each letter.

const RESTS_MS = 400;

export class Soon {
  #timer: ReturnType<typeof setTimeout> | undefined;
  #deed: (() => void) | null = null;

  /** Does it once nothing else has been asked for a while; only the newest is done. */
  ask(deed: () => void): void {
    clearTimeout(this.#timer);
    this.#deed = deed;
    this.#timer = setTimeout(() => this.now(), RESTS_MS);
  }

  /** Does at once what waits, such as when its place on the screen goes. */
  now(): void {
    clearTimeout(this.#timer);
    const deed = this.#deed;
    this.#deed = null;
    deed?.();
  }
}
