//! Pictures of which is known beforehand what must be read from them.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use image::codecs::png::PngEncoder;
use image::{ImageBuffer, ImageEncoder, Rgb, RgbImage};
use moxcms::ColorProfile;

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

/// A picture of `width` x `height` in which every hue, lightness and fineness occurs, as PNG of 8 bits and sRGB.
pub(crate) fn everything(folder: &Path, width: u32, height: u32) -> PathBuf {
    let file = folder.join("everything.png");
    eight_bits(width, height).save(&file).expect("a PNG");
    file
}

/// The same numbers, said by a profile to be Display P3: many of these colours lie outside sRGB.
pub(crate) fn everything_in_display_p3(folder: &Path, width: u32, height: u32) -> PathBuf {
    let file = folder.join("display-p3.png");
    let profile = ColorProfile::new_display_p3().encode().expect("a profile");
    let mut encoder = PngEncoder::new(File::create(&file).expect("a file"));
    encoder.set_icc_profile(profile).expect("PNG carries profiles");
    eight_bits(width, height).write_with_encoder(encoder).expect("a PNG");
    file
}

/// The same, in 16 bits with the steps between those of 8.
pub(crate) fn everything_in_16_bits(folder: &Path, width: u32, height: u32) -> PathBuf {
    let picture =
        ImageBuffer::<Rgb<u16>, Vec<u16>>::from_fn(width, height, |x, y| colour(x, y, width, height));
    let file = folder.join("sixteen-bits.png");
    picture.save(&file).expect("a PNG");
    file
}

/// The same as RGB of 8 bits.
pub(crate) fn eight_bits(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| Rgb(colour(x, y, width, height).0.map(|part| (part / 257) as u8)))
}

/// From the top: a ramp of greys, whose bands have long edges; a sheet of hues; stripes from one to eight pixels wide,
/// which any careless reduction gets wrong; another sheet of hues.
fn colour(x: u32, y: u32, width: u32, height: u32) -> Rgb<u16> {
    let along = (u64::from(x) * 65_535 / u64::from(width - 1)) as u16;
    let down = (u64::from(y) * 65_535 / u64::from(height - 1)) as u16;
    let wide = 1 + x * 8 / width;
    match y * 4 / height {
        0 => Rgb([along; 3]),
        1 => Rgb([along, down, 65_535 - along]),
        2 => Rgb([if (x / wide).is_multiple_of(2) { 65_535 } else { 0 }; 3]),
        _ => Rgb([65_535 - along, along / 2, down]),
    }
}

/// A file that is called a picture and is none.
pub(crate) fn broken(folder: &Path) -> PathBuf {
    let file = folder.join("broken.jpg");
    fs::write(&file, b"This is no picture.\n").expect("written");
    file
}
