import { expect, it } from 'vitest';
import type { LiveInfo } from '../../wire/generated';
import { CAUTION, heldName, lightNotes, steadyWords, whyWords } from './live_words';

const INFO: LiveInfo = {
  readings: [],
  unread: [],
  difference: null,
  paper: { x: 1, y: 1, sight: 'followed', drift: 0.1, drifted: false },
  refused: null,
  questioned: null,
  against: 'paper',
  gains: [1, 1, 1],
  shares: [],
  clippedLight: 0.01,
  clippedDark: 0,
  glaring: false,
};

it('says how steady a reading is once there is something to say', () => {
  expect(steadyWords({ unsteadiness: 3, settled: false })).toBe('settling');
  expect(steadyWords({ unsteadiness: 0.01, settled: true })).toBe('steady');
  expect(steadyWords({ unsteadiness: 0.42, settled: true })).toBe('steady to 0.4');
  expect(steadyWords({ unsteadiness: 18.4, settled: true })).toBe('varies by 18');
});

it('tells of glare, of paper that is lost or blown out, and of drift', () => {
  expect(lightNotes(INFO)).toEqual([]);
  expect(lightNotes({ ...INFO, glaring: true, clippedLight: 0.12 })[0]).toBe(`A large part of the picture is blown out. ${CAUTION}`);
  const sight = (sight: 'lost' | 'clipped') => lightNotes({ ...INFO, against: 'camera', paper: { x: 1, y: 1, drift: 0.4, drifted: true, sight } });
  expect(sight('lost')).toHaveLength(1);
  expect(sight('lost')[0]).toContain('the camera’s own tone');
  expect(sight('clipped')[0]).toContain('blown out');
  expect(lightNotes({ ...INFO, paper: { x: 1, y: 1, sight: 'followed', drift: -0.33, drifted: true } })[0]).toContain('darker by 0.3 stops');
  expect(lightNotes({ ...INFO, refused: 'this is no paper' })).toEqual(['This is no paper.']);
});

it('has a way on for every failure', () => {
  for (const why of ['none', 'refused', 'held', 'unplugged', 'graphics', 'away', 'other'] as const) {
    for (const phone of [false, true]) {
      const { what, todo } = whyWords(why, phone);
      expect(what.length > 10 && todo.endsWith('.')).toBe(true);
      if (phone) expect(`${what} ${todo}`).not.toMatch(/plug/i);
    }
  }
});

it('names a held frame by the time of day', () => {
  expect(heldName(new Date(2024, 4, 3, 14, 2))).toBe('From the camera, 14:02');
});
