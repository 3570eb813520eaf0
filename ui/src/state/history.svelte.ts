//! What was before, to be had again: a value with undo and redo.

/** Steps that are kept. */
const STEPS_KEPT = 200;

export class History<T> {
  #now = $state.raw<T>() as T;
  #past = $state.raw<readonly T[]>([]);
  #future = $state.raw<readonly T[]>([]);
  /** What the newest step is one of a run of, such as the moves of one drag; a run is undone at once. */
  #run: string | null = null;

  constructor(first: T) {
    this.#now = first;
  }

  get now(): T {
    return this.#now;
  }

  get canUndo(): boolean {
    return this.#past.length > 0;
  }

  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  /** Goes on to `next`. Where `run` is the same as that of the step before, both are one step. */
  go(next: T, run: string | null = null): void {
    const goesOn = run !== null && run === this.#run;
    if (!goesOn) this.#past = [...this.#past, this.#now].slice(-STEPS_KEPT);
    this.#run = run;
    this.#future = [];
    this.#now = next;
  }

  /** What follows is a step of its own. */
  endRun(): void {
    this.#run = null;
  }

  undo(): void {
    const before = this.#past.at(-1);
    if (before === undefined) return;
    this.#future = [this.#now, ...this.#future];
    this.#past = this.#past.slice(0, -1);
    this.#now = before;
    this.#run = null;
  }

  redo(): void {
    const after = this.#future[0];
    if (after === undefined) return;
    this.#past = [...this.#past, this.#now];
    this.#future = this.#future.slice(1);
    this.#now = after;
    this.#run = null;
  }

  /** Changes every value there is or was: what happened to the picture under them is no step. */
  change(by: (value: T) => T): void {
    this.#now = by(this.#now);
    this.#past = this.#past.map(by);
    this.#future = this.#future.map(by);
    this.#run = null;
  }

  restart(first: T): void {
    this.#now = first;
    this.#past = this.#future = [];
    this.#run = null;
  }
}
