//! Paint on its paper: what a measured wash does when it meets another.

mod caution;
mod curve;
mod dab;
mod drying;
mod glazing;
mod interchange;
mod looks;
mod mixing;
mod optics;
mod painted;
mod pigment;
mod puddle;
mod spectrum;
mod stand_in;

use crate::colour::{NEUTRAL_CHROMA, lab, lch};
use crate::lightness::{grey_from_y, srgb_decode};
use optics::{Layer, inner, outer};
use palette::convert::IntoColorUnclamped;
use palette::{Lab, LinSrgb, white_point::D65};

pub use caution::{Caution, Hazard, PigmentRecord, SAFETY_SHEET, USUAL_CARE};
pub use curve::{Curve, Tone};
pub use dab::{Dab, DabReading, DabSays, Stranger};
pub use drying::Drying;
pub use glazing::Covering;
pub use interchange::{PaintBox, PaintBoxError, PaintRecord};
pub use looks::Looks;
pub use mixing::{Mixture, Outcome};
pub use painted::{FEWEST_STEPS, Laid, MOST_STEPS, PaintAbout, PaintedError, PaintedStep, PaintedStrip};
pub use pigment::{MANY_PIGMENTS, Pigment, PigmentCount, PigmentError, PigmentFamily, PigmentList};
pub use puddle::{Dilutions, Puddle, PuddleWash};
pub use spectrum::{BANDS as SPECTRAL_BANDS, Reflectance};
pub use stand_in::AtTone;

/// A dry wash as it was measured on its paper, ready to be mixed: its colour, and what that says of its optics.
#[derive(Debug, Clone, PartialEq)]
pub struct Wash {
    colour: WashColour,
    /// Reflectance inside the paint, a band each.
    inner: [f64; SPECTRAL_BANDS],
    /// Absorption of the layer, its paper's included, a band each.
    absorption: [f64; SPECTRAL_BANDS],
    /// Scattering of the layer.
    scattering: f64,
    /// L*, a*, b* by which the measured colour differs from its layer's: 0 but for colours that no reflectance has.
    off: [f64; 3],
}

/// A colour as a painter looks at it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WashColour {
    /// Linear sRGB, 0 to 1 inside its gamut.
    pub linear_srgb: [f64; 3],
    /// L* under D65.
    pub lightness: f64,
    /// C*ab.
    pub chroma: f64,
    /// CIELAB hue angle, degrees from 0 to 360; none for a colour too near grey to have one.
    pub hue: Option<f64>,
}

/// Why washes can't be mixed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WashError {
    /// The colour has a part that is not a number, or lies far outside what paint on paper can be.
    #[error("linear sRGB {0:?} is not the colour of a wash")]
    Colour([f64; 3]),
    /// A share is a number from 0 to 1.
    #[error("a share lies between 0 and 1, and {0} does not")]
    Share(f64),
}

/// Linear sRGB that a measured wash may have: the optimal colours with room for an error of measurement.
const LINEAR_SRGB: std::ops::RangeInclusive<f64> = -0.5..=1.5;

/// Scattering of a wash that would be perfectly white, times thickness; others' falls with the square root of their
/// reflectance R in the band that they absorb most. Light from there was scattered by the paint before it was absorbed,
/// so R goes as S / K; one colour can't tell how much of a small R is small S and how much large K, and the root shares
/// it evenly between them. So white and body colours scatter much, black and lakes little. The scale was chosen with
/// the surface's share (see `mixing`); 1 to 1.4 do about as well.
const SCATTERING: f64 = 1.1;

impl Wash {
    /// Of the colour that was measured, as linear sRGB, which may lie somewhat outside the gamut.
    ///
    /// # Errors
    /// [`WashError::Colour`] where it can't be the colour of a wash.
    pub fn measured(linear_srgb: [f64; 3]) -> Result<Self, WashError> {
        if !linear_srgb.iter().all(|channel| LINEAR_SRGB.contains(channel)) {
            return Err(WashError::Colour(linear_srgb));
        }
        let reflectance = Reflectance::upsampled(linear_srgb);
        let inner = reflectance.bands().map(inner);
        let darkest = inner.iter().copied().fold(1.0, f64::min);
        let scattering = SCATTERING * darkest.sqrt();
        let absorption = inner.map(|shown| Layer::seen(shown, scattering, IDEAL_GROUND).absorption);
        let (wanted, had) = (lab(linear_srgb), lab(seen(&inner)));
        let off = std::array::from_fn(|at| wanted[at] - had[at]);
        Ok(Self { colour: WashColour::of(linear_srgb), inner, absorption, scattering, off })
    }

    /// Of an 8-bit sRGB colour.
    #[must_use]
    pub fn from_srgb(srgb: [u8; 3]) -> Self {
        let linear = srgb.map(|code| srgb_decode(f64::from(code) / 255.0));
        Self::measured(linear).expect("every 8-bit colour lies in the range of washes")
    }

    /// What was measured.
    #[must_use]
    pub fn colour(&self) -> WashColour {
        self.colour
    }
}

impl WashColour {
    /// Of linear sRGB.
    #[must_use]
    pub fn of(linear_srgb: [f64; 3]) -> Self {
        let (lightness, chroma, hue) = lch(linear_srgb);
        Self { linear_srgb, lightness, chroma, hue: (chroma >= NEUTRAL_CHROMA).then_some(hue) }
    }

    /// The nearest 8-bit sRGB, each channel clipped by itself.
    #[must_use]
    pub fn srgb(&self) -> [u8; 3] {
        self.linear_srgb.map(grey_from_y)
    }
}

/// The ground under a layer that holds its paper, too: a layer without absorption is then a perfect white. With the
/// paper's own .87 instead, no figure of `mixing` but the 90 % changes by more than .02.
const IDEAL_GROUND: f64 = 1.0;

/// Linear sRGB of reflectances inside the paint.
fn seen(inner: &[f64; SPECTRAL_BANDS]) -> [f64; 3] {
    Reflectance::measured(inner.map(outer)).linear_srgb()
}

/// Linear sRGB moved by some L*, a* and b*.
fn moved(linear_srgb: [f64; 3], by: [f64; 3]) -> [f64; 3] {
    let [l, a, b] = lab(linear_srgb);
    let rgb: LinSrgb<f64> = Lab::<D65, f64>::new(l + by[0], a + by[1], b + by[2]).into_color_unclamped();
    [rgb.red, rgb.green, rgb.blue]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// L*, C* and h of a measured cadmium red, 8-bit sRGB (191, 55, 53), colour-science 0.4.7, to one decimal.
    #[test]
    fn a_wash_keeps_what_was_measured() {
        let wash = Wash::from_srgb([191, 55, 53]).colour();
        assert!((wash.lightness - 44.3).abs() < 0.05, "{wash:?}");
        assert_eq!(wash.srgb(), [191, 55, 53]);
        assert!(wash.hue.is_some());
        assert_eq!(Wash::from_srgb([90, 90, 90]).colour().hue, None);
    }

    #[test]
    fn what_is_no_colour_of_a_wash_is_refused() {
        for rgb in [[f64::NAN, 0.0, 0.0], [0.0, f64::INFINITY, 0.0], [0.0, 0.0, 3.0]] {
            assert!(matches!(Wash::measured(rgb), Err(WashError::Colour(_))), "{rgb:?}");
        }
        assert!(Wash::measured([-0.04, 0.19, 0.56]).is_ok());
    }
}
