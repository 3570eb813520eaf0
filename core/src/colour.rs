//! Hue and intensity in words that a painter uses, from CIELAB under D65.

use palette::convert::IntoColorUnclamped;
use palette::{Lab, Lch, LinSrgb, white_point::D65};

/// One of the ten principal hues of the Munsell circle, which painters' names follow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hue {
    /// 5R.
    Red,
    /// 5YR.
    Orange,
    /// 5Y.
    Yellow,
    /// 5GY.
    YellowGreen,
    /// 5G.
    Green,
    /// 5BG.
    BlueGreen,
    /// 5B.
    Blue,
    /// 5PB.
    VioletBlue,
    /// 5P.
    Violet,
    /// 5RP.
    Rose,
}

/// How far from grey.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Intensity {
    /// No hue to speak of: C*ab below [`NEUTRAL_CHROMA`].
    Neutral,
    /// A coloured grey.
    Greyed,
    /// Plainly coloured, not strong.
    Muted,
    /// Strong.
    Strong,
    /// As strong as paint gets.
    Vivid,
}

/// C*ab below which a hue can't be named: about the just noticeable difference from grey (2.3 ΔE*ab) with the error
/// of an 8-bit sample added.
pub(crate) const NEUTRAL_CHROMA: f64 = 3.0;

/// C*ab up to which a colour is no more than a coloured grey: two of Munsell's chroma steps, 5.5 C*ab each.
pub(crate) const GREYED_CHROMA: f64 = 11.0;

/// C*ab from which a colour is strong: five of Munsell's chroma steps.
pub(crate) const STRONG_CHROMA: f64 = 27.5;

/// CIELAB hue angle of the ten principal hues at value 5, chroma 8, renotation adapted to D65 (colour-science 0.4.7,
/// `MUNSELL_COLOURS['real']`, to one decimal).
const PRINCIPAL: [(Hue, f64); 10] = [
    (Hue::Red, 26.4),
    (Hue::Orange, 61.0),
    (Hue::Yellow, 89.6),
    (Hue::YellowGreen, 116.2),
    (Hue::Green, 162.9),
    (Hue::BlueGreen, 189.7),
    (Hue::Blue, 228.4),
    (Hue::VioletBlue, 272.8),
    (Hue::Violet, 315.6),
    (Hue::Rose, 354.2),
];

/// L*, a* and b* of linear sRGB, which may lie outside the gamut.
pub(crate) fn lab([r, g, b]: [f64; 3]) -> [f64; 3] {
    let lab: Lab<D65, f64> = LinSrgb::new(r, g, b).into_color_unclamped();
    [lab.l, lab.a, lab.b]
}

/// Lightness, chroma and hue angle (degrees, 0 to 360) of linear sRGB, which may lie outside the gamut.
pub(crate) fn lch(linear_srgb: [f64; 3]) -> (f64, f64, f64) {
    let [r, g, b] = linear_srgb;
    let lab: Lab<D65, f64> = LinSrgb::new(r, g, b).into_color_unclamped();
    let lch: Lch<D65, f64> = lab.into_color_unclamped();
    (lch.l, lch.chroma, lch.hue.into_positive_degrees())
}

impl Hue {
    /// The principal hue nearest to a CIELAB hue angle in degrees.
    #[must_use]
    pub fn nearest(degrees: f64) -> Self {
        let mut nearest = PRINCIPAL[0];
        for candidate in PRINCIPAL {
            if Self::apart(degrees, candidate.1) < Self::apart(degrees, nearest.1) {
                nearest = candidate;
            }
        }
        nearest.0
    }

    /// How far two hue angles lie apart, 0 to 180 degrees.
    #[must_use]
    pub(crate) fn apart(one: f64, other: f64) -> f64 {
        let apart = (one - other).rem_euclid(360.0);
        apart.min(360.0 - apart)
    }
}

impl Intensity {
    /// Of C*ab. The steps are common practice: about two of Munsell's chroma steps (5.5 C*ab each) are a coloured
    /// grey, five muted, ten strong.
    #[must_use]
    pub fn of(chroma: f64) -> Self {
        match chroma {
            chroma if chroma < NEUTRAL_CHROMA => Self::Neutral,
            chroma if chroma < GREYED_CHROMA => Self::Greyed,
            chroma if chroma < STRONG_CHROMA => Self::Muted,
            chroma if chroma < 55.0 => Self::Strong,
            _ => Self::Vivid,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// sRGB primaries under D65: L* as in IEC 61966-2-1 through CIE 1976, C* and h of colour-science 0.4.7 to one decimal.
    #[test]
    fn primaries_agree_with_colour_science() {
        for (rgb, expected) in [
            ([1.0, 0.0, 0.0], (53.24, 104.55, 40.0)),
            ([0.0, 1.0, 0.0], (87.73, 119.78, 136.0)),
            ([0.0, 0.0, 1.0], (32.30, 133.81, 306.3)),
        ] {
            let (lightness, chroma, hue) = lch(rgb);
            assert!((lightness - expected.0).abs() < 0.02, "{lightness}");
            assert!((chroma - expected.1).abs() < 0.1, "{chroma}");
            assert!((hue - expected.2).abs() < 0.1, "{hue}");
        }
    }

    #[test]
    fn hues_go_round_the_circle() {
        assert_eq!(Hue::nearest(359.0), Hue::Rose);
        assert_eq!(Hue::nearest(12.0), Hue::Red);
        assert_eq!(Hue::nearest(97.0), Hue::Yellow);
    }
}
