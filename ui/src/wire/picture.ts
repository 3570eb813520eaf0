//! Pixels and tables, as raw bytes through the app's own URI scheme.

import { convertFileSrc } from '@tauri-apps/api/core';

/** A rectangle of the working copy, in pixels from its upper left corner; fractions are fine. */
export type Region = { x: number; y: number; width: number; height: number };

/** Columns and rows that a region is delivered in. */
export type Grid = { columns: number; rows: number };

export type Tables = {
  /** L* of each of the 65,536 codes of Y. */
  lightness: Float32Array;
  /** The 8-bit sRGB code that shows each code of linear light. */
  grey: Uint8Array;
  /** Each 8-bit code, dimmed. */
  dim: Uint8Array;
};

/** What makes Y of a video frame. */
export type VideoTables = {
  /** Linear light of each 8-bit code: 256 each for red, green and blue. */
  linear: Float32Array;
  /** Luminance of linear red, green and blue. */
  yRow: Float32Array;
};

/** Codes of Y, row-major. */
export async function tone(id: number, region: Region, grid: Grid): Promise<Uint16Array> {
  return new Uint16Array(await bytes(`${id}/tone?${ask(region, grid)}`));
}

/** sRGB, RGBA of 8 bits, row-major. */
export async function colour(id: number, region: Region, grid: Grid): Promise<Uint8Array> {
  return new Uint8Array(await bytes(`${id}/colour?${ask(region, grid)}`));
}

/** Linear sRGB and Y of each cell of a softened picture. */
export async function soft(id: number, squint: string): Promise<Float32Array> {
  return new Float32Array(await bytes(`${id}/soft?squint=${squint}`));
}

/** A small copy of the whole: RGBA of 8 bits, of the size that the photo's account gives. */
export async function thumbnail(id: number): Promise<Uint8Array> {
  return new Uint8Array(await bytes(`${id}/thumbnail`));
}

/** A view as core draws it: RGBA of 8 bits, row-major. `settings` is the rest of the query. */
export async function view(id: number, region: Region, grid: Grid, settings: string): Promise<Uint8Array> {
  return new Uint8Array(await bytes(`${id}/view?${ask(region, grid)}&${settings}`));
}

/** The tables that core and shader share. */
export async function tables(): Promise<Tables> {
  const [lightness, grey, dim] = await Promise.all(['lightness', 'grey', 'dim'].map((name) => bytes(`tables/${name}`)));
  if (!lightness || !grey || !dim) throw new Error('a table is missing');
  return { lightness: new Float32Array(lightness), grey: new Uint8Array(grey), dim: new Uint8Array(dim) };
}

/** The tables that core reads a camera's patches by. */
export async function videoTables(): Promise<VideoTables> {
  const [linear, yRow] = await Promise.all([bytes('tables/linear'), bytes('tables/y-row')]);
  return { linear: new Float32Array(linear), yRow: new Float32Array(yRow) };
}

function ask({ x, y, width, height }: Region, { columns, rows }: Grid): string {
  return `x=${x}&y=${y}&width=${width}&height=${height}&columns=${columns}&rows=${rows}`;
}

async function bytes(path: string): Promise<ArrayBuffer> {
  // Encoding the path would turn its slashes and its question mark into parts of a name.
  const response = await fetch(convertFileSrc('', 'picture') + path);
  if (!response.ok) throw new Error(`no pixels: ${response.status} ${await response.text()}`);
  return response.arrayBuffer();
}
