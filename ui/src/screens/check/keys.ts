//! What keys do on the screen Check.

import { SQUINTS, type ViewName } from '../../state/look.svelte';
import type { Check } from './check.svelte';
import { keepShown } from './keeping';

/** For the list that is shown. */
export const KEYS: readonly (readonly [string, string])[] = [
  ['1, 2, 3 or C, L, B', 'Colour, Lightness, Bands; held, a peek'],
  ['S', 'Squint: off, slight, half, nearly'],
  ['O', 'Open a picture'],
  ['Ctrl V', 'Open a picture from the clipboard'],
  ['Arrows', 'Move the crosshair, the selected pin, or the chosen corner or patch'],
  ['Shift and arrows', 'Ten times as far'],
  ['Enter', 'Set a pin at the crosshair'],
  ['Delete', 'Remove the selected pin'],
  ['[ and ]', 'Smaller and larger spot'],
  ['+ and −', 'Zoom; the crosshair takes the picture along'],
  ['0', 'Show the whole picture'],
  ['F', 'Frame'],
  ['W', 'Light: paper white and other patches'],
  ['K', 'Keep a snapshot'],
  ['M', 'More'],
  ['Ctrl Z', 'Undo'],
  ['Ctrl Shift Z', 'Redo'],
  ['Esc', 'Close, or let go'],
];

const VIEW_KEYS: Record<string, ViewName> = { '1': 'colour', c: 'colour', '2': 'lightness', l: 'lightness', '3': 'bands', b: 'bands' };

const ARROWS: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** How far Shift takes a step, in steps. */
const FAR = 10;

const ZOOM = 1.5;

/** A corner's step in fractions of the picture's long side. */
const CORNER_STEP = 0.002;

export function keyDown(check: Check, event: KeyboardEvent): void {
  if (check.locked || event.defaultPrevented || event.altKey) return;
  const typing = event.target instanceof HTMLInputElement;
  const done = event.ctrlKey || event.metaKey ? !typing && control(check, event) : plain(check, event, typing);
  if (done) event.preventDefault();
}

export function keyUp(check: Check, event: KeyboardEvent): void {
  const view = VIEW_KEYS[event.key.toLowerCase()];
  if (view) check.look.switcher.release(view);
}

/** Moves the chosen corner of the frame by steps. */
export function moveCorner(check: Check, x: number, y: number): void {
  const { frame, photo } = check;
  const corner = frame.chosen === null ? undefined : frame.corners?.[frame.chosen];
  if (!corner || frame.chosen === null || !photo.info || check.camera.isOpen) return;
  const step = CORNER_STEP * Math.max(photo.info.width, photo.info.height);
  const moved = frame.withCorner(frame.chosen, corner[0] + (x * step) / photo.info.width, corner[1] + (y * step) / photo.info.height);
  if (moved) void check.setFrame(moved);
}

function control(check: Check, event: KeyboardEvent): boolean {
  const key = event.key.toLowerCase();
  if (key === 'z' && !event.shiftKey) check.pins.undo();
  else if (key === 'y' || key === 'z') check.pins.redo();
  else return false;
  return true;
}

function plain(check: Check, event: KeyboardEvent, typing: boolean): boolean {
  if (event.key === 'Escape') {
    if (check.error) check.error = null;
    else if (check.photo.opening) void check.photo.cancel();
    else check.close();
    return true;
  }
  if (typing) return false;
  const arrow = ARROWS[event.key];
  if (arrow) return move(check, event, arrow);
  if (event.key === 'Enter') return set(check, event);
  if (event.key === 'Delete' || event.key === 'Backspace') return remove(check);
  return check.settings.letterKeys && letter(check, event);
}

function move(check: Check, event: KeyboardEvent, [x, y]: readonly [number, number]): boolean {
  const info = check.size;
  if (!info || !(event.target instanceof HTMLElement)) return false;
  const far = event.shiftKey ? FAR : 1;
  if (check.sheet === 'frame' && check.frame.chosen !== null) {
    moveCorner(check, x * far, y * far);
    return true;
  }
  if (check.sheet === 'light' && check.light.chosen !== null) {
    check.nudgePatch(check.light.chosen, x * far, y * far);
    return true;
  }
  const pin = check.pins.find(event.target.dataset['pin'] ?? null) ?? check.pins.selected;
  if (pin) {
    check.nudge(pin, x * far, y * far);
    check.viewport.reveal(check.pins.find(pin.letter) ?? pin);
    return true;
  }
  if (event.target.dataset['part'] !== 'picture') return false;
  // About a screen pixel a step, whatever the zoom.
  const step = Math.max(1, Math.round((far * window.devicePixelRatio) / check.viewport.scale));
  const from = check.crosshair ?? { x: Math.floor(info.width / 2), y: Math.floor(info.height / 2) };
  const within = (value: number, side: number) => Math.min(Math.max(value, 0), side - 1);
  const to = { x: within(from.x + x * step, info.width), y: within(from.y + y * step, info.height) };
  check.crosshair = to;
  check.viewport.reveal(to);
  check.said = `${Math.round((100 * to.x) / info.width)} % across, ${Math.round((100 * to.y) / info.height)} % down`;
  return true;
}

function set(check: Check, event: KeyboardEvent): boolean {
  const info = check.size;
  if (!info || !(event.target instanceof HTMLElement) || event.target.dataset['part'] !== 'picture') return false;
  check.crosshair ??= { x: Math.floor(info.width / 2), y: Math.floor(info.height / 2) };
  check.tap(check.crosshair);
  return true;
}

function remove(check: Check): boolean {
  const { selected } = check.pins;
  if (!selected) return false;
  check.pins.remove(selected.letter);
  check.close();
  return true;
}

function letter(check: Check, event: KeyboardEvent): boolean {
  const key = event.key.toLowerCase();
  const view = VIEW_KEYS[key];
  if (view) {
    // A key that is held repeats: that is one press.
    if (!event.repeat) check.look.switcher.press(view);
    return true;
  }
  const does = LETTERS[key];
  if (!does || (event.repeat && !REPEATED.has(key))) return false;
  does(check);
  return true;
}

const REPEATED = new Set(['+', '=', '-', '[', ']']);

const LETTERS: Record<string, (check: Check) => void> = {
  o: (check) => void check.choose(),
  s: ({ look }) => {
    const strengths = [null, ...SQUINTS];
    look.squint = strengths[(strengths.indexOf(look.squint) + 1) % strengths.length] ?? null;
  },
  f: (check) => check.photo.info && !check.camera.isOpen && check.toggle('frame'),
  w: (check) => check.photo.info && !check.camera.isOpen && check.toggle('light'),
  k: (check) => keepShown(check),
  m: (check) => check.toggle('more'),
  '[': (check) => check.resizeSpot(-1),
  ']': (check) => check.resizeSpot(1),
  '+': ({ viewport }) => viewport.zoomBy(ZOOM),
  '=': ({ viewport }) => viewport.zoomBy(ZOOM),
  '-': ({ viewport }) => viewport.zoomBy(1 / ZOOM),
  '0': ({ viewport }) => viewport.fit(),
};
