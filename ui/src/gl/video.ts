//! Draws views of a camera's frames on a canvas of their own size, one texel to a canvas pixel.

import { openContext, shownPixels } from './context';
import { type Program, softenProgram, type Variant, videoProgram } from './program';
import { type Rectangle, type Settings, setTail, type Tables, type TailTextures, tailTextures, VIEW_NUMBERS } from './tail';
import { bind, cellsRoom, coloursRoom, emptyTexture, linearTable, type Texture } from './texture';

/** What the light is judged by: per channel, in linear light. */
export type Light = { gains: readonly [number, number, number]; flare: readonly [number, number, number] };

export const AS_SEEN: Light = { gains: [1, 1, 1], flare: [0, 0, 0] };

export type VideoTables = Tables & { linear: Float32Array; yRow: Float32Array };

export class VideoPainter {
  readonly #gl: WebGL2RenderingContext;
  readonly #tail: TailTextures;
  readonly #linear: Texture;
  readonly #yRow: Float32Array;
  readonly #frame: Texture;
  /** To read the frame's own pixels from, to draw cells into, and to pick samples into. */
  readonly #frameBuffer: WebGLFramebuffer;
  readonly #cellsBuffer: WebGLFramebuffer;
  readonly #samplesBuffer: WebGLFramebuffer;
  readonly #programs = new Map<string, Program>();
  readonly #canSoften: boolean;
  #soften: { rows: Program; columns: Program } | null = null;
  #columns: Texture | null = null;
  #cells: Texture | null = null;
  #samples: Texture | null = null;

  private constructor(gl: WebGL2RenderingContext, tables: VideoTables) {
    this.#gl = gl;
    this.#tail = tailTextures(gl, tables);
    this.#linear = linearTable(gl, tables.linear);
    this.#yRow = tables.yRow;
    this.#frame = { name: emptyTexture(gl), width: 0, height: 0 };
    this.#frameBuffer = gl.createFramebuffer();
    this.#cellsBuffer = gl.createFramebuffer();
    this.#samplesBuffer = gl.createFramebuffer();
    this.#canSoften = gl.getExtension('EXT_color_buffer_float') !== null;
    gl.bindVertexArray(gl.createVertexArray());
    for (const view of Object.values(VIEW_NUMBERS)) this.#program({ view, squint: false, framed: false, moving: false });
  }

  /** Null where the canvas can't be drawn on by WebGL2; throws where a shader won't compile. */
  static on(canvas: HTMLCanvasElement, tables: VideoTables): VideoPainter | null {
    const gl = openContext(canvas);
    return gl && new VideoPainter(gl, tables);
  }

  /** Whether frames can be softened: that takes textures of floats that can be drawn into. */
  get canSoften(): boolean {
    return this.#canSoften;
  }

  /** Columns and rows of the frame; 0 before the first. */
  get size(): { width: number; height: number } {
    return { width: this.#frame.width, height: this.#frame.height };
  }

  /** Takes a frame in place of the one before. */
  take(source: TexImageSource, width: number, height: number): void {
    const gl = this.#gl;
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this.#frame.name);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA8, gl.RGBA, gl.UNSIGNED_BYTE, source);
    this.#frame.width = width;
    this.#frame.height = height;
  }

  /**
   * Draws the frame, sharp on a canvas of its own size, or softened on one of any; false, and nothing is drawn, before
   * there is one. `cells` are the columns and rows of the softened picture, null where it is shown sharp.
   */
  draw(settings: Settings, light: Light, cells: readonly [number, number] | null): boolean {
    const gl = this.#gl;
    const { drawingBufferWidth: width, drawingBufferHeight: height } = gl;
    if (gl.isContextLost() || this.#frame.width === 0) return false;
    const softened = cells && this.#canSoften ? this.#softened(cells, light) : null;
    const view = VIEW_NUMBERS[settings.view];
    const program = this.#program({ view, squint: softened !== null, framed: settings.frame !== null, moving: false });
    // The web view may have unbound it since the last task, and says nothing.
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.viewport(0, 0, width, height);
    this.#use(program, light);
    setTail(gl, program, this.#tail, softened, settings, { picture: { x: 0, y: 0, width, height }, width, height });
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    return true;
  }

  /** RGBA of a part of the frame as the camera gave it, from the top. */
  patch(left: number, top: number, width: number, height: number): Uint8Array<ArrayBuffer> {
    const gl = this.#gl;
    const rgba = new Uint8Array(4 * width * height);
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.#frameBuffer);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.#frame.name, 0);
    gl.readPixels(left, top, width, height, gl.RGBA, gl.UNSIGNED_BYTE, rgba);
    return rgba;
  }

  /** RGBA of `columns` x `rows` pixels of a part of the frame, evenly picked and not averaged, from the top. */
  sampled(part: Rectangle, columns: number, rows: number): Uint8Array<ArrayBuffer> {
    const gl = this.#gl;
    if (this.#samples?.width !== columns || this.#samples.height !== rows) {
      if (this.#samples) gl.deleteTexture(this.#samples.name);
      this.#samples = coloursRoom(gl, columns, rows);
    }
    gl.bindFramebuffer(gl.READ_FRAMEBUFFER, this.#frameBuffer);
    gl.framebufferTexture2D(gl.READ_FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.#frame.name, 0);
    gl.bindFramebuffer(gl.DRAW_FRAMEBUFFER, this.#samplesBuffer);
    gl.framebufferTexture2D(gl.DRAW_FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.#samples.name, 0);
    const { x, y, width, height } = part;
    gl.blitFramebuffer(x, y, x + width, y + height, 0, 0, columns, rows, gl.COLOR_BUFFER_BIT, gl.NEAREST);
    gl.bindFramebuffer(gl.READ_FRAMEBUFFER, this.#samplesBuffer);
    const rgba = new Uint8Array(4 * columns * rows);
    gl.readPixels(0, 0, columns, rows, gl.RGBA, gl.UNSIGNED_BYTE, rgba);
    return rgba;
  }

  /** RGBA of what was just drawn, from the top. */
  pixels(): Uint8Array {
    return shownPixels(this.#gl);
  }

  /** Gives back what it holds of the graphics' memory. */
  end(): void {
    this.#gl.getExtension('WEBGL_lose_context')?.loseContext();
  }

  /** The cells of the frame, freshly averaged. */
  #softened([columns, rows]: readonly [number, number], light: Light): Texture {
    const gl = this.#gl;
    this.#soften ??= { rows: softenProgram(gl, 'rows'), columns: softenProgram(gl, 'columns') };
    this.#columns = this.#room(this.#columns, columns, this.#frame.height);
    this.#cells = this.#room(this.#cells, columns, rows);
    this.#average(this.#soften.rows, light, columns, this.#columns);
    this.#average(this.#soften.columns, light, rows, this.#cells, this.#columns);
    return this.#cells;
  }

  #average(program: Program, light: Light, count: number, into: Texture, from: Texture | null = null): void {
    const gl = this.#gl;
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.#cellsBuffer);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, into.name, 0);
    gl.viewport(0, 0, into.width, into.height);
    this.#use(program, light);
    if (from) bind(gl, 2, program.at('u_columns'), from);
    gl.uniform1i(program.at('u_cell_count'), count);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
  }

  /** Room for so many cells: what there is, where it fits. */
  #room(before: Texture | null, width: number, height: number): Texture {
    if (before?.width === width && before.height === height) return before;
    if (before) this.#gl.deleteTexture(before.name);
    return cellsRoom(this.#gl, width, height);
  }

  #use({ name, at }: Program, light: Light): void {
    const gl = this.#gl;
    gl.useProgram(name);
    bind(gl, 0, at('u_video'), this.#frame);
    bind(gl, 1, at('u_linear'), this.#linear);
    gl.uniform3fv(at('u_gains'), light.gains);
    gl.uniform3fv(at('u_flare'), light.flare);
    gl.uniform3fv(at('u_y_row'), this.#yRow);
  }

  #program(variant: Variant): Program {
    const key = JSON.stringify(variant);
    const program = this.#programs.get(key) ?? videoProgram(this.#gl, variant);
    this.#programs.set(key, program);
    return program;
  }
}
