import { expect, test } from 'vitest';
import { paperQuestion, questionWords, questionsWords } from './light_words';

test('a patch that can hardly be what was stated is asked about', () => {
  const tree = { patch: 0, why: { kind: 'darkerThanPicture', share: 0.81 } } as const;
  expect(questionWords(tree, 'white')).toBe('This is darker than most of the picture. Is it white paper?');
  expect(questionWords({ ...tree, why: { ...tree.why, share: 0.3 } }, 'card')).toBe('This is darker than much of the picture. Is it the grey card?');
  const apart = { patch: 1, why: { kind: 'disagrees', with: 0 } } as const;
  expect(questionsWords({ against: '', notes: [], field: null, questions: [apart] }, [{ kind: 'white' }, { kind: 'white' }])).toEqual([
    'Patch 2: This and patch 1 differ by more than the light explains. Is it white paper?',
  ]);
  expect(paperQuestion(0.6)).toBe('This is darker than most of the picture. Is it white paper?');
});
