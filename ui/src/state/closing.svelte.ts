//! The window is to be closed: what was typed last is sent, and what waits is asked about.

import type { CloseHow, ClosingInfo, ErrorInfo, WaitingKinds } from '../wire/generated';
import { errorInfo } from '../wire/invoke';
import { doAllNow } from './soon';

/** What has the window closed. */
type Closes = { close: (how: CloseHow) => Promise<ClosingInfo> };

export class Closing {
  /** Why the window stays; null where it was not to be closed, or that was cancelled. */
  answer = $state.raw<ClosingInfo | null>(null);
  /** What waits, as far as it is known. */
  kinds = $state.raw<WaitingKinds | null>(null);
  working = $state(false);
  /** Setting it aside failed: closing loses it. */
  loses = $state(false);
  readonly #studio: Closes;

  constructor(studio: Closes) {
    this.#studio = studio;
  }

  /** The window is to be closed. */
  async ask(): Promise<void> {
    await doAllNow();
    await this.#close('ask');
  }

  /** Closes all the same: what waits is set aside first, and lost only where that failed before. */
  async anyway(): Promise<void> {
    await this.#close(this.loses ? 'lose' : 'setAside');
  }

  cancel(): void {
    this.answer = null;
    this.loses = false;
  }

  async #close(how: CloseHow): Promise<void> {
    this.working = true;
    try {
      this.#take(how, await this.#studio.close(how));
    } catch (thrown) {
      const why: ErrorInfo = errorInfo(thrown);
      this.#take(how, { kind: 'lost', why });
    } finally {
      this.working = false;
    }
  }

  #take(how: CloseHow, info: ClosingInfo): void {
    this.answer = info.kind === 'closes' ? null : info;
    if (info.kind === 'waits') this.kinds = info.answer.kinds;
    this.loses = how !== 'ask' && info.kind !== 'closes';
  }
}
