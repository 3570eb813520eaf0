//! Live readings: what is asked of each frame, at most five times a second, and what came of it.

import { SvelteMap } from 'svelte/reactivity';
import { AS_SEEN, type Light } from '../gl/video';
import type { BandsInfo, BandsSetting, DifferenceInfo, LiveAsk, LiveInfo, NoReadingName, PaperAsk, ReadingInfo, SoftSizes } from '../wire/generated';
import * as shell from '../wire/invoke';
import type { LiveDrawing } from './live_drawing';
import { overviewOf, paperWindow, pinAsk, type Size } from './patches';
import type { Pin } from './pins.svelte';

/** Messages are this far from each other on average, at least: five a second. */
const EVERY_S = 0.2;

/** What readings are taken of. */
export type Basis = { edges: number[]; pins: readonly Pin[]; pair: readonly [Pin, Pin] | null };

/** White paper that was tapped. */
export type Paper = { readonly number: number; readonly x: number; readonly y: number; readonly radius: number; /** Questioned, and said to be paper. */ readonly confirmed: boolean };

export type Steadiness = { unsteadiness: number; settled: boolean };

export class Live {
  readonly readings = new SvelteMap<string, ReadingInfo>();
  /** Why pins have no reading just now. */
  readonly unread = new SvelteMap<string, NoReadingName>();
  readonly steadiness = new SvelteMap<string, Steadiness>();
  difference = $state.raw<DifferenceInfo | null>(null);
  /** The frame's columns and rows, once one has come. */
  size = $state.raw<Size | null>(null);
  soft = $state.raw<SoftSizes | null>(null);
  info = $state.raw<LiveInfo | null>(null);
  paper = $state.raw<Paper | null>(null);
  /** Messages sent so far. */
  sent = 0;
  readonly #failed: (thrown: unknown) => void;
  /** When the next message may go. */
  #due = 0;
  #underWay = false;
  #papers = 0;
  #begun = 0;

  constructor(failed: (thrown: unknown) => void) {
    this.#failed = failed;
  }

  readonly light: Light = $derived(this.info ? { ...AS_SEEN, gains: this.info.gains } : AS_SEEN);

  /** Frames of a size will come: what was known of others is forgotten. */
  async begin(size: Size): Promise<void> {
    this.end();
    const number = ++this.#begun;
    try {
      const soft = await shell.beginLive(size.width, size.height);
      if (number !== this.#begun) return;
      this.soft = soft;
      this.size = size;
    } catch (thrown) {
      this.#failed(thrown);
    }
  }

  end(): void {
    this.#begun++;
    this.readings.clear();
    this.unread.clear();
    this.steadiness.clear();
    this.difference = this.info = this.size = this.soft = this.paper = null;
  }

  setBands(setting: BandsSetting): Promise<BandsInfo> {
    return shell.setLiveBands(setting);
  }

  /** Where the paper lies that readings are held to just now. */
  get followedPaper(): { x: number; y: number; radius: number } | null {
    const seen = this.info?.against === 'paper' ? this.info.paper : null;
    return seen && this.paper && { x: seen.x, y: seen.y, radius: this.paper.radius };
  }

  /** White paper lies there. */
  tapPaper(x: number, y: number, radius: number): void {
    this.paper = { number: ++this.#papers, x, y, radius, confirmed: false };
  }

  /** What was tapped and questioned is paper. */
  confirmPaper(): void {
    if (this.paper) this.paper = { ...this.paper, number: ++this.#papers, confirmed: true };
  }

  /** Reads a frame that was just drawn, unless one was a moment ago or is still being read. */
  async read(drawing: LiveDrawing, time: number, basis: Basis, paperLightness: number): Promise<void> {
    const size = this.size;
    if (!size || this.#underWay || time < this.#due) return;
    this.#underWay = true;
    // A frame that came late does not put off all that follow.
    this.#due = Math.max(this.#due + EVERY_S, time + EVERY_S / 2);
    this.sent++;
    const begun = this.#begun;
    try {
      const info = await shell.readLive(...this.#message(drawing, size, time, basis, paperLightness));
      if (begun === this.#begun) this.#take(info);
    } catch (thrown) {
      if (begun === this.#begun) this.#failed(thrown);
    } finally {
      this.#underWay = false;
    }
  }

  #message(drawing: LiveDrawing, size: Size, time: number, { edges, pins, pair }: Basis, lightness: number): [LiveAsk, Uint8Array<ArrayBuffer>] {
    const whole = overviewOf(size);
    const parts = [drawing.sampled(whole)];
    let paper: PaperAsk | null = null;
    if (this.paper) {
      // Where it was last seen; where it was tapped, as long as it has not been looked for.
      const at = this.#looked === this.paper.number && this.info?.paper ? this.info.paper : this.paper;
      const window = paperWindow(at.x, at.y, size);
      paper = { ...this.paper, lightness, left: window.first.x, top: window.first.y, step: window.step, size: window.size };
      parts.push(drawing.sampled(window));
    }
    const asked = pins.map((pin) => pinAsk(pin, size));
    for (const { left, top, size: side } of asked) parts.push(drawing.patch(left, top, ...side));
    this.#asking = this.paper?.number ?? null;
    const letters: [string, string] | null = pair && [pair[0].letter, pair[1].letter];
    return [{ time, edges, overview: whole.size, paper, pins: asked, pair: letters }, joined(parts)];
  }

  /** The paper that the answer is about, and that of the question under way. */
  #looked: number | null = null;
  #asking: number | null = null;

  #take(info: LiveInfo): void {
    this.info = info;
    this.#looked = this.#asking;
    this.difference = info.difference;
    const letters = new Set(info.readings.map(({ letter }) => letter));
    for (const letter of [...this.readings.keys()]) {
      if (letters.has(letter)) continue;
      this.readings.delete(letter);
      this.steadiness.delete(letter);
    }
    this.unread.clear();
    for (const { letter, why } of info.unread) this.unread.set(letter, why);
    for (const { letter, reading, unsteadiness, settled } of info.readings) {
      this.readings.set(letter, reading);
      this.steadiness.set(letter, { unsteadiness, settled });
    }
  }
}

function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
