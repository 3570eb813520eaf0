//! All that is kept, as far as every screen must know of it: the session that is kept into, what waits, what is undrawn.

import type { CloseHow, ClosingInfo, ErrorInfo, KeepAsk, KeepStripAsk, KeptAnswer, KeptInfo, KeptStripInfo, PaintAboutInfo, SessionInfo, StudioInfo, UndrawnInfo } from '../wire/generated';
import { errorInfo } from '../wire/invoke';
import { describePaint, keepStrip } from '../wire/paints';
import * as studio from '../wire/studio';
import { today } from './days';
import { sessionName } from './sessions';

/** What waits in memory is tried again as often as this. */
const AGAIN_MS = 10_000;

const SESSION = 'session';

export class StudioState {
  /** Why nothing can be kept, and what may be done; null where it is not known yet. */
  info = $state.raw<StudioInfo | null>(null);
  /** The session that snapshots are kept into. */
  session = $state.raw<SessionInfo | null>(null);
  /** How many snapshots, strips and other words for paints wait in memory, and for what. */
  waiting = $state(0);
  trouble = $state.raw<ErrorInfo | null>(null);
  /** What waited and is kept now: the last of it, as it is told. */
  keptLate = $state.raw<{ snapshot: KeptInfo | null; words: string } | null>(null);
  /** Snapshots without a picture in the painter's folder. */
  undrawn = $state.raw<readonly UndrawnInfo[]>([]);
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** Looks how the studio stands; the session is the one that was kept into last. */
  async look(): Promise<void> {
    try {
      this.info = await studio.studioState();
      if (this.info.trouble) return;
      this.undrawn = await studio.listUndrawn();
      const last = (await studio.keptSettings())[SESSION];
      const sessions = await studio.listSessions('newest');
      this.session = sessions.find(({ uuid }) => uuid === last) ?? null;
    } catch (thrown) {
      const trouble = errorInfo(thrown);
      this.info = { trouble, canBeSetAside: false, pictures: '', folder: '' };
    }
  }

  /** Snapshots are kept into this one from now on. */
  async into(session: SessionInfo | null): Promise<void> {
    this.session = session;
    await studio.keepSetting(SESSION, session?.uuid ?? '');
  }

  /** The session goes on: it has a name, or it is today's. Else the next snapshot begins another. */
  get goesOn(): SessionInfo | null {
    return this.session && (this.session.about.title.trim() !== '' || this.session.about.day === today()) ? this.session : null;
  }

  /** Keeps what is on the screen; null where it has to wait. Rejects with an ErrorInfo. */
  async keep(ask: Omit<KeepAsk, 'session' | 'today'>): Promise<KeptInfo | null> {
    const { kept, waiting } = await this.#took(await studio.keepSnapshot({ ...ask, session: this.goesOn?.uuid ?? null, today: today() }));
    return waiting === 0 ? kept : null;
  }

  /** Keeps a strip of a paint; null where it has to wait. Rejects with an ErrorInfo. */
  async keepStrip(ask: Omit<KeepStripAsk, 'day'>): Promise<KeptStripInfo | null> {
    const { strip, waiting } = await this.#took(await keepStrip({ ...ask, day: today() }));
    return waiting === 0 ? strip : null;
  }

  /** Keeps what she says of a paint. Rejects with an ErrorInfo. */
  async describePaint(uuid: string, about: PaintAboutInfo): Promise<void> {
    await this.#took(await describePaint(uuid, about));
  }

  /** Tries again to keep what waits. */
  async again(): Promise<void> {
    this.#tell(await this.#took(await studio.keepWaiting()));
  }

  /** Takes up what an earlier run of the program could not keep. */
  async takeUp(): Promise<void> {
    const answer = await this.#took(await studio.keepWaiting());
    if (answer.kept || answer.strip) this.#tell(answer);
  }

  #tell({ kept, strip, waiting }: KeptAnswer): void {
    if (waiting > 0) return;
    if (strip) this.keptLate = { snapshot: kept, words: `Kept as a strip of ${strip.paint}` };
    else if (kept) this.keptLate = { snapshot: kept, words: `Kept in ${sessionName(kept.session)}` };
    else this.keptLate = { snapshot: null, words: 'Kept' };
  }

  /** Has the window closed; what it answers where it stays. */
  async close(how: CloseHow): Promise<ClosingInfo> {
    const info = await studio.closeWindow(how);
    if (info.kind === 'waits') await this.#took(info.answer);
    return info;
  }

  /** Tries again to draw what could not be drawn. */
  async drawAgain(): Promise<void> {
    await studio.drawAgain();
  }

  async #took(answer: KeptAnswer): Promise<KeptAnswer> {
    const { kept, strip, waiting, trouble, lost } = answer;
    this.waiting = waiting;
    this.trouble = trouble;
    clearTimeout(this.#timer);
    this.keptLate = null;
    if (waiting > 0) this.#timer = setTimeout(() => void this.again().catch(() => undefined), AGAIN_MS);
    if (kept && kept.session.id !== this.session?.id) await this.into(kept.session);
    else if (kept) this.session = kept.session;
    if ((kept || strip) && this.info?.trouble) this.info = await studio.studioState();
    if (lost) throw lost;
    return answer;
  }
}
