//! Stated patches that a reading should not lean on: a white on the shoulder, a grey that is none.

use super::camera::CameraModel;
use super::doubt::{Cameras, Level, OfLight, Spotted};
use crate::lightness_from_y;
use std::sync::Arc;

/// How near the lightest patch comes to the file's end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shoulder {
    /// Its tone does.
    Near,
    /// A channel does: it may be cut off in part.
    AtEnd,
}

/// L* in the file above which a white stands on the shoulder: measured curves bend there by more than a quarter of
/// a stop (.08 in log10 at L* 95).
const ON_SHOULDER: f64 = 93.0;

/// Linear light of a channel at code 250 of 255, sRGB: where a white's brighter grains are cut off.
const AT_END: f64 = 0.955_973;

/// What the scale may be off by where a channel is near its end (assumed: a third of a stop at two deviations).
const AT_END_SD: f64 = 0.12;

/// Chroma against the lightest patch from which a neutral patch is doubted: cameras' own JPEGs leave greys up to
/// 4.7 C*ab (measured, 8 pictures of charts).
const TINT: f64 = 6.0;

/// How unlikely a patch must be, by white alone, to be doubted; and the unlikeliest of three and more by all others. On
/// charts, true patches are then doubted for their tone hardly ever.
const UNLIKELY: f64 = 0.05;
const UNLIKELIEST: f64 = 0.003;

/// Standard deviation in L* of a patch that is doubted.
const DOUBTED_SD: f64 = 8.0;

impl Shoulder {
    pub(super) fn of(recorded: [f64; 3], y_row: [f64; 3]) -> Option<Self> {
        let y: f64 = recorded.iter().zip(y_row).map(|(channel, share)| channel * share).sum();
        if recorded.iter().any(|&channel| channel >= AT_END) {
            Some(Self::AtEnd)
        } else {
            (lightness_from_y(y) > ON_SHOULDER).then_some(Self::Near)
        }
    }

    /// Standard deviation that it adds to the scale; the curves hold what a shoulder does.
    pub(super) fn scale_sd(self) -> f64 {
        match self {
            Self::Near => 0.0,
            Self::AtEnd => AT_END_SD,
        }
    }
}

/// Patches whose tone or tint does not go with the others; from now on they count for little.
pub(super) fn doubted(
    model: &Arc<CameraModel>,
    levels: &mut [Level],
    y_row: [f64; 3],
    of_light: OfLight,
) -> Vec<usize> {
    let Some((&lightest, darker)) = levels.split_last() else { return Vec::new() };
    if darker.is_empty() {
        return Vec::new();
    }
    let tinted = |level: &Level| {
        let balanced = std::array::from_fn(|at| level.recorded[at] / lightest.recorded[at]);
        let [_, a, b] = crate::colour::lab(balanced);
        libm::hypot(a, b) > TINT
    };
    let mut doubted: Vec<usize> = (0..darker.len()).filter(|&at| tinted(&levels[at])).collect();
    if doubted.is_empty() {
        // Of two alone, the white is believed.
        let (judged, unlikely) = if levels.len() == 2 { (1, UNLIKELY) } else { (levels.len(), UNLIKELIEST) };
        let likely = (0..judged).map(|at| (likelihood(model, levels, at, y_row, of_light), at));
        doubted.extend(
            likely.min_by(|a, b| a.0.total_cmp(&b.0)).filter(|least| least.0 < unlikely).map(|least| least.1),
        );
    }
    for &at in &doubted {
        levels[at].sd = DOUBTED_SD;
    }
    doubted.into_iter().map(|at| levels[at].index).collect()
}

/// How likely so large a misfit of a level is, by all others.
fn likelihood(
    model: &Arc<CameraModel>,
    levels: &[Level],
    at: usize,
    y_row: [f64; 3],
    of_light: OfLight,
) -> f64 {
    let others: Vec<Level> =
        levels.iter().enumerate().filter(|&(other, _)| other != at).map(|(_, &level)| level).collect();
    let Level { recorded, truth, .. } = levels[at];
    let (place, lightness) = (of_light.place, lightness_from_y(truth));
    let spot = Spotted { recorded, place, light: 1.0, lightness, colour: [0.0; 2], own_sd: 0.0 };
    let below = Cameras::fitted(model, &others, y_row, of_light).doubt(&spot).share_below(0.0);
    2.0 * below.min(1.0 - below)
}
