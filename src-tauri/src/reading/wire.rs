//! Bands, spots, readings and differences as the page knows them.

use crate::error::Error;
use serde::{Deserialize, Serialize};
use tonefast_core::{
    BandError, Bands, Difference, Frame, FrameError, Histogram, Hue, Intensity, Look, NoReading, Pushed,
    Reading, Spot, Step, Verdict, Warning,
};

/// How bands are set.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum BandsSetting {
    /// Equal widths in L*.
    Even { count: usize },
    /// The least squared error over the frame.
    Fitted { count: usize },
    /// Edges in L*, from light to dark.
    ByHand { edges: Vec<f32> },
}

/// Bands as they were set.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct BandsInfo {
    /// L* of the edges, from light to dark.
    edges: Vec<f32>,
    /// The 8-bit sRGB grey of each band, lightest first.
    greys: Vec<u8>,
    /// L* of each band's middle, lightest first: the tone that it asks paints for.
    middles: Vec<f64>,
    /// The share of each band, 0 to 1, lightest first.
    shares: Vec<f64>,
}

/// Corners [x, y] in fractions of the picture's width and height.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct FrameCorners(pub(crate) [[f64; 2]; 4]);

/// A spot in pixels of the working copy.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct SpotAt {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) radius: f64,
}

/// What may be said of a spot: a reading, or why there is none.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum SpotInfo {
    Reading { reading: Box<ReadingInfo> },
    NoReading { why: NoReadingName },
}

/// Why a spot has no reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum NoReadingName {
    /// A question: does it shine, or is a reference patch not what was stated?
    LighterThanWhite,
    /// The file is cut off there.
    CutOff,
    /// It lies outside the picture.
    Outside,
    /// The stated light leaves too much doubt.
    TooUncertain,
}

/// A reading.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct ReadingInfo {
    /// L* under D65 of the mean of Y.
    lightness: f64,
    /// Median L*.
    median: f64,
    /// Texture: standard deviation of L*.
    spread: f64,
    /// Half of the 95 % interval of the mean: how repeatable it is.
    repeatable: f64,
    /// CIELAB chroma.
    chroma: f64,
    /// CIELAB hue angle in degrees.
    hue: Option<f64>,
    /// The hue's name.
    hue_name: Option<HueName>,
    /// How far from grey.
    intensity: IntensityName,
    /// Band, 1 = lightest.
    band: usize,
    /// L* to the nearest edge.
    edge_distance: f64,
    /// The band beyond that edge.
    edge_band: usize,
    /// Pixels measured.
    pixels: usize,
    /// What casts doubt on it.
    warnings: Vec<WarningInfo>,
    /// By how much a vivid colour looks lighter than it measures: the least and the most, in L*.
    looks_lighter_by: Option<(f64, f64)>,
    /// How its neighbours push it.
    pushed: Option<PushedInfo>,
    /// What it stands on, in words.
    against: String,
    /// Half of its 90 % interval; none where no light was told.
    plus_minus: Option<f64>,
}

/// How a spot's neighbours push it.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PushedInfo {
    /// L* of its surroundings.
    surroundings: f64,
    /// By how much lighter it looks there than on middle grey.
    by: f64,
}

/// What casts doubt on a reading.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum WarningInfo {
    /// This share is as light as the file can say.
    ClippedLight { share: f64 },
    /// This share is black.
    ClippedDark { share: f64 },
    /// Its parts differ.
    Uneven { spread: f64 },
    /// The edge to this band lies within its uncertainty.
    OnEdge { band: usize },
    /// Only so many pixels.
    FewPixels { pixels: usize },
    /// This share is lighter than white in the light that was told.
    AboveWhite { share: f64 },
}

/// A hue's name.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum HueName {
    Red,
    Orange,
    Yellow,
    YellowGreen,
    Green,
    BlueGreen,
    Blue,
    VioletBlue,
    Violet,
    Rose,
}

/// How far from grey.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum IntensityName {
    Neutral,
    Greyed,
    Muted,
    Strong,
    Vivid,
}

/// How the second of two spots stands to the first.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct DifferenceInfo {
    /// L* of the second less L* of the first.
    lightness: f64,
    /// Half of its 95 % interval.
    repeatable: f64,
    /// Band of the second less band of the first.
    bands: i32,
    /// In words.
    verdict: VerdictInfo,
    /// Half of the 90 % interval of `lightness`; none where no light was told.
    plus_minus: Option<f64>,
}

/// What a difference amounts to.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum VerdictInfo {
    SameTone,
    CannotTell,
    Darker { step: StepName },
    Lighter { step: StepName },
}

/// How large a step of tone is.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum StepName {
    Shade,
    Plain,
    Clear,
    Far,
}

impl BandsSetting {
    pub(crate) fn divide(self, histogram: &Histogram) -> Result<Bands, BandError> {
        match self {
            Self::Even { count } => Bands::even(count),
            Self::Fitted { count } => Bands::fitted(count, histogram),
            Self::ByHand { edges } => Bands::by_hand(edges),
        }
    }
}

impl BandsInfo {
    pub(crate) fn new(bands: &Bands, histogram: &Histogram) -> Self {
        Self::with_shares(bands, histogram.shares(bands))
    }

    fn with_shares(bands: &Bands, shares: Vec<f64>) -> Self {
        let middles = (1..=bands.count()).map(|band| bands.middle(band)).collect();
        Self { edges: bands.edges().to_vec(), greys: bands.greys(), middles, shares }
    }

    /// Bands of the camera's picture; `histogram` is of its last frame, and none has been seen at first.
    pub(crate) fn of_live(setting: BandsSetting, histogram: Option<&Histogram>) -> Result<Self, BandError> {
        let Some(histogram) = histogram else {
            let bands = match setting {
                BandsSetting::Even { count } | BandsSetting::Fitted { count } => Bands::even(count),
                BandsSetting::ByHand { edges } => Bands::by_hand(edges),
            }?;
            let shares = vec![0.0; bands.count()];
            return Ok(Self::with_shares(&bands, shares));
        };
        let bands = setting.divide(histogram)?;
        Ok(Self::new(&bands, histogram))
    }
}

impl TryFrom<FrameCorners> for Frame {
    type Error = FrameError;

    fn try_from(FrameCorners(corners): FrameCorners) -> Result<Self, FrameError> {
        Self::new(corners)
    }
}

impl TryFrom<SpotAt> for Spot {
    type Error = Error;

    fn try_from(SpotAt { x, y, radius }: SpotAt) -> Result<Self, Error> {
        if x.is_finite() && y.is_finite() && (0.0..=f64::from(tonefast_core::WORKING_SIDE)).contains(&radius)
        {
            Ok(Self { x, y, radius })
        } else {
            Err(Error::Caller("a spot needs a place and a size".to_owned()))
        }
    }
}

impl From<Result<Reading, NoReading>> for SpotInfo {
    fn from(taken: Result<Reading, NoReading>) -> Self {
        match taken {
            Ok(reading) => Self::Reading { reading: Box::new(reading.into()) },
            Err(why) => Self::NoReading { why: why.into() },
        }
    }
}

impl From<NoReading> for NoReadingName {
    fn from(why: NoReading) -> Self {
        match why {
            NoReading::LighterThanWhite => Self::LighterThanWhite,
            NoReading::CutOff => Self::CutOff,
            NoReading::Outside => Self::Outside,
            // Core may learn of more; the page has a sentence for each that it was built with.
            _ => Self::TooUncertain,
        }
    }
}

impl From<Reading> for ReadingInfo {
    fn from(reading: Reading) -> Self {
        let Reading {
            lightness,
            median,
            spread,
            error,
            chroma,
            hue,
            hue_name,
            intensity,
            band,
            nearest_edge: (edge_distance, edge_band),
            pixels,
            warnings,
            look: Look { lighter_by, pushed },
            against,
            doubt,
        } = reading;
        Self {
            lightness,
            median,
            spread,
            repeatable: error.half_width(),
            chroma,
            hue,
            hue_name: hue_name.map(Into::into),
            intensity: intensity.into(),
            band,
            edge_distance,
            edge_band,
            pixels,
            warnings: warnings.into_iter().map(Into::into).collect(),
            looks_lighter_by: lighter_by,
            pushed: pushed.map(|Pushed { surroundings, by }| PushedInfo { surroundings, by }),
            against: against.to_string(),
            plus_minus: doubt.map(|doubt| doubt.plus_minus()),
        }
    }
}

impl From<Warning> for WarningInfo {
    fn from(warning: Warning) -> Self {
        match warning {
            Warning::ClippedLight(share) => Self::ClippedLight { share },
            Warning::ClippedDark(share) => Self::ClippedDark { share },
            Warning::Uneven(spread) => Self::Uneven { spread },
            Warning::OnEdge(band) => Self::OnEdge { band },
            Warning::FewPixels(pixels) => Self::FewPixels { pixels },
            Warning::AboveWhite(share) => Self::AboveWhite { share },
        }
    }
}

impl From<Hue> for HueName {
    fn from(hue: Hue) -> Self {
        match hue {
            Hue::Red => Self::Red,
            Hue::Orange => Self::Orange,
            Hue::Yellow => Self::Yellow,
            Hue::YellowGreen => Self::YellowGreen,
            Hue::Green => Self::Green,
            Hue::BlueGreen => Self::BlueGreen,
            Hue::Blue => Self::Blue,
            Hue::VioletBlue => Self::VioletBlue,
            Hue::Violet => Self::Violet,
            Hue::Rose => Self::Rose,
        }
    }
}

impl From<Intensity> for IntensityName {
    fn from(intensity: Intensity) -> Self {
        match intensity {
            Intensity::Neutral => Self::Neutral,
            Intensity::Greyed => Self::Greyed,
            Intensity::Muted => Self::Muted,
            Intensity::Strong => Self::Strong,
            Intensity::Vivid => Self::Vivid,
        }
    }
}

impl From<Difference> for DifferenceInfo {
    fn from(Difference { lightness, error, bands, verdict, doubt }: Difference) -> Self {
        Self {
            lightness,
            repeatable: error.half_width(),
            bands,
            verdict: verdict.into(),
            plus_minus: doubt.map(|doubt| doubt.plus_minus()),
        }
    }
}

impl From<Verdict> for VerdictInfo {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::SameTone => Self::SameTone,
            Verdict::CannotTell => Self::CannotTell,
            Verdict::Darker(step) => Self::Darker { step: step.into() },
            Verdict::Lighter(step) => Self::Lighter { step: step.into() },
        }
    }
}

impl From<Step> for StepName {
    fn from(step: Step) -> Self {
        match step {
            Step::Shade => Self::Shade,
            Step::Plain => Self::Plain,
            Step::Clear => Self::Clear,
            Step::Far => Self::Far,
        }
    }
}
