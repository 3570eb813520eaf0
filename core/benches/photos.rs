//! Photographs to measure by: natural-looking noise and grain, about 2 bits a pixel, drawn once and kept in the
//! build's own folder.

use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use std::fs;
use std::path::{Path, PathBuf};

/// A size to measure at.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Size {
    /// What it is called.
    pub(crate) name: &'static str,
    width: u16,
    height: u16,
    /// EXIF orientation.
    turn: u8,
}

/// Sizes of common cameras; the second is stored on its side.
pub(crate) const SIZES: [Size; 4] = [
    Size { name: "12 MP", width: 4000, height: 3000, turn: 1 },
    Size { name: "12 MP, turned", width: 4000, height: 3000, turn: 6 },
    Size { name: "24 MP", width: 6000, height: 4000, turn: 1 },
    Size { name: "48 MP", width: 8000, height: 6000, turn: 1 },
];

/// The file of a photograph, drawn if it is not there.
pub(crate) fn file(size: Size) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("{}x{}-{}.jpg", size.width, size.height, size.turn));
    if !path.exists() {
        fs::write(&path, draw(size)).expect("the build's own folder can be written");
    }
    path
}

fn draw(size: Size) -> Vec<u8> {
    let (width, height) = (usize::from(size.width), usize::from(size.height));
    let mut samples = Vec::with_capacity(3 * width * height);
    for y in 0..height {
        for x in 0..width {
            let light =
                128.0 + 90.0 * cloud(x, y, 900, 1) + 45.0 * cloud(x, y, 130, 2) + 22.0 * cloud(x, y, 24, 3);
            let grain = 18.0 * (hash(x, y, 4) - 0.5);
            let (warm, green) = (40.0 * cloud(x, y, 500, 5), 25.0 * cloud(x, y, 300, 6));
            samples.extend(
                [light + grain + warm, light + grain + green, light + grain - warm].map(|value| value as u8),
            );
        }
    }
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 90);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    if size.turn != 1 {
        encoder.add_exif_metadata(&exif(size.turn)).expect("it is short");
    }
    encoder.encode(&samples, size.width, size.height, ColorType::Rgb).expect("the size is a JPEG's");
    bytes
}

/// TIFF 6.0 with one entry, the orientation (EXIF 2.3, tag 0x0112).
fn exif(turn: u8) -> Vec<u8> {
    let mut bytes = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    bytes.extend([turn, 0, 0, 0, 0, 0, 0, 0]);
    bytes
}

/// Value noise, -.5 to .5, whose features are `cell` pixels wide.
fn cloud(x: usize, y: usize, cell: usize, seed: u64) -> f64 {
    let at = |value: usize| {
        let t = (value % cell) as f64 / cell as f64;
        (value / cell, t * t * (3.0 - 2.0 * t))
    };
    let ((column, u), (row, v)) = (at(x), at(y));
    let mix = |a: f64, b: f64, t: f64| a + (b - a) * t;
    let along = |row| mix(hash(column, row, seed), hash(column + 1, row, seed), u);
    mix(along(row), along(row + 1), v) - 0.5
}

/// 0 to 1, by SplitMix64's finisher (Steele, Lea & Flood 2014).
fn hash(x: usize, y: usize, seed: u64) -> f64 {
    let mut z = (x as u64) << 40 ^ (y as u64) << 16 ^ seed;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
}
