//! Strips in the open photo: those that were found, and the one that is being corrected.

import { today } from '../../state/days';
import type { PaintBox } from '../../state/paints.svelte';
import type { Corners, LaidName, PaintInfo, StripInfo } from '../../wire/generated';
import * as wire from '../../wire/paints';

/** L* of paper where nobody says: one that was measured. */
const PAPER = 94.5;

export type Point = { x: number; y: number };

export class Strips {
  /** Null until they were looked for. */
  all = $state.raw<readonly StripInfo[] | null>(null);
  /** The one that is shown, and the swatch of it that is chosen. */
  current = $state(0);
  chosen = $state<number | null>(null);
  /** Whether the shell is being asked. */
  busy = $state(false);
  paper = $state(PAPER);
  paperName = $state('');
  laid = $state<LaidName>('washes');
  wet = $state(false);
  /** The name of the paint that it is of, as it is typed. */
  name = $state('');
  /** Said when it was kept. */
  told = $state<string | null>(null);
  #photo: number | null = null;
  #asked = 0;

  get strip(): StripInfo | null {
    return this.all?.[this.current] ?? null;
  }

  /** Another photo: nothing of the one before. */
  restart(): void {
    this.#asked++;
    this.all = null;
    this.#photo = null;
    this.current = 0;
    this.chosen = this.told = null;
  }

  /** Looks for strips, once a photo. Rejects with an ErrorInfo. */
  async find(photo: number): Promise<void> {
    if (this.#photo === photo && this.all) return;
    this.restart();
    this.#photo = photo;
    await this.#ask(async () => wire.findStrips(photo, this.paper));
  }

  /** Reads all against paper of another L*. */
  async setPaper(paper: number): Promise<void> {
    this.paper = Math.min(Math.max(paper, 20), 100);
    const photo = this.#photo;
    const all = this.all;
    if (photo === null || !all) return;
    await this.#ask(async () => {
      const read = await Promise.all(all.map((strip) => wire.markStrip(photo, this.paper, strip.swatches)));
      return read.map((strip, at) => strip ?? all[at]).filter((strip) => strip !== undefined);
    });
  }

  /** A tap: chooses the swatch that it falls on, moves the chosen one, or adds one. */
  async tap({ x, y }: Point): Promise<void> {
    const photo = this.#photo;
    if (photo === null || this.busy) return;
    this.told = null;
    const on = (this.all ?? []).flatMap((strip, at) => strip.swatches.flatMap((swatch, step) => (holds(swatch, x, y) ? [{ at, step }] : [])))[0];
    if (on) {
      const same = on.at === this.current && on.step === this.chosen;
      this.current = on.at;
      this.chosen = same ? null : on.step;
      return;
    }
    const swatches = this.strip?.swatches ?? [];
    if (this.chosen !== null) {
      const chosen = this.chosen;
      await this.#mark(swatches.map((swatch, at) => (at === chosen ? movedTo(swatch, x, y) : swatch)));
    } else {
      const found = await wire.findSwatch(photo, [x, y], swatches);
      await this.#mark([...swatches, found]);
    }
  }

  async remove(): Promise<void> {
    const chosen = this.chosen;
    if (chosen !== null) await this.#mark((this.strip?.swatches ?? []).filter((_, at) => at !== chosen));
  }

  async split(): Promise<void> {
    const swatches = this.strip?.swatches ?? [];
    const chosen = this.chosen === null ? undefined : swatches[this.chosen];
    if (!chosen) return;
    const halves = await wire.cutSwatch(
      chosen,
      swatches.filter((swatch) => swatch !== chosen),
    );
    await this.#mark(swatches.flatMap((swatch) => (swatch === chosen ? halves : [swatch])));
  }

  /** Begins a strip that she marks herself, tap by tap. */
  byHand(): void {
    this.all = [...(this.all ?? []), { steps: [], swatches: [], evenness: 1, distinct: 0, warnings: [] }];
    this.current = this.all.length - 1;
    this.chosen = null;
  }

  next(by: number): void {
    const count = this.all?.length ?? 1;
    this.current = (this.current + by + count) % count;
    this.chosen = this.told = null;
  }

  /** Keeps the strip as one of the paint that bears the name, which is begun where there is none. */
  async keep(box: PaintBox): Promise<PaintInfo | null> {
    const [photo, strip, name] = [this.#photo, this.strip, this.name.trim()];
    if (photo === null || !strip || name === '') return null;
    await box.refresh();
    const same = (paint: PaintInfo) => paint.about.name.trim().toLowerCase() === name.toLowerCase();
    const paint = box.all?.find(same) ?? (await box.begin(name));
    // The last that was read wet is the one that has dried.
    const before = this.wet ? undefined : paint.strips.findLast((it) => it.wet && it.laid === this.laid && it.steps.length === strip.steps.length);
    const kept = await wire.keepStrip({
      paint: paint.id,
      photo,
      swatches: strip.swatches,
      paper: this.paperName.trim(),
      paperLightness: this.paper,
      laid: this.laid,
      wet: this.wet,
      day: today(),
      dries: before?.id ?? null,
    });
    await box.refresh();
    this.told = before ? `${name} is read dry now; the wet reading stands in the record, too.` : `Kept as a strip of ${name}.`;
    this.name = '';
    this.chosen = null;
    if (this.current + 1 < (this.all?.length ?? 0)) this.current++;
    return kept;
  }

  /** Has the current strip read with these swatches. */
  async #mark(swatches: readonly Corners[]): Promise<void> {
    const [photo, all, current] = [this.#photo, this.all ?? [], this.current];
    if (photo === null) return;
    this.chosen = null;
    await this.#ask(async () => {
      if (swatches.length === 0) return all.filter((_, at) => at !== current);
      const read = await wire.markStrip(photo, this.paper, swatches);
      if (!read) return all;
      return all.length === 0 ? [read] : all.map((strip, at) => (at === current ? read : strip));
    });
    this.current = Math.min(this.current, Math.max(0, (this.all?.length ?? 1) - 1));
  }

  /** An answer that another photo has overtaken is dropped. */
  async #ask(ask: () => Promise<readonly StripInfo[]>): Promise<void> {
    const number = ++this.#asked;
    this.busy = true;
    try {
      const all = await ask();
      if (number === this.#asked) this.all = all;
    } finally {
      this.busy = false;
    }
  }
}

/** Whether a place lies within a swatch, by the sides that it lies on. */
function holds(swatch: Corners, x: number, y: number): boolean {
  const side = swatch.map(([ax, ay], at) => {
    const [bx, by] = swatch[(at + 1) % 4] ?? [ax, ay];
    return Math.sign((bx - ax) * (y - ay) - (by - ay) * (x - ax));
  });
  return side.every((it) => it >= 0) || side.every((it) => it <= 0);
}

function movedTo(swatch: Corners, x: number, y: number): Corners {
  const middle = [0, 1].map((axis) => swatch.reduce((sum, corner) => sum + (corner[axis] ?? 0), 0) / 4);
  return swatch.map(([cx, cy]) => [cx + x - (middle[0] ?? 0), cy + y - (middle[1] ?? 0)]) as Corners;
}
