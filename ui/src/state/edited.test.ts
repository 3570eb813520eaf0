import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Edited } from './edited.svelte';

type Words = { name: string; notes: string };

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

function form(keeps: (value: Words) => Promise<unknown>): { edited: Edited<Words>; kept: Words } {
  const kept = { name: 'Rose', notes: '' };
  return { edited: new Edited(() => kept, keeps), kept };
}

test('a refresh drops no letter that is being typed', async () => {
  const { edited, kept } = form(() => Promise.resolve());
  edited.change({ notes: 'stains' });
  kept.name = 'Rose madder';
  kept.notes = 'of the list';
  expect(edited.value).toEqual({ name: 'Rose madder', notes: 'stains' });
});

test('what is typed is kept when the hand rests, once', async () => {
  const sent: Words[] = [];
  const { edited, kept } = form(async (value) => void sent.push(Object.assign(kept, value) && { ...value }));
  edited.change({ notes: 's' });
  edited.change({ notes: 'st' });
  await vi.advanceTimersByTimeAsync(1000);
  expect(sent).toEqual([{ name: 'Rose', notes: 'st' }]);
  kept.notes = 'stains, said elsewhere';
  expect(edited.value.notes).toBe('stains, said elsewhere');
});

test('letters typed while the others are being kept stand', async () => {
  let done = (): void => undefined;
  const { edited, kept } = form((value) => new Promise<void>((resolve) => (done = () => (Object.assign(kept, value), resolve()))));
  edited.change({ name: 'Ros' });
  await vi.advanceTimersByTimeAsync(500);
  edited.change({ name: 'Rosa' });
  done();
  await vi.advanceTimersByTimeAsync(0);
  expect(edited.value.name).toBe('Rosa');
});

test('what could not be kept stands, and goes along with the next', async () => {
  const sent: Words[] = [];
  let full = true;
  const { edited } = form(async (value) => {
    if (full) throw new Error('full');
    sent.push({ ...value });
  });
  edited.change({ notes: 'stains' });
  await vi.advanceTimersByTimeAsync(1000);
  expect(edited.value.notes).toBe('stains');
  full = false;
  edited.change({ name: 'Madder' });
  await vi.advanceTimersByTimeAsync(1000);
  expect(sent).toEqual([{ name: 'Madder', notes: 'stains' }]);
});

test('a form that goes keeps what it still has', () => {
  const sent: Words[] = [];
  const { edited } = form(async (value) => void sent.push({ ...value }));
  edited.change({ notes: 'stains' });
  edited.leave();
  expect(sent).toEqual([{ name: 'Rose', notes: 'stains' }]);
});
