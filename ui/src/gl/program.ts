//! The shader program: a source of Y and colour, then the tail that all sources share.

import screen from './screen.vert.glsl?raw';
import soften from './soften.frag.glsl?raw';
import still from './still.frag.glsl?raw';
import tail from './tail.frag.glsl?raw';
import video from './video.frag.glsl?raw';

export type Program = { name: WebGLProgram; at: (uniform: string) => WebGLUniformLocation | null };

const HEAD = `#version 300 es
precision highp float;
precision highp int;
precision highp sampler2D;
precision highp usampler2D;
`;

/** What a program is made for. */
export type Variant = { view: number; squint: boolean; framed: boolean; moving: boolean };

/**
 * Compiles a program that draws stills.
 *
 * Throws an Error with the compiler's log.
 */
export function stillProgram(gl: WebGL2RenderingContext, variant: Variant): Program {
  return compiled(gl, definesOf(variant) + still + tail);
}

/** As `stillProgram`, for a camera's frames. */
export function videoProgram(gl: WebGL2RenderingContext, variant: Variant): Program {
  return compiled(gl, definesOf(variant) + video + tail);
}

/** Compiles a program that averages a camera's frame to cells: along its rows, or down what that came to. */
export function softenProgram(gl: WebGL2RenderingContext, along: 'rows' | 'columns'): Program {
  return compiled(gl, `#define SOFTEN\n${along === 'rows' ? '#define ALONG_ROWS\n' : ''}${video}${soften}`);
}

function definesOf({ view, squint, framed, moving }: Variant): string {
  const flags = Object.entries({ SQUINT: squint, FRAMED: framed, MOVING: moving });
  return `#define VIEW ${view}\n${flags.map(([flag, on]) => (on ? `#define ${flag}\n` : '')).join('')}`;
}

function compiled(gl: WebGL2RenderingContext, fragment: string): Program {
  const name = gl.createProgram();
  for (const [kind, source] of [
    [gl.VERTEX_SHADER, screen],
    [gl.FRAGMENT_SHADER, HEAD + fragment],
  ] as const) {
    const shader = gl.createShader(kind);
    if (!shader) throw new Error('the drawing context was lost');
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(name, shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader) ?? 'no log');
  }
  gl.linkProgram(name);
  if (!gl.getProgramParameter(name, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(name) ?? 'no log');
  const places = new Map<string, WebGLUniformLocation | null>();
  return {
    name,
    at: (uniform) => {
      if (!places.has(uniform)) places.set(uniform, gl.getUniformLocation(name, uniform));
      return places.get(uniform) ?? null;
    },
  };
}
