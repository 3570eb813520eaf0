//! Same value, other hue: the Munsell renotation (Newhall, Nickerson & Judd 1943), as colour-science 0.4.7 has it.
//!
//! Colours of one value look equally light to a trained eye. Each that sRGB holds is shown to core as an 8-bit colour,
//! and all of one value must fall in one band.

use tonefast_core::{Bands, Photo, Reading, Spot};
use tonefast_references::{Fixtures, lightness};

/// A colour of the renotation, as 8-bit sRGB.
struct Colour {
    value: usize,
    srgb: [u8; 3],
}

/// The renotation is relative to magnesium oxide, whose reflectance is .975 (ASTM D1535).
const MAGNESIUM_OXIDE: f64 = 0.975;

/// Chromaticity of illuminant C, 2° observer (CIE 15).
const ILLUMINANT_C: [f64; 2] = [0.310_06, 0.316_16];

/// D65 as in IEC 61966-2-1.
const ILLUMINANT_D65: [f64; 2] = [0.3127, 0.3290];

/// sRGB holds about 1,526 of the whole values, a few more or less with the adaptation chosen.
const ABOUT: std::ops::Range<usize> = 1450..1620;

#[test]
fn colours_of_one_value_fall_in_one_band() {
    let colours = colours();
    assert!(ABOUT.contains(&colours.len()), "{} colours", colours.len());
    let edges: Vec<f64> =
        (1..9).rev().map(|value| lightness(luminance_of_value(f64::from(value) + 0.5))).collect();
    let bands = Bands::by_hand(edges.iter().map(|&edge| edge as f32).collect()).unwrap();
    for Colour { value, srgb } in &colours {
        let reading = read(*srgb, &bands);
        assert_eq!(reading.band, 10 - value, "value {value}, {srgb:?}: L* {}", reading.lightness);
    }
    println!("{} colours of nine values, each in its own band", colours.len());
}

/// A plain conversion to black and white fails what L* passes: else the test above would show nothing.
#[test]
fn a_broadcast_grey_does_not() {
    let edges: Vec<f64> =
        (1..9).rev().map(|value| lightness(luminance_of_value(f64::from(value) + 0.5))).collect();
    let bands = Bands::by_hand(edges.iter().map(|&edge| edge as f32).collect()).unwrap();
    let colours = colours();
    let wrong = colours
        .iter()
        .filter(|colour| {
            // ITU-R BT.601, on encoded values.
            let [r, g, b] = colour.srgb.map(f64::from);
            let grey = (0.299 * r + 0.587 * g + 0.114 * b).round() as u8;
            read([grey; 3], &bands).band != 10 - colour.value
        })
        .count();
    println!("BT.601 grey puts {wrong} of {} into another band", colours.len());
    assert!(wrong > 50, "{wrong} of {}", colours.len());
}

fn read(srgb: [u8; 3], bands: &Bands) -> Reading {
    let photo = Photo::from_srgb((5, 5), srgb.repeat(25));
    Reading::take(&photo, Spot { x: 2.0, y: 2.0, radius: 2.0 }, bands).expect("the spot lies in the middle")
}

/// ASTM D1535: luminance factor, 0 to 1, of a Munsell value.
fn luminance_of_value(v: f64) -> f64 {
    let percent = v * (1.1914 + v * (-0.22533 + v * (0.23352 + v * (-0.020484 + v * 0.000_819_39))));
    percent * MAGNESIUM_OXIDE / 100.0
}

/// Every colour of a whole value from 1 to 9 that sRGB holds.
fn colours() -> Vec<Colour> {
    let table = Fixtures::new(env!("CARGO_TARGET_TMPDIR")).munsell_renotation();
    table
        .lines()
        .filter_map(row)
        .filter_map(|(value, chromaticity, y)| {
            let srgb = srgb_of(chromaticity, y * MAGNESIUM_OXIDE / 100.0)?;
            (value.fract() == 0.0 && (1.0..=9.0).contains(&value))
                .then_some(Colour { value: value as usize, srgb })
        })
        .collect()
}

/// Value, chromaticity and luminance of a row, `(('2.5GY', 2.0, 4.0), (0.3, 0.5, 3.1)),`.
fn row(line: &str) -> Option<(f64, [f64; 2], f64)> {
    let fields: Vec<&str> =
        line.split(',').map(|field| field.trim_matches(|c: char| "() []\"'".contains(c))).collect();
    let number = |at: usize| fields.get(at)?.parse::<f64>().ok();
    Some((number(1)?, [number(3)?, number(4)?], number(5)?))
}

/// 8-bit sRGB of a colour seen under illuminant C, adapted to D65 by Bradford; `None` outside sRGB.
fn srgb_of([x, y]: [f64; 2], luminance: f64) -> Option<[u8; 3]> {
    let xyz = [x / y * luminance, luminance, (1.0 - x - y) / y * luminance];
    let cone = times(&BRADFORD, xyz);
    let (from, to) = (times(&BRADFORD, white(ILLUMINANT_C)), times(&BRADFORD, white(ILLUMINANT_D65)));
    let adapted = times(&BRADFORD_BACK, std::array::from_fn(|at| cone[at] * to[at] / from[at]));
    let linear = times(&SRGB_FROM_XYZ, adapted);
    linear.iter().all(|channel| (0.0..=1.0).contains(channel)).then(|| linear.map(encode))
}

fn white([x, y]: [f64; 2]) -> [f64; 3] {
    [x / y, 1.0, (1.0 - x - y) / y]
}

fn times(matrix: &[[f64; 3]; 3], [a, b, c]: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * a + row[1] * b + row[2] * c)
}

/// IEC 61966-2-1.
fn encode(linear: f64) -> u8 {
    let encoded = if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 };
    (255.0 * encoded).round() as u8
}

/// Lam's Bradford matrix, as in ICC.1:2022, annex E, and its inverse.
const BRADFORD: [[f64; 3]; 3] =
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
const BRADFORD_BACK: [[f64; 3]; 3] = [
    [0.986_992_9, -0.147_054_3, 0.159_962_7],
    [0.432_305_3, 0.518_360_3, 0.049_291_2],
    [-0.008_528_7, 0.040_042_8, 0.968_486_7],
];

/// IEC 61966-2-1 with the primaries' own precision (colour-science 0.4.7).
const SRGB_FROM_XYZ: [[f64; 3]; 3] = [
    [3.240_969_9, -1.537_383_2, -0.498_610_8],
    [-0.969_243_6, 1.875_967_5, 0.041_555_1],
    [0.055_630_1, -0.203_977_0, 1.056_971_5],
];
