//! How a drawn camera renders the light that it recorded.

use super::camera::ToneCurve;
use crate::lightness::{srgb_decode, srgb_encode};

/// One way to render light, relative to where the camera's codes end.
#[derive(Debug, Clone)]
pub(super) enum Rendering {
    /// A power in linear light, and a share of the S 3v² - 2v³ over encoded values.
    Power { gamma: f64, bend: f64 },
    /// Recorded light, 0 to 1, at even steps of the encoded value.
    Curve(Vec<f64>),
}

/// Steps of a curve: between them a straight line errs by less than a tenth of a code.
const STEPS: usize = 1024;

impl Rendering {
    pub(super) fn of(curve: &ToneCurve) -> Self {
        let place = |step: usize| step as f64 / STEPS as f64;
        let most = curve.scene(1.0, 1.0);
        Self::Curve(
            (0..=STEPS).map(|step| curve.scene(srgb_decode(place(step)), place(step)) / most).collect(),
        )
    }

    /// The encoded value that an encoded value of the scene becomes.
    pub(super) fn render(&self, encoded: f64) -> f64 {
        match self {
            Self::Power { gamma, bend } => {
                let v = srgb_encode(libm::pow(srgb_decode(encoded), *gamma));
                (1.0 - bend) * v + bend * v * v * (3.0 - 2.0 * v)
            }
            Self::Curve(scene) => {
                let light = srgb_decode(encoded);
                let after = scene.partition_point(|&step| step < light).clamp(1, STEPS);
                let (low, high) = (scene[after - 1], scene[after]);
                ((after - 1) as f64 + ((light - low) / (high - low)).clamp(0.0, 1.0)) / STEPS as f64
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::camera::CameraModel;
    use super::*;
    use crate::{lightness_from_y, y_from_lightness};

    /// Errors in L* at true L* 10, 20 … 90 of a camera whose exposure is .95 and whose paper was stated, worked out with
    /// NumPy for the S of .25 and .5 and the gamma of .9.
    #[test]
    fn renderings_err_as_worked_out_elsewhere() {
        let paper = y_from_lightness(94.5);
        for (gamma, bend, expected) in [
            (1.0, 0.25, [-2.7, -3.3, -3.1, -2.4, -1.4, -0.3, 0.6, 1.0, 0.5]),
            (1.0, 0.5, [-5.0, -6.6, -6.2, -4.8, -2.8, -0.6, 1.1, 1.9, 1.1]),
            (0.9, 0.0, [4.0, 4.3, 4.2, 3.9, 3.5, 2.9, 2.2, 1.4, 0.4]),
        ] {
            let rendering = Rendering::Power { gamma, bend };
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
        for curve in &CameraModel::measured().curves {
            let (rendering, most) = (Rendering::of(curve), curve.scene(1.0, 1.0));
            for step in 3..=100 {
                let scene = srgb_decode(f64::from(step) / 100.0);
                let encoded = rendering.render(srgb_encode(scene));
                let back = curve.scene(srgb_decode(encoded), encoded) / most;
                let error = lightness_from_y(back) - lightness_from_y(scene);
                assert!(error.abs() < 0.02, "at {scene}: {error}");
            }
        }
    }
}
