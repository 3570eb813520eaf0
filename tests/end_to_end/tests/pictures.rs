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

/// L* of the five surfaces of [`board`], left to right: paper, three greys, black; Y of each by CIE 15:2004, eq. 8.3.
pub(crate) const BOARD: [(f64, f64); 5] =
    [(94.5, 0.865_6), (70.0, 0.407_5), (50.0, 0.184_2), (35.0, 0.085_0), (20.0, 0.029_89)];

/// A board of five surfaces in five columns, in a warm light that falls off by 30 % from left to right, with 1 % of
/// flare: 4000 x 3000 pixels, PNG. A strip of paper runs along its upper and its lower edge.
pub(crate) fn board(folder: &Path) -> PathBuf {
    let (width, height) = (4000, 3000);
    let picture = RgbImage::from_fn(width, height, |x, y| {
        let edge = y < height / 8 || y >= height - height / 8;
        let (_, surface) = BOARD[if edge { 0 } else { (x * 5 / width) as usize }];
        let falls = 1.15 - 0.3 * (f64::from(x) + 0.5) / f64::from(width);
        let light = [1.16, 1.0, 0.70].map(|channel| 0.72 * channel * (falls * surface + 0.01));
        Rgb(light.map(|light| (255.0 * encoded(light)).round() as u8))
    });
    let file = folder.join("board.png");
    picture.save(&file).expect("a PNG");
    file
}

/// IEC 61966-2-1.
fn encoded(linear: f64) -> f64 {
    if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 }
}

/// A file that is called a picture and is none.
pub(crate) fn broken(folder: &Path) -> PathBuf {
    let file = folder.join("broken.jpg");
    fs::write(&file, b"This is no picture.\n").expect("written");
    file
}
