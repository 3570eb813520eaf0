//! Pins: tapped spots that stay, with undo.

import { History } from './history.svelte';

export type Pin = {
  /** Its letter, which stays with it. */
  readonly letter: string;
  /** Working pixels: whole numbers are pixel centres. */
  readonly x: number;
  readonly y: number;
  /** Radius in working pixels. */
  readonly radius: number;
  /** What the painter calls it; may be empty. */
  readonly name: string;
};

/** As many as can be told apart on a ladder. */
export const MOST_PINS = 12;

/** Diameters of spots in fractions of the picture's long side. */
export const SPOT_SIZES = [0.004, 0.008, 0.015, 0.03, 0.06] as const;

/** A disc of this radius has 21 pixels: fewer, and one odd pixel counts for too much. */
const SMALLEST_RADIUS = 2.6;

export class Pins {
  readonly #history = new History<readonly Pin[]>([]);
  #selected = $state<string | null>(null);
  /** Letters in the order in which they were last touched. */
  #touched = $state.raw<readonly string[]>([]);

  get all(): readonly Pin[] {
    return this.#history.now;
  }

  get selected(): Pin | null {
    return this.find(this.#selected);
  }

  get canUndo(): boolean {
    return this.#history.canUndo;
  }

  get canRedo(): boolean {
    return this.#history.canRedo;
  }

  /** The two that are compared: those last touched, in the order of their letters. */
  get pair(): readonly [Pin, Pin] | null {
    const rest = this.all.map((pin) => pin.letter).filter((letter) => !this.#touched.includes(letter));
    const letters = [...rest, ...this.#touched].filter((letter) => this.find(letter) !== null);
    const [first, second] = this.all.filter((pin) => letters.slice(-2).includes(pin.letter));
    return first && second ? [first, second] : null;
  }

  /** The one last touched. */
  get latest(): Pin | null {
    return this.find(this.#touched.findLast((letter) => this.find(letter)) ?? null);
  }

  find(letter: string | null): Pin | null {
    return this.all.find((pin) => pin.letter === letter) ?? null;
  }

  select(letter: string | null): void {
    this.#selected = letter;
    if (letter !== null) this.#touch(letter);
    this.#history.endRun();
  }

  /** Sets a new pin; null where there are as many as there may be. */
  add(x: number, y: number, radius: number): Pin | null {
    const letter = Array.from({ length: MOST_PINS }, (_, at) => String.fromCharCode(65 + at)).find((one) => !this.find(one));
    if (letter === undefined) return null;
    const pin = { letter, x, y, radius, name: '' };
    const sorted = [...this.all, pin].sort((a, b) => a.letter.localeCompare(b.letter));
    this.#history.go(sorted);
    this.#touch(letter);
    return pin;
  }

  /** Changes a pin; changes of one `run` (a drag, a row of key presses) are undone together. */
  change(letter: string, change: Partial<Omit<Pin, 'letter'>>, run: string | null = null): void {
    if (!this.find(letter)) return;
    const changed = this.all.map((pin) => (pin.letter === letter ? { ...pin, ...change } : pin));
    this.#history.go(changed, run && `${run} ${letter}`);
  }

  endRun(): void {
    this.#history.endRun();
  }

  remove(letter: string): void {
    if (!this.find(letter)) return;
    this.#history.go(this.all.filter((pin) => pin.letter !== letter));
    if (this.#selected === letter) this.#selected = null;
  }

  removeAll(): void {
    if (this.all.length > 0) this.#history.go([]);
    this.#selected = null;
  }

  undo(): void {
    this.#history.undo();
  }

  redo(): void {
    this.#history.redo();
  }

  /** Carries pins along when a picture of `width` x `height` is turned clockwise by quarters. */
  turn(quarters: number, width: number, height: number): void {
    this.#history.change((pins) => pins.map((pin) => ({ ...pin, ...turned(pin, quarters, width - 1, height - 1) })));
  }

  /** For another picture: no pins but those that come along, and nothing to undo. */
  restart(pins: readonly Pin[] = []): void {
    this.#history.restart(pins);
    this.#selected = null;
    this.#touched = pins.map((pin) => pin.letter);
  }

  #touch(letter: string): void {
    this.#touched = [...this.#touched.filter((other) => other !== letter), letter];
  }
}

/** The radius of a spot size in working pixels. */
export function spotRadius(size: number, picture: { width: number; height: number }): number {
  const diameter = (SPOT_SIZES[size] ?? SPOT_SIZES[2]) * Math.max(picture.width, picture.height);
  return Math.max(SMALLEST_RADIUS, diameter / 2);
}

/** A point of a `width` x `height` rectangle after that is turned clockwise by quarters. */
export function turned({ x, y }: { x: number; y: number }, quarters: number, width: number, height: number): { x: number; y: number } {
  switch (((quarters % 4) + 4) % 4) {
    case 1:
      return { x: height - y, y: x };
    case 2:
      return { x: width - x, y: height - y };
    case 3:
      return { x: y, y: width - x };
    default:
      return { x, y };
  }
}
