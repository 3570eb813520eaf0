//! What a mixture looks like, in a painter's words: of the colour that is predicted, and against its parents.

use super::{Mixture, Outcome, Wash, WashColour};
use crate::colour::STRONG_CHROMA;
use crate::{Hue, Intensity};

/// A mixture as it looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Looks {
    /// How far from grey.
    pub intensity: Intensity,
    /// Its hue; none where it is a grey.
    pub hue: Option<Hue>,
    /// It greys: it loses half of its parents' chroma, and is no clear colour any more.
    pub greys: bool,
    /// It has less chroma than either of its parents, by more than an error of measurement.
    pub less_vivid: bool,
}

/// C*ab by which a mixture must fall short of the duller parent to be called less vivid: the median error of what is
/// predicted (4.8 ΔE00, see `mixing`), all of it taken as chroma.
const LESS: f64 = 5.0;

impl Mixture {
    /// How it looks beside the two washes that it is made of.
    ///
    /// Two vivid paints can lose half of their chroma and leave a clear colour, as yellow and blue leave a green:
    /// such a mixture does not grey, it is less vivid than either.
    #[must_use]
    pub fn looks(&self, parents: [&Wash; 2]) -> Looks {
        let WashColour { chroma, hue, .. } = self.colour;
        let intensity = Intensity::of(chroma);
        let duller = parents.map(|parent| parent.colour().chroma).into_iter().fold(f64::INFINITY, f64::min);
        Looks {
            intensity,
            hue: hue.filter(|_| intensity > Intensity::Neutral).map(Hue::nearest),
            greys: self.outcome == Outcome::Dull && chroma < STRONG_CHROMA,
            less_vivid: chroma < duller - LESS,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn looks(one: [u8; 3], other: [u8; 3]) -> (Mixture, Looks) {
        let (one, other) = (Wash::from_srgb(one), Wash::from_srgb(other));
        let mixture = one.mixed(&other, 0.5).unwrap();
        (mixture, mixture.looks([&one, &other]))
    }

    /// Common practice: a clean yellow and a blue make a clear green. Two vivid paints of a screen's own primaries.
    #[test]
    fn a_clear_green_of_yellow_and_blue_does_not_grey() {
        let (mixture, looks) = looks([255, 225, 0], [0, 90, 200]);
        assert!(mixture.colour.chroma > STRONG_CHROMA, "{mixture:?}");
        assert!(matches!(looks.hue, Some(Hue::Green | Hue::YellowGreen | Hue::BlueGreen)), "{looks:?}");
        assert!(!looks.greys && looks.less_vivid, "{mixture:?} {looks:?}");
    }

    /// Measured 1:1 (Chen et al. 2019, arXiv:1904.00275), 8-bit sRGB: cadmium red and cerulean grey each other, lemon
    /// and cadmium yellow stay a vivid yellow.
    #[test]
    fn what_was_measured_dull_greys_and_what_was_measured_clean_does_not() {
        let dull = looks([191, 55, 53], [0, 90, 162]).1;
        assert!(dull.greys && dull.less_vivid && dull.intensity < Intensity::Strong, "{dull:?}");
        let clean = looks([249, 229, 0], [254, 164, 0]).1;
        assert!(!clean.greys && !clean.less_vivid && clean.intensity == Intensity::Vivid, "{clean:?}");
    }

    #[test]
    fn a_grey_has_no_hue() {
        let looks = looks([120, 120, 120], [60, 60, 60]).1;
        assert_eq!((looks.intensity, looks.hue, looks.greys), (Intensity::Neutral, None, false));
    }
}
