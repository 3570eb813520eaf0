//! One channel's way from recorded light to the light that a surface gives back.

use crate::{lightness_from_y, y_from_lightness};

/// A rising curve.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Curve {
    /// `gain * (recorded - offset)`: a scale, and flare.
    Line { gain: f64, offset: f64 },
    /// `scale * recorded ^ exponent`: through paper and a middle grey.
    Power { scale: f64, exponent: f64 },
    /// Through three and more patches.
    Through(Monotone),
}

/// A monotone piecewise cubic through points of L* (Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17, 238-246): in L*
/// cameras' curves are nearly straight, so that little is left to guess between the points.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Monotone {
    /// Recorded L*, true L*, slope; recorded L* rises.
    points: Vec<(f64, f64, f64)>,
}

/// A patch darker than this shows flare; a lighter one only the camera's curve (a flare of 1 % moves L* 40 by 1.5 and
/// L* 20 by 3.7).
pub(super) const SHOWS_FLARE: f64 = 40.0;

impl Curve {
    /// Through patches, each as (recorded light, true light), from dark to light, no two alike.
    pub(super) fn through(patches: &[(f64, f64)]) -> Self {
        match *patches {
            [] => Self::Line { gain: 1.0, offset: 0.0 },
            [(recorded, truth)] => Self::Line { gain: truth / recorded, offset: 0.0 },
            [dark, light] if lightness_from_y(dark.1) < SHOWS_FLARE => {
                let gain = (light.1 - dark.1) / (light.0 - dark.0);
                Self::Line { gain, offset: light.0 - light.1 / gain }
            }
            [dark, light] => {
                let exponent = libm::log(light.1 / dark.1) / libm::log(light.0 / dark.0);
                Self::Power { scale: light.1 / libm::pow(light.0, exponent), exponent }
            }
            _ => Self::Through(Monotone::through(patches)),
        }
    }

    /// Light of a surface from recorded light, both linear; none below 0.
    pub(super) fn light(&self, recorded: f64) -> f64 {
        match self {
            Self::Line { gain, offset } => (gain * (recorded - offset)).max(0.0),
            Self::Power { scale, exponent } => scale * libm::pow(recorded.max(0.0), *exponent),
            Self::Through(curve) => curve.light(recorded),
        }
    }
}

impl Monotone {
    fn through(patches: &[(f64, f64)]) -> Self {
        let at: Vec<(f64, f64)> =
            patches.iter().map(|&(from, to)| (lightness_from_y(from), lightness_from_y(to))).collect();
        let steps: Vec<(f64, f64)> = at
            .windows(2)
            .map(|pair| (pair[1].0 - pair[0].0, (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0)))
            .collect();
        let slope = |here: usize| match (here.checked_sub(1).map(|before| steps[before]), steps.get(here)) {
            // Weighted harmonic means keep every piece monotone.
            (Some((wide, before)), Some(&(wider, after))) => {
                let (first, second) = (2.0 * wider + wide, wider + 2.0 * wide);
                (first + second) / (first / before + second / after)
            }
            (None, Some(&(_, only))) | (Some((_, only)), None) => only,
            (None, None) => 1.0,
        };
        Self { points: at.iter().enumerate().map(|(here, &(from, to))| (from, to, slope(here))).collect() }
    }

    fn light(&self, recorded: f64) -> f64 {
        let from = lightness_from_y(recorded);
        let (first, last) = (self.points[0], self.points[self.points.len() - 1]);
        let to = if from <= first.0 {
            (first.1 + first.2 * (from - first.0)).max(0.0)
        } else if from >= last.0 {
            last.1 + last.2 * (from - last.0)
        } else {
            let after = self.points.partition_point(|point| point.0 <= from);
            hermite(self.points[after - 1], self.points[after], from)
        };
        y_from_lightness(to)
    }
}

fn hermite((x0, y0, m0): (f64, f64, f64), (x1, y1, m1): (f64, f64, f64), x: f64) -> f64 {
    let width = x1 - x0;
    let t = (x - x0) / width;
    let u = 1.0 - t;
    u * u * (1.0 + 2.0 * t) * y0 + u * u * t * width * m0 + t * t * (3.0 - 2.0 * t) * y1
        - t * t * u * width * m1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_curve_passes_through_its_patches_and_rises() {
        let patches = [(0.045, 0.031), (0.11, 0.088), (0.2, 0.19), (0.41, 0.36), (0.66, 0.59), (0.97, 0.87)];
        for used in [&patches[5..], &patches[4..], &[patches[0], patches[5]], &patches[3..], &patches[..]] {
            let curve = Curve::through(used);
            for &(recorded, truth) in used {
                assert!((curve.light(recorded) - truth).abs() < 1e-9, "{curve:?}");
            }
            let mut before = -1.0;
            for step in 0..=1000 {
                let light = curve.light(f64::from(step) / 1000.0);
                assert!(light >= before, "{curve:?} falls at {step}");
                before = light;
            }
        }
    }

    /// By hand, after the weighted harmonic mean of Fritsch & Butland 1984 (SIAM J. Sci. Stat. Comput. 5, 300-304).
    #[test]
    fn inner_slopes_are_weighted_harmonic_means() {
        let points = [(0.0, 0.0), (10.0, 20.0), (20.0, 30.0), (40.0, 35.0)];
        let curve = Monotone::through(&points.map(|(x, y)| (y_from_lightness(x), y_from_lightness(y))));
        let [second, third] = [curve.points[1].2, curve.points[2].2];
        // Widths 10 and 10, rises 2 and 1: 60 / (30/2 + 30/1). Widths 10 and 20, rises 1 and .25: 90 / (50/1 + 40/.25).
        assert!((second - 60.0 / 45.0).abs() < 1e-9, "{second}");
        assert!((third - 90.0 / 210.0).abs() < 1e-9, "{third}");
    }
}
