//! What is known of the photographed strips.

use serde::{Deserialize, Serialize};

use crate::starter::PAPER_LIGHTNESS;
use crate::strips::{HEIGHT, Sheet, WIDTH};

/// What is known of `strips.jpg`.
#[derive(Debug, Serialize, Deserialize)]
pub struct StripsTruths {
    /// Width, pixels.
    pub width: usize,
    /// Height, pixels.
    pub height: usize,
    /// L* of the paper; all other tones are what a surface has beside it.
    pub paper_lightness: f64,
    /// From the top.
    pub strips: Vec<StripTruth>,
}

/// A strip.
#[derive(Debug, Serialize, Deserialize)]
pub struct StripTruth {
    /// The name of its paint in the starter's box.
    pub paint: String,
    /// From the left, the lightest first.
    pub steps: Vec<StepTruth>,
}

/// A step of a strip.
#[derive(Debug, Serialize, Deserialize)]
pub struct StepTruth {
    /// Of its swatch as it was meant, clockwise from its top left; the hand that painted it strayed by some pixels.
    pub corners: [[f64; 2]; 4],
    /// L* of the mean Y of its middle, half of it each way, in even light.
    pub lightness: f64,
}

impl StripsTruths {
    pub(crate) fn of(sheet: &Sheet) -> Self {
        let strips = sheet.strips.iter().map(|strip| StripTruth {
            paint: strip.paint.name.into(),
            steps: strip
                .swatches()
                .iter()
                .map(|swatch| StepTruth {
                    corners: sheet.corners(swatch),
                    lightness: sheet.lightness(swatch),
                })
                .collect(),
        });
        Self { width: WIDTH, height: HEIGHT, paper_lightness: PAPER_LIGHTNESS, strips: strips.collect() }
    }
}
