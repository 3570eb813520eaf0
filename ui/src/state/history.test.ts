import { expect, it } from 'vitest';
import { History } from './history.svelte';

it('undoes and redoes step by step, and drops what was undone when it goes another way', () => {
  const history = new History(0);
  history.go(1);
  history.go(2);
  history.undo();
  expect(history.now).toBe(1);
  history.redo();
  expect(history.now).toBe(2);
  history.undo();
  history.go(3);
  expect(history.canRedo).toBe(false);
  history.undo();
  history.undo();
  expect([history.now, history.canUndo]).toEqual([0, false]);
});

it('undoes a run at once, and two runs one by one', () => {
  const history = new History(0);
  for (const value of [1, 2, 3]) history.go(value, 'drag');
  history.endRun();
  for (const value of [4, 5]) history.go(value, 'drag');
  history.undo();
  expect(history.now).toBe(3);
  history.undo();
  expect(history.now).toBe(0);
});

it('changes what was and what will be along with what is', () => {
  const history = new History(1);
  history.go(2);
  history.go(3);
  history.undo();
  history.change((value) => 10 * value);
  expect(history.now).toBe(20);
  history.undo();
  expect(history.now).toBe(10);
  history.redo();
  history.redo();
  expect(history.now).toBe(30);
});
