//! A patch: a few pixels of a camera's frame.

use crate::lighting::STEEPEST;
use crate::lightness::srgb_decode;
use crate::{Bands, Histogram, Light, Photo, y_from_lightness};
use std::sync::{Arc, LazyLock};

/// The longest side of a patch, in pixels: what a tap needs, and what can be sent five times a second on any platform.
pub const LARGEST_PATCH: u32 = 64;

/// Pixels of a frame, 8-bit sRGB, row-major from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FramePatch {
    size: (u32, u32),
    rgb: Vec<[u8; 3]>,
}

/// What each channel's linear light is multiplied by, before Y is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gains(pub [f64; 3]);

/// A whole frame at a glance, from a patch that samples it evenly.
#[derive(Debug, Clone, PartialEq)]
pub struct Overview {
    /// Tones, held to the paper where there is one.
    pub histogram: Histogram,
    /// The share that is as light as the camera can say, in one channel or more.
    pub clipped_light: f64,
    /// The share that is black.
    pub clipped_dark: f64,
    /// Whether so much is blown out that a source of light may be in the picture.
    pub is_glaring: bool,
}

/// Why pixels are no patch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PatchError {
    /// No pixels, or too many.
    #[error("a patch has 1 to {LARGEST_PATCH} pixels a side")]
    Size,
    /// Too few or too many bytes for its size.
    #[error("a patch has four bytes a pixel")]
    Bytes,
}

/// The share of a frame with a channel at its end from which a large part is blown out: a tenth. The sun's halo in a
/// landscape and a window in a room take that and more, while highlights, glints and a white sheet's brightest places on
/// a well exposed subject take up to 8 % (seen on photographs of lit subjects).
const GLARING: f64 = 0.10;

/// Linear light of each 8-bit sRGB code.
pub(super) static LINEAR: LazyLock<[f64; 256]> =
    LazyLock::new(|| std::array::from_fn(|code| srgb_decode(code as f64 / 255.0)));

impl FramePatch {
    /// From `rgba`, four bytes a pixel; the fourth is not looked at.
    ///
    /// # Errors
    /// [`PatchError`].
    pub fn new(size: (u32, u32), rgba: &[u8]) -> Result<Self, PatchError> {
        let side = 1..=LARGEST_PATCH;
        if !side.contains(&size.0) || !side.contains(&size.1) {
            return Err(PatchError::Size);
        }
        let (pixels, rest) = rgba.as_chunks::<4>();
        if pixels.len() != size.0 as usize * size.1 as usize || !rest.is_empty() {
            return Err(PatchError::Bytes);
        }
        Ok(Self { size, rgb: pixels.iter().map(|&[r, g, b, _]| [r, g, b]).collect() })
    }

    /// Columns and rows.
    #[must_use]
    pub fn size(&self) -> (u32, u32) {
        self.size
    }

    /// The patch as a photo, as the camera saw it.
    #[must_use]
    pub fn photo(&self) -> Photo {
        Photo::from_srgb(self.size, self.rgb.as_flattened().to_vec())
    }

    /// The patch as a photo in the light that `gains` say.
    #[must_use]
    pub fn held(&self, gains: Gains) -> Photo {
        self.photo().lit(&Arc::new(Light::scaled(gains.0)))
    }

    /// A whole frame at a glance.
    #[must_use]
    pub fn overview(&self, gains: Gains) -> Overview {
        let share = |is: fn(&[u8; 3]) -> bool| {
            self.rgb.iter().filter(|rgb| is(rgb)).count() as f64 / self.rgb.len() as f64
        };
        let clipped_light = share(is_full);
        Overview {
            histogram: self.held(gains).tonal_map().histogram(None),
            clipped_light,
            clipped_dark: share(|rgb| *rgb == [0; 3]),
            is_glaring: clipped_light >= GLARING,
        }
    }

    /// The share of its pixels that are lighter than a perfect white in the light that `gains` say, by more than light that
    /// falls off explains.
    pub(super) fn far_beyond_white(&self, gains: Gains) -> f64 {
        let y_row = super::video_tables().y_row;
        let is_lighter = |rgb: &&[u8; 3]| {
            let y = |at: usize| f64::from(y_row[at]) * gains.0[at] * LINEAR[usize::from(rgb[at])];
            y(0) + y(1) + y(2) > STEEPEST
        };
        self.rgb.iter().filter(is_lighter).count() as f64 / self.rgb.len() as f64
    }

    /// By how much the exposure has risen since `before`, a patch of the same grid: the median ratio of linear green
    /// over pixels that are neither clipped nor lost in the dark. 1 where too few are left to say.
    #[must_use]
    pub fn exposure_since(&self, before: &Self) -> f64 {
        let usable = |code: u8| (DARKEST..=LIGHTEST).contains(&code);
        let mut ratios: Vec<f64> = self
            .rgb
            .iter()
            .zip(&before.rgb)
            .filter(|(now, then)| usable(now[1]) && usable(then[1]))
            .map(|(now, then)| LINEAR[usize::from(now[1])] / LINEAR[usize::from(then[1])])
            .collect();
        if self.size != before.size || ratios.len() < self.rgb.len() / FEWEST {
            return 1.0;
        }
        let middle = ratios.len() / 2;
        *ratios.select_nth_unstable_by(middle, f64::total_cmp).1
    }

    pub(super) fn pixel(&self, column: u32, row: u32) -> [u8; 3] {
        self.rgb[row as usize * self.size.0 as usize + column as usize]
    }
}

/// Codes between which a ratio means something: below, one step is over 5 % of the light; above, clipping is near.
const DARKEST: u8 = 40;
const LIGHTEST: u8 = 250;

/// The share of pixels, one in so many, from which a median is trusted.
const FEWEST: usize = 20;

/// Whether a channel or more is as light as the camera can say.
pub(super) fn is_full(rgb: &[u8; 3]) -> bool {
    rgb.contains(&255)
}

impl Gains {
    /// The light as the camera saw it.
    pub const NONE: Self = Self([1.0; 3]);

    /// Those that make neutral paper of linear light `paper` read `lightness`.
    #[must_use]
    pub fn from_paper(paper: [f64; 3], lightness: f64) -> Self {
        let y = y_from_lightness(lightness);
        Self(paper.map(|light| y / light))
    }
}

impl Overview {
    /// The share of each band, lightest first.
    #[must_use]
    pub fn shares(&self, bands: &Bands) -> Vec<f64> {
        self.histogram.shares(bands)
    }
}
