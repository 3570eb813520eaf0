//! Draws views of a still on a canvas, one texel to a device pixel when at rest.

import { openContext, shownPixels } from './context';
import { type Program, stillProgram, type Variant } from './program';
import { type Placing, type Rectangle, type Settings, setTail, type Tables, type TailTextures, tailTextures, VIEW_NUMBERS } from './tail';
import { bind, cellsTexture, codesTexture, coloursTexture, type Texture } from './texture';

/** Pixels of a part of the picture: `part` in fractions of it. */
type Layer = { texture: Texture; part: Rectangle };

type LayerName = 'codes' | 'colours' | 'whole_codes' | 'whole_colours';

export class Painter {
  readonly #gl: WebGL2RenderingContext;
  readonly #programs = new Map<string, Program>();
  readonly #tables: TailTextures;
  readonly #cells = new Map<string, Texture>();
  readonly #layers: Record<LayerName, Layer | null> = { codes: null, colours: null, whole_codes: null, whole_colours: null };

  private constructor(gl: WebGL2RenderingContext, tables: Tables) {
    this.#gl = gl;
    this.#tables = tailTextures(gl, tables);
    gl.bindVertexArray(gl.createVertexArray());
    // Those that a view switch needs are made before it is waited for.
    for (const view of Object.values(VIEW_NUMBERS)) this.#program({ view, squint: false, framed: false, moving: false });
  }

  /** Null where the canvas can't be drawn on by WebGL2. */
  static on(canvas: HTMLCanvasElement, tables: Tables): Painter | null {
    const gl = openContext(canvas);
    return gl && new Painter(gl, tables);
  }

  /** Longest side that a texture, and so the canvas, may have. */
  get longest(): number {
    return this.#gl.getParameter(this.#gl.MAX_TEXTURE_SIZE) as number;
  }

  /** Codes of Y of a part of the picture, in place of those before. The whole picture's are kept beside a part's. */
  takeCodes(part: Rectangle, columns: number, rows: number, codes: Uint16Array): void {
    this.#take('codes', { texture: codesTexture(this.#gl, columns, rows, codes), part });
  }

  /** Colours of a part of the picture, in place of those before. The whole picture's are kept beside a part's. */
  takeColours(part: Rectangle, columns: number, rows: number, rgba: Uint8Array): void {
    this.#take('colours', { texture: coloursTexture(this.#gl, columns, rows, rgba), part });
  }

  /** The cells of a softened picture. */
  takeCells(squint: string, columns: number, rows: number, cells: Float32Array): void {
    const before = this.#cells.get(squint);
    if (before) this.#gl.deleteTexture(before.name);
    this.#cells.set(squint, cellsTexture(this.#gl, columns, rows, cells));
  }

  /** Forgets a picture's pixels. */
  clear(): void {
    for (const texture of this.#textures()) this.#gl.deleteTexture(texture.name);
    this.#layers.codes = this.#layers.colours = this.#layers.whole_codes = this.#layers.whole_colours = null;
    this.#cells.clear();
  }

  /** Draws with the pixels it has; false, and nothing is drawn, where it has not yet got what the view needs. */
  draw(settings: Settings, placing: Placing): boolean {
    const gl = this.#gl;
    const cells = settings.squint === null ? null : this.#cells.get(settings.squint);
    const needsCodes = settings.view !== 'colour';
    const needsColours = settings.view === 'colour' || settings.view === 'outlines';
    if (gl.isContextLost() || cells === undefined) return false;
    if (!cells && ((needsCodes && !this.#layers.codes) || (needsColours && !this.#layers.colours))) return false;
    const moving = (needsCodes && !isAtRest(this.#layers.codes, placing)) || (needsColours && !isAtRest(this.#layers.colours, placing));
    const program = this.#program({
      view: VIEW_NUMBERS[settings.view],
      squint: cells !== null,
      framed: settings.frame !== null,
      moving: moving && cells === null,
    });
    const at = program.at;
    // The web view may have unbound it since the last task, and says nothing.
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.viewport(0, 0, placing.width, placing.height);
    gl.useProgram(program.name);
    const layers = {
      codes: this.#layers.codes,
      colours: this.#layers.colours,
      whole_codes: this.#layers.whole_codes ?? this.#layers.codes,
      whole_colours: this.#layers.whole_colours ?? this.#layers.colours,
    };
    Object.entries(layers).forEach(([name, layer], unit) => {
      bind(gl, unit, at(`u_${name}`), layer?.texture ?? this.#tables.grey);
      if (layer) gl.uniform4fv(at(`u_${name}_from_canvas`), layerFromCanvas(layer, placing));
    });
    setTail(gl, program, this.#tables, cells, settings, placing);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    return true;
  }

  /** RGBA of what was just drawn, from the top. */
  pixels(): Uint8Array {
    return shownPixels(this.#gl);
  }

  #take(name: 'codes' | 'colours', layer: Layer): void {
    const whole = `whole_${name}` as const;
    const before = this.#layers[name];
    const kept = before?.part.width === 1 && before.part.height === 1;
    const dropped = kept ? this.#layers[whole] : before;
    if (kept) this.#layers[whole] = before;
    if (dropped) this.#gl.deleteTexture(dropped.texture.name);
    this.#layers[name] = layer;
  }

  *#textures(): Generator<Texture> {
    for (const layer of Object.values(this.#layers)) if (layer) yield layer.texture;
    yield* this.#cells.values();
  }

  #program(variant: Variant): Program {
    const key = JSON.stringify(variant);
    const program = this.#programs.get(key) ?? stillProgram(this.#gl, variant);
    this.#programs.set(key, program);
    return program;
  }
}

/** Whether a layer's texels are just the canvas's pixels. */
function isAtRest(layer: Layer | null, placing: Placing): boolean {
  if (!layer || layer.texture.width !== placing.width || layer.texture.height !== placing.height) return false;
  const [x, y, across, down] = layerFromCanvas(layer, placing);
  return x === 0 && y === 0 && across === 1 && down === 1;
}

/** Offset and step from canvas pixels to a layer's texels. */
export function layerFromCanvas({ texture, part }: Layer, { picture }: Placing): [number, number, number, number] {
  const across = texture.width / (part.width * picture.width);
  const down = texture.height / (part.height * picture.height);
  const x = (-picture.x - part.x * picture.width) * across;
  const y = (-picture.y - part.y * picture.height) * down;
  return [tidy(x), tidy(y), tidy(across), tidy(down)];
}

/** At rest these are whole numbers, but for the last digits of a division. */
function tidy(value: number): number {
  const whole = Math.round(value);
  return Math.abs(value - whole) < 1e-6 ? whole : value;
}
