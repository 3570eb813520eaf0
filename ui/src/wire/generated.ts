// Written by `cargo test -p tonefast` from the shell's wire types. Do not edit.

export type ErrorInfo = { 
/**
 * Whose fault it is.
 */
code: ErrorCode, 
/**
 * What happened.
 */
message: string, 
/**
 * What to do.
 */
hint: string, };

export type ErrorCode = "file" | "limit" | "cancelled" | "gone" | "caller" | "program";

export type Offered = { offer: number, name: string, };

export type PhotoInfo = { 
/**
 * What it is known by.
 */
id: number, 
/**
 * The file's name.
 */
name: string, 
/**
 * Columns of the working copy; spots and regions are in its pixels.
 */
width: number, 
/**
 * Rows of the working copy.
 */
height: number, 
/**
 * Columns in the file, upright.
 */
fullWidth: number, 
/**
 * Rows in the file, upright.
 */
fullHeight: number, 
/**
 * What was noticed, in words.
 */
noticed: Array<string>, 
/**
 * Columns and rows of the softened pictures.
 */
soft: SoftSizes, 
/**
 * Columns and rows of the thumbnail.
 */
thumbnail: [number, number], 
/**
 * The number that stays while its light is told anew.
 */
subject: number, 
/**
 * The light that was told.
 */
light: LightInfo | null, };

export type SoftSizes = { slight: [number, number], half: [number, number], nearly: [number, number], };

export type PatchAt = { kind: PatchName, 
/**
 * Pixels of the working copy.
 */
x: number, y: number, radius: number, 
/**
 * Its known L*.
 */
lightness: number, };

export type PatchName = "white" | "card" | "dark" | "step";

export type CircumstancesTold = { beyondThePaper: boolean, lifted: boolean, wet: boolean, };

export type LightInfo = { 
/**
 * What readings stand on, in words.
 */
against: string, 
/**
 * What should be told, in words.
 */
notes: Array<string>, 
/**
 * Light that was evened out; none where it was taken as even.
 */
field: FieldInfo | null, };

export type FieldInfo = { columns: number, rows: number, 
/**
 * Relative light at the middle of each cell, row by row, as the 8-bit sRGB grey that shows it.
 */
greys: Array<number>, 
/**
 * The least and the most light, relative to its mean over the papers.
 */
least: number, most: number, };

export type BandsSetting = { "kind": "even", count: number, } | { "kind": "fitted", count: number, } | { "kind": "byHand", edges: Array<number>, };

export type BandsInfo = { 
/**
 * L* of the edges, from light to dark.
 */
edges: Array<number>, 
/**
 * The 8-bit sRGB grey of each band, lightest first.
 */
greys: Array<number>, 
/**
 * The share of each band, 0 to 1, lightest first.
 */
shares: Array<number>, };

export type FrameCorners = [[number, number], [number, number], [number, number], [number, number]];

export type SpotAt = { x: number, y: number, radius: number, };

export type ReadingInfo = { 
/**
 * L* under D65 of the mean of Y.
 */
lightness: number, 
/**
 * Median L*.
 */
median: number, 
/**
 * Texture: standard deviation of L*.
 */
spread: number, 
/**
 * Half of the 95 % interval of the mean: how repeatable it is.
 */
repeatable: number, 
/**
 * CIELAB chroma.
 */
chroma: number, 
/**
 * CIELAB hue angle in degrees.
 */
hue: number | null, 
/**
 * The hue's name.
 */
hueName: HueName | null, 
/**
 * How far from grey.
 */
intensity: IntensityName, 
/**
 * Band, 1 = lightest.
 */
band: number, 
/**
 * L* to the nearest edge.
 */
edgeDistance: number, 
/**
 * The band beyond that edge.
 */
edgeBand: number, 
/**
 * Pixels measured.
 */
pixels: number, 
/**
 * What casts doubt on it.
 */
warnings: Array<WarningInfo>, 
/**
 * By how much a vivid colour looks lighter than it measures: the least and the most, in L*.
 */
looksLighterBy: [number, number] | null, 
/**
 * How its neighbours push it.
 */
pushed: PushedInfo | null, 
/**
 * What it stands on, in words.
 */
against: string, 
/**
 * Half of its 90 % interval; none where no light was told.
 */
plusMinus: number | null, };

export type PushedInfo = { 
/**
 * L* of its surroundings.
 */
surroundings: number, 
/**
 * By how much lighter it looks there than on middle grey.
 */
by: number, };

export type WarningInfo = { "kind": "clippedLight", share: number, } | { "kind": "clippedDark", share: number, } | { "kind": "uneven", spread: number, } | { "kind": "onEdge", band: number, } | { "kind": "fewPixels", pixels: number, } | { "kind": "aboveWhite", share: number, };

export type HueName = "red" | "orange" | "yellow" | "yellowGreen" | "green" | "blueGreen" | "blue" | "violetBlue" | "violet" | "rose";

export type IntensityName = "neutral" | "greyed" | "muted" | "strong" | "vivid";

export type DifferenceInfo = { 
/**
 * L* of the second less L* of the first.
 */
lightness: number, 
/**
 * Half of its 95 % interval.
 */
repeatable: number, 
/**
 * Band of the second less band of the first.
 */
bands: number, 
/**
 * In words.
 */
verdict: VerdictInfo, 
/**
 * Half of the 90 % interval of `lightness`; none where no light was told.
 */
plusMinus: number | null, };

export type VerdictInfo = { "kind": "sameTone" } | { "kind": "cannotTell" } | { "kind": "darker", step: StepName, } | { "kind": "lighter", step: StepName, };

export type StepName = "shade" | "plain" | "clear" | "far";

export type LiveAsk = { 
/**
 * When the frame was taken, in seconds from any start.
 */
time: number, 
/**
 * L* of the bands' edges, from light to dark.
 */
edges: Array<number>, 
/**
 * Columns and rows of the samples of the whole frame.
 */
overview: [number, number], 
/**
 * White paper, where it was tapped.
 */
paper: PaperAsk | null, 
/**
 * The pins.
 */
pins: Array<PinAsk>, 
/**
 * The letters of the two that are compared.
 */
pair: [string, string] | null, };

export type PaperAsk = { 
/**
 * Another number is another tap.
 */
number: number, 
/**
 * Where it was tapped, in the frame's pixels.
 */
x: number, y: number, radius: number, 
/**
 * Its known L*.
 */
lightness: number, 
/**
 * The frame's pixel that the window's first sample is.
 */
left: number, top: number, 
/**
 * The frame's pixels from one sample to the next.
 */
step: number, 
/**
 * Columns and rows of samples.
 */
size: [number, number], };

export type PinAsk = { letter: string, 
/**
 * Where it stands in the frame's pixels.
 */
x: number, y: number, radius: number, 
/**
 * The frame's pixel that the patch's first is.
 */
left: number, top: number, 
/**
 * Columns and rows.
 */
size: [number, number], };

export type LiveInfo = { readings: Array<LiveReadingInfo>, difference: DifferenceInfo | null, paper: PaperInfo | null, 
/**
 * Why what was tapped is no paper.
 */
refused: string | null, 
/**
 * What the readings stand on.
 */
against: LiveAgainst, 
/**
 * What each channel's linear light is multiplied by.
 */
gains: [number, number, number], 
/**
 * The share of each band, 0 to 1, lightest first.
 */
shares: Array<number>, 
/**
 * The share of the whole that is blown out.
 */
clippedLight: number, 
/**
 * The share that is black.
 */
clippedDark: number, 
/**
 * Whether so much is blown out that a source of light may be in the picture.
 */
glaring: boolean, };

export type LiveReadingInfo = { letter: string, reading: ReadingInfo, 
/**
 * Standard deviation of L* from frame to frame.
 */
unsteadiness: number, 
/**
 * Whether there are enough frames to go by.
 */
settled: boolean, };

export type LiveAgainst = "camera" | "paper";

export type PaperInfo = { 
/**
 * Where it was last seen, in the frame's pixels.
 */
x: number, y: number, sight: SightName, 
/**
 * By how many stops the exposure has risen since it was tapped.
 */
drift: number, 
/**
 * Whether that is worth telling.
 */
drifted: boolean, };

export type SightName = "followed" | "sought" | "lost" | "clipped";
