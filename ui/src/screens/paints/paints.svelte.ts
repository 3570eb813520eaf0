//! What the screen Paints is doing: how paints are looked at, which tone is asked for, which paint is open.

import type { PaintBox } from '../../state/paints.svelte';
import { filtered, type PaintOrder, sorted } from '../../state/tones';
import type { AtPaint, AtToneInfo, ErrorInfo, KeptThing, PaintInfo, PassageInfo, RunTogetherInfo, StandInInfo } from '../../wire/generated';
import { errorInfo } from '../../wire/invoke';
import * as wire from '../../wire/paints';
import { bringBack, deleteKept } from '../../wire/studio';

/** What is shown of all paints. */
export type PaintsView = 'ranges' | 'bands' | 'pairs';

/** More than this fits no screen's grid. */
const MOST_PAIRS = 24;

export class PaintsScreen {
  readonly box: PaintBox;
  view = $state<PaintsView>('ranges');
  order = $state<PaintOrder>('hue');
  words = $state('');
  /** The tone that is asked for, as an L*. */
  tone = $state<number | null>(null);
  standIns = $state.raw<readonly StandInInfo[]>([]);
  /** By paint: what it does in each band. */
  table = $state.raw<ReadonlyMap<number, readonly AtToneInfo[]>>(new Map());
  /** Washes of the grid, and what comes of each with those after it. */
  washes = $state.raw<readonly AtPaint[]>([]);
  grid = $state.raw<readonly (readonly RunTogetherInfo[])[]>([]);
  /** Two washes, and the way from one to the other. */
  pair = $state.raw<readonly [AtPaint, AtPaint] | null>(null);
  /** Whether the grid leaves some out. */
  tooMany = $state(false);
  passage = $state.raw<PassageInfo | null>(null);
  /** The paint that is looked at. */
  open = $state<number | null>(null);
  more = $state(false);
  printing = $state(false);
  undo = $state.raw<{ what: KeptThing; name: string } | null>(null);
  error = $state.raw<ErrorInfo | null>(null);
  told = $state.raw<string | null>(null);

  constructor(box: PaintBox) {
    this.box = box;
  }

  /** In their order, those that were found. */
  readonly shown: readonly PaintInfo[] = $derived.by(() => filtered(sorted(this.box.all ?? [], this.order), this.words));
  readonly painted: readonly PaintInfo[] = $derived(this.shown.filter(({ curve }) => curve !== null));
  readonly paint: PaintInfo | null = $derived.by(() => this.box.find(this.open));

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
      await this.box.refresh();
      if (this.tone !== null) this.standIns = await wire.standIns(this.tone);
    } catch (thrown) {
      this.fail(thrown);
      throw thrown;
    }
  }

  /** Asks for a tone; the same asks no more. */
  ask(tone: number | null): Promise<void> {
    this.tone = tone === null ? null : Math.min(Math.max(tone, 0), 100);
    return this.do(async () => undefined);
  }

  async askTable(edges: readonly number[]): Promise<void> {
    try {
      this.table = new Map(await wire.paintsInBands(edges));
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  /** The grid of pairs: at the tone that is asked for those that reach it, else each at its strongest. */
  async askPairs(): Promise<void> {
    try {
      const at = this.tone === null ? null : new Map((await wire.standIns(this.tone)).map(({ paint, at }) => [paint, at]));
      const washes = this.painted.flatMap(({ id, curve }): AtPaint[] => {
        if (!at) return [{ paint: id, step: curve?.steps.length ?? 1 }];
        const there = at.get(id);
        return there?.kind === 'reaches' ? [{ paint: id, step: there.step }] : [];
      });
      const some = washes.slice(0, MOST_PAIRS);
      const grid = await wire.pairGrid(some);
      this.washes = some;
      this.grid = grid;
      this.tooMany = washes.length > some.length;
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  async askPassage(first: AtPaint, second: AtPaint): Promise<void> {
    try {
      this.passage = await wire.runTogether(first, second);
      this.pair = [first, second];
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  delete(what: KeptThing, name: string): Promise<void> {
    return this.do(async () => {
      await deleteKept(what, false);
      if (what.kind === 'paint') this.open = null;
      this.undo = { what, name };
    });
  }

  bringBack(what: KeptThing): Promise<void> {
    return this.do(async () => {
      await bringBack(what);
      this.undo = null;
    });
  }
}
