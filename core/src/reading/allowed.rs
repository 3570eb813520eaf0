//! What may be said of a spot: the one place that decides whether a figure becomes a reading.
//!
//! Pins, pairs, the live camera, strips, records and prints all come by here, so that no figure outside L* 0 to 100, and
//! none without a finite ±, is shown, printed or kept.

/// Why a spot has no reading. The names are stable; sentences are made where they are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoReading {
    /// A question: it comes out lighter than a perfect white, so it shines, or a reference patch is not what was stated.
    #[error(
        "lighter than white in the stated light: does it shine, or is a reference patch not what was stated?"
    )]
    LighterThanWhite,
    /// The file is cut off there.
    #[error("the file is cut off here")]
    CutOff,
    /// No pixel's centre lies in the spot.
    #[error("the spot lies outside the picture")]
    Outside,
    /// The stated light leaves too much doubt for any figure.
    #[error("the stated light leaves this spot too uncertain to read")]
    TooUncertain,
}

/// L* of a perfect white.
const WHITE: f64 = 100.0;

/// L* above white that is rounding: a plain white is up to Y 1.0001 once it went through tables of 32-bit floats.
const ROUNDING: f64 = 0.01;

/// The widest ± that is a reading: at ±50 the interval about a middle tone is the whole scale.
const WIDEST: f64 = 50.0;

/// The narrowest ± that a stated light leaves: a patch's own noise alone is several times this, so a narrower one means
/// that no camera fits what was stated.
const NARROWEST: f64 = 0.1;

impl NoReading {
    /// Whether it asks the painter something, rather than refusing.
    #[must_use]
    pub fn is_question(self) -> bool {
        self == Self::LighterThanWhite
    }
}

/// The L* that may be said of a spot that came out at `lightness`, repeatable to ± `repeatable`, and true to
/// ± `true_to` where a light was stated.
///
/// # Errors
/// [`NoReading`].
pub(crate) fn allowed(lightness: f64, repeatable: f64, true_to: Option<f64>) -> Result<f64, NoReading> {
    if lightness.is_finite() && lightness > WHITE + ROUNDING {
        return Err(NoReading::LighterThanWhite);
    }
    let is_certain = (0.0..=WIDEST).contains(&repeatable)
        && true_to.is_none_or(|true_to| (NARROWEST..=WIDEST).contains(&true_to));
    if !is_certain || !lightness.is_finite() || lightness < -ROUNDING {
        return Err(NoReading::TooUncertain);
    }
    Ok(lightness.clamp(0.0, WHITE))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_said_between_black_and_white_only_and_with_a_finite_doubt() {
        assert_eq!(allowed(50.0, 0.3, None), Ok(50.0));
        assert_eq!(allowed(100.004, 0.3, Some(3.0)), Ok(100.0));
        assert_eq!(allowed(-0.001, 0.3, Some(3.0)), Ok(0.0));
        assert_eq!(allowed(433.0, 0.3, Some(100.0)), Err(NoReading::LighterThanWhite));
        for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0] {
            assert_eq!(allowed(odd, 0.3, None), Err(NoReading::TooUncertain), "{odd}");
            assert_eq!(allowed(50.0, odd, Some(3.0)), Err(NoReading::TooUncertain), "{odd}");
            assert_eq!(allowed(50.0, 0.3, Some(odd)), Err(NoReading::TooUncertain), "{odd}");
        }
        assert_eq!(allowed(50.0, 0.3, Some(100.0)), Err(NoReading::TooUncertain));
        assert_eq!(allowed(50.0, 0.3, Some(0.003)), Err(NoReading::TooUncertain), "no camera fitted");
    }
}
