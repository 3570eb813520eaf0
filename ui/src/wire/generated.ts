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

export type ErrorCode = "file" | "limit" | "disk" | "cancelled" | "gone" | "caller" | "program";

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
 * What of that bears on its tones, so that it stands beside whatever is read.
 */
doubts: Array<string>, 
/**
 * The part that the file does not have: x, y, width and height in pixels of the working copy.
 */
missing: [number, number, number, number] | null, 
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
lightness: number, 
/**
 * It was questioned, and the painter said that it is what she stated.
 */
confirmed: boolean, };

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
 * What is asked about patches, which don't count meanwhile.
 */
questions: Array<QuestionInfo>, 
/**
 * Light that was evened out; none where it was taken as even.
 */
field: FieldInfo | null, };

export type QuestionInfo = { 
/**
 * The patch, counted from 0.
 */
patch: number, 
/**
 * What speaks against it.
 */
why: QuestionedInfo, };

export type QuestionedInfo = { "kind": "darkerThanPicture", share: number, } | { "kind": "disagrees", with: number, };

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
 * L* of each band's middle, lightest first: the tone that it asks paints for.
 */
middles: Array<number>, 
/**
 * The share of each band, 0 to 1, lightest first.
 */
shares: Array<number>, };

export type FrameCorners = [[number, number], [number, number], [number, number], [number, number]];

export type SpotAt = { x: number, y: number, radius: number, };

export type SpotInfo = { "kind": "reading", reading: ReadingInfo, } | { "kind": "noReading", why: NoReadingName, };

export type NoReadingName = "lighterThanWhite" | "cutOff" | "outside" | "tooUncertain";

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
 * It was questioned, and the painter said that it is paper.
 */
confirmed: boolean, 
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

export type LiveInfo = { readings: Array<LiveReadingInfo>, 
/**
 * Pins that have no reading just now.
 */
unread: Array<UnreadInfo>, difference: DifferenceInfo | null, paper: PaperInfo | null, 
/**
 * Why what was tapped is no paper.
 */
refused: string | null, 
/**
 * The share of the frame that would be lighter than a perfect white by what was tapped as paper, where that must be
 * asked about; it does not count meanwhile.
 */
questioned: number | null, 
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

export type UnreadInfo = { letter: string, why: NoReadingName, };

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

export type StudioInfo = { 
/**
 * Why it is not open.
 */
trouble: ErrorInfo | null, 
/**
 * Whether it may be set aside, so that a new one is begun.
 */
canBeSetAside: boolean, 
/**
 * Where pictures of snapshots go.
 */
pictures: string, 
/**
 * Where it lies itself.
 */
folder: string, };

export type SetAsideInfo = { 
/**
 * What it is known by.
 */
name: string, 
/**
 * When it was last written to: milliseconds since 1970, UTC.
 */
used: number, 
/**
 * How many sessions it has; none where it can't be read.
 */
sessions: number | null, };

export type SessionInfo = { id: number, 
/**
 * What settings, and what waits, call it.
 */
uuid: string, about: About, 
/**
 * Milliseconds since 1970, UTC.
 */
begun: number, 
/**
 * How many there are in it.
 */
snapshots: number, 
/**
 * The last kept of them.
 */
cover: number | null, };

export type About = { title: string, place: string, 
/**
 * Year-month-day, or as she writes it.
 */
day: string, notes: string, };

export type OrderName = "newest" | "title" | "place" | "day";

export type KeptThing = { "kind": "session", id: number, } | { "kind": "snapshot", id: number, } | { "kind": "paint", id: number, } | { "kind": "strip", id: number, } | { "kind": "photo", id: number, };

export type DeletedInfo = { what: KeptThing, title: string, 
/**
 * Milliseconds since 1970, UTC.
 */
deleted: number, };

export type TrashInfo = { 
/**
 * What is in it, the last deleted first.
 */
things: Array<DeletedInfo>, 
/**
 * How many photos go with it, and their bytes.
 */
photos: number, bytes: number, };

export type FoundInfo = { sessions: Array<SessionInfo>, snapshots: Array<SnapshotInfo>, };

export type KeepAsk = { 
/**
 * The open photo.
 */
photo: number, 
/**
 * The uuid of the session that it goes into; one is begun where it is none or gone.
 */
session: string | null, title: string, note: string, 
/**
 * Year-month-day where the painter is: the day of a session that is begun.
 */
today: string, shown: Shown, };

export type Shown = { view: ViewShown, squint: SquintShown | null, bands: BandsSetting, frame: FrameCorners | null, pins: Array<PinShown>, patches: Array<PatchShown>, circumstances: CircumstancesTold, };

export type ViewShown = "colour" | "lightness" | "bands" | "outlines";

export type SquintShown = "slight" | "half" | "nearly";

export type PinShown = { letter: string, name: string, spot: SpotAt, 
/**
 * What casts doubt on it, in words.
 */
warnings: Array<string>, };

export type PatchShown = { name: string, patch: PatchAt, };

export type KeptAnswer = { 
/**
 * The last snapshot that was kept.
 */
kept: KeptInfo | null, 
/**
 * The last strip that was kept.
 */
strip: KeptStripInfo | null, 
/**
 * How many wait in memory.
 */
waiting: number, 
/**
 * What they are.
 */
kinds: WaitingKinds, 
/**
 * What they wait for.
 */
trouble: ErrorInfo | null, 
/**
 * Why something will never be kept.
 */
lost: ErrorInfo | null, };

export type WaitingKinds = { snapshots: number, strips: number, 
/**
 * What is said of paints.
 */
paints: number, };

export type CloseHow = "ask" | "setAside" | "lose";

export type ClosingInfo = { "kind": "closes" } | { "kind": "waits", answer: KeptAnswer, } | { "kind": "busy" } | { "kind": "lost", why: ErrorInfo, };

export type KeptInfo = { snapshot: SnapshotInfo, session: SessionInfo, };

export type SnapshotInfo = { id: number, session: number, title: string, note: string, 
/**
 * Milliseconds since 1970, UTC.
 */
kept: number, 
/**
 * Whether its photo was left out as it came in: it can be looked at and printed, and not measured again.
 */
leftOut: boolean, view: ViewShown, squint: SquintShown | null, 
/**
 * The share of each band, lightest first.
 */
shares: Array<number>, pins: Array<PinKept>, 
/**
 * Pins that had no reading.
 */
unread: Array<PinUnread>, 
/**
 * What readings stood on, in words; none where there are none.
 */
against: string | null, };

export type PinKept = { letter: string, name: string, band: number, lightness: number, repeatable: number, plusMinus: number | null, warnings: Array<string>, };

export type PinUnread = { letter: string, name: string, why: NoReadingName, };

export type OpenedSnapshot = { photo: PhotoInfo, snapshot: SnapshotInfo, session: SessionInfo, shown: Shown, 
/**
 * The bands with the very edges that were kept.
 */
bands: BandsInfo, 
/**
 * The version of core that read it, where it is another than this one.
 */
readBy: string | null, };

export type ChangesInfo = { 
/**
 * Whether they are of two photos.
 */
twoPhotos: boolean, 
/**
 * For each band, lightest first: its share in the second less that in the first; none where bands differ.
 */
shares: Array<number> | null, pins: Array<PinChangeInfo>, 
/**
 * Letters of pins that only the first has.
 */
onlyFirst: Array<string>, 
/**
 * Letters of pins that only the second has.
 */
onlySecond: Array<string>, };

export type PinChangeInfo = { before: PinKept, after: PinKept, 
/**
 * L* after less L* before.
 */
lightness: number, repeatable: number, plusMinus: number | null, verdict: VerdictInfo, };

export type UndrawnInfo = { snapshot: number, 
/**
 * Why; none where it is still to be drawn.
 */
trouble: string | null, };

export type HandedOut = { 
/**
 * Where the file lies.
 */
path: string, 
/**
 * Photos that should have gone along, and whose files are gone or changed.
 */
missing: number, };

export type BroughtIn = { 
/**
 * The sessions that are here now.
 */
sessions: Array<SessionInfo>, 
/**
 * The file anew, where it is a backup and something is kept here already: see `restore_backup`.
 */
backup: number | null, };

export type PaperName = "a4" | "letter";

export type LayoutName = "grid" | "oneAPage";

export type PaintAboutInfo = { name: string, maker: string, 
/**
 * Colour Index names, as she writes them.
 */
pigments: string, 
/**
 * The paints that it was mixed from, as she writes them.
 */
mixedOf: string, notes: string, transparent: boolean, granulating: boolean, staining: boolean, };

export type PaintInfo = { id: number, 
/**
 * What settings call it.
 */
uuid: string, about: PaintAboutInfo, 
/**
 * Milliseconds since 1970, UTC.
 */
begun: number, 
/**
 * Its tone over strength; none before a strip of it was measured.
 */
curve: CurveInfo | null, 
/**
 * Pigments that were read, and what of the list is no name of one.
 */
pigments: Array<string>, unread: Array<string>, caution: CautionInfo, drying: DryingInfo, 
/**
 * The oldest first.
 */
strips: Array<StripKept>, };

export type CurveInfo = { 
/**
 * L* of its lightest and its darkest.
 */
light: number, dark: number, 
/**
 * Half of its 90 % interval in the middle of it, in L*.
 */
plusMinus: number, 
/**
 * On how many strips it stands, and whether those are wet.
 */
strips: number, wet: boolean, 
/**
 * The steps of her last strip.
 */
steps: Array<StepInfo>, 
/**
 * Its colours from the lightest down, at equal distances in L*.
 */
slices: Array<[number, number, number]>, 
/**
 * The step from which it gets lighter again.
 */
turnsAt: number | null, 
/**
 * CIELAB hue angle and chroma where it is most intense.
 */
hue: number | null, chroma: number, };

export type StepInfo = { lightness: number, plusMinus: number, srgb: [number, number, number], };

export type CautionInfo = { 
/**
 * Whether something is.
 */
harmful: boolean, says: string, 
/**
 * The usual care, a sentence each.
 */
care: Array<string>, sheet: string, 
/**
 * Where that was read, a line for each pigment.
 */
sources: Array<string>, };

export type DryingInfo = { 
/**
 * From so many strips that were read wet and dry; with 0, what is common.
 */
learnedFrom: number, 
/**
 * L*, at its strongest.
 */
masstone: number, };

export type StripKept = { id: number, laid: LaidName, wet: boolean, 
/**
 * Whether it was read wet, too.
 */
dried: boolean, day: string, paper: string, paperLightness: number, steps: Array<StepInfo>, 
/**
 * Milliseconds since 1970, UTC.
 */
kept: number, 
/**
 * Whether it was read in a photo that it can be shown in.
 */
pictured: boolean, 
/**
 * Whether that photo was left out as it came in.
 */
leftOut: boolean, };

export type LaidName = "washes" | "layers";

export type AtPaint = { paint: number, step: number, };

export type AtToneInfo = { "kind": "reaches", step: number, plusMinus: number, lightness: number, srgb: [number, number, number], } | { "kind": "staysLighter", by: number, } | { "kind": "staysDarker", by: number, };

export type StandInInfo = { paint: number, at: AtToneInfo, };

export type DabAsk = { lightness: number, plusMinus: number | null, chroma: number, 
/**
 * CIELAB hue angle in degrees.
 */
hue: number | null, };

export type StrangerInfo = { "kind": "hue", hueName: HueName, } | { "kind": "grey" };

export type DabInfo = { lightness: number, meant: number, 
/**
 * Steps by which it is too pale; below 0, too strong.
 */
paleBy: number, plusMinus: number, says: DabWord, 
/**
 * What colour it is, where that is not the paint's.
 */
stranger: StrangerInfo | null, };

export type DabWord = "right" | "littleMorePaint" | "morePaint" | "littleMoreWater" | "moreWater";

export type PassageInfo = { 
/**
 * From the first alone to the second alone.
 */
parts: Array<RunTogetherInfo>, 
/**
 * The first laid over the second when that is dry, and the second over the first.
 */
over: [GlazeInfo, GlazeInfo], 
/**
 * Where both together have many pigments.
 */
pigments: string | null, };

export type RunTogetherInfo = { 
/**
 * Share of the second by volume, 0 to 1.
 */
share: number, wash: WashInfo, intensity: IntensityName, hueName: HueName | null, 
/**
 * It has less chroma than either parent.
 */
lessVivid: boolean, outcome: OutcomeName, 
/**
 * Share of the parents' chroma that is lost.
 */
dullness: number, 
/**
 * Chance that the word is right.
 */
sureness: number, };

export type GlazeInfo = { darkest: WashInfo, lightest: WashInfo, 
/**
 * Whether the painter has said that the upper paint is transparent.
 */
transparent: boolean, };

export type WashInfo = { lightness: number, chroma: number, srgb: [number, number, number], };

export type OutcomeName = "clean" | "subdued" | "dull" | "neutral";

export type PaintsForm = "json" | "csv";

export type PrintAsk = { what: PrintName, form: FormName, paper: PaperName, 
/**
 * In their order.
 */
paints: Array<number>, 
/**
 * L* of the bands' edges, from light to dark, whose middles are a card's rows; but where one tone is asked for.
 */
edges: Array<number>, tone: number | null, 
/**
 * Whether band 1 is the darkest.
 */
turned: boolean, 
/**
 * In words.
 */
day: string, };

export type PrintName = "ranges" | "card" | "greyCard";

export type FormName = "pdf" | "svg";

export type Corners = [[number, number], [number, number], [number, number], [number, number]];

export type StripInfo = { 
/**
 * In their order along it, the lighter end first.
 */
steps: Array<StepInfo>, swatches: Array<Corners>, 
/**
 * 1 where all gaps are alike in L*, 0 where they are off by a whole even gap in the mean.
 */
evenness: number, 
/**
 * How many steps can be told apart.
 */
distinct: number, warnings: Array<StripWarningInfo>, 
/**
 * Spots of bare paper beside it, by which the photo's light can be stated.
 */
papers: Array<SpotAt>, };

export type StripWarningInfo = { "kind": "tooClose", steps: [number, number], } | { "kind": "tooFar", steps: [number, number], } | { "kind": "alike", steps: [number, number], } | { "kind": "turnsBack", steps: [number, number], } | { "kind": "glare", step: number, } | { "kind": "shadow" };

export type KeepStripAsk = { 
/**
 * Of its paint, which is begun where there is none.
 */
name: string, photo: number, swatches: Array<Corners>, paper: string, paperLightness: number, laid: LaidName, wet: boolean, 
/**
 * Year-month-day.
 */
day: string, };

export type KeptStripInfo = { 
/**
 * The name of its paint.
 */
paint: string, 
/**
 * Whether it is one that was read wet before.
 */
dried: boolean, };

export type OpenedStrip = { photo: PhotoInfo, 
/**
 * The name of its paint.
 */
name: string, swatches: Array<Corners>, paper: string, paperLightness: number, laid: LaidName, wet: boolean, };

export type Versions = { 
/**
 * This program.
 */
app: string, 
/**
 * The system.
 */
system: string, 
/**
 * What shows the page.
 */
webView: string, };
