import { expect, test } from 'vitest';
import type { CloseHow, ClosingInfo, KeptAnswer } from '../wire/generated';
import { Closing } from './closing.svelte';
import { Soon, doAllNow } from './soon';

const why = { code: 'disk', message: 'the disk is full', hint: 'Make room.' } as const;
const kinds = { snapshots: 1, strips: 0, paints: 0 };
const waiting: KeptAnswer = { kept: null, strip: null, waiting: 1, kinds, trouble: why, lost: null };

function closing(answers: ClosingInfo[]) {
  const asked: CloseHow[] = [];
  const close = (how: CloseHow) => {
    asked.push(how);
    return Promise.resolve(answers.shift() ?? { kind: 'closes' as const });
  };
  return { state: new Closing({ close }), asked };
}

test('it asks, sets aside, and only then loses', async () => {
  const { state, asked } = closing([{ kind: 'waits', answer: waiting }, { kind: 'lost', why }]);
  await state.ask();
  expect(state.answer?.kind).toBe('waits');
  expect(state.kinds).toEqual(kinds);
  await state.anyway();
  expect(state.answer?.kind).toBe('lost');
  await state.anyway();
  expect(asked).toEqual(['ask', 'setAside', 'lose']);
});

test('cancelled, it sets aside first again', async () => {
  const { state, asked } = closing([{ kind: 'waits', answer: waiting }, { kind: 'busy' }, { kind: 'waits', answer: waiting }]);
  await state.ask();
  await state.anyway();
  state.cancel();
  expect(state.answer).toBeNull();
  await state.ask();
  await state.anyway();
  expect(asked).toEqual(['ask', 'setAside', 'ask', 'setAside']);
});

test('what was typed last is kept before it asks', async () => {
  const soon = new Soon();
  const kept: string[] = [];
  soon.ask(async () => {
    await Promise.resolve();
    kept.push('typed');
  });
  const close = () => {
    kept.push('asked');
    return Promise.resolve({ kind: 'closes' as const });
  };
  await new Closing({ close }).ask();
  expect(kept).toEqual(['typed', 'asked']);
});

test('a keep that never ends is not waited for', async () => {
  const soon = new Soon();
  soon.ask(() => new Promise(() => undefined));
  await doAllNow();
});
