//! A WebGL2 context fit for exact drawing.

/** Opens a context on `canvas`; null where there is no WebGL2, and views then come drawn from core. */
export function openContext(canvas: HTMLCanvasElement): WebGL2RenderingContext | null {
  const gl = canvas.getContext('webgl2', {
    alpha: false,
    antialias: false,
    depth: false,
    stencil: false,
    premultipliedAlpha: false,
    preserveDrawingBuffer: false,
  });
  if (!gl || gl.isContextLost()) return null;
  gl.disable(gl.DITHER);
  gl.disable(gl.BLEND);
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
  gl.pixelStorei(gl.PACK_ALIGNMENT, 1);
  gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE);
  gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false);
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
  return gl;
}

/** RGBA of what was just drawn, row-major from the top: to be called in the task that drew it. */
export function shownPixels(gl: WebGL2RenderingContext): Uint8Array {
  const { drawingBufferWidth: width, drawingBufferHeight: height } = gl;
  const fromBelow = new Uint8Array(4 * width * height);
  gl.bindFramebuffer(gl.FRAMEBUFFER, null);
  gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, fromBelow);
  const fromAbove = new Uint8Array(fromBelow.length);
  for (let row = 0; row < height; row++) {
    const start = 4 * width * (height - 1 - row);
    fromAbove.set(fromBelow.subarray(start, start + 4 * width), 4 * width * row);
  }
  return fromAbove;
}
