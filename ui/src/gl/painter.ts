//! Draws views of a still on a canvas, one texel to a device pixel when at rest.

import { openContext, shownPixels } from './context';
import { type Program, stillProgram, type Variant } from './program';
import { byteTable, cellsTexture, codesTexture, coloursTexture, floatTable, type Texture } from './texture';

/** What is shown; numbered as in the shader. */
const VIEW_NUMBERS = { colour: 0, lightness: 1, bands: 2, outlines: 3 } as const;

export type ViewName = keyof typeof VIEW_NUMBERS;

/** A rectangle in device pixels, or in fractions of the picture. */
export type Rectangle = { x: number; y: number; width: number; height: number };

/** All that a view is set to. */
export type Settings = {
  view: ViewName;
  /** L* from light to dark. */
  edges: readonly number[];
  /** 8-bit sRGB of each band. */
  greys: readonly number[];
  /** Corners in fractions of the picture, clockwise; null where all counts. */
  frame: readonly (readonly [number, number])[] | null;
  /** The softened picture that is shown, by its name; null for the sharp one. */
  squint: string | null;
  /** Width of outlines in device pixels. */
  line: number;
};

/** The picture's rectangle in device pixels of the canvas, which it may exceed, and the canvas's size. */
export type Placing = { picture: Rectangle; width: number; height: number };

/** Pixels of a part of the picture: `part` in fractions of it. */
type Layer = { texture: Texture; part: Rectangle };

type LayerName = 'codes' | 'colours' | 'whole_codes' | 'whole_colours';

export class Painter {
  readonly #gl: WebGL2RenderingContext;
  readonly #programs = new Map<string, Program>();
  readonly #tables: { lightness: Texture; grey: Texture; dim: Texture };
  readonly #cells = new Map<string, Texture>();
  readonly #layers: Record<LayerName, Layer | null> = { codes: null, colours: null, whole_codes: null, whole_colours: null };

  private constructor(gl: WebGL2RenderingContext, tables: { lightness: Float32Array; grey: Uint8Array; dim: Uint8Array }) {
    this.#gl = gl;
    this.#tables = {
      lightness: floatTable(gl, tables.lightness),
      grey: byteTable(gl, tables.grey),
      dim: byteTable(gl, tables.dim),
    };
    gl.bindVertexArray(gl.createVertexArray());
    // Those that a view switch needs are made before it is waited for.
    for (const view of Object.values(VIEW_NUMBERS)) this.#program({ view, squint: false, framed: false, moving: false });
  }

  /** Null where the canvas can't be drawn on by WebGL2. */
  static on(
    canvas: HTMLCanvasElement,
    tables: { lightness: Float32Array; grey: Uint8Array; dim: Uint8Array },
  ): Painter | null {
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
      this.#bind(unit, at(`u_${name}`), layer?.texture ?? this.#tables.grey);
      if (layer) gl.uniform4fv(at(`u_${name}_from_canvas`), layerFromCanvas(layer, placing));
    });
    this.#bind(4, at('u_cells'), cells ?? this.#tables.lightness);
    this.#bind(5, at('u_lightness'), this.#tables.lightness);
    this.#bind(6, at('u_grey'), this.#tables.grey);
    this.#bind(7, at('u_dim'), this.#tables.dim);
    gl.uniform4fv(at('u_picture_from_canvas'), pictureFromCanvas(placing));
    gl.uniform2i(at('u_canvas'), placing.width, placing.height);
    gl.uniform1i(at('u_edge_count'), settings.edges.length);
    if (settings.edges.length > 0) gl.uniform1fv(at('u_edges'), settings.edges);
    if (settings.greys.length > 0) gl.uniform1uiv(at('u_greys'), settings.greys);
    gl.uniform1i(at('u_line'), settings.line);
    if (settings.frame) gl.uniform3fv(at('u_frame'), halfPlanes(settings.frame, placing.picture));
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

  #bind(unit: number, uniform: WebGLUniformLocation | null, texture: Texture): void {
    this.#gl.activeTexture(this.#gl.TEXTURE0 + unit);
    this.#gl.bindTexture(this.#gl.TEXTURE_2D, texture.name);
    this.#gl.uniform1i(uniform, unit);
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

/** Offset and step from canvas pixels to fractions of the picture. */
export function pictureFromCanvas({ picture }: Placing): [number, number, number, number] {
  return [-picture.x / picture.width, -picture.y / picture.height, 1 / picture.width, 1 / picture.height];
}

/** Half planes [x, y, z] in canvas pixels of the sides of a frame: inside, x * column + y * row + z >= 0. */
export function halfPlanes(frame: readonly (readonly [number, number])[], picture: Rectangle): number[] {
  const placed = frame.map(([x, y]) => [picture.x + x * picture.width, picture.y + y * picture.height] as const);
  const corners = turnsLeft(frame) ? placed.reverse() : placed;
  return corners.flatMap(([ax, ay], at) => {
    const [bx, by] = corners[(at + 1) % corners.length] ?? [ax, ay];
    return [ay - by, bx - ax, (by - ay) * ax - (bx - ax) * ay];
  });
}

/** Whether corners go round anticlockwise, y pointing down. */
function turnsLeft(corners: readonly (readonly [number, number])[]): boolean {
  const twiceTheArea = corners.reduce((sum, [ax, ay], at) => {
    const [bx, by] = corners[(at + 1) % corners.length] ?? [ax, ay];
    return sum + ax * by - bx * ay;
  }, 0);
  return twiceTheArea < 0;
}

/** At rest these are whole numbers, but for the last digits of a division. */
function tidy(value: number): number {
  const whole = Math.round(value);
  return Math.abs(value - whole) < 1e-6 ? whole : value;
}
