//! What the screen Sessions is doing: which sessions there are, which is open, what is chosen in it.

import { SvelteSet } from 'svelte/reactivity';
import { today } from '../../state/days';
import { sessionName, snapshotName } from '../../state/sessions';
import type { StudioState } from '../../state/studio.svelte';
import type { About, ErrorInfo, FoundInfo, KeptThing, LayoutName, OrderName, PaperName, SessionInfo, SetAsideInfo, SnapshotInfo, TrashInfo } from '../../wire/generated';
import { cancelOpen, errorInfo, nextJob, type Offer, progressOf } from '../../wire/invoke';
import * as wire from '../../wire/studio';

/** What lies over the foot of the screen, when it was asked for. */
export type SheetName = 'about' | 'snapshot' | 'delete' | 'out' | 'backup' | 'paper' | 'deleted' | 'more' | 'restore' | 'asides';

/** Work that takes a while. */
export type Work = { readonly job: number; readonly words: string; done: number };

/** Where the page begins when another studio is present. */
export const AT_SESSIONS = '#sessions';

/** Another studio is present: nothing that the page knows is of it, so the page begins anew. */
function beginAnew(): void {
  history.replaceState(null, '', AT_SESSIONS);
  location.reload();
}

/** Progress is looked at as often. */
const LOOK_MS = 150;

export class Sessions {
  readonly studio: StudioState;
  order = $state<OrderName>('newest');
  all = $state.raw<readonly SessionInfo[]>([]);
  /** The session that is looked at, and what is in it. */
  open = $state.raw<SessionInfo | null>(null);
  snapshots = $state.raw<readonly SnapshotInfo[]>([]);
  /** The snapshot that a sheet is about. */
  about = $state.raw<SnapshotInfo | null>(null);
  /** Snapshots that were chosen, by their numbers, in the order of choosing. */
  readonly chosen = new SvelteSet<number>();
  words = $state('');
  found = $state.raw<FoundInfo | null>(null);
  deleted = $state.raw<TrashInfo>({ things: [], photos: 0, bytes: 0 });
  /** A backup that was to be brought in where something is kept already. */
  backup = $state.raw<Offer | null>(null);
  /** Studios that are set aside. */
  asides = $state.raw<readonly SetAsideInfo[]>([]);
  sheet = $state<SheetName | null>(null);
  /** What is to be deleted, once it is said whether its pictures go, too. */
  deleting = $state.raw<{ what: KeptThing; name: string; count: number } | null>(null);
  /** What was deleted last, to be brought back at once. */
  undo = $state.raw<{ what: KeptThing; name: string } | null>(null);
  /** Two that lie side by side. */
  pair = $state.raw<readonly [SnapshotInfo, SnapshotInfo] | null>(null);
  work = $state<Work | null>(null);
  error = $state.raw<ErrorInfo | null>(null);
  /** Said on the screen, until something else is done. */
  told = $state.raw<string | null>(null);
  #asked = 0;

  constructor(studio: StudioState) {
    this.studio = studio;
  }

  fail(thrown: unknown): void {
    const error = errorInfo(thrown);
    if (error.code !== 'cancelled') this.error = error;
  }

  /** Does something, and shows what there is then; a failure is told. */
  async do(deed: () => Promise<unknown>): Promise<void> {
    await this.try(deed).catch(() => undefined);
  }

  /** The same, for who has to know whether it failed: rejects where it did. */
  async try(deed: () => Promise<unknown>): Promise<void> {
    this.error = this.told = null;
    try {
      await deed();
      await this.refresh();
    } catch (thrown) {
      this.fail(thrown);
      throw thrown;
    }
  }

  /** Asks for all that is shown. */
  async refresh(): Promise<void> {
    this.all = await wire.listSessions(this.order);
    const open = this.open && (this.all.find(({ id }) => id === this.open?.id) ?? null);
    this.open = open;
    this.snapshots = open ? await wire.listSnapshots(open.id) : [];
    this.about = this.snapshots.find(({ id }) => id === this.about?.id) ?? null;
    for (const id of [...this.chosen]) if (!this.snapshots.some((it) => it.id === id)) this.chosen.delete(id);
    const into = this.studio.session;
    if (into) this.studio.session = this.all.find(({ id }) => id === into.id) ?? null;
    if (this.sheet === 'deleted') this.deleted = await wire.listDeleted();
    if (this.words.trim() !== '') this.found = await wire.searchKept(this.words);
  }

  sort(order: OrderName): Promise<void> {
    this.order = order;
    return this.do(async () => undefined);
  }

  /** Searches; an answer that later words have overtaken is dropped. */
  async search(words: string): Promise<void> {
    this.words = words;
    const number = ++this.#asked;
    try {
      const found = words.trim() === '' ? null : await wire.searchKept(words);
      if (number === this.#asked) this.found = found;
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  enter(session: SessionInfo): Promise<void> {
    this.close();
    this.chosen.clear();
    this.open = session;
    return this.do(async () => undefined);
  }

  leave(): void {
    this.close();
    this.chosen.clear();
    this.open = null;
    this.snapshots = [];
  }

  /** Begins a session of today; snapshots are kept into it from now on. */
  begin(): Promise<void> {
    return this.do(async () => {
      const session = await wire.beginSession({ title: '', place: '', day: today(), notes: '' });
      await this.studio.into(session);
      this.open = session;
      this.sheet = 'about';
    });
  }

  describe(change: Partial<About>): void {
    const open = this.open;
    if (!open) return;
    this.open = { ...open, about: { ...open.about, ...change } };
  }

  choose(id: number): void {
    if (!this.chosen.delete(id)) this.chosen.add(id);
  }

  /** Whether a chosen one came in without its photo, so that it can't be laid beside another. */
  get chosenLeftOut(): boolean {
    return this.snapshots.some(({ id, leftOut }) => leftOut && this.chosen.has(id));
  }

  /** The two that were chosen, the older first. */
  sideBySide(): void {
    const [first, second] = this.snapshots.filter(({ id }) => this.chosen.has(id));
    if (!first || !second) return;
    this.close();
    this.pair = [first, second];
  }

  toggle(sheet: SheetName): void {
    this.sheet = this.sheet === sheet ? null : sheet;
  }

  close(): void {
    this.sheet = null;
    this.deleting = null;
  }

  askToDelete(what: SessionInfo | SnapshotInfo): void {
    const isSession = 'begun' in what;
    this.deleting = {
      what: { kind: isSession ? 'session' : 'snapshot', id: what.id },
      name: isSession ? sessionName(what) : snapshotName(what),
      count: isSession ? what.snapshots : 1,
    };
    this.sheet = 'delete';
  }

  delete(picturesToo: boolean): Promise<void> {
    const deleting = this.deleting;
    this.close();
    if (!deleting) return Promise.resolve();
    return this.do(async () => {
      await wire.deleteKept(deleting.what, picturesToo);
      this.undo = deleting;
      if (deleting.what.kind === 'session') this.leave();
    });
  }

  bringBack(what: KeptThing): Promise<void> {
    this.undo = null;
    return this.do(() => wire.bringBack(what));
  }

  handOut(withOriginals: boolean): Promise<void> {
    const open = this.open;
    if (!open) return Promise.resolve();
    return this.#working(`Handing out ${sessionName(open)}`, async (job) => {
      const { path, missing } = await wire.handOut(open.id, withOriginals, job);
      this.told = `Saved in ${path}${missing > 0 ? `. ${missing} of its photos could not be found` : ''}`;
    });
  }

  /** Prints what was chosen, or all of the session where nothing was. */
  print(paper: PaperName, layout: LayoutName): Promise<void> {
    const wanted = this.snapshots.filter(({ id }) => this.chosen.size === 0 || this.chosen.has(id)).map(({ id }) => id);
    return this.#working('Drawing the pages', async (job) => {
      const { path } = await wire.printHandout(wanted, paper, layout, job);
      this.told = `Saved in ${path}`;
    });
  }

  backUp(withOriginals: boolean): Promise<void> {
    return this.#working('Backing up all that is kept', async (job) => {
      const { path, missing } = await wire.backUp(today(), withOriginals, job);
      this.told = `Backup saved in ${path}${missing > 0 ? `. ${missing} photos could not be found` : ''}`;
    });
  }

  async chooseParcel(): Promise<void> {
    try {
      const offer = await wire.chooseParcel();
      if (offer !== null) await this.bringIn(offer);
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  bringIn(offer: Offer): Promise<void> {
    return this.#working('Bringing in', async (job) => {
      const { sessions, backup } = await wire.bringIn(offer, job);
      this.backup = backup;
      if (backup !== null) this.sheet = 'restore';
      else this.told = sessions.length === 1 && sessions[0] ? `${sessionName(sessions[0])} is here` : `${sessions.length} sessions are here`;
    });
  }

  /** Sets the studio aside and restores the backup in its place. */
  restore(): Promise<void> {
    const backup = this.backup;
    this.backup = null;
    if (backup === null) return Promise.resolve();
    return this.#working('Restoring the backup', async (job) => {
      await wire.restoreBackup(backup, job);
      beginAnew();
    });
  }

  showAsides(): Promise<void> {
    return this.do(async () => {
      this.asides = await wire.listSetAside();
      this.sheet = 'asides';
    });
  }

  /** Sets the studio aside, and begins a new one. */
  setAside(): Promise<void> {
    return this.#working('Setting this studio aside', async () => {
      await wire.setStudioAside();
      beginAnew();
    });
  }

  /** Brings a studio back that was set aside. */
  bringStudioBack(name: string): Promise<void> {
    return this.#working('Bringing the studio back', async () => {
      await wire.bringStudioBack(name);
      beginAnew();
    });
  }

  async cancel(): Promise<void> {
    if (this.work) await cancelOpen(this.work.job);
  }

  /** Does what takes a while; it can be followed and called off. */
  async #working(words: string, deed: (job: number) => Promise<void>): Promise<void> {
    this.close();
    const job = nextJob();
    const timer = setInterval(() => {
      void progressOf(job).then((done) => {
        if (this.work?.job === job) this.work.done = done;
      });
    }, LOOK_MS);
    this.work = { job, words, done: 0 };
    this.error = this.told = null;
    try {
      await deed(job);
      await this.refresh();
    } catch (thrown) {
      this.fail(thrown);
    } finally {
      clearInterval(timer);
      this.work = null;
    }
  }
}
