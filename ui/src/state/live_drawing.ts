//! Draws a camera's frames as they come, and hands out parts of the newest.

import { type Light, VideoPainter } from '../gl/video';
import type { Settings } from '../gl/tail';
import type { SoftSizes } from '../wire/generated';
import * as picture from '../wire/picture';
import type { Grid, Size } from './patches';

/** How frames are shown. */
export type Shown = { settings: Settings; light: Light; soft: SoftSizes | null };

export type FrameHeard = {
  /** A frame was drawn, of that size, at that time in seconds. */
  frame: (size: Size, time: number) => void;
  /** There is no WebGL2, or it was lost. */
  noGraphics: () => void;
};

export class LiveDrawing {
  readonly #heard: FrameHeard;
  readonly #canvas: HTMLCanvasElement;
  #painter: VideoPainter | null = null;
  #shown: Shown | null = null;
  #over = false;
  /** Frames drawn so far. */
  frames = 0;

  constructor(canvas: HTMLCanvasElement, heard: FrameHeard) {
    this.#canvas = canvas;
    this.#heard = heard;
    canvas.addEventListener('webglcontextlost', () => this.#over || heard.noGraphics(), { once: true });
  }

  /** Draws each frame of a video from now on; ends with `end`. */
  async start(video: HTMLVideoElement): Promise<void> {
    const [shared, own] = await Promise.all([picture.tables(), picture.videoTables()]);
    if (this.#over) return;
    try {
      this.#painter = VideoPainter.on(this.#canvas, { ...shared, ...own });
    } catch (thrown) {
      // A driver that won't compile the shader is as good as none.
      console.warn(thrown);
    }
    if (!this.#painter) return this.#heard.noGraphics();
    const next = () => {
      if (this.#over) return;
      video.requestVideoFrameCallback(next);
      this.take(video, { width: video.videoWidth, height: video.videoHeight }, performance.now() / 1000);
    };
    video.requestVideoFrameCallback(next);
  }

  /** Shows frames in another way from now on, the newest at once. */
  show(shown: Shown): void {
    this.#shown = shown;
    this.#draw();
  }

  /** Shows frames in another light until they are shown in another way. */
  showIn(light: Light): void {
    if (this.#shown) this.show({ ...this.#shown, light });
  }

  /** Takes a frame, and draws it. */
  take(source: TexImageSource, size: Size, time: number): void {
    if (!this.#painter || size.width === 0) return;
    this.#painter.take(source, size.width, size.height);
    this.#draw();
    this.frames++;
    this.#heard.frame(size, time);
  }

  /** RGBA of a part of the newest frame, from the top. */
  patch(left: number, top: number, width: number, height: number): Uint8Array<ArrayBuffer> {
    return this.#painter?.patch(left, top, width, height) ?? new Uint8Array(4 * width * height);
  }

  /** RGBA of evenly picked pixels of the newest frame. */
  sampled({ square: { left, top, size: [width, height] }, size }: Grid): Uint8Array<ArrayBuffer> {
    const part = { x: left, y: top, width, height };
    return this.#painter?.sampled(part, ...size) ?? new Uint8Array(4 * size[0] * size[1]);
  }

  /** The newest frame as the camera gave it, as a PNG file of its own size. */
  async still(): Promise<Blob> {
    const { width, height } = this.#painter?.size ?? { width: 0, height: 0 };
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    const rgba = new Uint8ClampedArray(this.patch(0, 0, width, height).buffer);
    canvas.getContext('2d')?.putImageData(new ImageData(rgba, width, height), 0, 0);
    return new Promise((resolve, reject) =>
      canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the frame could not be kept'))), 'image/png'),
    );
  }

  /** The canvas, freshly drawn: to be read in this task. */
  drawn(): HTMLCanvasElement | null {
    return this.#draw() ? this.#canvas : null;
  }

  /** RGBA of the newest frame as the camera gave it. */
  frame(): (Size & { rgba: Uint8Array }) | null {
    if (!this.#painter) return null;
    const { width, height } = this.#painter.size;
    return { width, height, rgba: this.#painter.patch(0, 0, width, height) };
  }

  /** RGBA of what is shown. */
  pixels(): (Size & { rgba: Uint8Array }) | null {
    if (!this.#painter || !this.#draw()) return null;
    return { width: this.#canvas.width, height: this.#canvas.height, rgba: this.#painter.pixels() };
  }

  end(): void {
    this.#over = true;
    this.#painter?.end();
    this.#painter = null;
  }

  #draw(): boolean {
    if (!this.#painter || !this.#shown) return false;
    const { settings, light, soft } = this.#shown;
    const cells = settings.squint === null || !soft || !this.#painter.canSoften ? null : soft[settings.squint as keyof SoftSizes];
    const { width, height } = canvasSize(this.#painter.size, cells !== null);
    if (width === 0) return false;
    // Setting a size, even the same, clears the canvas.
    if (this.#canvas.width !== width) this.#canvas.width = width;
    if (this.#canvas.height !== height) this.#canvas.height = height;
    return this.#painter.draw(settings, light, cells);
  }
}

/** What a softened picture is shown at: its masses lose nothing, and each pixel of it is costly. */
const SOFTENED = 0.5;

/** The canvas's columns and rows for a frame: its own, or fewer where it is softened. */
export function canvasSize({ width, height }: Size, softened: boolean): Size {
  const part = softened ? SOFTENED : 1;
  return { width: Math.ceil(part * width), height: Math.ceil(part * height) };
}
