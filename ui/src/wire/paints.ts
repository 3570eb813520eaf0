//! What the page may ask the shell for about paints and strips; one function a command.

import { invoke } from '@tauri-apps/api/core';
import type {
  AtPaint,
  AtToneInfo,
  Corners,
  DabAsk,
  DabInfo,
  KeepStripAsk,
  KeptAnswer,
  OpenedStrip,
  PaintAboutInfo,
  PaintInfo,
  PaintsForm,
  PassageInfo,
  PrintAsk,
  RunTogetherInfo,
  StandInInfo,
  StripInfo,
} from './generated';

export const listPaints = (): Promise<PaintInfo[]> => invoke('list_paints');

export const describePaint = (uuid: string, about: PaintAboutInfo): Promise<KeptAnswer> => invoke('describe_paint', { uuid, about });

/** What each paint does at an L*. */
export const standIns = (lightness: number): Promise<StandInInfo[]> => invoke('stand_ins', { lightness });

/** What each paint does at the middle of each band, lightest first. */
export const paintsInBands = (edges: readonly number[]): Promise<[number, AtToneInfo[]][]> => invoke('paints_in_bands', { edges });

export const runTogether = (first: AtPaint, second: AtPaint): Promise<PassageInfo> => invoke('run_together', { first, second });

/** Each pair half and half: row by row, each with those after it. */
export const pairGrid = (washes: readonly AtPaint[]): Promise<RunTogetherInfo[][]> => invoke('pair_grid', { washes });

export const judgeDab = (meant: AtPaint, dab: DabAsk, wet: boolean): Promise<DabInfo> => invoke('judge_dab', { meant, dab, wet });

export const findStrips = (photo: number, paper: number): Promise<StripInfo[]> => invoke('find_strips', { photo, paper });

/** A strip whose swatches were marked; null where they can't be read. */
export const markStrip = (photo: number, paper: number, swatches: readonly Corners[]): Promise<StripInfo | null> =>
  invoke('mark_strip', { photo, paper, swatches });

export const findSwatch = (photo: number, at: readonly [number, number], beside: readonly Corners[]): Promise<Corners> =>
  invoke('find_swatch', { photo, at, beside });

export const cutSwatch = (swatch: Corners, beside: readonly Corners[]): Promise<[Corners, Corners]> => invoke('cut_swatch', { swatch, beside });

export const keepStrip = (ask: KeepStripAsk): Promise<KeptAnswer> => invoke('keep_strip', { ask });

/** Opens a strip's photo as it stood when the strip was read in it. */
export const openStrip = (id: number, job: number): Promise<OpenedStrip> => invoke('open_strip', { id, job });

/** Writes all paints as one file; where it lies. */
export const handOutPaints = (form: PaintsForm): Promise<string> => invoke('hand_out_paints', { form });

/** Prints paints as a file; where it lies. */
export const printPaints = (ask: PrintAsk): Promise<string> => invoke('print_paints', { ask });

/** Opens the platform's own picker; null when the painter took nothing. */
export const choosePaints = (): Promise<number | null> => invoke('choose_paints');

export const takeInPaints = (offer: number): Promise<PaintInfo[]> => invoke('take_in_paints', { offer });

/** Takes the starter box of invented paints in. */
export const takeStarterPaints = (): Promise<PaintInfo[]> => invoke('take_starter_paints');
