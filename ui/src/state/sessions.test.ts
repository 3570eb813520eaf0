import { expect, test } from 'vitest';
import { sessionName, sessionWords } from './sessions';

const session = (title: string, place: string, day: string) => ({ id: 1, uuid: '', about: { title, place, day, notes: '' }, begun: 0, snapshots: 0, cover: null });

test('a session without a title is called by its day, which is then not said twice', () => {
  expect(sessionName(session(' Low water ', 'Harbour', '2026-11-25'))).toBe('Low water');
  expect(sessionWords(session('Low water', 'Harbour', '2026-11-25'))).toBe('Harbour · 25 November 2026');
  expect(sessionName(session('', 'Harbour', '2026-11-25'))).toBe('25 November 2026');
  expect(sessionWords(session('', 'Harbour', '2026-11-25'))).toBe('Harbour');
  expect(sessionName(session('', '', ''))).toContain('1970');
});
