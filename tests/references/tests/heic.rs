//! HEIC, held to libheif: pictures of phones and a camera, with profiles, turns, tiles and 10 bits.

use std::fs;
use std::path::PathBuf;
use tonefast_core::{Noticed, OpenOptions, Photo, Progress};
use tonefast_references::{Fixtures, lightness, upright};

/// Mean |ΔL*| of single pixels. Decoders of HEVC agree to the bit; the two differ in where they put the halved chroma
/// and in how they round: under one step of 8 bits, which is .4 L* in middle tones.
const PIXELS: f64 = 0.3;

/// Largest |ΔL*| of the means over squares of [`SQUARE`] pixels, in which that evens out: less than a viewer can tell
/// by half, and what a reading may err by.
const SQUARES: f64 = 0.5;

/// Side of a square: a reading's small spot.
const SQUARE: usize = 16;

#[test]
fn photographs_agree_with_libheif() {
    let fixtures = Fixtures::new(env!("CARGO_TARGET_TMPDIR"));
    for (name, turned, profile) in [
        ("heif_other/arrow.heic", true, true),
        ("heif_other/pug.heic", false, true),
        ("heif_other/nokia/bird_burst.heic", false, false),
        ("heif_other/cat.hif", false, false),
        ("heif/RGBA_10__128x128.heif", false, false),
    ] {
        let path: PathBuf = fixtures.heic_picture(name);
        let reference = upright(&fixtures, &path);
        let options = OpenOptions { working_side: None };
        let photo = Photo::open(&fs::read(&path).unwrap(), &options, &Progress::new()).unwrap();
        assert_eq!(photo.size(), (reference.width, reference.height), "{name}");
        let noticed = photo.noticed();
        assert_eq!(
            noticed.iter().any(|it| matches!(it, Noticed::Turned { .. })),
            turned,
            "{name}: {noticed:?}"
        );
        assert_eq!(
            noticed.iter().any(|it| matches!(it, Noticed::Profile { .. })),
            profile,
            "{name}: {noticed:?}"
        );
        let ours: Vec<f64> =
            photo.tonal_map().codes().iter().map(|&code| f64::from(code) / 65_535.0).collect();
        let theirs = reference.luminances();
        let mean = ours
            .iter()
            .zip(&theirs)
            .map(|(&ours, &theirs)| (lightness(ours) - lightness(theirs.clamp(0.0, 1.0))).abs())
            .sum::<f64>()
            / ours.len() as f64;
        let width = reference.width as usize;
        let worst = worst_square(&squares(&ours, width), &squares(&theirs, width));
        println!("{name}: mean {mean:.3}, worst square {worst:.3}");
        assert!(mean < PIXELS, "{name}: {mean}");
        assert!(worst < SQUARES, "{name}: {worst}");
    }
}

/// Mean luminance of every whole square.
fn squares(luminances: &[f64], width: usize) -> Vec<f64> {
    let across = width / SQUARE;
    luminances
        .chunks_exact(width * SQUARE)
        .flat_map(|rows| {
            (0..across).map(move |column| {
                let square =
                    rows.chunks_exact(width).flat_map(|row| &row[column * SQUARE..(column + 1) * SQUARE]);
                square.sum::<f64>() / (SQUARE * SQUARE) as f64
            })
        })
        .collect()
}

fn worst_square(ours: &[f64], theirs: &[f64]) -> f64 {
    ours.iter()
        .zip(theirs)
        .map(|(&ours, &theirs)| (lightness(ours) - lightness(theirs)).abs())
        .fold(0.0, f64::max)
}
