//! The live camera's messages as the page knows them.

use super::Patches;
use crate::error::Error;
use crate::reading::wire::{DifferenceInfo, NoReadingName, ReadingInfo};
use serde::{Deserialize, Serialize};
use tonefast_core::{Settled, Spot, Window};

/// A frame's message: what the patches in the body are of.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct LiveAsk {
    /// When the frame was taken, in seconds from any start.
    pub(crate) time: f64,
    /// L* of the bands' edges, from light to dark.
    pub(crate) edges: Vec<f32>,
    /// Columns and rows of the samples of the whole frame.
    pub(crate) overview: (u32, u32),
    /// White paper, where it was tapped.
    pub(crate) paper: Option<PaperAsk>,
    /// The pins.
    pub(crate) pins: Vec<PinAsk>,
    /// The letters of the two that are compared.
    pub(crate) pair: Option<(String, String)>,
}

/// White paper that was tapped, and the window in which to look for it now.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PaperAsk {
    /// Another number is another tap.
    pub(crate) number: u32,
    /// Where it was tapped, in the frame's pixels.
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) radius: f64,
    /// Its known L*.
    pub(crate) lightness: f64,
    /// It was questioned, and the painter said that it is paper.
    pub(crate) confirmed: bool,
    /// The frame's pixel that the window's first sample is.
    left: f64,
    top: f64,
    /// The frame's pixels from one sample to the next.
    step: f64,
    /// Columns and rows of samples.
    size: (u32, u32),
}

/// A pin, and the patch about it.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PinAsk {
    pub(crate) letter: String,
    /// Where it stands in the frame's pixels.
    x: f64,
    y: f64,
    radius: f64,
    /// The frame's pixel that the patch's first is.
    left: f64,
    top: f64,
    /// Columns and rows.
    size: (u32, u32),
}

/// What a frame, and those before it, amount to.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct LiveInfo {
    pub(crate) readings: Vec<LiveReadingInfo>,
    /// Pins that have no reading just now.
    pub(crate) unread: Vec<UnreadInfo>,
    pub(crate) difference: Option<DifferenceInfo>,
    pub(crate) paper: Option<PaperInfo>,
    /// Why what was tapped is no paper.
    pub(crate) refused: Option<String>,
    /// The share of the frame that would be lighter than a perfect white by what was tapped as paper, where that must be
    /// asked about; it does not count meanwhile.
    pub(crate) questioned: Option<f64>,
    /// What the readings stand on.
    pub(crate) against: LiveAgainst,
    /// What each channel's linear light is multiplied by.
    pub(crate) gains: [f64; 3],
    /// The share of each band, 0 to 1, lightest first.
    pub(crate) shares: Vec<f64>,
    /// The share of the whole that is blown out.
    pub(crate) clipped_light: f64,
    /// The share that is black.
    pub(crate) clipped_dark: f64,
    /// Whether so much is blown out that a source of light may be in the picture.
    pub(crate) glaring: bool,
}

/// A pin's reading, settled over the last frames.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct LiveReadingInfo {
    pub(crate) letter: String,
    reading: ReadingInfo,
    /// Standard deviation of L* from frame to frame.
    unsteadiness: f64,
    /// Whether there are enough frames to go by.
    settled: bool,
}

/// A pin that has no reading, and why.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct UnreadInfo {
    pub(crate) letter: String,
    pub(crate) why: NoReadingName,
}

/// What readings stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum LiveAgainst {
    /// Nothing but the camera.
    #[default]
    Camera,
    /// White paper in the picture.
    Paper,
}

/// What is known of the paper.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PaperInfo {
    /// Where it was last seen, in the frame's pixels.
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) sight: SightName,
    /// By how many stops the exposure has risen since it was tapped.
    pub(crate) drift: f64,
    /// Whether that is worth telling.
    pub(crate) drifted: bool,
}

/// Whether the paper is seen.
#[derive(Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum SightName {
    Followed,
    Sought,
    Lost,
    Clipped,
}

impl PaperAsk {
    /// Takes the window's samples off the body.
    pub(crate) fn window(&self, patches: &mut Patches<'_>) -> Result<Window, Error> {
        let patch = patches.next(self.size)?;
        let places = [self.x, self.y, self.left, self.top];
        let sizes = [self.step, self.radius, self.lightness];
        let known = places.iter().all(|value| value.is_finite()) && sizes.iter().all(|value| *value > 0.0);
        if known && self.lightness <= 100.0 && self.step.is_finite() && self.radius.is_finite() {
            Ok(Window { patch, x: self.left, y: self.top, step: self.step })
        } else {
            Err(Error::Caller("the paper needs a place, a size and an L* up to 100".to_owned()))
        }
    }
}

impl PinAsk {
    pub(crate) fn size(&self) -> (u32, u32) {
        self.size
    }

    /// Its spot in the frame's pixels.
    pub(crate) fn spot(&self) -> Result<Spot, Error> {
        let Self { x, y, radius, left, top, .. } = *self;
        if [x, y, left, top].iter().all(|value| value.is_finite()) && (0.0..=4096.0).contains(&radius) {
            Ok(Spot { x, y, radius })
        } else {
            Err(Error::Caller("a spot needs a place and a size".to_owned()))
        }
    }

    /// The same spot in the patch's pixels.
    pub(crate) fn in_patch(&self, spot: Spot) -> Spot {
        Spot { x: spot.x - self.left, y: spot.y - self.top, ..spot }
    }
}

impl LiveReadingInfo {
    pub(crate) fn new(letter: String, settled: Settled) -> Self {
        let Settled { reading, unsteadiness, frames: _, is_settled } = settled;
        Self { letter, reading: reading.into(), unsteadiness, settled: is_settled }
    }
}
