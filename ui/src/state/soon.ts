//! What is typed is kept when the hand rests, and not at each letter.

const RESTS_MS = 400;

/** How long what was typed last may take to be kept before the page goes. */
const SENT_MS = 1_000;

/** What was asked for and is not done. */
const asked = new Set<Soon>();

/** What is under way. */
const underWay = new Set<Promise<unknown>>();

/** Does at once all that waits anywhere, and waits until it is done, but not for long: the page is about to go. */
export async function doAllNow(): Promise<void> {
  for (const soon of [...asked]) soon.now();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<void>((done) => (timer = setTimeout(done, SENT_MS)));
  await Promise.race([Promise.allSettled([...underWay]), late]);
  clearTimeout(timer);
}

export class Soon {
  #timer: ReturnType<typeof setTimeout> | undefined;
  #deed: (() => unknown) | null = null;

  /** Does it once nothing else has been asked for a while; only the newest is done. */
  ask(deed: () => unknown): void {
    clearTimeout(this.#timer);
    this.#deed = deed;
    asked.add(this);
    this.#timer = setTimeout(() => this.now(), RESTS_MS);
  }

  /** Does at once what waits, such as when its place on the screen goes. */
  now(): void {
    clearTimeout(this.#timer);
    const deed = this.#deed;
    this.#deed = null;
    asked.delete(this);
    const done = Promise.resolve(deed?.()).catch(() => undefined);
    underWay.add(done);
    void done.then(() => underWay.delete(done));
  }
}
