import { expect, test } from 'vitest';
import type { PaintInfo } from '../wire/generated';
import { PaintBox } from './paints.svelte';

test('a dab is meant for a step that its paint has, as long as that is there', () => {
  const paint = (id: number, steps: number | null) => ({ id, uuid: `uuid-${id}`, curve: steps === null ? null : { steps: Array.from({ length: steps }) } }) as unknown as PaintInfo;
  const box = new PaintBox();
  const meant = (id: number | null, step: number) => {
    const found = box.meant({ paint: id === null ? null : `uuid-${id}`, step, wet: false });
    return found && [found.paint.id, found.steps, found.step];
  };
  expect(meant(1, 5)).toBeNull();
  box.all = [paint(1, 7), paint(2, 3), paint(3, null)];
  expect(meant(1, 5)).toEqual([1, 7, 5]);
  // A shorter strip was photographed since.
  expect(meant(2, 5)).toEqual([2, 3, 3]);
  expect([meant(null, 5), meant(3, 5), meant(4, 5)]).toEqual([null, null, null]);
});
