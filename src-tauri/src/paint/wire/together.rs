//! Two washes that run together, or lie over each other, as the page knows them.

use super::{AtPaint, Painted};
use crate::error::Error;
use crate::reading::wire::{HueName, IntensityName};
use serde::Serialize;
use tonefast_core::{Covering, Looks, Mixture, Outcome, PigmentCount, Wash, WashColour, y_from_lightness};

/// What comes of two washes.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct RunTogetherInfo {
    /// Share of the second by volume, 0 to 1.
    share: f64,
    wash: WashInfo,
    intensity: IntensityName,
    hue_name: Option<HueName>,
    /// It has less chroma than either parent.
    less_vivid: bool,
    outcome: OutcomeName,
    /// Share of the parents' chroma that is lost.
    dullness: f64,
    /// Chance that the word is right.
    sureness: f64,
}

/// A wash as it looks.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct WashInfo {
    lightness: f64,
    chroma: f64,
    srgb: [u8; 3],
}

/// What becomes of the parents' chroma.
#[derive(Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum OutcomeName {
    Clean,
    /// Half of it is lost, and what is left is a clear colour.
    Subdued,
    Dull,
    Neutral,
}

/// One wash laid over another that is dry: the darkest and the lightest that it may be, by how well it covers.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct GlazeInfo {
    darkest: WashInfo,
    lightest: WashInfo,
    /// Whether the painter has said that the upper paint is transparent.
    transparent: bool,
}

/// The way from one wash to another.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PassageInfo {
    /// From the first alone to the second alone.
    parts: Vec<RunTogetherInfo>,
    /// The first laid over the second when that is dry, and the second over the first.
    over: (GlazeInfo, GlazeInfo),
    /// Where both together have many pigments.
    pigments: Option<String>,
}

/// Shares of the second wash: alone, 4:1, 3:1, 2:1, 1:1 and back.
const SHARES: [f64; 9] = [0.0, 0.2, 0.25, 1.0 / 3.0, 0.5, 2.0 / 3.0, 0.75, 0.8, 1.0];

/// L* of the paper that washes lie on: one that was measured (Chen et al. 2019, arXiv:1904.00275).
const PAPER: f64 = 94.53;

impl PassageInfo {
    pub(crate) fn new(
        one: &Painted,
        first: AtPaint,
        other: &Painted,
        second: AtPaint,
    ) -> Result<Self, Error> {
        let washes = (one.wash(first.step)?, other.wash(second.step)?);
        let paper = y_from_lightness(PAPER);
        let paper = Wash::measured([paper; 3]).map_err(|error| Error::Caller(error.to_string()))?;
        let glaze = |upper: &Painted, over: &Wash, ground: &Wash| {
            let covering = upper.transparent.then_some(Covering::Transparent);
            let [darkest, lightest] = over.glaze_span(ground, &paper, covering).map(Into::into);
            GlazeInfo { darkest, lightest, transparent: upper.transparent }
        };
        let parts = SHARES.into_iter().map(|share| RunTogetherInfo::between(&washes.0, &washes.1, share));
        Ok(Self {
            parts: parts.collect::<Result<_, _>>()?,
            over: (glaze(one, &washes.0, &washes.1), glaze(other, &washes.1, &washes.0)),
            pigments: PigmentCount::of([&one.pigments[..], &other.pigments[..]]).says(),
        })
    }
}

impl RunTogetherInfo {
    pub(crate) fn between(first: &Wash, second: &Wash, share: f64) -> Result<Self, Error> {
        let mixture = first.mixed(second, share).map_err(|error| Error::Caller(error.to_string()))?;
        let Looks { intensity, hue, greys, less_vivid } = mixture.looks([first, second]);
        let Mixture { colour, share, dullness, outcome, sureness } = mixture;
        let outcome = match outcome {
            Outcome::Clean => OutcomeName::Clean,
            Outcome::Dull if greys => OutcomeName::Dull,
            Outcome::Dull => OutcomeName::Subdued,
            Outcome::Neutral => OutcomeName::Neutral,
        };
        let (intensity, hue_name) = (intensity.into(), hue.map(Into::into));
        Ok(Self { share, wash: colour.into(), intensity, hue_name, less_vivid, outcome, dullness, sureness })
    }
}

impl From<WashColour> for WashInfo {
    fn from(colour: WashColour) -> Self {
        let WashColour { lightness, chroma, .. } = colour;
        Self { lightness, chroma, srgb: colour.shown().srgb() }
    }
}
