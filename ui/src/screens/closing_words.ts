//! What waits, in words.

import type { WaitingKinds } from '../wire/generated';

/** Such as "2 snapshots, 1 strip and the notes on 1 paint". */
export function whatWaits({ snapshots, strips, paints }: WaitingKinds): string {
  const counted = (count: number, one: string) => `${count} ${one}${count === 1 ? '' : 's'}`;
  const parts = [
    ...(snapshots > 0 ? [counted(snapshots, 'snapshot')] : []),
    ...(strips > 0 ? [counted(strips, 'strip')] : []),
    ...(paints > 0 ? [`the notes on ${counted(paints, 'paint')}`] : []),
  ];
  const last = parts.pop() ?? 'nothing';
  return parts.length > 0 ? `${parts.join(', ')} and ${last}` : last;
}
