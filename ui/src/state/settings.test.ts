import { expect, test } from 'vitest';
import { SETTINGS, Settings } from './settings.svelte';

test('what was set is there again, and what makes no sense is as at first', () => {
  const kept: string[] = [];
  const settings = new Settings(undefined, (text) => kept.push(text));
  settings.sun = true;
  settings.ladder = 'left';
  const again = new Settings(kept.at(-1), () => undefined);
  expect([again.sun, again.ladder, again.letterKeys]).toEqual([true, 'left', true]);
  const odd = new Settings('{"sun":"yes","ladder":"up","more":1}', () => undefined);
  expect([odd.sun, odd.ladder]).toEqual([false, 'right']);
  expect(new Settings('{', () => undefined).paper).toBe(94.5);
  // A row's number, as older versions wrote it, may be another paint's by now.
  expect(new Settings('{"dab":{"paint":3,"step":2,"wet":true}}', () => undefined).dab).toEqual({ paint: null, step: 2, wet: true });
});

test('the shell finds there which band is the first: see src-tauri/src/studio.rs', () => {
  const kept: string[] = [];
  new Settings(undefined, (text) => kept.push(text)).turned = true;
  expect([SETTINGS, JSON.parse(kept[0] ?? '').turned]).toEqual(['check', true]);
});
