//! What the page may ask the shell for; one function a command.

import { invoke } from '@tauri-apps/api/core';
import { listen } from '@tauri-apps/api/event';
import type {
  BandsInfo,
  BandsSetting,
  CircumstancesTold,
  DifferenceInfo,
  ErrorInfo,
  FrameCorners,
  LiveAsk,
  LiveInfo,
  Offered,
  PatchAt,
  PatchName,
  PhotoInfo,
  SoftSizes,
  SpotAt,
  SpotInfo,
  Versions,
} from './generated';

/** A photograph that the shell holds ready to be opened, by its number. */
export type Offer = number;

/** Opens the platform's own picker; null when the painter took nothing. */
export function choosePhoto(): Promise<Offer | null> {
  return invoke('choose_photo');
}

/** What the program was started with, if anything. */
export function waitingOffer(): Promise<Offered | null> {
  return invoke('waiting_offer');
}

/** What was pasted, where the web view doesn't show it to the page; null where that is no picture. */
export function pastedOffer(): Promise<Offer | null> {
  return invoke('pasted_offer');
}

export function openOffer(offer: Offer, job: number): Promise<PhotoInfo> {
  return invoke('open_offer', { offer, job });
}

/** Opens a file's bytes that the page was given: pasted, or picked on a phone. */
export function openSent(bytes: ArrayBuffer, name: string, job: number): Promise<PhotoInfo> {
  return invoke('open_sent', bytes, { headers: { 'x-name': encodeURIComponent(name), 'x-job': String(job) } });
}

export function openDemo(job: number): Promise<PhotoInfo> {
  return invoke('open_demo', { job });
}

/** A number for work that can be followed and called off. */
export function nextJob(): number {
  return ++lastJob;
}

let lastJob = 0;

export function cancelOpen(job: number): Promise<void> {
  return invoke('cancel_open', { job });
}

/** How much of a job is done, 0 to 1. */
export function progressOf(job: number): Promise<number> {
  return invoke('progress_of', { job });
}

/** Turns a photo clockwise by quarters; the turned one has a new id. */
export function turnPhoto(id: number, quarters: number): Promise<PhotoInfo> {
  return invoke('turn_photo', { id, quarters });
}

export function closePhoto(id: number): Promise<void> {
  return invoke('close_photo', { id });
}

/** Tells the light of a photo; the lit one has a new id. No patches: as the camera saw it. */
export function setLight(id: number, patches: readonly PatchAt[], circumstances: CircumstancesTold): Promise<PhotoInfo> {
  return invoke('set_light', { id, patches, circumstances });
}

/** The L* that a patch of a kind has unless measured otherwise. */
export function usualTone(kind: PatchName): Promise<number> {
  return invoke('usual_tone', { kind });
}

export function setBands(id: number, setting: BandsSetting, frame: FrameCorners | null): Promise<BandsInfo> {
  return invoke('set_bands', { id, setting, frame });
}

/** Bands where no picture is open. */
export function bandsAlone(setting: BandsSetting): Promise<BandsInfo> {
  return invoke('bands_alone', { setting });
}

export function readSpot(id: number, spot: SpotAt, edges: number[]): Promise<SpotInfo> {
  return invoke('read_spot', { id, spot, edges });
}

export function compareSpots(id: number, first: SpotAt, second: SpotAt, edges: number[]): Promise<DifferenceInfo | null> {
  return invoke('compare_spots', { id, first, second, edges });
}

/** A camera was opened, whose frames have so many columns and rows. */
export function beginLive(width: number, height: number): Promise<SoftSizes> {
  return invoke('begin_live', { width, height });
}

/** Reads a frame: `patches` are RGBA, the whole at a glance, the paper's window where there is one, each pin's. */
export function readLive(ask: LiveAsk, patches: Uint8Array<ArrayBuffer>): Promise<LiveInfo> {
  return invoke('read_live', patches, { headers: { 'x-live': encodeURIComponent(JSON.stringify(ask)) } });
}

export function setLiveBands(setting: BandsSetting): Promise<BandsInfo> {
  return invoke('set_live_bands', { setting });
}

/** Hears of files dropped on the window. */
export function onOffered(heard: (offered: Offered) => void): Promise<() => void> {
  return listen<Offered>('offered', ({ payload }) => heard(payload));
}

/** Hears that the program was started again, and on which file, if any. */
export function onStartedAgain(heard: (offered: Offered | null) => void): Promise<() => void> {
  return listen<Offered | null>('again', ({ payload }) => heard(payload));
}

/** Hears whether files are held over the window. */
export async function onHeldOver(heard: (held: boolean) => void): Promise<() => void> {
  const stops = await Promise.all([
    listen('tauri://drag-enter', () => heard(true)),
    listen('tauri://drag-leave', () => heard(false)),
    listen('tauri://drag-drop', () => heard(false)),
  ]);
  return () => stops.forEach((stop) => stop());
}

/** What runs here. */
export function versions(): Promise<Versions> {
  return invoke('versions');
}

/** Shows the log's folder in the system's file manager. */
export function showLog(): Promise<void> {
  return invoke('show_log');
}

/** What a rejected command said; anything else that was thrown becomes an error of the program's own. */
export function errorInfo(thrown: unknown): ErrorInfo {
  if (typeof thrown === 'object' && thrown !== null && 'code' in thrown && 'message' in thrown && 'hint' in thrown) {
    return thrown as ErrorInfo;
  }
  const message = thrown instanceof Error ? thrown.message : String(thrown);
  return { code: 'program', message: `Something went wrong inside: ${message}`, hint: 'Try again. The picture on the screen is still good.' };
}
