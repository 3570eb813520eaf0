import { expect, it } from 'vitest';
import { layerFromCanvas } from './painter';
import { halfPlanes, type Placing, pictureFromCanvas } from './tail';

const texture = (width: number, height: number) => ({ name: {} as WebGLTexture, width, height });

it('puts one texel on one canvas pixel at rest', () => {
  // A part of a picture 4096 device pixels wide, of which 918 from 1229 on are seen.
  const placing: Placing = { picture: { x: -1229, y: -700, width: 4096, height: 3072 }, width: 918, height: 1650 };
  const part = { x: 1229 / 4096, y: 700 / 3072, width: 918 / 4096, height: 1650 / 3072 };
  const [x, y, across, down] = layerFromCanvas({ texture: texture(918, 1650), part }, placing);
  expect([x, y, across, down].map((value) => value + 0)).toEqual([0, 0, 1, 1]);
});

it('takes the texels of before for a picture that has moved and grown', () => {
  const whole = { texture: texture(100, 100), part: { x: 0, y: 0, width: 1, height: 1 } };
  const placing: Placing = { picture: { x: -50, y: 0, width: 200, height: 200 }, width: 100, height: 100 };
  // Canvas pixel 0 shows the picture's 50th of 200 device pixels: texel 25 of 100.
  expect(layerFromCanvas(whole, placing)).toEqual([25, -0, 0.5, 0.5]);
  expect(pictureFromCanvas(placing)).toEqual([0.25, -0, 1 / 200, 1 / 200]);
});

it('counts what lies inside a frame, whichever way its corners go round', () => {
  const corners = [[0.1, 0.1], [0.9, 0.2], [0.8, 0.9], [0.2, 0.8]] as [number, number][];
  const picture = { x: 10, y: 20, width: 300, height: 200 };
  for (const frame of [corners, [...corners].reverse()]) {
    const planes = halfPlanes(frame, picture);
    const counts = (x: number, y: number) => {
      const [column, row] = [picture.x + x * picture.width, picture.y + y * picture.height];
      return [0, 1, 2, 3].every((side) => (planes[3 * side] ?? 0) * column + (planes[3 * side + 1] ?? 0) * row + (planes[3 * side + 2] ?? 0) >= 0);
    };
    expect([counts(0.5, 0.5), counts(0.12, 0.12), counts(0.5, 0.1), counts(0.95, 0.5), counts(0.5, 0.95)]).toEqual([true, true, false, false, false]);
  }
});
