//! How far a reading may be from the truth, once a light was told.
//!
//! Every camera that could have taken the picture (a rendering, a flare) is fitted to the patches that were told; each
//! then says what the spot would really be. The doubt is how those answers scatter about the reading, together with
//! what no camera explains: texture and noise, light that falls off, the patches' own noise.

use super::camera::UNRENDERINGS;
use super::curve::SHOWS_FLARE;
use super::field::Field;
use crate::lightness::srgb_encode;
use crate::{lightness_from_y, y_from_lightness};

/// How far one reading, or a difference of two, may be from the truth.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// L* by which each possible camera's answer differs from the reading, and how likely it is.
    answers: Vec<(f64, f64)>,
    /// Standard deviation in L* of what no camera explains.
    sd: f64,
}

/// The cameras that could have taken a picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cameras {
    cameras: Vec<Camera>,
    y_row: [f64; 3],
    /// Where the patches lie in the mean, in fractions of the picture's longer side.
    place: (f64, f64),
    /// Standard deviation of relative light: at the patches, and more for each longer side away from them.
    uneven: (f64, f64),
    /// Standard deviation in L* at black of what was told to be at work (lifted shadows, sheen).
    dark_sd: f64,
}

#[derive(Debug, Clone, PartialEq)]
struct Camera {
    rendering: usize,
    /// Light of a surface for each of the scene's, per channel.
    gains: [f64; 3],
    /// Flare, per channel, as light of a surface.
    flare: [f64; 3],
    weight: f64,
}

/// Patches of one known tone: recorded light per channel, true light (with the field in it).
pub(super) struct Level {
    pub(super) recorded: [f64; 3],
    pub(super) truth: f64,
}

/// The share of true values that the interval is made to hold: nine of ten and a little more, since the cameras
/// reckoned with are not all that there are.
const HELD: f64 = 0.92;

/// Answers nearer to each other than this in L* are taken together: a third of the least deviation there is.
const ALIKE: f64 = 0.15;

/// Halvings of 100 L* until the interval is known to .003.
const HALVINGS: usize = 15;

/// Flare of a clean lens, as a share of white's light (assumed: published figures for cameras are .2 to 2 %).
const FLARE: f64 = 0.02;

const FLARE_STRATA: usize = 4;

/// What a dark patch may show at most before the lens is smeared rather than clean.
pub(super) const SMEARED: f64 = 0.03;

/// Standard deviation in L* of a patch's own reading and of its known L*: noise, JPEG, and a card's tolerance.
const PATCH_SD: f64 = 0.4;

/// How far relative light strays, per longer side of the picture, where it looks even (assumed: a painter turns her
/// easel until no falling off is seen; about 15 % across the picture go unseen).
const LOOKS_EVEN: f64 = 0.06;

/// What is left of uneven light at the papers once a field was fitted, at least.
const FIELD_SD: f64 = 0.007;

/// What a field may be off by, per longer side of the picture, away from the papers.
const FIELD_SLOPE: f64 = 0.01;

impl Cameras {
    pub(super) fn fitted(
        levels: &[Level],
        y_row: [f64; 3],
        place: (f64, f64),
        residual: Option<f64>,
        dark_sd: f64,
    ) -> Self {
        let shows_flare = levels.len() > 1 && lightness_from_y(levels[0].truth) < SHOWS_FLARE;
        let mut cameras: Vec<Camera> = (0..UNRENDERINGS.len())
            .flat_map(|rendering| {
                if shows_flare {
                    vec![Camera::by_line(rendering, levels)]
                } else {
                    let flares = (0..FLARE_STRATA).map(|at| FLARE * (at as f64 + 0.5) / FLARE_STRATA as f64);
                    flares.map(|flare| Camera::with_flare(rendering, levels, flare)).collect()
                }
            })
            .map(|camera| camera.weighed(levels, y_row))
            .collect();
        let likeliest = cameras.iter().map(|camera| camera.weight).fold(0.0, f64::max);
        cameras.retain(|camera| camera.weight > 1e-3 * likeliest);
        let uneven = match residual {
            Some(residual) => (residual.max(FIELD_SD), FIELD_SLOPE),
            None => (0.0, LOOKS_EVEN),
        };
        Self { cameras, y_row, place, uneven, dark_sd }
    }

    /// The doubt about a reading of `lightness` at a place, from its recorded mean per channel; `own_sd` is what its
    /// texture leaves open.
    pub(super) fn doubt(
        &self,
        recorded: [f64; 3],
        (x, y): (f64, f64),
        light: f64,
        lightness: f64,
        own_sd: f64,
    ) -> Doubt {
        let encoded = recorded.map(|value| srgb_encode(value.clamp(0.0, 1.0)));
        let answers = self
            .cameras
            .iter()
            .map(|camera| {
                (lightness_from_y(camera.y(encoded, self.y_row) / light) - lightness, camera.weight)
            })
            .collect();
        let away = together([x - self.place.0, y - self.place.1]);
        let of_light = (lightness.max(8.0) + 16.0) / 3.0 * together([self.uneven.0, self.uneven.1 * away]);
        let dark = self.dark_sd * (1.0 - lightness / 100.0).clamp(0.0, 1.0);
        Doubt { answers, sd: together([own_sd, PATCH_SD, of_light, dark]) }
    }
}

impl Camera {
    /// Scale and flare by a line through all levels, each weighed by what a patch's noise is in linear light there.
    fn by_line(rendering: usize, levels: &[Level]) -> Self {
        let mut camera = Self { rendering, gains: [0.0; 3], flare: [0.0; 3], weight: 1.0 };
        for channel in 0..3 {
            let (mut w, mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
            for level in levels {
                let scene = camera.scene(level, channel);
                let noise = y_from_lightness(lightness_from_y(level.truth) + PATCH_SD) - level.truth;
                let weight = 1.0 / (noise * noise);
                w += weight;
                x += weight * scene;
                y += weight * level.truth;
                xx += weight * scene * scene;
                xy += weight * scene * level.truth;
            }
            let gain = (w * xy - x * y) / (w * xx - x * x);
            camera.gains[channel] = gain;
            camera.flare[channel] = (gain * x - y) / w;
        }
        camera
    }

    fn with_flare(rendering: usize, levels: &[Level], flare: f64) -> Self {
        let mut camera = Self { rendering, gains: [0.0; 3], flare: [flare; 3], weight: 1.0 };
        for channel in 0..3 {
            let (mut above, mut below) = (0.0, 0.0);
            for level in levels {
                above += level.truth + flare;
                below += camera.scene(level, channel);
            }
            camera.gains[channel] = above / below;
        }
        camera
    }

    /// As likely as its answers for the patches are near to what was told, and its flare to a lens's.
    fn weighed(mut self, levels: &[Level], y_row: [f64; 3]) -> Self {
        let mut misfit = 0.0;
        if levels.len() > 1 {
            for level in levels {
                let answer = self.y(level.recorded.map(srgb_encode), y_row);
                let off = (lightness_from_y(answer) - lightness_from_y(level.truth)) / PATCH_SD;
                misfit += off * off;
            }
            let flare: f64 = self.flare.iter().zip(y_row).map(|(flare, y)| flare * y).sum();
            let beyond = (-flare).max(flare - SMEARED).max(0.0) / FLARE * FLARE_STRATA as f64;
            misfit += beyond * beyond;
        }
        self.weight = libm::exp(-misfit / 2.0);
        self
    }

    fn scene(&self, level: &Level, channel: usize) -> f64 {
        UNRENDERINGS[self.rendering].scene(srgb_encode(level.recorded[channel]))
    }

    fn y(&self, encoded: [f64; 3], y_row: [f64; 3]) -> f64 {
        let unrendering = &UNRENDERINGS[self.rendering];
        let channel =
            |at: usize| (self.gains[at] * unrendering.scene(encoded[at]) - self.flare[at]) * y_row[at];
        (channel(0) + channel(1) + channel(2)).max(0.0)
    }
}

impl Doubt {
    /// The doubt about `second - first`: what one camera says of both hangs together.
    pub(crate) fn of_difference(first: &Self, second: &Self) -> Self {
        let answers = first.answers.iter().zip(&second.answers).map(|(a, b)| (b.0 - a.0, a.1)).collect();
        Self { answers, sd: together([first.sd, second.sd]) }
    }

    /// Half of the interval in L* about the reading that holds nine true values of ten.
    #[must_use]
    pub fn plus_minus(&self) -> f64 {
        let gathered = self.gathered();
        let all: f64 = gathered.iter().map(|answer| answer.1).sum();
        let below = |value: f64| 0.5 * (1.0 + libm::erf(value / (self.sd * std::f64::consts::SQRT_2)));
        let held = |half: f64| -> f64 {
            gathered.iter().map(|(off, weight)| weight * (below(half - off) - below(-half - off))).sum()
        };
        let (mut low, mut high) = (0.0, 100.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if held(middle) < HELD * all { low = middle } else { high = middle }
        }
        high
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

/// Relative light at fractions of the picture: 1 where no field was told.
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

    #[test]
    fn a_normal_doubt_has_the_normal_quantile() {
        let doubt = Doubt { answers: vec![(0.0, 1.0)], sd: 2.0 };
        // Two-sided quantiles of the normal distribution (any table): 90 % 1.6449, 92 % 1.7507.
        assert!((doubt.plus_minus() - 2.0 * 1.7507).abs() < 5e-3, "{}", doubt.plus_minus());
    }

    #[test]
    fn cameras_that_differ_widen_it() {
        let doubt = Doubt { answers: vec![(-3.0, 1.0), (3.0, 1.0)], sd: 0.1 };
        assert!((3.0..3.3).contains(&doubt.plus_minus()), "{}", doubt.plus_minus());
    }
}
