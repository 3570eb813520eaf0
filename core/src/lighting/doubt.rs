//! How far a reading may be from the truth, once a light was stated.
//!
//! Every camera of the family (a tone curve, a flare) is fitted to the lightest stated patch; each then says what the
//! spot really is. What the curves leave open is a smooth error over L*: it is conditioned on the other patches, which
//! pins it there, and makes the cameras that come near them likelier. Added are an error that grows with chroma, light
//! that falls off, texture and noise. A difference of two spots counts once what both share.

use super::camera::{CameraModel, LeftOver};
use super::field::Field;
use crate::lightness::srgb_encode;
use crate::lightness_from_y;
use nalgebra::{Cholesky, DMatrix, DVector};
use std::sync::Arc;

/// How far one reading, or a difference of two, may be from the truth.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// L* by which each possible camera's answer differs from the reading, and how likely it is.
    answers: Vec<(f64, f64)>,
    /// Standard deviation in L* of what no camera explains.
    sd: f64,
    /// What of `sd` another spot of the picture may share.
    shared: Shared,
}

/// Where a spot stands among all that the picture's errors depend on.
#[derive(Debug, Clone, PartialEq)]
struct Shared {
    left: LeftOver,
    lightness: f64,
    /// Covariances with the stated patches, whitened: their products are what the patches take away.
    whitened: Vec<f64>,
    colour: [f64; 2],
    /// By how much the reading moves, in L*, with one deviation of light that grows along either axis, and of the scale.
    light: [f64; 3],
    /// Standard deviation of what the spot has for itself.
    own: f64,
}

/// The cameras that could have taken a picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cameras {
    model: Arc<CameraModel>,
    cameras: Vec<Camera>,
    y_row: [f64; 3],
    /// True L* of the stated levels.
    stated: Vec<f64>,
    /// Lower triangle of the root of their covariance.
    root: DMatrix<f64>,
    of_light: OfLight,
}

/// What the light leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OfLight {
    /// Where the patches lie in the mean, in fractions of the picture's longer side.
    pub(super) place: (f64, f64),
    /// Standard deviation of relative light at the papers once a field was fitted; none where they lie in one place.
    pub(super) residual: Option<f64>,
    /// Standard deviation in L* at black of what was stated to be at work (lifted shadows, sheen).
    pub(super) dark_sd: f64,
    /// Standard deviation of the scale, as a share of light.
    pub(super) scale_sd: f64,
}

#[derive(Debug, Clone, PartialEq)]
struct Camera {
    curve: usize,
    flare: f64,
    /// Light of a surface for each of the scene's, per channel.
    gains: [f64; 3],
    /// By how much each stated level pulls the answers near it, in L*.
    pulls: Vec<f64>,
    weight: f64,
}

/// A spot as it was recorded and read.
pub(super) struct Spotted {
    pub(super) recorded: [f64; 3],
    /// In fractions of the picture's longer side.
    pub(super) place: (f64, f64),
    /// Relative light there.
    pub(super) light: f64,
    pub(super) lightness: f64,
    /// a* and b* of the reading.
    pub(super) colour: [f64; 2],
    /// What its texture leaves open, in L*.
    pub(super) own_sd: f64,
}

/// Patches of one known tone: recorded light per channel, true light (with the field in it).
#[derive(Debug, Clone, Copy)]
pub(super) struct Level {
    pub(super) recorded: [f64; 3],
    pub(super) truth: f64,
    /// Standard deviation in L* of its own reading and of its known tone.
    pub(super) sd: f64,
    /// Which of the stated patches it is, or its first.
    pub(super) index: usize,
}

/// The share of true values that the interval is made to hold.
const HELD: f64 = 0.90;

/// Answers nearer to each other than this in L* are taken together: a third of the least deviation there is.
const ALIKE: f64 = 0.15;

/// Halvings of 100 L* until the interval is known to .003.
const HALVINGS: usize = 15;

/// What a dark patch may show at most before the lens is smeared rather than clean.
pub(super) const SMEARED: f64 = 0.03;

/// Standard deviation in L* of a patch's own reading and of its known L*: noise, JPEG, and a card's tolerance.
pub(super) const PATCH_SD: f64 = 0.4;

/// The power to which a camera's likelihood is taken: the cameras of a family are not all that there are, so that one
/// that happens to fit is not trusted in full. Chosen on the charts, leaving cameras out in turn.
const TRUST: f64 = 0.5;

/// Weight, with the likeliest's as 1, below which a camera is left out.
const UNLIKELY: f64 = 1e-3;

/// How far relative light strays along each axis, per longer side of the picture, where it looks even: fitted to charts
/// stated in one place (.065 to .09), and about what goes unseen (15 % across the picture).
const LOOKS_EVEN: f64 = 0.08;

/// What is left of uneven light at the papers once a field was fitted, at least.
const FIELD_SD: f64 = 0.007;

/// What a field may be off by, per longer side of the picture, away from the papers.
const FIELD_SLOPE: f64 = 0.01;

impl Cameras {
    /// `levels` from dark to light; `of_light` is the light that they lie in.
    pub(super) fn fitted(
        model: &Arc<CameraModel>,
        levels: &[Level],
        y_row: [f64; 3],
        of_light: OfLight,
    ) -> Self {
        let stated: Vec<f64> = levels.iter().map(|level| lightness_from_y(level.truth)).collect();
        let covariance = DMatrix::from_fn(levels.len(), levels.len(), |row, column| {
            let noise = if row == column { levels[row].sd * levels[row].sd } else { 0.0 };
            model.left.tones(stated[row], stated[column]) + noise
        });
        // Positive definite, since every patch has noise of its own.
        let root = Cholesky::new(covariance).map_or_else(|| DMatrix::zeros(0, 0), |root| root.l());
        let mut all = Self { model: Arc::clone(model), cameras: Vec::new(), y_row, stated, root, of_light };
        let mut cameras: Vec<(Camera, f64)> = (0..model.curves.len())
            .flat_map(|curve| model.flares.map(|flare| (curve, flare)))
            .map(|(curve, flare)| all.camera(curve, flare, levels))
            .collect();
        let least = cameras.iter().map(|camera| camera.1).fold(f64::INFINITY, f64::min);
        for (camera, misfit) in &mut cameras {
            camera.weight = libm::exp(-TRUST * (*misfit - least) / 2.0);
        }
        all.cameras =
            cameras.into_iter().map(|(camera, _)| camera).filter(|camera| camera.weight > UNLIKELY).collect();
        all
    }

    /// A camera fitted to the lightest level, and how ill it fits the others.
    fn camera(&self, curve: usize, flare: f64, levels: &[Level]) -> (Camera, f64) {
        let mut camera = Camera { curve, flare, gains: [1.0; 3], pulls: Vec::new(), weight: 1.0 };
        if let Some(lightest) = levels.last() {
            let tones = &self.model.curves[curve];
            camera.gains = lightest.recorded.map(|recorded| {
                (lightest.truth + flare) / tones.scene(recorded, srgb_encode(recorded.clamp(0.0, 1.0)))
            });
        }
        let off = DVector::from_iterator(
            levels.len(),
            levels
                .iter()
                .zip(&self.stated)
                .map(|(level, truth)| truth - self.answer(&camera, level.recorded, 1.0)),
        );
        let whitened = self.whitened(&off);
        let misfit = whitened.dot(&whitened);
        camera.pulls = self
            .root
            .tr_solve_lower_triangular(&whitened)
            .map_or_else(Vec::new, |pulls| pulls.as_slice().to_vec());
        (camera, misfit)
    }

    fn whitened(&self, values: &DVector<f64>) -> DVector<f64> {
        self.root.solve_lower_triangular(values).unwrap_or_else(|| DVector::zeros(0))
    }

    /// L* that a camera says of a spot by its curve alone.
    fn answer(&self, camera: &Camera, recorded: [f64; 3], light: f64) -> f64 {
        self.answer_of(camera, recorded, recorded.map(|value| srgb_encode(value.clamp(0.0, 1.0))), light)
    }

    fn answer_of(&self, camera: &Camera, recorded: [f64; 3], encoded: [f64; 3], light: f64) -> f64 {
        let curve = &self.model.curves[camera.curve];
        let y: f64 = (0..3)
            .map(|at| {
                (camera.gains[at] * curve.scene(recorded[at], encoded[at]) - camera.flare) * self.y_row[at]
            })
            .sum();
        lightness_from_y((y / light).max(0.0))
    }

    /// The doubt about a reading.
    pub(super) fn doubt(&self, spot: &Spotted) -> Doubt {
        let left = self.model.left;
        let covariances: Vec<f64> =
            self.stated.iter().map(|&tone| left.tones(spot.lightness, tone)).collect();
        let encoded = spot.recorded.map(|value| srgb_encode(value.clamp(0.0, 1.0)));
        let answers = self
            .cameras
            .iter()
            .map(|camera| {
                let pulled: f64 = camera.pulls.iter().zip(&covariances).map(|(pull, near)| pull * near).sum();
                let answer = self.answer_of(camera, spot.recorded, encoded, spot.light) + pulled;
                (answer - spot.lightness, camera.weight)
            })
            .collect();
        let whitened = self.whitened(&DVector::from_vec(covariances)).as_slice().to_vec();
        let OfLight { place, residual, dark_sd, scale_sd } = self.of_light;
        let (at_papers, away) = match residual {
            Some(residual) => (residual.max(FIELD_SD), FIELD_SLOPE),
            None => (0.0, LOOKS_EVEN),
        };
        // By how much a share of light moves L*.
        let moves = (spot.lightness.max(8.0) + 16.0) / 3.0;
        let dark = dark_sd * (1.0 - spot.lightness / 100.0).clamp(0.0, 1.0);
        let light =
            [away * (spot.place.0 - place.0), away * (spot.place.1 - place.1), scale_sd].map(|sd| moves * sd);
        let own = together([spot.own_sd, PATCH_SD, moves * at_papers, dark]);
        let (lightness, colour) = (spot.lightness, spot.colour);
        Doubt::of(Shared { left, lightness, whitened, colour, light, own }, answers)
    }
}

impl Shared {
    /// Covariance in L* of two spots' errors beyond the cameras.
    fn covariance(&self, other: &Self) -> f64 {
        let product = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
        self.left.tones(self.lightness, other.lightness) - product(&self.whitened, &other.whitened)
            + self.left.colours(self.colour, other.colour)
            + product(&self.light, &other.light)
    }

    fn variance(&self) -> f64 {
        self.covariance(self).max(0.0) + self.own * self.own
    }
}

impl Doubt {
    fn of(shared: Shared, answers: Vec<(f64, f64)>) -> Self {
        Self { answers, sd: shared.variance().sqrt(), shared }
    }

    /// The doubt about `second - first`, of one picture in one light.
    pub(crate) fn of_difference(first: &Self, second: &Self) -> Self {
        let answers = first.answers.iter().zip(&second.answers).map(|(a, b)| (b.0 - a.0, a.1)).collect();
        let (a, b) = (&first.shared, &second.shared);
        let own = a.own * a.own + b.own * b.own;
        let variance = a.variance() + b.variance() - 2.0 * a.covariance(b);
        Self { answers, sd: variance.max(own).sqrt(), shared: second.shared.clone() }
    }

    /// Half of the interval in L* about the reading that holds nine true values of ten.
    #[must_use]
    pub fn plus_minus(&self) -> f64 {
        let gathered = self.gathered();
        let all: f64 = gathered.iter().map(|answer| answer.1).sum();
        let held = |half: f64| -> f64 {
            gathered
                .iter()
                .map(|(off, weight)| weight * (self.below(half - off) - self.below(-half - off)))
                .sum()
        };
        let (mut low, mut high) = (0.0, 100.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if held(middle) < HELD * all { low = middle } else { high = middle }
        }
        high
    }

    /// How likely it is, for each L*, that the truth lies `off` L* above the reading.
    #[must_use]
    pub fn density(&self, off: f64) -> f64 {
        let all: f64 = self.answers.iter().map(|answer| answer.1).sum();
        let normal =
            |away: f64| libm::exp(-away * away / 2.0) / (self.sd * (2.0 * std::f64::consts::PI).sqrt());
        self.answers.iter().map(|(at, weight)| weight * normal((off - at) / self.sd)).sum::<f64>() / all
    }

    /// How likely it is that the truth lies below the reading and `off`.
    pub(super) fn share_below(&self, off: f64) -> f64 {
        let all: f64 = self.answers.iter().map(|answer| answer.1).sum();
        self.answers.iter().map(|(at, weight)| weight * self.below(off - at)).sum::<f64>() / all
    }

    fn below(&self, value: f64) -> f64 {
        0.5 * (1.0 + libm::erf(value / (self.sd * std::f64::consts::SQRT_2)))
    }

    /// The answers, those within [`ALIKE`] of each other as one: a tenth of the work, and no difference.
    fn gathered(&self) -> Vec<(f64, f64)> {
        let mut sorted = self.answers.clone();
        sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
        sorted
            .chunk_by(|a, b| (a.0 / ALIKE).floor() == (b.0 / ALIKE).floor())
            .map(|alike| {
                let weight: f64 = alike.iter().map(|answer| answer.1).sum();
                (alike.iter().map(|answer| answer.0 * answer.1).sum::<f64>() / weight, weight)
            })
            .collect()
    }
}

/// Relative light at fractions of the picture: 1 where no field was stated.
pub(super) fn light_at(field: Option<&Field>, x: f64, y: f64) -> f64 {
    field.map_or(1.0, |field| field.at(x, y))
}

/// Deviations that know nothing of each other, as one.
pub(super) fn together<const N: usize>(deviations: [f64; N]) -> f64 {
    deviations.iter().map(|deviation| deviation * deviation).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::y_from_lightness;

    #[test]
    fn a_normal_doubt_has_the_normal_quantile() {
        // Two-sided quantile of the normal distribution (any table): 90 % 1.6449.
        let doubt = doubt(vec![(0.0, 1.0)], 2.0);
        assert!((doubt.plus_minus() - 2.0 * 1.6449).abs() < 5e-3, "{}", doubt.plus_minus());
        assert!(
            (doubt.density(0.0) - 0.398_942 / 2.0).abs() < 1e-5
                && (doubt.share_below(0.0) - 0.5).abs() < 1e-9
        );
    }

    #[test]
    fn cameras_that_differ_widen_it() {
        let doubt = doubt(vec![(-3.0, 1.0), (3.0, 1.0)], 0.1);
        assert!((3.0..3.3).contains(&doubt.plus_minus()), "{}", doubt.plus_minus());
    }

    /// Two spots of one tone and colour in one place share all but what each has for itself.
    #[test]
    fn what_two_spots_share_is_not_counted_twice() {
        let level = Level { recorded: [0.7; 3], truth: y_from_lightness(94.5), sd: PATCH_SD, index: 0 };
        let of_light = OfLight { place: (0.1, 0.1), residual: None, dark_sd: 0.0, scale_sd: 0.0 };
        let cameras = Cameras::fitted(&CameraModel::measured(), &[level], [0.2, 0.7, 0.1], of_light);
        let at = |lightness: f64, colour: [f64; 2], x: f64| {
            let recorded = [y_from_lightness(lightness) * 0.8; 3];
            let spot = Spotted { recorded, place: (x, 0.5), light: 1.0, lightness, colour, own_sd: 0.3 };
            cameras.doubt(&spot)
        };
        let first = at(50.0, [40.0, 0.0], 0.5);
        let between = |second: &Doubt| Doubt::of_difference(&first, second).plus_minus();
        // Own errors of .5 each, 1.645 deviations.
        assert!((between(&at(50.0, [40.0, 0.0], 0.5)) - 1.6449 * 0.5 * 2.0_f64.sqrt()).abs() < 0.1);
        assert!(between(&at(50.0, [-40.0, 0.0], 0.5)) > 5.0, "another hue errs by itself");
        let (near, far) = (between(&at(55.0, [40.0, 0.0], 0.5)), between(&at(25.0, [40.0, 0.0], 0.5)));
        assert!(near < far && near < 2.5, "{near} {far}");
        assert!(between(&at(50.0, [40.0, 0.0], 0.9)) > 1.3, "light may fall off between them");
    }

    fn doubt(answers: Vec<(f64, f64)>, own: f64) -> Doubt {
        let left = LeftOver { sd: 0.0, toe_sd: 0.0, colour: 0.0, ..CameraModel::measured().left };
        Doubt::of(
            Shared { left, lightness: 50.0, whitened: Vec::new(), colour: [0.0; 2], light: [0.0; 3], own },
            answers,
        )
    }
}
