//! What a camera may have done to the light: the tone curves that a reading has to reckon with.
//!
//! A camera renders: it lifts or deepens the middle tones (a gamma in linear light) and bends both ends (an S over
//! encoded values). How much it did so, no single patch can tell.

use crate::lightness::{srgb_decode, srgb_encode};
use std::sync::LazyLock;

/// One way to render: light, relative to where the camera's codes end, goes through a power and then an S.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rendering {
    /// Exponent in linear light.
    pub(super) gamma: f64,
    /// Share of 3v² - 2v³ in the encoded value.
    pub(super) bend: f64,
}

/// From recorded light back to the scene's, for one rendering: both encoded as sRGB, in even steps.
pub(super) struct Unrendering(Vec<f32>);

/// Renderings that are reckoned with: midpoints of even strata of [`GAMMAS`] and [`BENDS`], each as likely as another.
pub(super) static UNRENDERINGS: LazyLock<Vec<Unrendering>> = LazyLock::new(|| {
    let strata = |(least, most): (f64, f64), count: usize| {
        (0..count).map(move |at| least + (most - least) * (at as f64 + 0.5) / count as f64)
    };
    strata(GAMMAS, GAMMA_STRATA)
        .flat_map(|gamma| strata(BENDS, BEND_STRATA).map(move |bend| Rendering { gamma, bend }))
        .map(Unrendering::of)
        .collect()
});

/// Gammas, in linear light, that cameras' renderings come within (assumed: published scene-to-file curves of phones
/// and cameras mostly lie inside).
pub(super) const GAMMAS: (f64, f64) = (0.8, 1.2);

/// Strengths of the S that cameras' renderings come within (assumed likewise).
pub(super) const BENDS: (f64, f64) = (0.0, 0.5);

const GAMMA_STRATA: usize = 9;

const BEND_STRATA: usize = 7;

/// Steps of the scene's light that are rendered to find a table's.
const SCENE_STEPS: usize = 1024;

/// Steps of a table; between them a straight line errs by less than .01 L*.
const STEPS: usize = 512;

impl Rendering {
    /// The encoded value that an encoded value of the scene becomes.
    pub(super) fn render(self, encoded: f64) -> f64 {
        let v = srgb_encode(libm::pow(srgb_decode(encoded), self.gamma));
        (1.0 - self.bend) * v + self.bend * v * v * (3.0 - 2.0 * v)
    }
}

impl Unrendering {
    fn of(rendering: Rendering) -> Self {
        let place = |step: usize| step as f64 / SCENE_STEPS as f64;
        let rendered: Vec<f64> = (0..=SCENE_STEPS).map(|step| rendering.render(place(step))).collect();
        // Rendering rises, so that one walk up finds every step.
        let mut after = 1;
        let table = (0..=STEPS).map(|step| {
            let wanted = step as f64 / STEPS as f64;
            while rendered[after] < wanted && after < SCENE_STEPS {
                after += 1;
            }
            let (low, high) = (rendered[after - 1], rendered[after]);
            (place(after - 1) + (wanted - low) / (high - low) / SCENE_STEPS as f64) as f32
        });
        Self(table.collect())
    }

    /// The scene's light, linear, of a recorded value that is encoded as sRGB, 0 to 1.
    pub(super) fn scene(&self, encoded: f64) -> f64 {
        let at = encoded.clamp(0.0, 1.0) * STEPS as f64;
        let step = (at as usize).min(STEPS - 1);
        let (low, high) = (f64::from(self.0[step]), f64::from(self.0[step + 1]));
        srgb_decode(low + (high - low) * (at - step as f64))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{lightness_from_y, y_from_lightness};

    /// Errors in L* at true L* 10, 20 … 90 of a camera whose exposure is .95 and whose paper was told, worked out with
    /// NumPy for the S of .25 and .5 and the gamma of .9.
    #[test]
    fn renderings_err_as_worked_out_elsewhere() {
        let paper = y_from_lightness(94.5);
        for (gamma, bend, expected) in [
            (1.0, 0.25, [-2.7, -3.3, -3.1, -2.4, -1.4, -0.3, 0.6, 1.0, 0.5]),
            (1.0, 0.5, [-5.0, -6.6, -6.2, -4.8, -2.8, -0.6, 1.1, 1.9, 1.1]),
            (0.9, 0.0, [4.0, 4.3, 4.2, 3.9, 3.5, 2.9, 2.2, 1.4, 0.4]),
        ] {
            let rendering = Rendering { gamma, bend };
            let recorded = |y: f64| srgb_decode(rendering.render(srgb_encode(0.95 * y)));
            for (at, error) in expected.into_iter().enumerate() {
                let truth = 10.0 * (at + 1) as f64;
                let read = lightness_from_y(recorded(y_from_lightness(truth)) / recorded(paper) * paper);
                assert!((read - truth - error).abs() < 0.15, "{rendering:?} at {truth}: {}", read - truth);
            }
        }
    }

    #[test]
    fn what_was_rendered_comes_back() {
        for gamma in [0.8, 1.0, 1.2] {
            for bend in [0.0, 0.3, 0.5] {
                let rendering = Rendering { gamma, bend };
                let back = Unrendering::of(rendering);
                for step in 3..=100 {
                    let scene = srgb_decode(f64::from(step) / 100.0);
                    let error = lightness_from_y(back.scene(rendering.render(srgb_encode(scene))))
                        - lightness_from_y(scene);
                    assert!(error.abs() < 0.02, "{rendering:?} at {scene}: {error}");
                }
            }
        }
    }
}
