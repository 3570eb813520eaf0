import { expect, it } from 'vitest';
import { isWayOut } from './doors';

const NONE = { ctrlKey: false, metaKey: false, altKey: false };

it('knows the keys that load the page anew or leave it', () => {
  for (const key of ['F5', 'BrowserBack', 'BrowserRefresh']) expect(isWayOut({ ...NONE, key }), key).toBe(true);
  expect(isWayOut({ ...NONE, key: 'F5', ctrlKey: true })).toBe(true);
  for (const key of ['r', 'R', '[']) {
    expect(isWayOut({ ...NONE, key, ctrlKey: true }), key).toBe(true);
    expect(isWayOut({ ...NONE, key, metaKey: true }), key).toBe(true);
  }
  for (const key of ['ArrowLeft', 'ArrowRight', 'Home']) expect(isWayOut({ ...NONE, key, altKey: true }), key).toBe(true);
});

it('leaves the keys of the tool and of texts alone', () => {
  for (const key of ['r', 's', 'ArrowLeft', 'ArrowRight', 'Home', 'Backspace', 'F1']) expect(isWayOut({ ...NONE, key }), key).toBe(false);
  for (const key of ['z', 'c', 'v', 'ArrowLeft', 'Home']) expect(isWayOut({ ...NONE, key, ctrlKey: true }), key).toBe(false);
});
