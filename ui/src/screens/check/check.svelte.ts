//! What the screen Check is doing: the photo, how it is looked at, and what was tapped.

import { BandsState } from '../../state/bands.svelte';
import { Camera } from '../../state/camera.svelte';
import { FrameState } from '../../state/frame.svelte';
import { LightState, type Patch } from '../../state/light.svelte';
import { Live } from '../../state/live.svelte';
import { Look } from '../../state/look.svelte';
import { Measures } from '../../state/measures.svelte';
import { LARGEST_RADIUS } from '../../state/patches';
import { PhotoState } from '../../state/photo.svelte';
import { type Pin, Pins, SPOT_SIZES, spotRadius } from '../../state/pins.svelte';
import type { Settings } from '../../state/settings.svelte';
import { PaintBox } from '../../state/paints.svelte';
import type { StudioState } from '../../state/studio.svelte';
import { type Point, type Size, Viewport } from '../../state/viewport.svelte';
import type { BandsSetting, CircumstancesTold, ErrorInfo, FrameCorners, KeptInfo, PhotoInfo } from '../../wire/generated';
import * as shell from '../../wire/invoke';
import { Strips } from './strips.svelte';
import { questionsWords } from './light_words';
import { type NumberOf, numberOf, placesWords } from './words';

/** What lies over the foot of the screen, when it was asked for. */
export type SheetName = 'pin' | 'bands' | 'squint' | 'frame' | 'light' | 'about' | 'sources' | 'more' | 'camera' | 'paper' | 'strips' | 'match' | 'dab';

export class Check {
  readonly settings: Settings;
  readonly studio: StudioState;
  readonly photo = new PhotoState();
  readonly look = new Look();
  readonly bands = new BandsState();
  readonly frame = new FrameState();
  readonly light = new LightState();
  readonly viewport = new Viewport();
  readonly camera = new Camera();
  readonly live = new Live((thrown) => this.fail(thrown));
  /** Pins and readings of the photo, which stay while the camera is open, and those of the camera's picture. */
  readonly photoPins = new Pins();
  readonly photoMeasures = new Measures((thrown) => this.fail(thrown));
  readonly livePins = new Pins();
  readonly paints = new PaintBox();
  readonly strips = new Strips();

  sheet = $state<SheetName | null>(null);
  error = $state.raw<ErrorInfo | null>(null);
  locked = $state(false);
  /** Whether files are held over the window. */
  heldOver = $state(false);
  /** Said to those who hear the page. */
  said = $state('');
  /** Where keys would set a pin, in working pixels. */
  crosshair = $state.raw<Point | null>(null);
  /** A rung of the ladder, from 1, and the edge of it that keys and buttons move. */
  rung = $state<number | null>(null);
  edge = $state<number | null>(null);

  /** The snapshot that was kept last, to be named or taken back. */
  kept = $state.raw<KeptInfo | null>(null);
  /** What was kept last, and what was asked for it: the same is not kept twice. */
  keptLast: { ask: string; kept: KeptInfo } | null = null;
  /** Whether it is being kept. */
  keeping = $state(false);

  #relighting = false;
  #relightAgain = false;
  /** Columns and rows of what is on the screen: the camera's picture, or the photo. */
  readonly size: Size | null = $derived(this.camera.isOpen ? this.live.size : this.photo.info);

  /** The number that is shown for a band. */
  get number(): NumberOf {
    return numberOf(this.bands.count, this.settings.turned);
  }

  constructor(settings: Settings, studio: StudioState) {
    this.settings = settings;
    this.studio = studio;
  }

  /** The pins of what is on the screen. */
  get pins(): Pins {
    return this.camera.isOpen ? this.livePins : this.photoPins;
  }

  /** The readings of what is on the screen. */
  get measures(): Pick<Measures, 'readings' | 'unread' | 'difference'> {
    return this.camera.isOpen ? this.live : this.photoMeasures;
  }

  fail(thrown: unknown): void {
    this.error = shell.errorInfo(thrown);
  }

  /** Opens the platform's picker, then what was picked. */
  async choose(): Promise<void> {
    try {
      const offer = await shell.choosePhoto();
      if (offer !== null) await this.openOffer(offer, 'the picture');
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  /** Opens what lies on the clipboard, if that is a picture. */
  async openPasted(): Promise<void> {
    try {
      const offer = await shell.pastedOffer();
      if (offer === null) this.said = 'There is no picture on the clipboard.';
      else await this.openOffer(offer, 'the pasted picture');
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  openOffer(offer: shell.Offer, name: string): Promise<void> {
    return this.#open(name, (job) => shell.openOffer(offer, job));
  }

  openDemo(): Promise<void> {
    return this.#open('the demo picture', shell.openDemo);
  }

  /** Opens a frame that was held, with the pins that were set on it. */
  openHeld(still: Blob, name: string): Promise<void> {
    const pins = this.livePins.all;
    return this.#open(name, async (job) => shell.openSent(await still.arrayBuffer(), name, job), pins);
  }

  openFile(file: File): Promise<void> {
    return this.#open(file.name, async (job) => shell.openSent(await file.arrayBuffer(), file.name || 'pasted picture', job));
  }

  async #open(name: string, open: (job: number) => Promise<PhotoInfo>, pins: readonly Pin[] = []): Promise<void> {
    this.sheet = null;
    try {
      const info = await this.photo.open(name, open);
      if (!info) return;
      this.show(info, pins);
      await this.setBands(this.bands.own);
      this.said = `${info.name} is open. ${info.noticed.join('. ')}`;
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  /** Another photo is open: nothing of the one before stands on it. */
  show(info: PhotoInfo, pins: readonly Pin[]): void {
    this.error = null;
    this.kept = null;
    this.camera.close();
    this.live.end();
    this.photoPins.restart(pins);
    this.photoMeasures.clear();
    this.frame.restart();
    this.light.restart();
    this.strips.restart();
    this.crosshair = null;
    this.rung = this.edge = null;
    this.viewport.show(info);
  }

  /** Turns the picture by hand, with all that stands on it. */
  async turn(quarters: number): Promise<void> {
    const before = this.photo.info;
    if (!before) return;
    try {
      const info = await this.photo.turn(quarters);
      if (!info) return;
      this.photoPins.turn(quarters, before.width, before.height);
      this.frame.turn(quarters);
      this.light.turn(quarters, before.width, before.height);
      this.strips.turn(before, info, quarters);
      this.crosshair = null;
      this.viewport.show(info);
      await (this.light.isTold ? this.relight() : this.setBands(this.bands.setting));
      this.said = quarters === 1 ? 'Turned right' : 'Turned left';
    } catch (thrown) {
      this.fail(thrown);
    }
  }

  /** Sets the bands; where `lent`, in the place of hers, until they are given back. */
  async setBands(setting: BandsSetting, lent = false): Promise<void> {
    const id = this.photo.info?.id;
    const set = lent ? 'lend' : 'set';
    try {
      if (this.camera.isOpen) await this.bands[set](setting, null, (wanted) => this.live.setBands(wanted));
      else if (id === undefined) await this.bands[set](setting, null, (wanted) => shell.bandsAlone(wanted));
      else await this.bands[set](setting, this.frame.corners, (wanted, frame) => shell.setBands(id, wanted, frame));
    } catch (thrown) {
      this.fail(thrown);
    }
    if (this.rung !== null && this.rung > this.bands.count) this.rung = this.bands.count;
    if (this.edge !== null && this.edge >= this.bands.edges.length) this.edge = null;
  }

  /** Shows where the picture has a tone: as the middle one of three bands. */
  async showPlaces(lightness: number, plusMinus: number): Promise<void> {
    const half = Math.max(2, plusMinus);
    const within = (edge: number) => Math.min(Math.max(edge, 1), 99);
    const [light, dark] = [within(lightness + half), within(lightness - half)];
    this.close();
    this.look.switcher.choose('bands');
    await this.setBands({ kind: 'byHand', edges: light - dark >= 1 ? [light, dark] : [light] }, true);
    this.said = placesWords(this.bands.edges);
  }

  /** Her own bands again, where others stand in their place. */
  async giveBandsBack(): Promise<void> {
    if (!this.bands.areLent) return;
    await this.setBands(this.bands.own);
    this.said = 'Your bands again';
  }

  /** Frames the picture, or frees it; a frame that the shell refuses is not kept, nor told of while it is `dragged`. */
  async setFrame(corners: FrameCorners | null, dragged = false): Promise<void> {
    const id = this.photo.info?.id;
    if (id === undefined) return;
    const before = this.frame.corners;
    this.frame.corners = corners;
    try {
      await this.bands.set(this.bands.setting, corners, (wanted, frame) => shell.setBands(id, wanted, frame));
    } catch (thrown) {
      // Another may have been set since.
      if (this.frame.corners === corners) this.frame.corners = before;
      if (!dragged) this.fail(thrown);
    }
  }

  /** Marks a patch of known tone at a working pixel. */
  async addPatch(at: Point): Promise<void> {
    const info = this.photo.info;
    if (!info) return;
    const kind = this.light.marks;
    try {
      const lightness = await shell.usualTone(kind);
      this.light.add({ kind, ...at, radius: spotRadius(this.settings.spotSize, info), lightness, name: '', confirmed: false });
      // Whose tone nobody can guess is asked for next.
      if (kind === 'dark' || kind === 'step') this.light.chosen = this.light.patches.length - 1;
    } catch (thrown) {
      this.fail(thrown);
    }
    await this.relight();
  }

  /** Whether a strip of the photo is known by whose paper pins do not stand, since no light is stated. */
  get isOffStrip(): boolean {
    return !this.camera.isOpen && !this.light.isTold && (this.strips.strip?.papers.length ?? 0) > 0;
  }

  /** States the light by the paper beside the strip, so that pins stand on what its steps stand on. */
  standOnStrip(): Promise<void> {
    this.light.patches = this.strips.papers();
    return this.relight();
  }

  changePatch(at: number, change: Partial<Patch>): Promise<void> {
    this.light.change(at, change);
    return this.relight();
  }

  /** Moves a patch by working pixels, kept inside the picture. */
  nudgePatch(at: number, x: number, y: number): void {
    const [info, patch] = [this.photo.info, this.light.patches[at]];
    if (!info || !patch) return;
    const within = (value: number, side: number) => Math.min(Math.max(value, 0), side - 1);
    void this.changePatch(at, { x: within(patch.x + x, info.width), y: within(patch.y + y, info.height) });
  }

  removePatch(at: number): Promise<void> {
    this.light.remove(at);
    return this.relight();
  }

  circumstances(change: Partial<CircumstancesTold>): Promise<void> {
    this.light.circumstances = { ...this.light.circumstances, ...change };
    return this.relight();
  }

  /** Has the light judged by what was told last; one at a time, so that a drag leaves no queue. */
  async relight(): Promise<void> {
    if (this.#relighting) {
      this.#relightAgain = true;
      return;
    }
    this.#relighting = true;
    try {
      do {
        this.#relightAgain = false;
        await this.#relightOnce();
      } while (this.#relightAgain);
    } finally {
      this.#relighting = false;
    }
  }

  async #relightOnce(): Promise<void> {
    try {
      const before = this.photo.info;
      const lit = await this.photo.relight(this.light.patches, this.light.circumstances);
      if (!before || !lit) return;
      this.strips.follow(before.id, lit.id);
      this.light.trouble = null;
      await this.setBands(this.bands.setting);
      this.said = lit.light ? ['Light: ', lit.light.against, '. ', lit.light.notes.join(' '), ...questionsWords(lit.light, this.light.patches)].join('') : 'Camera’s own tone';
    } catch (thrown) {
      const { message, hint } = shell.errorInfo(thrown);
      this.light.trouble = `${message.charAt(0).toUpperCase()}${message.slice(1)}. ${hint}`;
      this.said = this.light.trouble;
    }
  }

  /** Opens a sheet, or closes it where it is open. */
  toggle(sheet: SheetName): void {
    if (this.sheet === sheet) this.close();
    else {
      this.close();
      this.sheet = sheet;
    }
  }

  /** Closes what lies over the foot, and lets go of what was selected for it. */
  close(): void {
    this.sheet = null;
    this.rung = this.edge = null;
    this.frame.begin(this.frame.shape);
    this.light.chosen = null;
    this.strips.leave();
    if (this.pins.selected) this.pins.select(null);
  }

  /** Asks which paints have a pin's tone. */
  match(letter: string): void {
    this.close();
    this.pins.select(letter);
    this.sheet = 'match';
  }

  /** Judges the spot touched last as a test dab; where there is none, the one that is tapped next. */
  judgeDab(): void {
    const { latest } = this.pins;
    this.close();
    if (latest) this.pins.select(latest.letter);
    this.sheet = 'dab';
  }

  selectPin(letter: string): void {
    this.close();
    this.pins.select(letter);
    this.sheet = 'pin';
  }

  chooseRung(band: number): void {
    if (this.sheet !== 'bands') this.close();
    this.sheet = 'bands';
    this.rung = Math.min(Math.max(band, 1), this.bands.count);
    this.edge = null;
  }

  /** A tap on the picture at a working pixel. */
  tap(at: Point): void {
    const info = this.size;
    const spot = { x: Math.round(at.x), y: Math.round(at.y) };
    if (!info || spot.x < 0 || spot.y < 0 || spot.x >= info.width || spot.y >= info.height) return;
    if (this.sheet === 'frame') {
      const [x, y] = [(at.x + 0.5) / info.width, (at.y + 0.5) / info.height];
      const corners = this.frame.chosen === null ? this.frame.tap(x, y) : this.frame.withCorner(this.frame.chosen, x, y);
      if (corners) void this.setFrame(corners);
      return;
    }
    if (this.sheet === 'light') {
      if (this.light.chosen === null) void this.addPatch(spot);
      else void this.changePatch(this.light.chosen, spot);
      return;
    }
    if (this.sheet === 'paper') {
      this.live.tapPaper(spot.x, spot.y, this.radiusOf(this.settings.spotSize));
      return;
    }
    if (this.sheet === 'strips') {
      void this.strips.tap(at).catch((thrown: unknown) => this.fail(thrown));
      return;
    }
    const selected = this.pins.selected;
    if (selected) this.pins.change(selected.letter, spot);
    else this.addPin(spot);
  }

  /** The radius of a spot size on what is on the screen; the camera's patches hold no more than so much. */
  radiusOf(size: number): number {
    const radius = spotRadius(size, this.size ?? { width: 1, height: 1 });
    return this.camera.isOpen ? Math.min(radius, LARGEST_RADIUS) : radius;
  }

  addPin(spot: Point): void {
    if (!this.size) return;
    const pin = this.pins.add(spot.x, spot.y, this.radiusOf(this.settings.spotSize));
    if (!pin) this.said = 'There are as many pins as there may be. Remove one first.';
    else if (this.sheet === 'dab') this.pins.select(pin.letter);
  }

  /** Moves a pin by working pixels, kept inside the picture. */
  nudge(pin: Pin, x: number, y: number): void {
    const info = this.size;
    if (!info) return;
    const within = (value: number, side: number) => Math.min(Math.max(value, 0), side - 1);
    this.pins.change(pin.letter, { x: within(pin.x + x, info.width), y: within(pin.y + y, info.height) }, 'nudge');
  }

  /** The index of the spot size of the selected pin, or of new ones. */
  get spotSize(): number {
    const { selected } = this.pins;
    if (!selected || !this.size) return this.settings.spotSize;
    const off = SPOT_SIZES.map((_, size) => Math.abs(this.radiusOf(size) - selected.radius));
    return off.lastIndexOf(Math.min(...off));
  }

  /** Makes the selected pin's spot, and those of new pins, larger or smaller. */
  resizeSpot(by: number): void {
    const size = Math.min(Math.max(this.spotSize + by, 0), SPOT_SIZES.length - 1);
    this.settings.spotSize = size;
    const { selected } = this.pins;
    if (selected && this.size) this.pins.change(selected.letter, { radius: this.radiusOf(size) });
  }
}

/** What a pin is called: its name, or its letter. */
export function labelOf(pin: Pin): string {
  return pin.name || pin.letter;
}
