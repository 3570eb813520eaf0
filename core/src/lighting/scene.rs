//! Drawn photographs of known surfaces, in a light and through a camera that are known too.

use super::rendering::Rendering;
use crate::lightness::{srgb_decode, srgb_encode};
use crate::random::Random;
use crate::{OpenOptions, Photo, Progress, Spot};
use jpeg_encoder::{ColorType, Encoder};

/// How a photograph came about.
pub(super) struct Scene {
    /// Light on a perfect white in the middle, as a share of what the camera can record, per channel.
    pub(super) light: [f64; 3],
    /// By how much the light grows over the width and the height, relative to the middle.
    pub(super) gradient: (f64, f64),
    /// Stray light, as a share of a perfect white's in the middle.
    pub(super) flare: f64,
    pub(super) rendering: Rendering,
    /// Standard deviation of a pixel's noise, as a share of its light.
    pub(super) noise: f64,
    /// JPEG quality.
    pub(super) quality: u8,
}

pub(super) const WIDTH: usize = 192;
pub(super) const HEIGHT: usize = 144;
/// Side of a patch.
pub(super) const PATCH: usize = 24;
/// Steps of the root of light.
const ROOTS: usize = 8192;
/// Patches in the picture.
pub(super) const PATCHES: usize = (WIDTH / PATCH) * (HEIGHT / PATCH);

impl Scene {
    /// The photograph of a board of patches, row by row, each of a linear sRGB reflectance.
    pub(super) fn photo(&self, surfaces: &[[f64; 3]; PATCHES], random: &mut Random) -> Photo {
        // Over the root of light, so that darks have as many steps as they need.
        let codes: Vec<u8> = (0..=ROOTS)
            .map(|step| {
                let root = step as f64 / ROOTS as f64;
                (self.rendering.render(srgb_encode(root * root)) * 255.0 + 0.5) as u8
            })
            .collect();
        let mut samples = Vec::with_capacity(3 * WIDTH * HEIGHT);
        for row in 0..HEIGHT {
            for column in 0..WIDTH {
                let surface = surfaces[row / PATCH * (WIDTH / PATCH) + column / PATCH];
                let (x, y) =
                    ((column as f64 + 0.5) / WIDTH as f64 - 0.5, (row as f64 + 0.5) / HEIGHT as f64 - 0.5);
                let falls = 1.0 + self.gradient.0 * x + self.gradient.1 * y;
                for (channel, reflectance) in surface.into_iter().enumerate() {
                    let arrives = self.light[channel] * (falls * reflectance + self.flare);
                    let noisy = (arrives * (1.0 + self.noise * random.normal())).clamp(0.0, 1.0);
                    samples.push(codes[(noisy.sqrt() * ROOTS as f64 + 0.5) as usize]);
                }
            }
        }
        let mut bytes = Vec::new();
        Encoder::new(&mut bytes, self.quality)
            .encode(&samples, WIDTH as u16, HEIGHT as u16, ColorType::Rgb)
            .unwrap();
        Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).unwrap()
    }
}

/// The middle of a patch.
pub(super) fn spot(patch: usize) -> Spot {
    let middle = |at: usize| (at * PATCH + PATCH / 2) as f64 - 0.5;
    Spot { x: middle(patch % (WIDTH / PATCH)), y: middle(patch / (WIDTH / PATCH)), radius: 8.0 }
}

/// A surface of any hue whose Y is `y`: a random sRGB colour scaled to it, greyed where it would leave sRGB.
pub(super) fn surface(random: &mut Random, y: f64) -> [f64; 3] {
    let own: [f64; 3] = std::array::from_fn(|_| srgb_decode(random.unit()));
    let luminance = luminance(own).max(1e-6);
    let scaled = own.map(|channel| channel / luminance * y);
    let most = scaled.iter().copied().fold(0.0, f64::max);
    let keep = if most > 0.95 { (0.95 - y).max(0.0) / (most - y) } else { 1.0 };
    scaled.map(|channel| y + keep * (channel - y))
}

/// Y of linear sRGB (IEC 61966-2-1's primaries).
pub(super) fn luminance([r, g, b]: [f64; 3]) -> f64 {
    0.212_639 * r + 0.715_169 * g + 0.072_192 * b
}
