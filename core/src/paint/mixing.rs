//! What becomes of two washes: run together wet, or one laid over the other.
//!
//! Chosen among these by the half of a published set of measured mixtures that was kept for it (Chen et al. 2019,
//! arXiv:1904.00275; `cargo test -p tonefast-references mixtures -- --nocapture` prints the table anew). Mean K/S of
//! guessed spectra follows measured mixtures best of the simple ones; weighing each paint by how light it is besides
//! ([`BODY`]) takes away half of its bias, since light paints are full of body, which scatters.

use super::optics;
use super::spectrum::{Wash, WashColour, colour_of, luminance_of};
use super::tables::COUNT;

/// What two washes make.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    /// Its colour.
    pub colour: WashColour,
    /// How likely its chroma is under half of the mean of both, 0 to 1.
    pub dullness: f64,
    /// In words.
    pub together: Together,
}

/// How two washes run together. None is better: greys are prized, and mud is what was not wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Together {
    /// It keeps its colour.
    Clean,
    /// It may go either way.
    Unsure,
    /// It greys.
    Greyed,
    /// Both are near grey, and so is what they make: there is no colour to lose.
    Neutral,
}

/// How much more a paint counts for each part of the light that it reflects: at a luminance of 1, 1.75 times as much.
/// Chosen on the development rows to one quarter, by the median of ΔE00 (5.84 at .75; 6.05 at 0, 6.04 at 1).
const BODY: f64 = 0.75;

/// Added to both chromas before they are compared, so that the noise of near greys decides nothing: the chroma below
/// which no hue is named.
const GREY: f64 = crate::colour::NEUTRAL_CHROMA;

/// The part of its parents' chroma at which as many measured mixtures are under half of it as above, and how fast that
/// turns: a logistic curve through the development rows of equal shares.
const TURNS_AT: f64 = 0.52;
const TURNS_OVER: f64 = 0.064;

/// Below and above these it is told: of the development rows, 49 of 51 beneath and 49 of 52 above were so.
const SURE: (f64, f64) = (0.3, 0.7);

/// Chroma that is no more than a near grey's, of both parents in the mean: a coloured grey's.
const NEAR_GREY: f64 = 8.0;

/// Runs two washes together, `share` of the second by volume, 0 to 1: at .5 equal volumes of the washes as they were
/// painted.
#[must_use]
pub fn mixed(first: &Wash, second: &Wash, share: f64) -> Mixture {
    let share = share.clamp(0.0, 1.0);
    let weight = |wash: &Wash, share: f64| share * (1.0 + BODY * luminance_of(&wash.reflectance));
    let (a, b) = (weight(first, 1.0 - share), weight(second, share));
    let reflectance: [f64; COUNT] = std::array::from_fn(|at| {
        let ratios = [first, second].map(|wash| optics::ratio(wash.reflectance[at]));
        optics::reflectance((a * ratios[0] + b * ratios[1]) / (a + b))
    });
    let colour = told(&reflectance, &[(first, 1.0 - share), (second, share)]);
    let (dullness, together) = dulled(colour, [first.colour, second.colour]);
    Mixture { colour, dullness, together }
}

/// Mixtures from the first to the second, both included, by equal steps of volume; at least two.
#[must_use]
pub fn passage(first: &Wash, second: &Wash, steps: usize) -> Vec<Mixture> {
    let last = steps.max(2) - 1;
    (0..=last).map(|step| mixed(first, second, step as f64 / last as f64)).collect()
}

/// Lays the first, dry, over the second. Both were measured on the same paper. The upper one is taken as clear, so that
/// it takes from the light what it takes from the paper's; a paint of much body hides more than that.
#[must_use]
pub fn glazed(over: &Wash, under: &Wash, paper: &Wash) -> WashColour {
    let reflectance: [f64; COUNT] = std::array::from_fn(|at| {
        // Through the layer and back: what it leaves of the paper's light.
        let twice = (over.reflectance[at] / paper.reflectance[at]).min(1.0);
        optics::over(0.0, libm::sqrt(twice), under.reflectance[at])
    });
    WashColour(colour_of(&reflectance))
}

/// The colour of a reflectance that was mixed of washes: what their own reflectances lack of their measured colours,
/// which may lie where no reflectance does, is added in their shares, so that a wash alone stays what it is.
fn told(reflectance: &[f64; COUNT], washes: &[(&Wash, f64)]) -> WashColour {
    let mut colour = colour_of(reflectance);
    for (wash, share) in washes {
        let guessed = colour_of(&wash.reflectance);
        for channel in 0..3 {
            colour[channel] += share * (wash.colour.0[channel] - guessed[channel]);
        }
    }
    WashColour(colour)
}

fn dulled(colour: WashColour, parents: [WashColour; 2]) -> (f64, Together) {
    let chroma = |colour: WashColour| colour.lch().1;
    let mean = (chroma(parents[0]) + chroma(parents[1])) / 2.0;
    let part = (chroma(colour) + GREY) / (mean + GREY);
    let dullness = 1.0 / (1.0 + libm::exp((part - TURNS_AT) / TURNS_OVER));
    let together = match dullness {
        _ if mean < NEAR_GREY => Together::Neutral,
        dullness if dullness < SURE.0 => Together::Clean,
        dullness if dullness > SURE.1 => Together::Greyed,
        _ => Together::Unsure,
    };
    (dullness, together)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;

    fn wash(codes: [u8; 3]) -> Wash {
        Wash::of(WashColour::from_srgb(codes))
    }

    /// Measured washes (Chen et al. 2019, rows of .04 ml): cadmium red, cerulean, lemon and cadmium yellow, cobalt.
    const CADMIUM_RED: [u8; 3] = [191, 55, 53];
    const CERULEAN: [u8; 3] = [0, 90, 162];
    const LEMON: [u8; 3] = [249, 229, 0];
    const CADMIUM_YELLOW: [u8; 3] = [254, 164, 0];
    const COBALT: [u8; 3] = [44, 82, 185];

    #[test]
    fn a_wash_alone_and_with_itself_stays_what_it_is() {
        let mut random = Random::new(9);
        for _ in 0..50 {
            let codes: [u8; 3] = std::array::from_fn(|_| random.within((0.0, 255.99)) as u8);
            let (one, other) = (wash(codes), wash([90, 120, 60]));
            assert_eq!(mixed(&one, &other, 0.0).colour.to_srgb(), codes);
            assert_eq!(mixed(&other, &one, 1.0).colour.to_srgb(), codes);
            assert_eq!(mixed(&one, &one, 0.3).colour.to_srgb(), codes);
        }
    }

    /// The measured mixtures of the same rows are dull, clean, clean, clean and dull.
    #[test]
    fn what_greys_and_what_stays_clean_agrees_with_measured_anchors() {
        for (first, second, together) in [
            (CADMIUM_RED, CERULEAN, Together::Greyed),
            (LEMON, CERULEAN, Together::Clean),
            (CADMIUM_RED, LEMON, Together::Clean),
            (LEMON, CADMIUM_YELLOW, Together::Clean),
            (CADMIUM_RED, COBALT, Together::Greyed),
        ] {
            let mixture = mixed(&wash(first), &wash(second), 0.5);
            assert_eq!(mixture.together, together, "{first:?} and {second:?}: {mixture:?}");
        }
    }

    #[test]
    fn order_does_not_matter_and_more_of_the_dark_is_darker() {
        let (light, dark) = (wash(LEMON), wash(COBALT));
        let lightness = |share: f64| mixed(&light, &dark, share).colour.lch().0;
        for share in [0.2, 0.35, 0.5, 0.8] {
            let there = mixed(&light, &dark, share).colour.0;
            let back = mixed(&dark, &light, 1.0 - share).colour.0;
            assert!(there.iter().zip(back).all(|(a, b)| (a - b).abs() < 1e-12));
            assert!(lightness(share) < lightness(share - 0.1));
        }
        let passage = passage(&light, &dark, 5);
        assert_eq!(passage.len(), 5);
        assert_eq!(passage[0].colour.to_srgb(), LEMON);
        assert_eq!(passage[4].colour.to_srgb(), COBALT);
    }

    /// Common practice: red and green, yellow and violet, orange and blue grey each other when they run together;
    /// neighbours on the circle stay clean.
    #[test]
    fn painters_complements_grey_and_neighbours_stay_clean() {
        const GREEN: [u8; 3] = [0, 105, 62];
        const VIOLET: [u8; 3] = [92, 48, 122];
        const ORANGE: [u8; 3] = [232, 104, 26];
        for (first, second) in [(CADMIUM_RED, GREEN), (CADMIUM_YELLOW, VIOLET), (ORANGE, COBALT)] {
            let mixture = mixed(&wash(first), &wash(second), 0.5);
            assert!(mixture.dullness > 0.5, "{first:?} and {second:?}: {mixture:?}");
        }
        for (first, second) in
            [(CADMIUM_RED, ORANGE), (ORANGE, CADMIUM_YELLOW), (GREEN, CERULEAN), (COBALT, VIOLET)]
        {
            let mixture = mixed(&wash(first), &wash(second), 0.5);
            assert_eq!(mixture.together, Together::Clean, "{first:?} and {second:?}: {mixture:?}");
        }
    }

    #[test]
    fn near_greys_have_no_colour_to_lose() {
        let mixture = mixed(&wash([40, 42, 45]), &wash([228, 226, 222]), 0.5);
        assert_eq!(mixture.together, Together::Neutral);
    }

    #[test]
    fn a_glaze_takes_what_it_takes_from_paper_and_over_paper_it_is_itself() {
        let paper = wash([243, 240, 232]);
        let (yellow, blue) = (wash([250, 232, 120]), wash([120, 160, 215]));
        let over_paper = glazed(&blue, &paper, &paper).to_srgb();
        assert!(over_paper.iter().zip([120, 160, 215]).all(|(&a, b)| a.abs_diff(b) <= 1), "{over_paper:?}");
        let over_yellow = glazed(&blue, &yellow, &paper);
        let (lightness, _, hue) = over_yellow.lch();
        assert!(lightness < yellow.colour().lch().0.min(blue.colour().lch().0));
        assert!((90.0..200.0).contains(&hue), "blue over yellow is a green: {hue}");
    }
}
