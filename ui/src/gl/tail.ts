//! What the tail of every program is given: how the picture is to be shown, and core's tables.

import type { Program } from './program';
import { bind, byteTable, floatTable, type Texture } from './texture';

/** What is shown; numbered as in the shader. */
export const VIEW_NUMBERS = { colour: 0, lightness: 1, bands: 2, outlines: 3 } as const;

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

/** Core's tables, as the tail reads them. */
export type Tables = { lightness: Float32Array; grey: Uint8Array; dim: Uint8Array };
export type TailTextures = { lightness: Texture; grey: Texture; dim: Texture };

/** The tail's textures take four units from this one on; those below are the source's. */
const FIRST_UNIT = 4;

export function tailTextures(gl: WebGL2RenderingContext, tables: Tables): TailTextures {
  return { lightness: floatTable(gl, tables.lightness), grey: byteTable(gl, tables.grey), dim: byteTable(gl, tables.dim) };
}

/** Sets all that the tail of `program`, the one in use, looks at. `cells` are those of the softened picture, if it is shown. */
export function setTail(
  gl: WebGL2RenderingContext,
  { at }: Program,
  textures: TailTextures,
  cells: Texture | null,
  settings: Settings,
  placing: Placing,
): void {
  bind(gl, FIRST_UNIT, at('u_cells'), cells ?? textures.lightness);
  bind(gl, FIRST_UNIT + 1, at('u_lightness'), textures.lightness);
  bind(gl, FIRST_UNIT + 2, at('u_grey'), textures.grey);
  bind(gl, FIRST_UNIT + 3, at('u_dim'), textures.dim);
  gl.uniform4fv(at('u_picture_from_canvas'), pictureFromCanvas(placing));
  gl.uniform2i(at('u_canvas'), placing.width, placing.height);
  gl.uniform1i(at('u_edge_count'), settings.edges.length);
  if (settings.edges.length > 0) gl.uniform1fv(at('u_edges'), settings.edges);
  if (settings.greys.length > 0) gl.uniform1uiv(at('u_greys'), settings.greys);
  gl.uniform1i(at('u_line'), settings.line);
  if (settings.frame) gl.uniform3fv(at('u_frame'), halfPlanes(settings.frame, placing.picture));
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
