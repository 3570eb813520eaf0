//! Fingers, mouse and wheel on the picture: taps, aiming under a loupe, dragging marks, pan and pinch.

export type Point = { x: number; y: number };

/** What a press may take hold of. */
export type Grip = { kind: 'pin'; letter: string } | { kind: 'corner'; at: number } | { kind: 'patch'; at: number };

/** What gestures amount to; points are in CSS pixels of the area. */
export type Meaning = {
  gripAt: (at: Point) => Grip | null;
  canPan: () => boolean;
  tap: (at: Point) => void;
  doubleTap: (at: Point) => void;
  /** A press on a mark, let go where it was. */
  pick: (grip: Grip) => void;
  drag: (grip: Grip, at: Point) => void;
  drop: (grip: Grip) => void;
  /** Where a finger aims; null when it no longer does. */
  aim: (at: Point | null) => void;
  pan: (x: number, y: number) => void;
  zoom: (factor: number, about: Point) => void;
};

/** A finger wobbles by less than this. */
const WOBBLE = 8;

/** Held still for longer than this, a press aims. */
const AIM_AFTER_MS = 250;

/** A second tap this soon and this near is a double one. */
const DOUBLE_MS = 300;
const DOUBLE_NEAR = 24;

/** How much a notch of a wheel (some 100 pixels) magnifies: a fifth. */
const WHEEL = Math.log(1.2) / 100;

type Press = { id: number; start: Point; at: Point; mode: 'still' | 'aim' | 'pan' | 'drag'; grip: Grip | null };

export class Gestures {
  readonly #area: HTMLElement;
  readonly #meaning: Meaning;
  #press: Press | null = null;
  #pinch: { a: number; b: number; points: Map<number, Point> } | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #lastTap: { at: Point; time: number } | null = null;

  constructor(area: HTMLElement, meaning: Meaning) {
    this.#area = area;
    this.#meaning = meaning;
  }

  /** Listens until the answer is called. */
  listen(): () => void {
    const stop = new AbortController();
    const on = <K extends keyof HTMLElementEventMap>(name: K, heard: (event: HTMLElementEventMap[K]) => void) =>
      this.#area.addEventListener(name, heard, { signal: stop.signal, passive: false });
    on('pointerdown', (event) => this.#down(event));
    on('pointermove', (event) => this.#move(event));
    on('pointerup', (event) => this.#up(event));
    on('pointercancel', () => this.#cancel());
    on('wheel', (event) => {
      event.preventDefault();
      const pixels = event.deltaMode === 0 ? event.deltaY : 33 * event.deltaY;
      this.#meaning.zoom(Math.exp(-pixels * WHEEL), this.#point(event));
    });
    on('contextmenu', (event) => event.preventDefault());
    return () => {
      stop.abort();
      this.#cancel();
    };
  }

  #down(event: PointerEvent): void {
    if (event.pointerType === 'mouse' && event.button !== 0) return;
    const at = this.#point(event);
    if (this.#press) {
      if (event.pointerType !== 'mouse') this.#beginPinch(event.pointerId, at);
      return;
    }
    if (this.#pinch) return;
    this.#area.setPointerCapture(event.pointerId);
    const grip = this.#meaning.gripAt(at);
    this.#press = { id: event.pointerId, start: at, at, mode: 'still', grip };
    if (!grip) {
      this.#timer = setTimeout(() => {
        if (this.#press?.mode !== 'still') return;
        this.#press.mode = 'aim';
        this.#meaning.aim(this.#press.at);
      }, AIM_AFTER_MS);
    }
  }

  #move(event: PointerEvent): void {
    const at = this.#point(event);
    if (this.#pinch?.points.has(event.pointerId)) return this.#movePinch(event.pointerId, at);
    const press = this.#press;
    if (!press || press.id !== event.pointerId) return;
    const before = press.at;
    press.at = at;
    if (press.mode === 'still') {
      if (distance(press.start, at) < WOBBLE) return;
      clearTimeout(this.#timer);
      press.mode = press.grip ? 'drag' : this.#meaning.canPan() ? 'pan' : 'aim';
    }
    if (press.mode === 'pan') this.#meaning.pan(at.x - before.x, at.y - before.y);
    if (press.mode === 'aim') this.#meaning.aim(at);
    if (press.mode === 'drag' && press.grip) {
      this.#meaning.drag(press.grip, at);
      this.#meaning.aim(at);
    }
  }

  #up(event: PointerEvent): void {
    if (this.#pinch?.points.has(event.pointerId)) {
      this.#pinch = null;
      return;
    }
    const press = this.#press;
    if (!press || press.id !== event.pointerId) return;
    this.#end();
    if (press.mode === 'drag' && press.grip) this.#meaning.drop(press.grip);
    if (press.mode === 'aim') this.#meaning.tap(press.at);
    if (press.mode === 'still') this.#tapped(press, event.timeStamp);
  }

  #tapped({ start, grip }: Press, time: number): void {
    const before = this.#lastTap;
    if (before && time - before.time < DOUBLE_MS && distance(before.at, start) < DOUBLE_NEAR) {
      this.#lastTap = null;
      this.#meaning.doubleTap(start);
    } else if (grip) {
      this.#meaning.pick(grip);
    } else {
      this.#lastTap = { at: start, time };
      this.#meaning.tap(start);
    }
  }

  #beginPinch(second: number, at: Point): void {
    const press = this.#press;
    if (!press) return;
    this.#end();
    if (press.mode === 'drag' && press.grip) this.#meaning.drop(press.grip);
    const points = new Map([
      [press.id, press.at],
      [second, at],
    ]);
    this.#pinch = { a: press.id, b: second, points };
  }

  #movePinch(id: number, at: Point): void {
    const pinch = this.#pinch;
    const [a, b] = [pinch?.points.get(pinch.a), pinch?.points.get(pinch.b)];
    if (!pinch || !a || !b) return;
    pinch.points.set(id, at);
    const [c, d] = [pinch.points.get(pinch.a) ?? a, pinch.points.get(pinch.b) ?? b];
    const [before, after] = [middle(a, b), middle(c, d)];
    this.#meaning.pan(after.x - before.x, after.y - before.y);
    const spread = distance(a, b);
    if (spread > 0) this.#meaning.zoom(distance(c, d) / spread, after);
  }

  #end(): void {
    clearTimeout(this.#timer);
    this.#press = null;
    this.#meaning.aim(null);
  }

  #cancel(): void {
    const press = this.#press;
    this.#pinch = null;
    if (!press) return;
    this.#end();
    if (press.mode === 'drag' && press.grip) this.#meaning.drop(press.grip);
  }

  #point(event: MouseEvent): Point {
    const box = this.#area.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }
}

function distance(a: Point, b: Point): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

function middle(a: Point, b: Point): Point {
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}
