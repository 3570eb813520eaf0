import { expect, test } from 'vitest';
import { SETTINGS, Settings } from './settings.svelte';

/** Settings that were read from a text; what they write goes into `written`. */
function read(text: string | undefined, written: string[] = []): Settings {
  const settings = new Settings((text) => written.push(text));
  settings.read(text);
  return settings;
}

test('what was set is there again, and what makes no sense is as at first', () => {
  const kept: string[] = [];
  const settings = read(undefined, kept);
  settings.sun = true;
  settings.ladder = 'left';
  const again = read(kept.at(-1));
  expect([again.sun, again.ladder, again.letterKeys]).toEqual([true, 'left', true]);
  const odd = read('{"sun":"yes","ladder":"up","more":1}');
  expect([odd.sun, odd.ladder]).toEqual([false, 'right']);
  expect(read('{').paper).toBe(94.5);
  // A row's number, as older versions wrote it, may be another paint's by now.
  expect(read('{"dab":{"paint":3,"step":2,"wet":true}}').dab).toEqual({ paint: null, step: 2, wet: true });
});

test('the shell finds there which band is the first: see src-tauri/src/studio.rs', () => {
  const kept: string[] = [];
  read(undefined, kept).turned = true;
  expect([SETTINGS, JSON.parse(kept[0] ?? '').turned]).toEqual(['check', true]);
});

test('what was not read is not written over: a page that began while the studio was shut', () => {
  const written: string[] = [];
  const settings = new Settings((text) => written.push(text));
  settings.sun = true;
  settings.spotSize = 3;
  expect([settings.sun, settings.areRead, written]).toEqual([true, false, []]);
  settings.read('{"ladder":"left","spotSize":1,"paper":91}');
  expect([settings.sun, settings.ladder, settings.spotSize, settings.paper]).toEqual([true, 'left', 3, 91]);
  expect(written.map((text) => JSON.parse(text).ladder)).toEqual(['left']);
});

test('what was read and not changed is not written', () => {
  const written: string[] = [];
  read('{"ladder":"left"}', written);
  expect(written).toEqual([]);
});
