//! Who gives an open photo back to the shell: whoever waits for it, or whoever holds it.

import type { OpenedSnapshot, PhotoInfo } from '../wire/generated';
import { cancelOpen, closePhoto, nextJob } from '../wire/invoke';
import { openSnapshot } from '../wire/studio';

/** Gives a photo back. One that can't be closed is gone already, which is what was wanted. */
export function giveBack(photo: PhotoInfo): void {
  void closePhoto(photo.id).catch(() => undefined);
}

/** A photo that comes is the caller's if it is still wanted then; else it is given back, and the answer is null. */
export async function stillWanted(coming: Promise<PhotoInfo>, wanted: () => boolean): Promise<PhotoInfo | null> {
  const photo = await coming;
  if (wanted()) return photo;
  giveBack(photo);
  return null;
}

/** Snapshots that are open together. Leaving gives all of them back, those too that are still being opened. */
export class OpenedTogether {
  readonly #photos: PhotoInfo[] = [];
  #job: number | null = null;
  #left = false;

  /** Opens one; null where this was left before it was there. Rejects with an ErrorInfo. */
  async open(snapshot: number): Promise<OpenedSnapshot | null> {
    if (this.#left) return null;
    const job = nextJob();
    this.#job = job;
    const opened = await openSnapshot(snapshot, job);
    if (this.#left) {
      giveBack(opened.photo);
      return null;
    }
    this.#photos.push(opened.photo);
    return opened;
  }

  leave(): void {
    this.#left = true;
    if (this.#job !== null) void cancelOpen(this.#job).catch(() => undefined);
    this.#photos.splice(0).forEach(giveBack);
  }
}
