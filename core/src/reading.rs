//! A reading: how light a tapped spot is, and what bears on that.

mod allowed;
mod look;
mod texture;

pub use allowed::NoReading;
pub(crate) use allowed::allowed;
pub use look::{Look, Pushed};

use crate::colour::{NEUTRAL_CHROMA, lch};
use crate::lightness::{LIGHTNESS_FROM_CODE, Y_CODES, lightness_from_y};
use crate::{Against, Bands, Doubt, Hue, Intensity, Light, Photo};
use texture::Texture;

/// A disc on a photo, in pixels of the working copy: whole numbers are pixel centres, counted from 0, right and down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Centre, from the left.
    pub x: f64,
    /// Centre, from the top.
    pub y: f64,
    /// Radius; pixels whose centres lie within it count.
    pub radius: f64,
}

/// What was measured in a spot.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// L* of the mean of Y.
    pub lightness: f64,
    /// Median of the pixels' L*.
    pub median: f64,
    /// Texture: standard deviation of the pixels' L*.
    pub spread: f64,
    /// Of `lightness`, from how the texture varies over the spot. It says how repeatable the reading is, not how true
    /// the camera was.
    pub error: StandardError,
    /// CIELAB chroma under D65 of the mean linear colour.
    pub chroma: f64,
    /// CIELAB hue angle in degrees; `None` where the chroma is below 3.
    pub hue: Option<f64>,
    /// The hue's name; `None` likewise.
    pub hue_name: Option<Hue>,
    /// How far from grey.
    pub intensity: Intensity,
    /// Band, 1 = lightest.
    pub band: usize,
    /// L* to the nearest edge, and the band beyond it.
    pub nearest_edge: (f64, usize),
    /// Pixels measured.
    pub pixels: usize,
    /// What casts doubt on it.
    pub warnings: Vec<Warning>,
    /// How it will look rather than measure; never part of `lightness`.
    pub look: Look,
    /// What it stands on.
    pub against: Against,
    /// How far it may be from the truth; none where no light was told, since then nobody can say.
    pub doubt: Option<Doubt>,
}

/// What casts doubt on a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warning {
    /// This share of the file's own pixels is as light as the file can say in one channel or more.
    ClippedLight(f64),
    /// This share is black.
    ClippedDark(f64),
    /// Parts of the spot differ beyond texture: by this standard deviation of L*.
    Uneven(f64),
    /// The edge to this band lies within the reading's uncertainty.
    OnEdge(usize),
    /// Only so many pixels.
    FewPixels(usize),
    /// This share is lighter than a perfect white in the light that was told: a gloss, a lamp, or paper told wrong.
    AboveWhite(f64),
}

/// A standard error in L*.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandardError {
    /// One standard deviation of the mean.
    pub value: f64,
    /// The degrees of freedom that it was judged by.
    pub freedom: f64,
}

/// Share of clipped pixels from which it is told: a reading is a mean, and fewer move it by less than .2 L*.
const CLIPPED_SHARE: f64 = 0.01;

/// Y beyond which a pixel is lighter than white: 1, and what rounding adds to a plain white.
const ABOVE_WHITE: f32 = 1.0001;

/// Fewer pixels than this and one odd pixel counts for too much.
const FEW_PIXELS: usize = 20;

/// An edge nearer than this is told whatever the texture: a file's 8 bits and JPEG leave about half an L*.
const ON_EDGE: f64 = 0.5;

/// Standard deviation in L* of a spot's parts, beyond what its texture explains, from which it is called uneven: twice
/// the just noticeable difference between large areas, about 1 L*.
const UNEVEN: f64 = 2.0;

impl Reading {
    /// Reads `spot` on `photo`.
    ///
    /// # Errors
    /// [`NoReading`] where nothing may be said of it.
    pub fn take(photo: &Photo, spot: Spot, bands: &Bands) -> Result<Self, NoReading> {
        if photo.missing().is_some_and(|missing| missing.meets(spot, photo.size())) {
            return Err(NoReading::CutOff);
        }
        let measured = Measured::take(photo, spot).ok_or(NoReading::Outside)?;
        let texture = Texture::of(photo, spot);
        let pixels = measured.codes.len();
        let (_, chroma, degrees) = lch(measured.mean_rgb);
        let light = photo.light();
        // A tonal map ends at white; in a light that was told there may be more.
        let mean_y = if light.is_some() { measured.mean_lit_y } else { measured.mean_y };
        let repeatable = texture.error.half_width();
        let lightness = lightness_from_y(mean_y);
        let doubt = light.zip(photo.recorded(spot)).and_then(|(light, recorded)| {
            light.doubt(recorded.linear, (spot.x, spot.y), photo.size(), lightness, texture.error.value)
        });
        let lightness = allowed(lightness, repeatable, doubt.as_ref().map(Doubt::plus_minus))?;
        let hue = (chroma >= NEUTRAL_CHROMA).then_some(degrees);
        let (edge, beyond) = bands.nearest_edge(lightness as f32);
        let mut warnings = Vec::new();
        let clipped = [Warning::ClippedLight(measured.clipped.0), Warning::ClippedDark(measured.clipped.1)];
        for (warning, share) in clipped.into_iter().zip([measured.clipped.0, measured.clipped.1]) {
            if share >= CLIPPED_SHARE {
                warnings.push(warning);
            }
        }
        if texture.unevenness > UNEVEN {
            warnings.push(Warning::Uneven(texture.unevenness));
        }
        if f64::from(edge) < repeatable.max(ON_EDGE) {
            warnings.push(Warning::OnEdge(beyond));
        }
        if measured.above_white >= CLIPPED_SHARE {
            warnings.push(Warning::AboveWhite(measured.above_white));
        }
        if pixels < FEW_PIXELS {
            warnings.push(Warning::FewPixels(pixels));
        }
        Ok(Self {
            lightness,
            median: measured.median(),
            spread: measured.spread(),
            error: texture.error,
            chroma,
            hue,
            hue_name: hue.map(Hue::nearest),
            intensity: Intensity::of(chroma),
            band: bands.band_of(lightness as f32),
            nearest_edge: (f64::from(edge), beyond),
            pixels,
            warnings,
            look: Look::of(photo, spot, (lightness, chroma, degrees), mean_y),
            against: light.map_or(Against::Camera, Light::against),
            doubt,
        })
    }
}

/// The pixels of a spot, gathered.
struct Measured {
    codes: Vec<u16>,
    mean_y: f64,
    mean_rgb: [f64; 3],
    /// Of the colours: not cut off at white.
    mean_lit_y: f64,
    above_white: f64,
    clipped: (f64, f64),
}

impl Measured {
    fn take(photo: &Photo, spot: Spot) -> Option<Self> {
        let mut codes = Vec::new();
        let mut rgb = [0.0; 3];
        let (mut light, mut dark, mut above, mut lit_y) = (0.0, 0.0, 0.0, 0.0);
        for (row, columns) in spot.rows(photo.size()) {
            codes
                .extend_from_slice(&photo.tonal_map().row(row)[columns.start as usize..columns.end as usize]);
            for column in columns {
                let (colour, y) = photo.colour_at(column, row);
                lit_y += f64::from(y);
                above += f64::from(u8::from(y > ABOVE_WHITE));
                for (sum, channel) in rgb.iter_mut().zip(colour) {
                    *sum += f64::from(channel);
                }
                let clipped = photo.clipped_at(column, row);
                light += f64::from(clipped.0);
                dark += f64::from(clipped.1);
            }
        }
        if codes.is_empty() {
            return None;
        }
        let pixels = codes.len() as f64;
        let sum: u64 = codes.iter().map(|&code| u64::from(code)).sum();
        Some(Self {
            mean_y: sum as f64 / pixels / (Y_CODES - 1) as f64,
            codes,
            mean_rgb: rgb.map(|sum| sum / pixels),
            mean_lit_y: lit_y / pixels,
            above_white: above / pixels,
            clipped: (light / pixels, dark / pixels),
        })
    }

    /// Median L*: L* rises with the code, so the median code's is the median.
    fn median(&self) -> f64 {
        let mut codes = self.codes.clone();
        let middle = codes.len() / 2;
        let (below, &mut upper, _) = codes.select_nth_unstable(middle);
        let lightness = |code: u16| f64::from(LIGHTNESS_FROM_CODE[usize::from(code)]);
        match below.iter().max() {
            Some(&lower) if self.codes.len().is_multiple_of(2) => {
                f64::midpoint(lightness(lower), lightness(upper))
            }
            _ => lightness(upper),
        }
    }

    fn spread(&self) -> f64 {
        let pixels = self.codes.len() as f64;
        let lightness = || self.codes.iter().map(|&code| f64::from(LIGHTNESS_FROM_CODE[usize::from(code)]));
        let mean = lightness().sum::<f64>() / pixels;
        (lightness().map(|lightness| (lightness - mean) * (lightness - mean)).sum::<f64>() / pixels).sqrt()
    }
}

impl Spot {
    /// For each row that the spot meets, the columns whose pixel centres lie in it; none outside the picture.
    pub(crate) fn rows(self, size: (u32, u32)) -> impl Iterator<Item = (u32, std::ops::Range<u32>)> {
        let limit = |value: f64, end: u32| value.clamp(0.0, f64::from(end)) as u32;
        let first = limit((self.y - self.radius).ceil(), size.1);
        let end = limit((self.y + self.radius).floor() + 1.0, size.1);
        (first..end.max(first)).filter_map(move |row| {
            let down = f64::from(row) - self.y;
            let square = self.radius * self.radius - down * down;
            if square < 0.0 {
                return None;
            }
            let across = square.sqrt();
            let first = limit((self.x - across).ceil(), size.0);
            let end = limit((self.x + across).floor() + 1.0, size.0);
            (first < end).then_some((row, first..end))
        })
    }
}

impl StandardError {
    /// Half of the 95 % interval.
    #[must_use]
    pub fn half_width(self) -> f64 {
        self.value * student_95(self.freedom)
    }
}

/// Two-sided 95 % quantile of Student's t, to 1 % from 3 degrees of freedom up (checked against the printed table):
/// the Cornish-Fisher expansion about the normal's 1.960 (Abramowitz & Stegun 26.7.5).
fn student_95(freedom: f64) -> f64 {
    let z: f64 = 1.959_964;
    let z3 = z * z * z;
    let z5 = z3 * z * z;
    z + (z3 + z) / (4.0 * freedom)
        + (5.0 * z5 + 16.0 * z3 + 3.0 * z) / (96.0 * freedom * freedom)
        + (3.0 * z5 * z * z + 19.0 * z5 + 17.0 * z3 - 15.0 * z) / (384.0 * freedom * freedom * freedom)
}

#[cfg(test)]
mod tests;
