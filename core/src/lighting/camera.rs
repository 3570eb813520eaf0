//! The family of cameras that a reading has to reckon with: how their files differ from the light that they recorded.
//!
//! A camera's own JPEG has a toe and a shoulder. How far a file's tones stand from straight ones depends on where they
//! stand in the file: a white near its end sits on the shoulder. So a curve is kept as log10 of recorded light less
//! log10 of the file's linear light, over the file's L*. The mean curve and its two main ways to vary come from 23
//! measured curves from raw to JPEG; what is left over after the curve was fitted to photographs of colour charts.
//! `cargo run --release -p tonefast-references --bin fit_cameras -- CURVES.csv` fits both anew and writes
//! `family.json`.

use crate::lightness::srgb_decode;
use crate::lightness_from_y;
use serde::{Deserialize, Serialize};
use std::sync::{Arc, LazyLock};

/// The parameters of a family of cameras.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CameraFamily {
    /// L* in the file, rising, at which the curves are given.
    pub at: Vec<f64>,
    /// The mean curve: log10 of recorded light less log10 of the file's light, 0 at one of `at`.
    pub mean: Vec<f64>,
    /// Ways to vary about it, one standard deviation each (principal components).
    pub shapes: [Vec<f64>; 2],
    /// What the curves leave open.
    pub left: LeftOver,
}

/// What photographs of charts show beyond the curves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LeftOver {
    /// The least share of the curves' bend that a camera has: phones bend less than the measured curves.
    pub least_bend: f64,
    /// Mean stray light (haze, flare) as a share of a perfect white's light; exponentially distributed.
    pub flare: f64,
    /// Standard deviation in L* of tone, smooth over L* ...
    pub sd: f64,
    /// ... within so many L* ...
    pub reach: f64,
    /// ... and what is added to it in the darks (toes, sheen, shadows that a phone lifts).
    pub toe_sd: f64,
    /// Standard deviation in L* for each C*ab of a colour.
    pub colour: f64,
}

/// One tone curve: recorded light over the file's light, in even steps of the encoded value.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ToneCurve(Vec<f32>);

/// The cameras of a family that are reckoned with, each as likely as another before a patch was stated.
#[derive(Debug, PartialEq)]
pub struct CameraModel {
    pub(super) curves: Vec<ToneCurve>,
    pub(super) flares: [f64; FLARES],
    pub(super) left: LeftOver,
}

/// The family that readings reckon with.
static MEASURED: LazyLock<Arc<CameraModel>> =
    LazyLock::new(|| Arc::new(CameraModel::of(&CameraFamily::measured())));

const FLARES: usize = 5;

const BENDS: usize = 3;

/// The most of the curves' bend that a camera has (assumed: as much as the measured curves, and a little more).
const MOST_BEND: f64 = 1.05;

/// Middles of three equally likely strata of a normal distribution (any table).
const THIRDS: [f64; 3] = [-0.967_422, 0.0, 0.967_422];

/// Steps of a table; between them a straight line errs by less than .02 L*.
const STEPS: usize = 512;

/// Chroma from which a colour's doubt no longer grows: measured residuals are 1.7 rms below C*ab 35 and 4 above.
const MOST_CHROMA: f64 = 40.0;

/// L* over which what the darks add hangs together.
const TOE_REACH: f64 = 8.0;

/// L* of the dark in full, and from which nothing is added.
const TOE: (f64, f64) = (20.0, 40.0);

impl CameraFamily {
    /// The family that was fitted to measured curves and charts.
    ///
    /// # Panics
    /// Never: a test reads the same text.
    #[must_use]
    pub fn measured() -> Self {
        #[expect(clippy::expect_used, reason = "the text is part of the program, and a test reads it")]
        serde_json::from_str(include_str!("camera/family.json")).expect("the family's text is well formed")
    }

    /// The curve of a camera: a share of the bend, and standard deviations along each way to vary.
    pub(super) fn curve(&self, bend: f64, along: [f64; 2]) -> ToneCurve {
        let offsets: Vec<f64> = (0..self.at.len())
            .map(|at| bend * (self.mean[at] + along[0] * self.shapes[0][at] + along[1] * self.shapes[1][at]))
            .collect();
        let offset = |lightness: f64| {
            let after = self.at.partition_point(|&at| at <= lightness).clamp(1, self.at.len() - 1);
            let (low, high) = (self.at[after - 1], self.at[after]);
            let share = ((lightness - low) / (high - low)).clamp(0.0, 1.0);
            offsets[after - 1] + share * (offsets[after] - offsets[after - 1])
        };
        let ratio = |step: usize| {
            let lightness = lightness_from_y(srgb_decode(step as f64 / STEPS as f64));
            libm::pow(10.0, offset(lightness)) as f32
        };
        ToneCurve((0..=STEPS).map(ratio).collect())
    }
}

impl CameraModel {
    /// The cameras that readings reckon with.
    pub(super) fn measured() -> Arc<Self> {
        Arc::clone(&MEASURED)
    }

    /// The cameras of `family`.
    #[must_use]
    pub fn of(family: &CameraFamily) -> Self {
        let least = family.left.least_bend;
        let strata = |at: usize, count: usize| (at as f64 + 0.5) / count as f64;
        let curves = (0..BENDS)
            .map(|at| least + (MOST_BEND - least) * strata(at, BENDS))
            .flat_map(|bend| THIRDS.into_iter().map(move |first| (bend, first)))
            .flat_map(|(bend, first)| THIRDS.map(|second| family.curve(bend, [first, second])))
            .collect();
        let flares = std::array::from_fn(|at| -family.left.flare * libm::log(1.0 - strata(at, FLARES)));
        Self { curves, flares, left: family.left }
    }
}

impl ToneCurve {
    /// Light as it was recorded, of linear light in the file and the same encoded as sRGB, 0 to 1.
    pub(super) fn scene(&self, linear: f64, encoded: f64) -> f64 {
        let at = encoded.clamp(0.0, 1.0) * STEPS as f64;
        let step = (at as usize).min(STEPS - 1);
        let (low, high) = (f64::from(self.0[step]), f64::from(self.0[step + 1]));
        linear.clamp(0.0, 1.0) * (low + (high - low) * (at - step as f64))
    }
}

impl LeftOver {
    /// C*ab within which two colours share most of their error: with more, differences of vivid colours were held too
    /// seldom on the charts.
    pub(super) const COLOUR_REACH: f64 = 20.0;

    /// Covariance in L* of what the curves leave open at two tones.
    pub(super) fn tones(&self, a: f64, b: f64) -> f64 {
        let toe = |tone: f64| self.toe_sd * ((TOE.1 - tone) / (TOE.1 - TOE.0)).clamp(0.0, 1.0);
        self.sd * self.sd * near(a - b, self.reach) + toe(a) * toe(b) * near(a - b, TOE_REACH)
    }

    /// Covariance in L* of the errors of two colours, by their a* and b*.
    pub(super) fn colours(&self, a: [f64; 2], b: [f64; 2]) -> f64 {
        let sd = |[x, y]: [f64; 2]| self.colour * libm::hypot(x, y).min(MOST_CHROMA);
        sd(a) * sd(b) * near(libm::hypot(a[0] - b[0], a[1] - b[1]), Self::COLOUR_REACH)
    }
}

fn near(apart: f64, reach: f64) -> f64 {
    let apart = apart / reach;
    libm::exp(-apart * apart / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lightness::srgb_encode;
    use crate::y_from_lightness;

    /// Mean and standard deviation over the 23 measured curves of the error in L* at true L* 20, 30 ... 90 once white
    /// (L* 95.2) was stated, where the file reads it at `white`; worked out from the curves with SciPy's PCHIP.
    #[test]
    fn the_mean_camera_errs_as_the_measured_curves_do() {
        let mean = CameraFamily::measured().curve(1.0, [0.0, 0.0]);
        for (white, errors) in [
            (87.0, [-9.8, -9.3, -6.0, -1.2, 1.8, 3.1, 3.0, 1.5]),
            (97.0, [-5.3, -1.3, 4.8, 8.5, 10.3, 10.1, 7.6, 3.0]),
            (75.0, [-11.4, -12.7, -11.9, -8.7, -4.3, -1.3, 0.1, 0.3]),
        ] {
            let scene = |lightness: f64| {
                let y = y_from_lightness(lightness);
                mean.scene(y, srgb_encode(y))
            };
            let gain = y_from_lightness(95.2) / scene(white);
            for (at, expected) in errors.into_iter().enumerate() {
                let truth = 20.0 + 10.0 * at as f64;
                let (mut low, mut high) = (0.0, 100.0);
                for _ in 0..40 {
                    let middle = f64::midpoint(low, high);
                    let above = gain * scene(middle) > y_from_lightness(truth);
                    if above { high = middle } else { low = middle }
                }
                let read = lightness_from_y(
                    y_from_lightness(95.2) * y_from_lightness(low) / y_from_lightness(white),
                );
                // The mean of curves is no curve: a third of their deviation is allowed.
                assert!((read - truth - expected).abs() < 1.3, "white at {white}, {truth}: {}", read - truth);
            }
        }
    }

    #[test]
    fn every_camera_records_more_light_where_the_file_is_lighter() {
        for curve in &MEASURED.curves {
            let mut before = 0.0;
            for code in 1..=255 {
                let encoded = f64::from(code) / 255.0;
                let scene = curve.scene(srgb_decode(encoded), encoded);
                assert!(scene > before, "{code}");
                before = scene;
            }
        }
    }
}
