//! Textures that are read texel by texel: nothing is ever filtered.

/** A texture with its size in texels. */
export type Texture = { name: WebGLTexture; width: number; height: number };

type Format = { internal: GLenum; format: GLenum; type: GLenum };

/** Codes of Y. */
export function codesTexture(gl: WebGL2RenderingContext, width: number, height: number, codes: Uint16Array): Texture {
  return upload(gl, width, height, codes, { internal: gl.R16UI, format: gl.RED_INTEGER, type: gl.UNSIGNED_SHORT });
}

/** 8-bit RGBA as whole numbers, so that no driver rounds them on their way. */
export function coloursTexture(gl: WebGL2RenderingContext, width: number, height: number, rgba: Uint8Array): Texture {
  return upload(gl, width, height, rgba, { internal: gl.RGBA8UI, format: gl.RGBA_INTEGER, type: gl.UNSIGNED_BYTE });
}

/** Cells of a softened picture: linear r, g, b and Y. */
export function cellsTexture(gl: WebGL2RenderingContext, width: number, height: number, cells: Float32Array): Texture {
  return upload(gl, width, height, cells, { internal: gl.RGBA32F, format: gl.RGBA, type: gl.FLOAT });
}

/** A table of 65,536 numbers as 256 x 256. */
export function floatTable(gl: WebGL2RenderingContext, table: Float32Array): Texture {
  return upload(gl, 256, 256, table, { internal: gl.R32F, format: gl.RED, type: gl.FLOAT });
}

/** A table of 256 or 65,536 bytes, 256 to a row. */
export function byteTable(gl: WebGL2RenderingContext, table: Uint8Array): Texture {
  const format = { internal: gl.R8UI, format: gl.RED_INTEGER, type: gl.UNSIGNED_BYTE };
  return upload(gl, 256, table.length / 256, table, format);
}

/** Linear light of each 8-bit code, a row each for red, green and blue. */
export function linearTable(gl: WebGL2RenderingContext, table: Float32Array): Texture {
  return upload(gl, 256, 3, table, { internal: gl.R32F, format: gl.RED, type: gl.FLOAT });
}

/** Room for cells, to be drawn into. */
export function cellsRoom(gl: WebGL2RenderingContext, width: number, height: number): Texture {
  return upload(gl, width, height, null, { internal: gl.RGBA32F, format: gl.RGBA, type: gl.FLOAT });
}

/** Room for 8-bit colours, to be drawn into. */
export function coloursRoom(gl: WebGL2RenderingContext, width: number, height: number): Texture {
  return upload(gl, width, height, null, { internal: gl.RGBA8, format: gl.RGBA, type: gl.UNSIGNED_BYTE });
}

/** Lets a program read a texture as that uniform, by that unit. */
export function bind(gl: WebGL2RenderingContext, unit: number, uniform: WebGLUniformLocation | null, texture: Texture): void {
  gl.activeTexture(gl.TEXTURE0 + unit);
  gl.bindTexture(gl.TEXTURE_2D, texture.name);
  gl.uniform1i(uniform, unit);
}

/** An empty texture that nothing filters. */
export function emptyTexture(gl: WebGL2RenderingContext): WebGLTexture {
  const name = gl.createTexture();
  gl.activeTexture(gl.TEXTURE0);
  gl.bindTexture(gl.TEXTURE_2D, name);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
  return name;
}

function upload(
  gl: WebGL2RenderingContext,
  width: number,
  height: number,
  data: ArrayBufferView | null,
  { internal, format, type }: Format,
): Texture {
  const name = emptyTexture(gl);
  gl.texImage2D(gl.TEXTURE_2D, 0, internal, width, height, 0, format, type, data);
  return { name, width, height };
}
