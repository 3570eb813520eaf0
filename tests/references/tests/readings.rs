//! What may be said of a spot, whatever was stated of a photograph's light: a reading between black and white with a
//! finite ±, or a question, or a refusal.

use std::fs;
use std::ops::RangeInclusive;
use std::sync::Arc;
use tonefast_core::{
    Bands, Circumstances, Difference, Doubt, Light, LightError, NoReading, OpenOptions, Patch, PatchKind,
    Photo, Progress, Reading, Spot,
};
use tonefast_references::Fixtures;

/// Lights, each stated at random on a photograph, and spots that are read in each.
const LIGHTS: usize = 2_000;
const SPOTS: usize = 5;

/// The longer side of the working copies: what a light does to a reading does not hang on it.
const SIDE: u32 = 160;

/// L* of a surface.
const SCALE: RangeInclusive<f64> = 0.0..=100.0;

/// The widest ± that says something: half of the scale.
const WIDEST: f64 = 50.0;

/// What patches are stated, in every combination: white, mid grey, dark, a grey scale, several whites, and none.
const STATED: [&[PatchKind]; 12] = {
    use PatchKind::{Card, Dark, Step, White};
    [
        &[],
        &[White],
        &[Card],
        &[Dark],
        &[White, Dark],
        &[White, Card],
        &[Card, Dark],
        &[White, Card, Dark],
        &[White, White],
        &[White, White, White, White],
        &[White, White, White, Card, Dark],
        &[Step, Step, Step, Step],
    ]
};

/// How often each came out.
#[derive(Debug, Default)]
struct Counts {
    readings: usize,
    questions: usize,
    refusals: usize,
    asked_of_patches: usize,
    refused_lights: usize,
}

#[test]
fn whatever_is_stated_a_spot_is_read_within_the_scale_or_asked_about_or_refused() {
    let photos: Vec<Photo> = Fixtures::new(env!("CARGO_TARGET_TMPDIR"))
        .photographs()
        .iter()
        .map(|path| {
            let bytes = fs::read(path).expect("it was fetched");
            let options = OpenOptions { working_side: Some(SIDE) };
            Photo::open(&bytes, &options, &Progress::new()).expect("it is a sound picture")
        })
        .collect();
    let mut random = Random(0x7265_6164_696e_6773);
    let mut counts = Counts::default();
    for case in 0..LIGHTS {
        let photo = &photos[case % photos.len()];
        let stated = STATED[case / photos.len() % STATED.len()];
        let about = format!("case {case}, {stated:?}");
        let seen = stated_light(photo, stated, &mut random, &mut counts);
        let bands = Bands::even(5).expect("five are fine");
        let taken: Vec<_> =
            (0..SPOTS).map(|_| Reading::take(&seen, spot(photo, &mut random), &bands)).collect();
        for taken in &taken {
            check(taken, &mut counts, &about);
        }
        let read: Vec<&Reading> = taken.iter().flatten().collect();
        for pair in read.windows(2) {
            let Difference { lightness, error, doubt, .. } = Difference::between(pair[0], pair[1]);
            assert!(lightness.abs() <= 100.0 && error.half_width().is_finite(), "{about}: {lightness}");
            assert!(doubt.is_none_or(|doubt| doubt.plus_minus().is_finite()), "{about}");
        }
    }
    println!("{counts:?}");
    assert_eq!(counts.readings + counts.questions + counts.refusals, LIGHTS * SPOTS);
    // Each way out is taken: else this holds nothing.
    let Counts { readings, questions, refusals: _, asked_of_patches, refused_lights } = counts;
    assert!(
        readings > LIGHTS && questions > LIGHTS / 20 && asked_of_patches > LIGHTS / 20 && refused_lights > 0
    );
}

/// The photo in a light stated by patches anywhere, of any tone, some confirmed: mostly false ones. Where the light is
/// refused, it is as the camera saw it.
fn stated_light(photo: &Photo, stated: &[PatchKind], random: &mut Random, counts: &mut Counts) -> Photo {
    let patches: Vec<Patch> = stated
        .iter()
        .map(|&kind| {
            let lightness =
                if random.unit() < 0.5 { kind.usual_lightness() } else { 1.0 + 99.0 * random.unit() };
            Patch { kind, spot: spot(photo, random), lightness }
        })
        .collect();
    // Half of the painters say yes to whatever they are asked.
    let says_yes = random.unit() < 0.5;
    let confirmed: Vec<usize> = (0..patches.len()).filter(|_| says_yes).collect();
    let circumstances = Circumstances {
        beyond_the_paper: random.unit() < 0.1,
        lifted: random.unit() < 0.2,
        wet: random.unit() < 0.2,
    };
    match Light::judge_confirmed(photo, &patches, &confirmed, circumstances) {
        Ok(light) => {
            assert!(!says_yes || light.questions().is_empty(), "{:?}", light.questions());
            counts.asked_of_patches += light.questions().len();
            photo.lit(&Arc::new(light))
        }
        Err(LightError::Outside(_) | LightError::NoTone(_)) => panic!("every patch lies in the picture"),
        Err(_) => {
            counts.refused_lights += 1;
            photo.turned(0)
        }
    }
}

/// A reading within the scale with a finite ±, or none.
fn check(taken: &Result<Reading, NoReading>, counts: &mut Counts, about: &str) {
    match taken {
        Ok(reading) => {
            counts.readings += 1;
            let Reading { lightness, median, error, doubt, band, .. } = reading;
            assert!(SCALE.contains(lightness) && SCALE.contains(median), "{about}: {lightness}, {median}");
            let plus_minus = doubt.as_ref().map_or(error.half_width(), Doubt::plus_minus);
            assert!(plus_minus > 0.0 && plus_minus <= WIDEST, "{about}: {lightness} ±{plus_minus}");
            assert!((1..=5).contains(band), "{about}: band {band}");
        }
        Err(why) if why.is_question() => counts.questions += 1,
        Err(_) => counts.refusals += 1,
    }
}

/// A spot in the picture.
fn spot(photo: &Photo, random: &mut Random) -> Spot {
    let (width, height) = photo.size();
    let mut within = |side: u32| random.unit() * f64::from(side - 1);
    Spot { x: within(width), y: within(height), radius: 2.6 + 4.0 * within(2) }
}

/// SplitMix64 (Steele, Lea & Flood 2014).
struct Random(u64);

impl Random {
    /// From 0 to 1.
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}
