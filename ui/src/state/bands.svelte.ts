//! The bands: how they are set, and what the shell made of it.

import type { BandsInfo, BandsSetting, FrameCorners } from '../wire/generated';

export const MIN_BANDS = 2;
export const MAX_BANDS = 12;

/** Two edges are kept this far apart, in L*: the shell takes no less. */
const NARROWEST = 1;

export type Ask = (setting: BandsSetting, frame: FrameCorners | null) => Promise<BandsInfo>;

export class BandsState {
  setting = $state.raw<BandsSetting>({ kind: 'even', count: 5 });
  info = $state.raw<BandsInfo | null>(null);
  /** What she had set, while bands that were set for her stand in its place. */
  #aside = $state.raw<BandsSetting | null>(null);
  #asked = 0;

  get edges(): number[] {
    return this.info?.edges ?? [];
  }

  get count(): number {
    return this.info ? this.info.greys.length : this.setting.kind === 'byHand' ? this.setting.edges.length + 1 : this.setting.count;
  }

  /** Whether bands that were set for her stand in the place of hers. */
  get areLent(): boolean {
    return this.#aside !== null;
  }

  /** What she has set herself, whatever stands in its place. */
  get own(): BandsSetting {
    return this.#aside ?? this.setting;
  }

  /** Sets bands in the place of hers, which are to be had again by setting `own`. */
  lend(setting: BandsSetting, frame: FrameCorners | null, ask: Ask): Promise<void> {
    const { own } = this;
    const set = this.set(setting, frame, ask);
    this.#aside = own;
    return set;
  }

  /**
   * Sets the bands; an answer that a later question has overtaken is dropped. What she sets stays when bands were lent,
   * but for edges of those that she only moves.
   */
  async set(setting: BandsSetting, frame: FrameCorners | null, ask: Ask): Promise<void> {
    if (setting === this.#aside || !areMoved(this.setting, setting)) this.#aside = null;
    this.setting = setting;
    const number = ++this.#asked;
    const info = await ask(setting, frame);
    if (number === this.#asked) this.info = info;
  }

  /** The bands that were kept, with their very edges, however they were set. */
  restore(setting: BandsSetting, info: BandsInfo): void {
    this.#asked++;
    this.#aside = null;
    this.setting = setting;
    this.info = info;
  }

  /** The setting with `count` bands. Set by hand, the widest band is halved, or the narrowest joins a neighbour. */
  withCount(count: number): BandsSetting {
    const wanted = Math.min(Math.max(count, MIN_BANDS), MAX_BANDS);
    if (this.setting.kind !== 'byHand') return { kind: this.setting.kind, count: wanted };
    const edges = [...this.setting.edges];
    while (edges.length + 1 < wanted && halveWidest(edges));
    while (edges.length + 1 > wanted) edges.splice(edgeOfNarrowest(edges), 1);
    return { kind: 'byHand', edges };
  }

  /** The setting of another kind, with the edges there are. */
  ofKind(kind: BandsSetting['kind']): BandsSetting {
    return kind === 'byHand' ? { kind, edges: [...this.edges] } : { kind, count: this.count };
  }

  /** The setting with edge number `edge` (0 = the lightest) at an L*, as far as its neighbours let it. */
  withEdge(edge: number, lightness: number): BandsSetting {
    const edges = [...this.edges];
    const most = (edges[edge - 1] ?? 100) - NARROWEST;
    const least = (edges[edge + 1] ?? 0) + NARROWEST;
    edges[edge] = Math.round(10 * Math.min(Math.max(lightness, least), most)) / 10;
    return { kind: 'byHand', edges };
  }
}

/** Whether it is the same setting, or one of as many edges by hand. */
function areMoved(before: BandsSetting, after: BandsSetting): boolean {
  return before === after || (before.kind === 'byHand' && after.kind === 'byHand' && before.edges.length === after.edges.length);
}

/** False where no band is wide enough. */
function halveWidest(edges: number[]): boolean {
  const ends = [100, ...edges, 0];
  const widths = ends.slice(1).map((end, at) => (ends[at] ?? 100) - end);
  const widest = widths.indexOf(Math.max(...widths));
  const [from, to] = [ends[widest] ?? 100, ends[widest + 1] ?? 0];
  if (from - to < 2 * NARROWEST) return false;
  edges.splice(widest, 0, Math.round(5 * (from + to)) / 10);
  return true;
}

function edgeOfNarrowest(edges: readonly number[]): number {
  const ends = [100, ...edges, 0];
  const widths = ends.slice(1).map((end, at) => (ends[at] ?? 100) - end);
  return Math.min(widths.indexOf(Math.min(...widths)), edges.length - 1);
}
