//! Which paints can take each other's place at a tone.
//!
//! [`Curve::at_tone`] is the one place that decides whether a paint reaches a tone. Whatever shows or prints that asks
//! it, and asks for a band by the band's middle ([`crate::Bands::middle`]), so that no two of them can disagree.

use super::{Curve, Tone};

/// What a paint does at a tone that is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AtTone {
    /// It reaches it.
    Reaches {
        /// At this step of her strip, from 1; a part of a step lies between two.
        step: f64,
        /// Half of the 90 % interval of that, in steps.
        plus_minus: f64,
        /// What it looks like there.
        tone: Tone,
    },
    /// Even its darkest step is lighter, by so many L*.
    StaysLighter(f64),
    /// Even its lightest step is darker, by so many L*: more water than was painted would do it.
    StaysDarker(f64),
}

/// How far to both sides of a strength the slope is taken, as a part of the strip: a fifth of a step of eight.
const ABOUT: f64 = 0.03;

impl Curve {
    /// At an L*: reached from its lightest to its darkest, both included.
    #[must_use]
    pub fn at_tone(&self, lightness: f64) -> AtTone {
        let (light, dark) = self.range();
        if lightness > light {
            return AtTone::StaysDarker(lightness - light);
        }
        let Some(strength) = self.strength(lightness) else {
            return AtTone::StaysLighter(dark - lightness);
        };
        let tone = self.at(strength);
        let (before, after) = ((strength - ABOUT).max(0.0), (strength + ABOUT).min(1.0));
        let falls = (self.at(before).lightness - self.at(after).lightness).abs();
        let a_step = falls / (self.step(after) - self.step(before));
        // Where the curve is level, any of its steps would do.
        let plus_minus = (tone.plus_minus / a_step).min((self.steps() - 1) as f64);
        AtTone::Reaches { step: self.step(strength), plus_minus, tone }
    }
}

#[cfg(test)]
mod tests {
    use super::super::painted::tests::strip;
    use super::*;

    fn curve() -> Curve {
        Curve::through(&[strip(&[90.0, 80.0, 70.0, 60.0, 50.0])]).unwrap()
    }

    #[test]
    fn a_tone_is_reached_at_a_step_or_missed_by_so_much() {
        let AtTone::Reaches { step, plus_minus, tone } = curve().at_tone(75.0) else { panic!() };
        assert!((step - 2.5).abs() < 1e-6 && (tone.lightness - 75.0).abs() < 1e-6);
        // Ten L* to a step.
        assert!((plus_minus - tone.plus_minus / 10.0).abs() < 1e-6, "{plus_minus}");
        assert_eq!(curve().at_tone(43.0), AtTone::StaysLighter(7.0));
        assert_eq!(curve().at_tone(94.0), AtTone::StaysDarker(4.0));
        for end in [90.0, 50.0] {
            assert!(matches!(curve().at_tone(end), AtTone::Reaches { .. }));
        }
    }

    /// Measured watercolours at L* 30 (Chen et al. 2019; L* of lightest and heaviest load as in that data set, ran with
    /// colour-science): alizarin, burnt siena, sap green, cerulean, ultramarine, prussian and black reach it or, where
    /// their lightest load lies under it, take more water; no yellow, no cadmium red, no cobalt does.
    #[test]
    fn measured_paints_reach_a_dark_as_they_were_measured_to() {
        let measured = [
            ("lemon yellow", 92.6, 85.7, false),
            ("cadmium yellow", 77.9, 70.0, false),
            ("raw sienna", 70.6, 43.1, false),
            ("cadmium red", 49.3, 39.0, false),
            ("burnt sienna", 46.6, 25.9, true),
            ("alizarin", 35.6, 21.4, true),
            ("sap green", 49.4, 22.9, true),
            ("cerulean", 50.1, 29.2, true),
            ("cobalt", 36.9, 33.7, false),
            ("ultramarine", 28.0, 22.3, true),
            ("black", 22.1, 9.5, true),
        ];
        for (name, light, dark, reaches) in measured {
            let at = Curve::through(&[strip(&[light, dark])]).unwrap().at_tone(30.0);
            assert_eq!(!matches!(at, AtTone::StaysLighter(_)), reaches, "{name}: {at:?}");
        }
    }
}
