//! Seeded pairs of painted-looking patches of known tone, put through JPEG: how often the verdict is right.
//!
//! Each patch is a flat tone with a texture whose neighbours correlate, as granulation's and the paper's tooth do. Its
//! true tone is that of its expected mean in linear light.

use super::{Difference, Step, Verdict};
use crate::random::Random;
use crate::{Bands, OpenOptions, Photo, Progress, Reading, Spot, lightness_from_y, y_from_lightness};
use jpeg_encoder::{ColorType, Encoder};

const WIDTH: usize = 192;
const HEIGHT: usize = 96;
const SPREADS: [f64; 5] = [0.0, 1.0, 3.0, 5.0, 8.0];
const BLURS: [f64; 3] = [0.5, 1.0, 2.0];
const QUALITIES: [u8; 3] = [75, 85, 95];

/// Pairs at each true difference: with 900, a rate of 1 % is known to within .7 %.
const PAIRS: usize = 900;

#[test]
fn the_wrong_one_is_called_darker_in_under_one_in_a_hundred() {
    for apart in [0.5, 1.0, 2.0, 5.0, 10.0] {
        let wrong = share(apart, &SPREADS, |verdict| matches!(verdict, Verdict::Lighter(_)));
        println!("{apart} apart: {:.2} % called the wrong way", 100.0 * wrong);
        assert!(wrong < 0.01, "{apart} apart: {wrong}");
    }
}

#[test]
fn equal_ones_are_called_different_in_under_five_in_a_hundred() {
    let different =
        share(0.0, &SPREADS, |verdict| matches!(verdict, Verdict::Lighter(_) | Verdict::Darker(_)));
    println!("equal: {:.2} % called different", 100.0 * different);
    assert!(different < 0.05, "{different}");
}

#[test]
fn five_apart_is_decided_where_textures_are_moderate() {
    for apart in [5.0, 10.0] {
        let decided = share(apart, &SPREADS[..3], |verdict| matches!(verdict, Verdict::Darker(_)));
        println!("{apart} apart, texture up to 3: {:.2} % decided", 100.0 * decided);
        assert!(decided >= 0.95, "{apart} apart: {decided}");
    }
}

#[test]
fn smooth_patches_far_apart_are_told_by_their_step() {
    let clear = share(20.0, &SPREADS[..2], |verdict| verdict == Verdict::Darker(Step::Clear));
    assert!(clear > 0.99, "{clear}");
}

/// The share of seeded pairs, the second darker by `apart`, whose verdict `is` so.
fn share(apart: f64, spreads: &[f64], is: impl Fn(Verdict) -> bool) -> f64 {
    let mut random = Random::new(0x70_6e_61_73);
    // Drawn once and shifted about: each pair gets stretches that no other pair has in those places.
    let textures: Vec<Vec<f64>> =
        (0..4 * BLURS.len()).map(|at| correlated(&mut random, BLURS[at % 3])).collect();
    let hits = (0..PAIRS)
        .filter(|at| {
            let spread = spreads[at % spreads.len()];
            let texture = &textures[at / spreads.len() % textures.len()];
            let quality = QUALITIES[at / spreads.len() / textures.len() % QUALITIES.len()];
            let light = 35.0 + 45.0 * random.unit();
            is(verdict(&mut random, [light, light - apart], (spread, texture), quality))
        })
        .count();
    hits as f64 / PAIRS as f64
}

fn verdict(random: &mut Random, tones: [f64; 2], texture: (f64, &[f64]), quality: u8) -> Verdict {
    let radius = 12.0 + 24.0 * random.unit();
    let samples = draw(random, tones, texture);
    let mut bytes = Vec::new();
    Encoder::new(&mut bytes, quality).encode(&samples, WIDTH as u16, HEIGHT as u16, ColorType::Luma).unwrap();
    let photo = Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).unwrap();
    let bands = Bands::even(5).unwrap();
    let [first, second] =
        [48.0, 144.0].map(|x| Reading::take(&photo, Spot { x, y: 48.0, radius }, &bands).unwrap());
    Difference::between(&first, &second).verdict
}

/// Two patches side by side as 8-bit sRGB greys.
fn draw(random: &mut Random, tones: [f64; 2], (spread, texture): (f64, &[f64])) -> Vec<u8> {
    let shift = (random.unit() * texture.len() as f64) as usize;
    let sign = if random.unit() < 0.5 { 1.0 } else { -1.0 };
    let middles = tones.map(|tone| middle_for(tone, spread));
    (0..WIDTH * HEIGHT)
        .map(|at| {
            let lightness = middles[usize::from(at % WIDTH >= WIDTH / 2)]
                + sign * spread * texture[(at + shift) % texture.len()];
            crate::lightness::grey_from_y(y_from_lightness(lightness.clamp(0.0, 100.0)))
        })
        .collect()
}

/// The middle of a normal spread of L* whose mean in linear light is `tone`: the mean of Y lies above the Y of the mean.
fn middle_for(tone: f64, spread: f64) -> f64 {
    let lift = |middle: f64| {
        let (mut sum, mut weights) = (0.0, 0.0);
        for step in -40..=40 {
            let z = f64::from(step) / 10.0;
            let weight = libm::exp(-z * z / 2.0);
            sum += weight * y_from_lightness((middle + spread * z).clamp(0.0, 100.0));
            weights += weight;
        }
        lightness_from_y(sum / weights) - middle
    };
    tone - lift(tone - lift(tone))
}

/// Normal noise of mean 0 and standard deviation 1, blurred by a Gaussian of `blur` pixels.
fn correlated(random: &mut Random, blur: f64) -> Vec<f64> {
    let noise: Vec<f64> = (0..WIDTH * HEIGHT).map(|_| random.normal()).collect();
    let reach = (3.0 * blur).ceil() as isize;
    let kernel: Vec<f64> =
        (-reach..=reach).map(|at| libm::exp(-((at * at) as f64) / (2.0 * blur * blur))).collect();
    let pass = |from: &[f64], dx: isize, dy: isize| -> Vec<f64> {
        let at = |x: isize, y: isize| {
            from[(y.rem_euclid(HEIGHT as isize) * WIDTH as isize + x.rem_euclid(WIDTH as isize)) as usize]
        };
        (0..(WIDTH * HEIGHT) as isize)
            .map(|place| {
                let (x, y) = (place % WIDTH as isize, place / WIDTH as isize);
                kernel
                    .iter()
                    .zip(-reach..)
                    .map(|(weight, step)| weight * at(x + step * dx, y + step * dy))
                    .sum()
            })
            .collect()
    };
    let soft = pass(&pass(&noise, 1, 0), 0, 1);
    let size = (soft.iter().map(|value| value * value).sum::<f64>() / soft.len() as f64).sqrt();
    soft.into_iter().map(|value| value / size).collect()
}
