//! What a painter sets once: kept in the studio.

/** The studio's name for them. */
export const SETTINGS = 'check';

type Kept = { sun: boolean; ladder: 'left' | 'right'; turned: boolean; letterKeys: boolean; spotSize: number; paper: number; dab: Dab };

/** What a test dab was meant for last: a paint by its uuid, a step of it, and whether it was wet. */
export type Dab = { paint: string | null; step: number; wet: boolean };

/** L* of white watercolour paper, unless it was measured otherwise (common practice). */
export const USUAL_PAPER = 94.5;

const FIRST: Kept = { sun: false, ladder: 'right', turned: false, letterKeys: true, spotSize: 2, paper: USUAL_PAPER, dab: { paint: null, step: 5, wet: false } };

export class Settings {
  #kept: Kept = $state({ ...FIRST });
  readonly #keepIt: (text: string) => void;
  /** What was set before the kept settings could be read; null once they were. */
  #early: Partial<Kept> | null = $state.raw({});

  /** As at first, until what was kept is read. Changes are handed on as text, to be kept; never before that. */
  constructor(keepIt: (text: string) => void) {
    this.#keepIt = keepIt;
  }

  get areRead(): boolean {
    return this.#early === null;
  }

  /** Takes what was kept, undefined where nothing was. What was set meanwhile is set in it. */
  read(kept: string | undefined): void {
    const early = this.#early ?? {};
    this.#early = null;
    this.#kept = { ...read(kept), ...early };
    if (Object.keys(early).length > 0) this.#keepIt(JSON.stringify(this.#kept));
  }

  /** Plain black on white, for sunlight. */
  get sun(): boolean {
    return this.#kept.sun;
  }
  set sun(sun: boolean) {
    this.#keep({ sun });
  }

  /** The side that the ladder stands on. */
  get ladder(): 'left' | 'right' {
    return this.#kept.ladder;
  }
  set ladder(ladder: 'left' | 'right') {
    this.#keep({ ladder });
  }

  /** Whether band 1 is the darkest. */
  get turned(): boolean {
    return this.#kept.turned;
  }
  set turned(turned: boolean) {
    this.#keep({ turned });
  }

  /** Whether single letters and digits are keys. */
  get letterKeys(): boolean {
    return this.#kept.letterKeys;
  }
  set letterKeys(letterKeys: boolean) {
    this.#keep({ letterKeys });
  }

  /** The size of new spots, as an index into the sizes there are. */
  get spotSize(): number {
    return this.#kept.spotSize;
  }
  set spotSize(spotSize: number) {
    this.#keep({ spotSize });
  }

  /** L* of the white paper that the camera is held to. */
  get paper(): number {
    return this.#kept.paper;
  }
  set paper(paper: number) {
    this.#keep({ paper });
  }

  /** What a test dab was meant for last. */
  get dab(): Dab {
    return this.#kept.dab;
  }
  set dab(dab: Dab) {
    this.#keep({ dab });
  }

  #keep(change: Partial<Kept>): void {
    Object.assign(this.#kept, change);
    if (this.#early === null) this.#keepIt(JSON.stringify(this.#kept));
    else this.#early = { ...this.#early, ...change };
  }
}

/** What was kept; what is missing, or not of the kind it should be, is as at first. */
function read(text: string | undefined): Kept {
  try {
    const kept: unknown = JSON.parse(text ?? '{}');
    if (typeof kept !== 'object' || kept === null) return { ...FIRST };
    const same = Object.entries(kept).filter(([key, value]) => key in FIRST && typeof value === typeof FIRST[key as keyof Kept]);
    const merged = { ...FIRST, ...Object.fromEntries(same) };
    const { paint, step, wet } = { ...FIRST.dab, ...merged.dab };
    const dab = { paint: typeof paint === 'string' ? paint : null, step: typeof step === 'number' ? step : FIRST.dab.step, wet: wet === true };
    return { ...merged, dab, ladder: merged.ladder === 'left' ? 'left' : 'right' };
  } catch {
    return { ...FIRST };
  }
}
