//! Strips in the open photo: those that were found, and the one that is being corrected.

import type { Patch } from '../../state/light.svelte';
import { turned } from '../../state/pins.svelte';
import type { Corners, KeepStripAsk, KeptStripInfo, LaidName, OpenedStrip, PhotoInfo, SpotAt, StripInfo } from '../../wire/generated';
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
  /** Whether one is begun by hand, of which no swatch is marked yet. */
  marking = $state(false);
  /** Whether the shell is being asked. */
  busy = $state(false);
  paper = $state(PAPER);
  paperName = $state('');
  laid = $state<LaidName>('washes');
  wet = $state(false);
  /** The name of the paint that it is of, as it is typed. */
  name = $state('');
  /** Whether it was to be kept, and had no name. */
  nameIsMissing = $state(false);
  /** Said when it was kept. */
  told = $state<string | null>(null);
  #photo: number | null = null;
  /** Whether they were read before the picture was turned, or its light told. */
  #stale = false;
  #asked = 0;

  get strip(): StripInfo | null {
    return this.marking ? null : (this.all?.[this.current] ?? null);
  }

  /** Bare paper beside the strip that is shown, as patches of known tone. */
  papers(): readonly Patch[] {
    return (this.strip?.papers ?? []).map((spot) => ({ kind: 'white', ...spot, lightness: this.paper, name: 'paper of the strip', confirmed: false }));
  }

  /** Another photo: nothing of the one before. */
  restart(): void {
    this.#asked++;
    this.all = null;
    this.#photo = null;
    this.#stale = this.marking = false;
    this.current = 0;
    this.chosen = this.told = null;
  }

  /** The same picture in another light, by which it has another number: what was marked in it stays marked. */
  follow(before: number, after: number): void {
    if (this.#photo !== before) return;
    this.#photo = after;
    this.#stale = this.all !== null;
  }

  /** The same picture, turned clockwise by quarters. */
  turn(before: PhotoInfo, after: PhotoInfo, quarters: number): void {
    if (this.#photo !== before.id || !this.all) {
      this.restart();
      return;
    }
    // What is asked for has other places.
    this.#asked++;
    const corner = ([x, y]: Corner): Corner => {
      const to = turned({ x, y }, quarters, before.width - 1, before.height - 1);
      return [to.x, to.y];
    };
    const places = ([a, b, c, d]: Corners): Corners => [corner(a), corner(b), corner(c), corner(d)];
    const spot = (at: SpotAt): SpotAt => ({ ...at, ...turned(at, quarters, before.width - 1, before.height - 1) });
    this.all = this.all.map((strip) => ({ ...strip, swatches: strip.swatches.map(places), papers: strip.papers.map(spot) }));
    this.follow(before.id, after.id);
  }

  /** Shows a strip that is kept, read anew in its photo. Rejects with an ErrorInfo. */
  async show({ photo, name, swatches, paper, paperLightness, laid, wet }: OpenedStrip): Promise<void> {
    this.restart();
    this.#photo = photo.id;
    this.paper = paperLightness;
    this.paperName = paper;
    this.laid = laid;
    this.wet = wet;
    this.name = name;
    await this.#ask(async () => {
      const read = await wire.markStrip(photo.id, this.paper, swatches);
      return read ? [read] : [];
    });
  }

  /** Looks for strips, once a picture. Rejects with an ErrorInfo. */
  async find(photo: number): Promise<void> {
    if (this.#photo === photo && this.all) {
      if (this.#stale) await this.#readAgain();
      return;
    }
    this.restart();
    this.#photo = photo;
    await this.#ask(async () => wire.findStrips(photo, this.paper));
  }

  /** Reads all against paper of another L*. */
  async setPaper(paper: number): Promise<void> {
    this.paper = Math.min(Math.max(paper, 20), 100);
    await this.#readAgain();
  }

  /** Reads all where they are marked; one that can't be read any more stands as it was read. */
  async #readAgain(): Promise<void> {
    this.#stale = false;
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
      this.marking = false;
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
    this.marking = true;
    this.chosen = this.told = null;
  }

  /** Gives up one that was begun by hand, unless a swatch of it is marked. */
  leave(): void {
    this.marking = false;
  }

  next(by: number): void {
    const count = this.all?.length ?? 1;
    this.marking = false;
    this.current = (this.current + by + count) % count;
    this.chosen = this.told = null;
  }

  /** What is to be kept, as a strip of the paint that bears the name; null where something of it is missing. */
  ask(): Omit<KeepStripAsk, 'day'> | null {
    const [photo, strip, name] = [this.#photo, this.strip, this.name.trim()];
    if (photo === null || !strip || name === '') return null;
    const { paperName, paper: paperLightness, laid, wet } = this;
    return { name, photo, swatches: strip.swatches, paper: paperName.trim(), paperLightness, laid, wet };
  }

  /** It is kept, or it waits (null): the next one's turn. */
  took(kept: KeptStripInfo | null): void {
    if (!kept) this.told = null;
    else this.told = kept.dried ? `${kept.paint} is read dry now; the wet reading stands in the record, too.` : `Kept as a strip of ${kept.paint}.`;
    this.name = '';
    this.chosen = null;
    this.nameIsMissing = false;
    if (this.current + 1 < (this.all?.length ?? 0)) this.current++;
  }

  /** Has the current strip, or a new one, read with these swatches. */
  async #mark(swatches: readonly Corners[]): Promise<void> {
    const [photo, all, current] = [this.#photo, this.all ?? [], this.current];
    if (photo === null) return;
    this.chosen = null;
    const isNew = this.strip === null;
    const done = await this.#ask(async () => {
      if (swatches.length === 0) return all.filter((_, at) => at !== current);
      const read = await wire.markStrip(photo, this.paper, swatches);
      if (!read) return all;
      return isNew ? [...all, read] : all.map((strip, at) => (at === current ? read : strip));
    });
    const count = this.all?.length ?? 0;
    if (done && isNew && count > all.length) {
      this.marking = false;
      this.current = count - 1;
    }
    this.current = Math.min(this.current, Math.max(0, count - 1));
  }

  /** Whether the answer counts: one that another question, or another photo, has overtaken is dropped. */
  async #ask(ask: () => Promise<readonly StripInfo[]>): Promise<boolean> {
    const number = ++this.#asked;
    this.busy = true;
    try {
      const all = await ask();
      const counts = number === this.#asked;
      if (counts) this.all = all;
      return counts;
    } finally {
      this.busy = false;
    }
  }
}

type Corner = Corners[number];

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
