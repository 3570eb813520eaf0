//! A reflectance guessed from a colour: of all that have it, the smoothest.

use super::tables::{COUNT, D65, OBSERVER, SRGB_FROM_XYZ};
use crate::colour;
use nalgebra::{SMatrix, SVector};
use std::sync::LazyLock;

/// The colour of a wash as it was measured: linear sRGB under D65, which vivid paint may leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WashColour(pub [f64; 3]);

/// A wash, ready to be mixed.
#[derive(Debug, Clone)]
pub struct Wash {
    /// As it was measured.
    pub(super) colour: WashColour,
    /// Reflectance at each wavelength, above 0 and below 1.
    pub(super) reflectance: [f64; COUNT],
}

/// Reflectance to linear sRGB: rows are channels. Flat and full reflectance is white.
static CHANNELS: LazyLock<[[f64; COUNT]; 3]> = LazyLock::new(|| {
    let power: f64 = (0..COUNT).map(|at| OBSERVER[at][1] * D65[at]).sum();
    let weight = |channel: usize, at: usize| {
        let xyz = OBSERVER[at].map(|observed| observed * D65[at] / power);
        SRGB_FROM_XYZ[channel].iter().zip(xyz).map(|(a, b)| a * b).sum::<f64>()
    };
    [0, 1, 2].map(|channel| {
        let weights: [f64; COUNT] = std::array::from_fn(|at| weight(channel, at));
        // The range of wavelengths is cut off at both ends: what white lacks by that is made up for.
        let white: f64 = weights.iter().sum();
        weights.map(|weight| weight / white)
    })
});

/// Channels are kept this far from nothing and from all, between which a reflectance can be found.
const LEAST: f64 = 1e-4;
const MOST: f64 = 0.999;

/// Newton's steps: some ten are needed, and a colour that needs more is one of no paint.
const STEPS: usize = 60;

/// The steps end where no equation is off by more: a ten-thousandth of an 8-bit step.
const CLOSE: f64 = 1e-9;

impl WashColour {
    /// From sRGB of 8 bits.
    #[must_use]
    pub fn from_srgb(codes: [u8; 3]) -> Self {
        Self(codes.map(|code| {
            let encoded = f64::from(code) / 255.0;
            // IEC 61966-2-1.
            if encoded <= 0.040_45 { encoded / 12.92 } else { libm::pow((encoded + 0.055) / 1.055, 2.4) }
        }))
    }

    /// sRGB of 8 bits; what lies outside it is clipped.
    #[must_use]
    pub fn to_srgb(self) -> [u8; 3] {
        self.0.map(|linear| {
            let linear = linear.clamp(0.0, 1.0);
            let encoded = if linear <= 0.003_130_8 {
                12.92 * linear
            } else {
                1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055
            };
            (255.0 * encoded).round() as u8
        })
    }

    /// L*, C*ab and hue angle in degrees under D65.
    #[must_use]
    pub fn lch(self) -> (f64, f64, f64) {
        colour::lch(self.0)
    }
}

impl Wash {
    /// Finds a reflectance for a colour: by least slope of its hyperbolic tangent, so that it stays between 0 and 1 (the
    /// method LHTSS of S. A. Burns, "Numerical methods for smoothest reflectance reconstruction", Color Res. Appl. 45
    /// (2020), arXiv:1710.05732).
    #[must_use]
    pub fn of(colour: WashColour) -> Self {
        Self { colour, reflectance: smoothest(colour.0.map(|channel| channel.clamp(LEAST, MOST))) }
    }

    /// As it was measured.
    #[must_use]
    pub fn colour(&self) -> WashColour {
        self.colour
    }
}

/// The colour of a reflectance.
pub(super) fn colour_of(reflectance: &[f64; COUNT]) -> [f64; 3] {
    CHANNELS.map(|weights| weights.iter().zip(reflectance).map(|(a, b)| a * b).sum())
}

/// Luminance of a reflectance.
pub(super) fn luminance_of(reflectance: &[f64; COUNT]) -> f64 {
    let power: f64 = (0..COUNT).map(|at| OBSERVER[at][1] * D65[at]).sum();
    (0..COUNT).map(|at| OBSERVER[at][1] * D65[at] * reflectance[at]).sum::<f64>() / power
}

/// Unknowns: one for each wavelength, and a multiplier for each channel.
const UNKNOWNS: usize = COUNT + 3;

fn smoothest(wanted: [f64; 3]) -> [f64; COUNT] {
    let mut unknown = SVector::<f64, UNKNOWNS>::zeros();
    for _ in 0..STEPS {
        let (off, slopes) = equations(&unknown, wanted);
        if off.amax() < CLOSE {
            break;
        }
        let Some(step) = slopes.lu().solve(&off) else { break };
        unknown -= step;
    }
    std::array::from_fn(|at| (libm::tanh(unknown[at]) + 1.0) / 2.0)
}

/// How far the Lagrange equations are off, and their derivatives: the sum of squared slopes is least where the colour is
/// the one wanted.
fn equations(
    unknown: &SVector<f64, UNKNOWNS>,
    wanted: [f64; 3],
) -> (SVector<f64, UNKNOWNS>, SMatrix<f64, UNKNOWNS, UNKNOWNS>) {
    let mut off = SVector::<f64, UNKNOWNS>::zeros();
    let mut slopes = SMatrix::<f64, UNKNOWNS, UNKNOWNS>::zeros();
    for at in 0..COUNT {
        let z = unknown[at];
        let tanh = libm::tanh(z);
        let first = (1.0 - tanh * tanh) / 2.0;
        let second = -2.0 * tanh * first;
        let pull: f64 = (0..3).map(|channel| CHANNELS[channel][at] * unknown[COUNT + channel]).sum();
        // Of the squared differences to both neighbours; the ends have one.
        let mut curve = 0.0;
        for neighbour in [at.checked_sub(1), (at + 1 < COUNT).then_some(at + 1)].into_iter().flatten() {
            curve += 2.0 * (z - unknown[neighbour]);
            slopes[(at, at)] += 2.0;
            slopes[(at, neighbour)] -= 2.0;
        }
        off[at] = curve + first * pull;
        slopes[(at, at)] += second * pull;
        for channel in 0..3 {
            slopes[(at, COUNT + channel)] = first * CHANNELS[channel][at];
            slopes[(COUNT + channel, at)] = first * CHANNELS[channel][at];
            off[COUNT + channel] += CHANNELS[channel][at] * (tanh + 1.0) / 2.0;
        }
    }
    for channel in 0..3 {
        off[COUNT + channel] -= wanted[channel];
    }
    (off, slopes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;

    #[test]
    fn a_guessed_reflectance_has_the_colour_it_was_guessed_from() {
        let mut random = Random::new(5);
        for _ in 0..200 {
            let codes: [u8; 3] = std::array::from_fn(|_| random.within((2.0, 254.0)) as u8);
            let wash = Wash::of(WashColour::from_srgb(codes));
            assert!(wash.reflectance.iter().all(|&it| it > 0.0 && it < 1.0), "{codes:?}");
            assert_eq!(WashColour(colour_of(&wash.reflectance)).to_srgb(), codes);
        }
    }

    #[test]
    fn what_no_reflectance_has_gets_the_nearest_that_one_has() {
        for odd in [[0, 0, 0], [255, 255, 255], [255, 0, 0], [0, 0, 255], [255, 255, 0]] {
            let wash = Wash::of(WashColour::from_srgb(odd));
            assert!(wash.reflectance.iter().all(|it| it.is_finite()), "{odd:?}");
            let found = WashColour(colour_of(&wash.reflectance)).to_srgb();
            assert!(found.iter().zip(odd).all(|(&a, b)| a.abs_diff(b) <= 2), "{odd:?} became {found:?}");
        }
    }

    /// A grey is flat: L* 50 reflects 18.4187 % everywhere (CIE 15:2018, eq. 8.3).
    #[test]
    fn a_grey_reflects_alike_everywhere() {
        let wash = Wash::of(WashColour([0.184_187; 3]));
        assert!(wash.reflectance.iter().all(|it| (it - 0.184_187).abs() < 1e-6));
        assert!((luminance_of(&wash.reflectance) - 0.184_187).abs() < 1e-6);
    }
}
