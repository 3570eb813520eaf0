//! What is asked about the light.

import type { LightInfo, PatchName, QuestionInfo } from '../../wire/generated';

/** What a patch is said to be. */
export const STATED: Record<PatchName, string> = {
  white: 'white paper',
  card: 'the grey card',
  dark: 'matt and dark',
  step: 'a step of the grey scale',
};

/** Share of the picture from which it is most of it. */
const MOST = 0.5;

/** What is asked about a patch that is stated to be of a kind. */
export function questionWords({ why }: QuestionInfo, kind: PatchName): string {
  const asks = `Is it ${STATED[kind]}?`;
  switch (why.kind) {
    case 'darkerThanPicture':
      return `This is darker than ${partWords(why.share)} of the picture. ${asks}`;
    case 'disagrees':
      return `This and patch ${why.with + 1} differ by more than the light explains. ${asks}`;
  }
}

/** What is asked about what was tapped as paper under the camera. */
export function paperQuestion(share: number): string {
  return `This is darker than ${partWords(share)} of the picture. Is it white paper?`;
}

/** All that is asked, each with the mark that it is about. */
export function questionsWords({ questions }: LightInfo, patches: readonly { kind: PatchName }[]): string[] {
  return questions.flatMap((question) => {
    const patch = patches[question.patch];
    return patch ? [`Patch ${question.patch + 1}: ${questionWords(question, patch.kind)}`] : [];
  });
}

function partWords(share: number): string {
  return share > MOST ? 'most' : 'much';
}
