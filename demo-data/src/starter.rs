//! A starter box of invented paints, with strips that an uneven hand painted of them.
//!
//! The file is a list of paints as the app hands them out and takes them in (JSON, `tonefast paints`, version 1).

mod hand;
mod palette;
mod record;

use crate::noise::SplitMix64;
use crate::tone::lab;
pub(crate) use hand::Hand;
use palette::Strip;
pub(crate) use palette::{InventedPaint, PAINTS};
use record::{AboutRecord, BoxRecord, PaintRecord, StepRecord, StripRecord};

/// L* of the paper that everything is painted on.
pub(crate) const PAPER_LIGHTNESS: f64 = 94.5;

/// Relative luminance of that paper: ((94.5 + 16) / 116)³, by CIE 15.
pub(crate) const PAPER: f64 = (110.5 / 116.0) * (110.5 / 116.0) * (110.5 / 116.0);

/// What stands in the note of each paint.
const NOTE: &str = "Invented, for trying things out: paint your own strips.";
const PAPER_NAME: &str = "Demo paper";

/// Steps of a strip of washes.
const STEPS: usize = 8;
/// How far a reading strays, L*.
const STRAYS: f32 = 0.25;
/// How much darker, at most, one strip of a paint comes out than another at its strong end, L*.
const STRONGER: f32 = 1.6;

/// The text of `starter-paints.json`.
pub(crate) fn written() -> Result<String, serde_json::Error> {
    let starter = BoxRecord { schema: "tonefast paints", version: 1, paints: records().collect() };
    Ok(serde_json::to_string_pretty(&starter)? + "\n")
}

/// One of each of [`PAINTS`]; each strip has a seed of its own.
fn records() -> impl Iterator<Item = PaintRecord> {
    PAINTS.iter().zip((0x57a2_7e20..).step_by(16)).map(|(paint, seed)| record(paint, seed))
}

fn record(paint: &InventedPaint, seed: u64) -> PaintRecord {
    let about = AboutRecord {
        name: paint.name,
        maker: "",
        pigments: paint.pigments,
        mixed_of: paint.mixed_of,
        notes: NOTE,
        transparent: paint.transparent,
        granulating: paint.granulation > 0.0,
        staining: paint.staining,
    };
    let strips = paint.strips.iter().zip(seed..).map(|(strip, seed)| painted(paint, strip, seed)).collect();
    PaintRecord { about, strips }
}

fn painted(paint: &InventedPaint, strip: &Strip, seed: u64) -> StripRecord {
    let mut hand = Hand::new(seed);
    let (laid, thicknesses) = match strip.laid {
        palette::Laid::Washes { unevenness } => {
            let stronger = hand.within(STRONGER);
            ("washes", hand.washes(paint, STEPS, unevenness, stronger))
        }
        palette::Laid::Layers { count, lightness } => ("layers", hand.layers(paint, count, lightness)),
    };
    let mut draws = SplitMix64::new(!seed);
    let mut read = || f64::from(draws.between(-STRAYS, STRAYS));
    let count = thicknesses.len();
    let steps: Vec<StepRecord> = thicknesses
        .into_iter()
        .map(|thickness| {
            let [lightness, a, b] = lab(paint.shown(thickness));
            let lightness = hundredths(lightness + read());
            let tint = [a + read(), b + read()].map(hundredths);
            StepRecord { lightness, plus_minus: hundredths(plus_minus(lightness)), tint }
        })
        .collect();
    let place = |step: usize| step as f64 / (count - 1) as f64;
    let wet_lightness = strip.dries_lighter.map(|by| {
        let wet = steps.iter().enumerate();
        wet.map(|(at, step)| hundredths(step.lightness - by * (0.2 + 0.8 * place(at)) + read())).collect()
    });
    StripRecord {
        laid,
        wet: false,
        day: strip.day,
        paper: PAPER_NAME,
        paper_lightness: PAPER_LIGHTNESS,
        steps,
        wet_lightness,
    }
}

/// Half of the 90 % interval of a tone that is read beside white paper from a phone's photo, L*: near paper the paper
/// holds it, in the middle tones a camera's curve leaves most open. As the app says of the drawn photograph of strips,
/// to a third.
fn plus_minus(lightness: f64) -> f64 {
    let below = (PAPER_LIGHTNESS - lightness) / PAPER_LIGHTNESS;
    0.5 + 14.5 * below * (1.0 - 0.62 * below)
}

fn hundredths(of: f64) -> f64 {
    (100.0 * of).round() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strips() -> Vec<(&'static str, StripRecord)> {
        let named = |paint: PaintRecord| paint.strips.into_iter().map(move |strip| (paint.about.name, strip));
        records().flat_map(named).collect()
    }

    /// Yellows have a short range and dark blues a long one (common practice): by three times and more.
    #[test]
    fn a_yellow_stays_light_and_a_blue_goes_dark() {
        let range = |name: &str| {
            let strips = strips();
            let (_, strip) = strips.iter().find(|(paint, _)| *paint == name).unwrap();
            strip.steps[0].lightness - strip.steps[strip.steps.len() - 1].lightness
        };
        assert!(
            range("Demo blue") > 3.0 * range("Demo yellow"),
            "{} {}",
            range("Demo blue"),
            range("Demo yellow")
        );
    }

    /// L* lies between black and the paper, and the darker end comes last.
    #[test]
    fn each_strip_runs_from_light_to_dark() {
        for (name, strip) in strips() {
            let tones: Vec<f64> = strip.steps.iter().map(|step| step.lightness).collect();
            assert!(tones.iter().all(|tone| (5.0..PAPER_LIGHTNESS).contains(tone)), "{name} {tones:?}");
            assert!(tones[0] > tones[tones.len() - 1] + 8.0, "{name} {tones:?}");
        }
    }

    /// Masstones dry lighter by about 2 L* (common practice); washes by less.
    #[test]
    fn a_strip_that_was_read_wet_has_dried_lighter() {
        let dried: Vec<StripRecord> =
            strips().into_iter().map(|it| it.1).filter(|it| it.wet_lightness.is_some()).collect();
        assert_eq!(dried.len(), 1);
        let wet = dried[0].wet_lightness.clone().unwrap();
        let shift: Vec<f64> = dried[0].steps.iter().zip(wet).map(|(dry, wet)| dry.lightness - wet).collect();
        assert!((1.0..5.0).contains(&shift[STEPS - 1]) && shift[0] < shift[STEPS - 1], "{shift:?}");
    }

    /// Nothing of it is taken for a paint that can be bought, and each says that it is invented.
    #[test]
    fn each_paint_says_that_it_is_invented() {
        let text = written().unwrap();
        assert_eq!(text.matches(NOTE).count(), PAINTS.len());
        assert_eq!(text.matches("\"maker\": \"\"").count(), PAINTS.len());
        assert_eq!(text.matches("\"name\": \"Demo ").count(), PAINTS.len());
    }
}
