//! Two readings side by side: which is darker, by how much, and whether that is sure.

use crate::{Doubt, Reading, StandardError};

/// How the second of two readings stands to the first.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// L* of the second less L* of the first: below 0 where the second is darker.
    pub lightness: f64,
    /// Of `lightness`.
    pub error: StandardError,
    /// Band of the second less band of the first: above 0 where the second is darker.
    pub bands: i32,
    /// In words.
    pub verdict: Verdict,
    /// How far `lightness` may be from the truth; none where no light was stated.
    pub doubt: Option<Doubt>,
}

/// What a difference amounts to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// No eye would tell them apart, and the readings are good enough to say so.
    SameTone,
    /// Their textures are too rough for so small a difference.
    CannotTell,
    /// The second is darker by so much.
    Darker(Step),
    /// The second is lighter by so much.
    Lighter(Step),
}

/// How large a step of tone is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Seen when they lie side by side: less than 5 L*.
    Shade,
    /// Seen across the picture: 5 to 12.
    Plain,
    /// A band of a five-band study or about: 12 to 30.
    Clear,
    /// Light against dark: 30 and more.
    Far,
}

/// A difference under this is one tone: about the just noticeable 2.3 ΔE*ab (Mahy, Van Eycken & Oosterlinck 1994),
/// rounded down since edges make it easier to see.
const ONE_TONE: f64 = 2.0;

/// Half 95 % intervals that a difference must reach to be told as a direction: 3.3 standard errors, so that errors
/// judged from only some twenty patches still call the wrong one darker less than once in a hundred.
const SURE: f64 = 1.7;

/// Half 90 % intervals of what a camera may have done to a difference that it must reach likewise: on measured charts
/// fewer than one decided pair in two hundred is then wrong.
const CAMERA_SURE: f64 = 1.1;

/// L* at which a shade becomes plain, plain clear, and clear far: common practice, by what a painter would do about it
/// (leave it, another wash, another step of the strip, another paint).
const STEPS: [f64; 3] = [5.0, 12.0, 30.0];

impl Difference {
    /// From `first` to `second`.
    #[must_use]
    pub fn between(first: &Reading, second: &Reading) -> Self {
        let lightness = second.lightness - first.lightness;
        let (a, b) = (first.error, second.error);
        let variance = a.value * a.value + b.value * b.value;
        // Welch-Satterthwaite.
        let freedom = variance * variance / (a.value.powi(4) / a.freedom + b.value.powi(4) / b.freedom);
        let error = StandardError { value: variance.sqrt(), freedom };
        let doubt = first.doubt.as_ref().zip(second.doubt.as_ref()).map(|(a, b)| Doubt::of_difference(a, b));
        // Half of the interval of what a camera may have done to the difference, or of what its textures did.
        let camera = doubt.as_ref().map_or(0.0, |doubt| CAMERA_SURE / SURE * doubt.plus_minus());
        Self {
            lightness,
            error,
            bands: second.band as i32 - first.band as i32,
            verdict: Verdict::of(lightness, error.half_width().max(camera)),
            doubt,
        }
    }
}

impl Verdict {
    /// Of a difference of L*, and half of the 95 % interval of it (or what weighs as much).
    pub(crate) fn of(lightness: f64, half_width: f64) -> Self {
        let size = lightness.abs();
        if size < ONE_TONE {
            return if size + half_width < 2.0 * ONE_TONE { Self::SameTone } else { Self::CannotTell };
        }
        if size < SURE * half_width {
            return Self::CannotTell;
        }
        let step = match size {
            size if size < STEPS[0] => Step::Shade,
            size if size < STEPS[1] => Step::Plain,
            size if size < STEPS[2] => Step::Clear,
            _ => Step::Far,
        };
        if lightness < 0.0 { Self::Darker(step) } else { Self::Lighter(step) }
    }
}

#[cfg(test)]
mod pairs;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_difference_of_smooth_spots_is_one_tone_and_of_rough_ones_unknown() {
        assert_eq!(Verdict::of(1.0, 0.5), Verdict::SameTone);
        assert_eq!(Verdict::of(1.0, 3.5), Verdict::CannotTell);
        assert_eq!(Verdict::of(-4.0, 3.5), Verdict::CannotTell);
    }

    #[test]
    fn steps_grow_with_the_difference() {
        assert_eq!(Verdict::of(-3.0, 0.5), Verdict::Darker(Step::Shade));
        assert_eq!(Verdict::of(8.0, 0.5), Verdict::Lighter(Step::Plain));
        assert_eq!(Verdict::of(-18.0, 0.5), Verdict::Darker(Step::Clear));
        assert_eq!(Verdict::of(60.0, 0.5), Verdict::Lighter(Step::Far));
    }
}
