//! Keeps what is on the canvas true: fetches just the pixels that the screen shows, and draws with what there is.

import { Painter } from '../gl/painter';
import type { Placing, Settings } from '../gl/tail';
import type { PhotoInfo } from '../wire/generated';
import * as picture from '../wire/picture';

/** A gesture rests when nothing has moved for this long. */
const REST_MS = 120;

type Part = { x: number; y: number; width: number; height: number };

/** What is on the screen: the photo, where it stands, which part of it is seen (in fractions), and how. */
export type Scene = { photo: PhotoInfo; placing: Placing; part: Part; settings: Settings };

export type Heard = {
  /** Whether the canvas shows the exact pixels of the scene. */
  exact: (exact: boolean) => void;
  /** Whether core draws, for want of WebGL2. */
  byCore: (byCore: boolean) => void;
  failed: (thrown: unknown) => void;
};

export class Drawing {
  readonly #heard: Heard;
  readonly #ready: Promise<void>;
  #gl: HTMLCanvasElement | null = null;
  #plain: HTMLCanvasElement | null = null;
  #painter: Painter | null = null;
  #tables: picture.Tables | null = null;
  #scene: Scene | null = null;
  /** Photo and part that each kind of pixel was last asked for, and came for. */
  readonly #asked = { codes: '', colours: '', view: '' };
  readonly #here = { codes: '', colours: '', view: '' };
  readonly #cells = new Map<string, 'asked' | 'here'>();
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(heard: Heard) {
    this.#heard = heard;
    this.#ready = picture.tables().then((tables) => {
      this.#tables = tables;
      this.#start();
    });
    this.#ready.catch(heard.failed);
  }

  /** Draws on these from now on: one by WebGL2, the other where that fails. */
  attach(gl: HTMLCanvasElement, plain: HTMLCanvasElement): () => void {
    this.#gl = gl;
    this.#plain = plain;
    const lost = (event: Event) => {
      // Only then will the context be restored.
      event.preventDefault();
      this.#painter = null;
      this.#forget();
      this.#heard.byCore(true);
      this.#update(0);
    };
    const restored = () => this.#start();
    gl.addEventListener('webglcontextlost', lost);
    gl.addEventListener('webglcontextrestored', restored);
    if (this.#tables) this.#start();
    return () => {
      gl.removeEventListener('webglcontextlost', lost);
      gl.removeEventListener('webglcontextrestored', restored);
      clearTimeout(this.#timer);
    };
  }

  /** Shows a scene: at once with the pixels that there are, exactly as soon as they are fetched. */
  show(scene: Scene): void {
    const before = this.#scene;
    this.#scene = scene;
    if (before && before.photo.id !== scene.photo.id) {
      // In another light the pixels of before are a good picture until the new ones come.
      if (before.photo.subject !== scene.photo.subject) this.#painter?.clear();
      this.#forget();
    }
    const moved = before && before.photo.id === scene.photo.id && keyOf(before) !== keyOf(scene);
    this.#update(moved ? REST_MS : 0);
  }

  /** Whether the canvas shows the exact pixels of the scene. */
  get isExact(): boolean {
    return this.#scene !== null && this.#shows(this.#scene);
  }

  /** The canvas that shows the scene just now, freshly drawn: to be read in this task. */
  drawn(): HTMLCanvasElement | null {
    if (!this.#painter) return this.#plain;
    return this.#draw() ? this.#gl : null;
  }

  /** RGBA of what WebGL2 shows; null where it draws nothing. */
  pixels(): { width: number; height: number; rgba: Uint8Array } | null {
    if (!this.#gl || !this.#painter || !this.#draw()) return null;
    return { width: this.#gl.width, height: this.#gl.height, rgba: this.#painter.pixels() };
  }

  /** RGBA of the same scene as core draws it. */
  async truth(): Promise<{ width: number; height: number; rgba: Uint8Array } | null> {
    const scene = this.#scene;
    if (!scene) return null;
    const { width, height } = scene.placing;
    return { width, height, rgba: await picture.view(scene.photo.id, ...asked(scene), viewQuery(scene.settings)) };
  }

  /** Loses the context, as a driver does that fails. */
  loseContext(): void {
    this.#gl?.getContext('webgl2')?.getExtension('WEBGL_lose_context')?.loseContext();
  }

  #start(): void {
    if (!this.#gl || !this.#tables) return;
    this.#forget();
    try {
      this.#painter = Painter.on(this.#gl, this.#tables);
    } catch (thrown) {
      // A driver that won't compile the shader is as good as none.
      console.warn(thrown);
      this.#painter = null;
    }
    this.#heard.byCore(this.#painter === null);
    this.#update(0);
  }

  #update(wait: number): void {
    if (!this.#scene || !this.#tables) return;
    this.#draw();
    this.#tell();
    clearTimeout(this.#timer);
    if (wait === 0) void this.#fetch();
    else this.#timer = setTimeout(() => void this.#fetch(), wait);
  }

  #draw(): boolean {
    if (!this.#painter || !this.#gl || !this.#scene) return false;
    const { placing, settings } = this.#scene;
    // Setting a size, even the same, clears the canvas.
    if (this.#gl.width !== placing.width) this.#gl.width = placing.width;
    if (this.#gl.height !== placing.height) this.#gl.height = placing.height;
    return this.#painter.draw(settings, placing);
  }

  async #fetch(): Promise<void> {
    const scene = this.#scene;
    if (!scene) return;
    try {
      if (!this.#painter) return await this.#fetchView(scene);
      const { view, squint } = scene.settings;
      if (squint !== null) await this.#fetchCells(scene, squint);
      const first = view === 'colour' ? 'colours' : 'codes';
      await this.#fetchPixels(scene, first);
      await this.#fetchPixels(scene, first === 'codes' ? 'colours' : 'codes');
    } catch (thrown) {
      if (this.#scene?.photo.id !== scene.photo.id) return;
      // So that it is asked for anew next time.
      for (const kind of ['codes', 'colours', 'view'] as const) this.#asked[kind] = this.#here[kind];
      if (scene.settings.squint !== null) this.#cells.delete(scene.settings.squint);
      this.#heard.failed(thrown);
    }
  }

  async #fetchPixels(scene: Scene, kind: 'codes' | 'colours'): Promise<void> {
    const key = keyOf(scene);
    const now = this.#scene;
    if (this.#asked[kind] === key || !now || keyOf(now) !== key) return;
    this.#asked[kind] = key;
    const { width, height } = scene.placing;
    if (kind === 'codes') {
      const codes = await picture.tone(scene.photo.id, ...asked(scene));
      if (this.#asked[kind] !== key || !this.#painter) return;
      this.#painter.takeCodes(scene.part, width, height, codes);
    } else {
      const rgba = await picture.colour(scene.photo.id, ...asked(scene));
      if (this.#asked[kind] !== key || !this.#painter) return;
      this.#painter.takeColours(scene.part, width, height, rgba);
    }
    this.#here[kind] = key;
    this.#draw();
    this.#tell();
  }

  async #fetchCells({ photo }: Scene, squint: string): Promise<void> {
    if (this.#cells.has(squint)) return;
    this.#cells.set(squint, 'asked');
    const size = Object.entries(photo.soft).find(([name]) => name === squint)?.[1];
    if (!size) throw new Error(`no squint is called ${squint}`);
    const cells = await picture.soft(photo.id, squint);
    if (this.#scene?.photo.id !== photo.id || !this.#painter) return;
    this.#painter.takeCells(squint, size[0], size[1], cells);
    this.#cells.set(squint, 'here');
    this.#draw();
    this.#tell();
  }

  async #fetchView(scene: Scene): Promise<void> {
    const key = keyOf(scene) + viewQuery(scene.settings);
    if (this.#asked.view === key) return;
    this.#asked.view = key;
    const { width, height } = scene.placing;
    const rgba = await picture.view(scene.photo.id, ...asked(scene), viewQuery(scene.settings));
    if (this.#asked.view !== key || this.#painter || !this.#plain) return;
    this.#plain.width = width;
    this.#plain.height = height;
    this.#plain.getContext('2d')?.putImageData(new ImageData(new Uint8ClampedArray(rgba), width, height), 0, 0);
    this.#here.view = key;
    this.#tell();
  }

  #tell(): void {
    this.#heard.exact(this.isExact);
  }

  #shows(scene: Scene): boolean {
    const { view, squint } = scene.settings;
    const key = keyOf(scene);
    if (!this.#painter) return this.#here.view === key + viewQuery(scene.settings);
    if (squint !== null) return this.#cells.get(squint) === 'here';
    const codes = view === 'colour' || this.#here.codes === key;
    const colours = view === 'lightness' || view === 'bands' || this.#here.colours === key;
    return codes && colours;
  }

  #forget(): void {
    for (const kind of ['codes', 'colours', 'view'] as const) this.#asked[kind] = this.#here[kind] = '';
    this.#cells.clear();
  }
}

/** The rest of a view's query. */
export function viewQuery({ view, edges, squint, frame, line }: Settings): string {
  const framed = frame ? `&frame=${frame.flat().join()}` : '';
  return `view=${view}&edges=${edges.join()}&squint=${squint ?? 'none'}&line=${line}${framed}`;
}

function keyOf({ photo, placing, part }: Scene): string {
  return [photo.id, placing.width, placing.height, part.x, part.y, part.width, part.height].join();
}

function asked({ photo, placing, part }: Scene): [picture.Region, picture.Grid] {
  const region = {
    x: part.x * photo.width,
    y: part.y * photo.height,
    width: part.width * photo.width,
    height: part.height * photo.height,
  };
  return [region, { columns: placing.width, rows: placing.height }];
}
