//! What the page may ask of the studio; one function a command.

import { convertFileSrc, invoke } from '@tauri-apps/api/core';
import { listen } from '@tauri-apps/api/event';
import type {
  About,
  BroughtIn,
  ChangesInfo,
  CloseHow,
  ClosingInfo,
  FoundInfo,
  HandedOut,
  KeepAsk,
  KeptAnswer,
  KeptThing,
  LayoutName,
  OpenedSnapshot,
  OrderName,
  PaperName,
  SessionInfo,
  SetAsideInfo,
  SnapshotInfo,
  StudioInfo,
  TrashInfo,
  UndrawnInfo,
} from './generated';
import type { Offer } from './invoke';

export function studioState(): Promise<StudioInfo> {
  return invoke('studio_state');
}

/** Sets the studio aside, and begins a new one; the folder where the old one lies. */
export function setStudioAside(): Promise<string> {
  return invoke('set_studio_aside');
}

/** The studios that are set aside, the last used first. */
export function listSetAside(): Promise<SetAsideInfo[]> {
  return invoke('list_set_aside');
}

/** Brings a studio back that was set aside; the present one is set aside. */
export function bringStudioBack(name: string): Promise<void> {
  return invoke('bring_studio_back', { name });
}

/** Sets the studio aside and restores a backup in its place; how many sessions it holds. */
export function restoreBackup(offer: Offer, job: number): Promise<number> {
  return invoke('restore_backup', { offer, job });
}

export function keptSettings(): Promise<Record<string, string>> {
  return invoke('settings');
}

export function keepSetting(name: string, value: string): Promise<void> {
  return invoke('keep_setting', { name, value });
}

export function listSessions(order: OrderName): Promise<SessionInfo[]> {
  return invoke('list_sessions', { order });
}

export function beginSession(about: About): Promise<SessionInfo> {
  return invoke('begin_session', { about });
}

export function describeSession(id: number, about: About): Promise<SessionInfo> {
  return invoke('describe_session', { id, about });
}

export function duplicateSession(id: number): Promise<SessionInfo> {
  return invoke('duplicate_session', { id });
}

/** Sessions and snapshots in which every word begins a word. */
export function searchKept(words: string): Promise<FoundInfo> {
  return invoke('search_kept', { words });
}

/** Puts something into the trash; `picturesToo`: with the pictures of its snapshots in the painter's folder. */
export function deleteKept(what: KeptThing, picturesToo: boolean): Promise<void> {
  return invoke('delete_kept', { what, picturesToo });
}

export function bringBack(what: KeptThing): Promise<void> {
  return invoke('bring_back', { what });
}

export function listDeleted(): Promise<TrashInfo> {
  return invoke('list_deleted');
}

export function keepSnapshot(ask: KeepAsk): Promise<KeptAnswer> {
  return invoke('keep_snapshot', { ask });
}

/** Tries again to keep what waits in memory. */
export function keepWaiting(): Promise<KeptAnswer> {
  return invoke('keep_waiting');
}

/** Closes the window, or answers why not. */
export function closeWindow(how: CloseHow): Promise<ClosingInfo> {
  return invoke('close_window', { how });
}

/** Hears that the window is to be closed: the page must have it closed. */
export function onClosing(heard: () => void): Promise<() => void> {
  return listen('closing', () => heard());
}

export function listSnapshots(session: number): Promise<SnapshotInfo[]> {
  return invoke('list_snapshots', { session });
}

/** Gives a snapshot another title or note; null leaves it as it is. */
export function describeSnapshot(id: number, title: string | null, note: string | null): Promise<SnapshotInfo> {
  return invoke('describe_snapshot', { id, title, note });
}

export function moveSnapshot(id: number, session: number): Promise<void> {
  return invoke('move_snapshot', { id, session });
}

export function duplicateSnapshot(id: number): Promise<SnapshotInfo> {
  return invoke('duplicate_snapshot', { id });
}

/** Opens a snapshot's photo as it stood when it was kept. */
export function openSnapshot(id: number, job: number): Promise<OpenedSnapshot> {
  return invoke('open_snapshot', { id, job });
}

export function compareSnapshots(first: number, second: number): Promise<ChangesInfo> {
  return invoke('compare_snapshots', { first, second });
}

/** Snapshots that have no picture in the painter's folder. */
export function listUndrawn(): Promise<UndrawnInfo[]> {
  return invoke('list_undrawn');
}

export function drawAgain(): Promise<void> {
  return invoke('draw_again');
}

/** The path of a snapshot's picture in the painter's folder. */
export function pictureOf(id: number): Promise<string | null> {
  return invoke('picture_of', { id });
}

export function handOut(session: number, withOriginals: boolean, job: number): Promise<HandedOut> {
  return invoke('hand_out', { session, withOriginals, job });
}

export function backUp(today: string, withOriginals: boolean, job: number): Promise<HandedOut> {
  return invoke('back_up', { today, withOriginals, job });
}

/** Opens the platform's own picker for what was handed out; null when the painter took nothing. */
export function chooseParcel(): Promise<Offer | null> {
  return invoke('choose_parcel');
}

export function bringIn(offer: Offer, job: number): Promise<BroughtIn> {
  return invoke('bring_in', { offer, job });
}

/** Hears which snapshots are still without a picture, whenever some were drawn. */
export function onDrawn(heard: (undrawn: UndrawnInfo[]) => void): Promise<() => void> {
  return listen<UndrawnInfo[]>('drawn', ({ payload }) => heard(payload));
}

/** The address of a snapshot's small picture: to find it by, not to judge tone by. */
export function smallPicture(id: number): string {
  return `${convertFileSrc('', 'picture')}snapshots/${id}`;
}

/** The address of the picture that came in with a snapshot whose photo was left out. */
export function drawnPicture(id: number): string {
  return `${convertFileSrc('', 'picture')}drawn/${id}`;
}

/** Prints snapshots on pages, as a PDF in the painter's own folder. */
export function printHandout(snapshots: readonly number[], paper: PaperName, layout: LayoutName, job: number): Promise<HandedOut> {
  return invoke('print_handout', { snapshots, paper, layout, job });
}
