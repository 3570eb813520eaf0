//! Pictures of which is known beforehand what must be read from them.

use std::fs;
use std::path::{Path, PathBuf};

use image::{Rgb, RgbImage};

/// L* of the sRGB greys that the pictures are painted with: the transfer function of IEC 61966-2-1, then L* of
/// CIE 15:2004, eq. 8.3, worked out with nothing of this project.
pub(crate) const LIGHTNESS: [(u8, f64); 4] = [(32, 12.250), (60, 25.317), (119, 50.034), (230, 91.293)];

/// The L* of one of the greys above.
pub(crate) fn lightness(grey: u8) -> f64 {
    LIGHTNESS.iter().find(|(value, _)| *value == grey).expect("a grey of the table").1
}

/// A picture of 1200 x 900 whose left half is one grey and whose right half is another, as PNG.
pub(crate) fn halves(folder: &Path, left: u8, right: u8) -> PathBuf {
    let picture = RgbImage::from_fn(1200, 900, |x, _| Rgb([if x < 600 { left } else { right }; 3]));
    let file = folder.join(format!("halves-{left}-{right}.png"));
    picture.save(&file).expect("a PNG");
    file
}

/// A picture of `width` x `height` in which every hue, lightness and fineness occurs, as PNG: smooth ramps, whose
/// bands have long edges, in each colour, and stripes down to one pixel, which any careless reduction gets wrong.
pub(crate) fn everything(folder: &Path, width: u32, height: u32) -> PathBuf {
    let picture = RgbImage::from_fn(width, height, |x, y| {
        let along = (x * 255 / (width - 1)) as u8;
        let down = (y * 255 / (height - 1)) as u8;
        match y * 4 / height {
            0 => Rgb([along; 3]),
            1 => Rgb([along, down, 255 - along]),
            2 => Rgb([if (x / (1 + x * 8 / width)).is_multiple_of(2) { 255 } else { 0 }; 3]),
            _ => Rgb([255 - along, along / 2, down]),
        }
    });
    let file = folder.join("everything.png");
    picture.save(&file).expect("a PNG");
    file
}

/// A file that is called a picture and is none.
pub(crate) fn broken(folder: &Path) -> PathBuf {
    let file = folder.join("broken.jpg");
    fs::write(&file, b"This is no picture.\n").expect("written");
    file
}
