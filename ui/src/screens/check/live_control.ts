//! What the camera does on the screen Check: opened, read, held, and off again.

import type { LiveDrawing } from '../../state/live_drawing';
import { forget, keep, type Kept } from '../../state/kept';
import type { Size } from '../../state/patches';
import type { Check } from './check.svelte';
import { heldName } from './live_words';

export class LiveControl {
  readonly #check: Check;
  /** What draws the camera's frames, while one runs. */
  drawing: LiveDrawing | null = null;
  /** Pins to take up again once the frames' size is known. */
  #waiting: Kept | null = null;
  #sizing = false;

  constructor(check: Check) {
    this.#check = check;
  }

  /** Messages sent so far. */
  get sent(): number {
    return this.#check.live.sent;
  }

  /** Opens a camera in the view last used; `kept` is what stood before the system ended the app. */
  async open(id: string | null = null, kept: Kept | null = null): Promise<void> {
    const check = this.#check;
    check.close();
    check.error = null;
    if (!check.camera.isOpen) {
      check.livePins.restart();
      check.live.end();
    }
    this.#waiting = kept;
    keep(kept ? { look: check.look, bands: check.bands, pins: { all: kept.pins }, size: kept.size } : check, 'camera');
    await check.camera.open(id);
  }

  /** Frames of another size come. */
  async sized(size: Size): Promise<void> {
    if (this.#sizing) return;
    this.#sizing = true;
    const check = this.#check;
    const before = check.live.size;
    try {
      await check.live.begin(size);
      if (!check.camera.isOpen) return;
      check.viewport.show(size);
      if (before) check.livePins.restart();
      if (this.#waiting?.size?.width === size.width && this.#waiting.size.height === size.height) check.livePins.restart(this.#waiting.pins);
      this.#waiting = null;
      check.crosshair = null;
      await check.setBands(check.bands.own);
    } finally {
      this.#sizing = false;
    }
  }

  /** Freezes the frame, and opens it as a photo. */
  async hold(): Promise<void> {
    const check = this.#check;
    if (!this.drawing || !check.live.size) return;
    try {
      const paper = check.live.followedPaper;
      const confirmed = check.live.paper?.confirmed ?? false;
      const still = await this.drawing.still();
      check.close();
      await check.openHeld(still, heldName(new Date()));
      if (check.camera.isOpen) return;
      forget();
      if (!paper) return;
      // What readings were held to, they stand on now.
      check.light.add({ kind: 'white', ...paper, lightness: check.settings.paper, name: '', confirmed });
      await check.relight();
    } catch (thrown) {
      check.fail(thrown);
    }
  }

  /** Turns the camera off; the photo before it, if any, is there again. */
  close(): void {
    const check = this.#check;
    check.close();
    check.camera.close();
    check.live.end();
    check.crosshair = null;
    forget();
    if (check.photo.info) {
      check.viewport.show(check.photo.info);
      void check.setBands(check.bands.setting);
    }
  }

  /** The window is out of sight: the camera is off as long as nobody looks. */
  away(): void {
    if (this.#check.camera.phase.kind === 'running' || this.#check.camera.phase.kind === 'asking') this.#check.camera.fail('away');
  }
}
