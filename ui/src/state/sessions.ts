//! What sessions and snapshots are called.

import type { SessionInfo, SnapshotInfo } from '../wire/generated';
import { dayWords, momentWords } from './days';

/** A session's title, or its day. */
export function sessionName({ about, begun }: SessionInfo): string {
  return about.title.trim() || dayWords(about.day.trim()) || momentWords(begun);
}

/** Where and when, as far as it is not its name. */
export function sessionWords(session: SessionInfo): string {
  const { title, place, day } = session.about;
  const words = [place.trim(), title.trim() ? dayWords(day.trim()) : ''];
  return words.filter((it) => it !== '').join(' · ');
}

export function countWords(count: number): string {
  return count === 1 ? '1 snapshot' : `${count} snapshots`;
}

/** A snapshot's title, or when it was kept. */
export function snapshotName({ title, kept }: SnapshotInfo): string {
  return title.trim() || momentWords(kept);
}
