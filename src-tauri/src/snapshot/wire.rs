//! Snapshots as the page knows them.

use crate::error::Error;
use crate::light::wire::{CircumstancesTold, PatchAt};
use crate::photo::wire::PhotoInfo;
use crate::reading::wire::{BandsInfo, BandsSetting, FrameCorners, NoReadingName, SpotAt, VerdictInfo};
use crate::session::wire::SessionInfo;
use crate::state::{OpenPhoto, Shell};
use serde::{Deserialize, Serialize};
use tonefast_core::{
    Changes, Moment, PinChange, Seen, SeenBands, SeenKind, SeenLight, SeenPatch, SeenPin, SeenSpot,
    SeenSquint, SeenUnread, SeenView, SeenWhy, Snapshot,
};

/// What is to be kept.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct KeepAsk {
    /// The open photo.
    pub(crate) photo: u32,
    /// The uuid of the session that it goes into; one is begun where it is none or gone.
    pub(crate) session: Option<String>,
    pub(crate) title: String,
    pub(crate) note: String,
    /// Year-month-day where the painter is: the day of a session that is begun.
    pub(crate) today: String,
    pub(crate) shown: Shown,
}

/// What is on the screen.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct Shown {
    pub(crate) view: ViewShown,
    pub(crate) squint: Option<SquintShown>,
    pub(crate) bands: BandsSetting,
    pub(crate) frame: Option<FrameCorners>,
    pub(crate) pins: Vec<PinShown>,
    pub(crate) patches: Vec<PatchShown>,
    pub(crate) circumstances: CircumstancesTold,
}

/// A view.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum ViewShown {
    Colour,
    Lightness,
    Bands,
    Outlines,
}

/// How far the eyes are closed.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum SquintShown {
    Slight,
    Half,
    Nearly,
}

/// A pin.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PinShown {
    pub(crate) letter: String,
    pub(crate) name: String,
    pub(crate) spot: SpotAt,
    /// What casts doubt on it, in words.
    pub(crate) warnings: Vec<String>,
}

/// A patch of known tone, and what the painter calls it.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PatchShown {
    pub(crate) name: String,
    pub(crate) patch: PatchAt,
}

/// A snapshot that was kept, and where.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct KeptInfo {
    pub(crate) snapshot: SnapshotInfo,
    pub(crate) session: SessionInfo,
}

/// A snapshot.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct SnapshotInfo {
    id: i64,
    session: i64,
    title: String,
    note: String,
    /// Milliseconds since 1970, UTC.
    kept: i64,
    /// Whether its photo was left out as it came in: it can be looked at and printed, and not measured again.
    left_out: bool,
    view: ViewShown,
    squint: Option<SquintShown>,
    /// The share of each band, lightest first.
    shares: Vec<f64>,
    pins: Vec<PinKept>,
    /// Pins that had no reading.
    unread: Vec<PinUnread>,
    /// What readings stood on, in words; none where there are none.
    against: Option<String>,
}

/// A pin as it was kept.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PinKept {
    letter: String,
    name: String,
    band: usize,
    lightness: f64,
    repeatable: f64,
    plus_minus: Option<f64>,
    warnings: Vec<String>,
}

/// A pin that had no reading, and why.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PinUnread {
    letter: String,
    name: String,
    why: NoReadingName,
}

/// A snapshot, opened as it was.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct OpenedSnapshot {
    photo: PhotoInfo,
    snapshot: SnapshotInfo,
    session: SessionInfo,
    shown: Shown,
    /// The bands with the very edges that were kept.
    bands: BandsInfo,
    /// The version of core that read it, where it is another than this one.
    read_by: Option<String>,
}

/// What changed from one snapshot to another.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct ChangesInfo {
    /// Whether they are of two photos.
    two_photos: bool,
    /// For each band, lightest first: its share in the second less that in the first; none where bands differ.
    shares: Option<Vec<f64>>,
    pins: Vec<PinChangeInfo>,
    /// Letters of pins that only the first has.
    only_first: Vec<String>,
    /// Letters of pins that only the second has.
    only_second: Vec<String>,
}

/// What changed at a pin.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PinChangeInfo {
    before: PinKept,
    after: PinKept,
    /// L* after less L* before.
    lightness: f64,
    repeatable: f64,
    plus_minus: Option<f64>,
    verdict: VerdictInfo,
}

impl SnapshotInfo {
    pub(crate) fn new(snapshot: Snapshot) -> Self {
        let Snapshot { id, uuid: _, session, photo: _, title, note, kept: Moment(kept), left_out, seen } =
            snapshot;
        let against = seen.pins.first().map(|pin| pin.against.clone());
        let Seen { view, squint, shares, pins, unread, .. } = seen;
        Self {
            id,
            session,
            title,
            note,
            kept,
            left_out,
            view: view.into(),
            squint: squint.map(Into::into),
            shares,
            pins: pins.into_iter().map(Into::into).collect(),
            unread: unread.into_iter().map(Into::into).collect(),
            against,
        }
    }
}

impl OpenedSnapshot {
    pub(crate) fn new(shell: &Shell, open: OpenPhoto, snapshot: Snapshot) -> Result<Self, Error> {
        let seen = &snapshot.seen;
        let frame = seen.counted()?;
        let histogram = open.photo.tonal_map().histogram(frame.as_ref());
        let bands = BandsInfo::new(&seen.division()?, &histogram);
        let session = shell.studio.with(|studio| Ok(studio.session(snapshot.session)?))?;
        let read_by = (seen.core != Seen::CORE).then(|| seen.core.clone());
        let shown = Shown::from(seen);
        let id = shell.keep_restored(open);
        let photo = PhotoInfo::new(id, &*shell.photo(id)?);
        Ok(Self {
            photo,
            snapshot: SnapshotInfo::new(snapshot),
            session: session.into(),
            shown,
            bands,
            read_by,
        })
    }
}

impl From<&Seen> for Shown {
    fn from(seen: &Seen) -> Self {
        let Seen {
            format: _,
            core: _,
            quarters: _,
            size: _,
            view,
            squint,
            bands,
            edges,
            shares: _,
            frame,
            pins,
            unread,
            light: SeenLight { patches, beyond_the_paper, lifted, wet },
        } = seen;
        let count = edges.len() + 1;
        let bands = match bands {
            SeenBands::Even => BandsSetting::Even { count },
            SeenBands::Fitted => BandsSetting::Fitted { count },
            SeenBands::ByHand => BandsSetting::ByHand { edges: edges.clone() },
        };
        Self {
            view: (*view).into(),
            squint: squint.map(Into::into),
            bands,
            frame: frame.map(FrameCorners),
            pins: pins_shown(pins, unread),
            patches: patches.iter().map(Into::into).collect(),
            circumstances: CircumstancesTold {
                beyond_the_paper: *beyond_the_paper,
                lifted: *lifted,
                wet: *wet,
            },
        }
    }
}

impl From<&SeenPin> for PinShown {
    fn from(pin: &SeenPin) -> Self {
        let SeenPin { letter, name, spot: SeenSpot(x, y, radius), warnings, .. } = pin;
        let spot = SpotAt { x: *x, y: *y, radius: *radius };
        Self { letter: letter.clone(), name: name.clone(), spot, warnings: warnings.clone() }
    }
}

impl From<&SeenUnread> for PinShown {
    fn from(SeenUnread { letter, name, spot: SeenSpot(x, y, radius), why: _ }: &SeenUnread) -> Self {
        let spot = SpotAt { x: *x, y: *y, radius: *radius };
        Self { letter: letter.clone(), name: name.clone(), spot, warnings: Vec::new() }
    }
}

/// All pins by their letters, with a reading or without.
fn pins_shown(pins: &[SeenPin], unread: &[SeenUnread]) -> Vec<PinShown> {
    let mut all: Vec<PinShown> = pins.iter().map(Into::into).chain(unread.iter().map(Into::into)).collect();
    all.sort_by(|a, b| a.letter.cmp(&b.letter));
    all
}

impl From<SeenUnread> for PinUnread {
    fn from(SeenUnread { letter, name, spot: _, why }: SeenUnread) -> Self {
        let why = match why {
            SeenWhy::LighterThanWhite => NoReadingName::LighterThanWhite,
            SeenWhy::CutOff => NoReadingName::CutOff,
            SeenWhy::Outside => NoReadingName::Outside,
            SeenWhy::TooUncertain => NoReadingName::TooUncertain,
        };
        Self { letter, name, why }
    }
}

impl From<&SeenPatch> for PatchShown {
    fn from(patch: &SeenPatch) -> Self {
        let &SeenPatch { kind, ref name, spot: SeenSpot(x, y, radius), lightness, confirmed } = patch;
        let patch = PatchAt { kind: kind.into(), x, y, radius, lightness, confirmed };
        Self { name: name.clone(), patch }
    }
}

impl From<SeenPin> for PinKept {
    fn from(pin: SeenPin) -> Self {
        let SeenPin { letter, name, lightness, plus_minus, repeatable, band, warnings, .. } = pin;
        Self { letter, name, band, lightness, repeatable, plus_minus, warnings }
    }
}

impl From<Changes> for ChangesInfo {
    fn from(changes: Changes) -> Self {
        let Changes { two_photos, shares, pins, alone: (only_first, only_second) } = changes;
        Self { two_photos, shares, pins: pins.into_iter().map(Into::into).collect(), only_first, only_second }
    }
}

impl From<PinChange> for PinChangeInfo {
    fn from(change: PinChange) -> Self {
        let PinChange { pins: (before, after), lightness, plus_minus, repeatable, verdict } = change;
        let (before, after) = (before.into(), after.into());
        Self { before, after, lightness, repeatable, plus_minus, verdict: verdict.into() }
    }
}

impl From<ViewShown> for SeenView {
    fn from(view: ViewShown) -> Self {
        match view {
            ViewShown::Colour => Self::Colour,
            ViewShown::Lightness => Self::Lightness,
            ViewShown::Bands => Self::Bands,
            ViewShown::Outlines => Self::Outlines,
        }
    }
}

impl From<SeenView> for ViewShown {
    fn from(view: SeenView) -> Self {
        match view {
            SeenView::Colour => Self::Colour,
            SeenView::Lightness => Self::Lightness,
            SeenView::Bands => Self::Bands,
            SeenView::Outlines => Self::Outlines,
        }
    }
}

impl From<SquintShown> for SeenSquint {
    fn from(squint: SquintShown) -> Self {
        match squint {
            SquintShown::Slight => Self::Slight,
            SquintShown::Half => Self::Half,
            SquintShown::Nearly => Self::Nearly,
        }
    }
}

impl From<SeenSquint> for SquintShown {
    fn from(squint: SeenSquint) -> Self {
        match squint {
            SeenSquint::Slight => Self::Slight,
            SeenSquint::Half => Self::Half,
            SeenSquint::Nearly => Self::Nearly,
        }
    }
}

impl From<SeenKind> for crate::light::wire::PatchName {
    fn from(kind: SeenKind) -> Self {
        match kind {
            SeenKind::White => Self::White,
            SeenKind::Card => Self::Card,
            SeenKind::Dark => Self::Dark,
            SeenKind::Step => Self::Step,
        }
    }
}
