//! The open photograph, and the one that is being opened.

import type { CircumstancesTold, PatchAt, PhotoInfo } from '../wire/generated';
import { cancelOpen, errorInfo, nextJob, progressOf, setLight, turnPhoto } from '../wire/invoke';
import { giveBack, stillWanted } from './owner';

/** What takes no longer than this needs no word; after it, progress is looked at as often. */
const SAID_AFTER_MS = 100;

export type Opening = {
  readonly job: number;
  readonly name: string;
  /** 0 to 1. */
  done: number;
  /** Whether it has taken long enough to be told. */
  told: boolean;
};

export class PhotoState {
  info = $state.raw<PhotoInfo | null>(null);
  opening = $state<Opening | null>(null);

  /**
   * Opens a photo by `open`, which is given the job's number. The photo before stays until the new one is there. Null
   * where it was cancelled or overtaken; rejects with an ErrorInfo.
   */
  async open(name: string, open: (job: number) => Promise<PhotoInfo>): Promise<PhotoInfo | null> {
    if (this.opening) await this.cancel();
    const job = nextJob();
    this.opening = { job, name, done: 0, told: false };
    const mine = () => (this.opening?.job === job ? this.opening : null);
    const timer = setInterval(() => void this.#follow(job), SAID_AFTER_MS);
    try {
      const info = await stillWanted(open(job), () => mine() !== null);
      if (info) this.#replace(info);
      return info;
    } catch (thrown) {
      const error = errorInfo(thrown);
      if (error.code === 'cancelled' || !mine()) return null;
      throw error;
    } finally {
      clearInterval(timer);
      if (mine()) this.opening = null;
    }
  }

  /** Gives up what is being opened. */
  async cancel(): Promise<void> {
    const job = this.opening?.job;
    this.opening = null;
    if (job !== undefined) await cancelOpen(job);
  }

  /** Turns the photo clockwise by quarters. */
  async turn(quarters: number): Promise<PhotoInfo | null> {
    const before = this.info;
    if (!before) return null;
    const turned = await stillWanted(turnPhoto(before.id, quarters), () => this.info === before);
    if (turned) this.#replace(turned);
    return turned;
  }

  /** Tells its light; null where the photo is another by then. Rejects with an ErrorInfo. */
  async relight(patches: readonly PatchAt[], circumstances: CircumstancesTold): Promise<PhotoInfo | null> {
    const before = this.info;
    if (!before) return null;
    const lit = await stillWanted(setLight(before.id, patches, circumstances), () => this.info === before);
    if (lit) this.#replace(lit);
    return lit;
  }

  async #follow(job: number): Promise<void> {
    const done = await progressOf(job);
    if (this.opening?.job !== job) return;
    this.opening.told = true;
    this.opening.done = done;
  }

  #replace(info: PhotoInfo): void {
    const before = this.info;
    this.info = info;
    if (before && before.id !== info.id) giveBack(before);
  }
}
