import { expect, test, vi } from 'vitest';
import { Soon } from './soon';

test('the newest is done once, when the hand rests or the place goes', () => {
  vi.useFakeTimers();
  const done: string[] = [];
  const soon = new Soon();
  soon.ask(() => done.push('L'));
  soon.ask(() => done.push('Lo'));
  vi.advanceTimersByTime(399);
  expect(done).toEqual([]);
  vi.advanceTimersByTime(1);
  expect(done).toEqual(['Lo']);
  soon.ask(() => done.push('Low'));
  soon.now();
  vi.runAllTimers();
  expect(done).toEqual(['Lo', 'Low']);
  vi.useRealTimers();
});
