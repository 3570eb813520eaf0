import { expect, it } from 'vitest';
import { stayAwake } from './wakefulness';

function locks() {
  const seen: string[] = [];
  const sentinel = { release: async () => void seen.push('released') } as unknown as WakeLockSentinel;
  return { seen, request: async () => (seen.push('asked'), sentinel) };
}

it('holds the screen awake until it is told', async () => {
  const lock = locks();
  const release = stayAwake(lock);
  await Promise.resolve();
  expect(lock.seen).toEqual(['asked']);
  release();
  expect(lock.seen).toEqual(['asked', 'released']);
});

it('gives up a lock that comes too late, and goes on without one', async () => {
  const lock = locks();
  stayAwake(lock)();
  await Promise.resolve();
  expect(lock.seen).toEqual(['asked', 'released']);
  stayAwake({ request: () => Promise.reject(new Error('no battery left')) })();
  stayAwake(undefined)();
});
