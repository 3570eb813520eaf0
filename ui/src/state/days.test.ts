import { expect, test } from 'vitest';
import { dayWords, today } from './days';

test('today is the day of the clock on the wall, not of Greenwich', () => {
  expect(today(new Date(2026, 0, 5, 0, 30))).toBe('2026-01-05');
  expect(today(new Date(2026, 11, 31, 23, 59))).toBe('2026-12-31');
});

test('a day reads as a day, and what is none stays as it was written', () => {
  expect(dayWords('2026-11-05')).toBe('5 November 2026');
  expect(dayWords('2026-02-31')).toBe('2026-02-31');
  expect(dayWords('spring tide')).toBe('spring tide');
});
