//! A photo: a picture's bytes turned into an upright working copy in linear light.

mod decode;
mod encoding;
mod error;
mod exif;
#[cfg(feature = "fuzzing")]
pub mod fuzz;
mod lit;
mod missing;
mod noticed;
mod orientation;
mod primaries;
mod profile;
mod progress;
mod stored;
mod upright;

pub(crate) use decode::usual_ending;
pub(crate) use encoding::Depth;
pub use error::OpenError;
pub use missing::Missing;
pub use noticed::Noticed;
pub use orientation::Orientation;
pub use progress::Progress;

use crate::TonalMap;
use crate::area::{AreaAverage, Region};
use decode::Limits;
use lit::Lit;
use rayon::prelude::*;
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
pub(crate) use stored::Encoding;
use stored::{Samples, Source, Stored};
use upright::{Clipping, Lying};

/// Longest side of the working copy, in pixels: what a phone's memory holds, and finer than any brush.
pub const WORKING_SIDE: u32 = 4096;

/// An upright picture: its tonal map, and its colours in the file's own encoding.
pub struct Photo {
    full_size: (u32, u32),
    tonal_map: TonalMap,
    samples: Arc<Samples>,
    encoding: Encoding,
    clipping: Arc<Clipping>,
    noticed: Vec<Noticed>,
    lit: Option<Lit>,
}

/// How to open a picture.
#[derive(Debug, Clone)]
pub struct OpenOptions {
    /// Longest side of the working copy in pixels; `None` keeps the file's own.
    pub working_side: Option<u32>,
}

impl Default for OpenOptions {
    fn default() -> Self {
        Self { working_side: Some(WORKING_SIDE) }
    }
}

impl Photo {
    /// Opens a picture: decodes it, takes it to linear light through its profile, reduces and turns it.
    ///
    /// # Errors
    /// [`OpenError`]; no panic gets past, a decoder's or our own.
    pub fn open(bytes: &[u8], options: &OpenOptions, progress: &Progress) -> Result<Self, OpenError> {
        let stored = decode::decode(bytes, &Limits::default(), progress)?;
        catch_unwind(AssertUnwindSafe(|| Self::from_stored(stored, options, progress)))
            .unwrap_or(Err(OpenError::Failed))
    }

    fn from_stored(
        stored: Stored<Source<'_>>,
        options: &OpenOptions,
        progress: &Progress,
    ) -> Result<Self, OpenError> {
        let Stored { width, height, samples, orientation, encoding, mut noticed, mut decoded } = stored;
        let full_size = orientation.upright_size(width, height);
        let side = options.working_side;
        let lying = match samples {
            Source::Held(samples) => {
                progress.reach(DECODED)?;
                Lying::reduced((width, height), samples, &encoding, side)
            }
            Source::Rows(mut rows) => {
                let is_upright = orientation == Orientation::UPRIGHT;
                let lying = Lying::fetched((width, height), &mut *rows, &encoding, side, is_upright)?;
                noticed.extend(rows.noticed());
                decoded = rows.decoded();
                lying
            }
        };
        progress.reach(REDUCED)?;
        let missing =
            Missing::after(decoded, height, lying.size).map(|it| it.turned(lying.size, orientation));
        let standing = lying.turned(orientation, &encoding);
        let size = standing.size;
        if let Some(how) = orientation.how() {
            noticed.push(Noticed::Turned { how });
        }
        if size != full_size {
            noticed.push(Noticed::Reduced { from: full_size, to: size });
        }
        progress.reach(1.0)?;
        Ok(Self {
            full_size,
            tonal_map: TonalMap::new(size.0, size.1, standing.codes).without(missing),
            samples: Arc::new(standing.samples),
            encoding,
            clipping: Arc::new(standing.clipping),
            noticed,
            lit: None,
        })
    }

    /// A photo of `samples`, interleaved 8-bit sRGB, upright and row-major: drawn, or a patch of a camera's picture.
    ///
    /// # Panics
    /// Unless there are `3 * width * height` samples.
    #[must_use]
    pub fn from_srgb(size: (u32, u32), samples: Vec<u8>) -> Self {
        assert_eq!(samples.len(), 3 * size.0 as usize * size.1 as usize, "three samples a pixel");
        let encoding = Encoding::srgb_encoded(Depth::Eight);
        let lying = Lying::reduced(size, Samples::Rgb8(samples), &encoding, None);
        let standing = lying.turned(Orientation::UPRIGHT, &encoding);
        Self {
            full_size: size,
            tonal_map: TonalMap::new(size.0, size.1, standing.codes),
            samples: Arc::new(standing.samples),
            encoding,
            clipping: Arc::new(standing.clipping),
            noticed: Vec::new(),
            lit: None,
        }
    }

    /// The same photo after `quarters` quarter turns to the right, as the camera saw it.
    #[must_use]
    pub fn turned(&self, quarters: u8) -> Self {
        let orientation = Orientation::UPRIGHT.then_turned(quarters);
        let lying = Lying {
            size: self.size(),
            samples: Samples::clone(&self.samples),
            codes: self.lit.is_none().then(|| self.tonal_map.codes().to_vec()),
            clipping: Clipping::clone(&self.clipping),
        };
        let encoding = self.lit.as_ref().map_or(&self.encoding, |lit| lit.raw());
        let missing = self.missing().map(|missing| missing.turned(lying.size, orientation));
        let standing = lying.turned(orientation, encoding);
        Self {
            full_size: orientation.upright_size(self.full_size.0, self.full_size.1),
            tonal_map: TonalMap::new(standing.size.0, standing.size.1, standing.codes).without(missing),
            samples: Arc::new(standing.samples),
            encoding: encoding.clone(),
            clipping: Arc::new(standing.clipping),
            noticed: self.noticed.clone(),
            lit: None,
        }
    }

    /// Width and height of the working copy.
    #[must_use]
    pub fn size(&self) -> (u32, u32) {
        (self.tonal_map.width(), self.tonal_map.height())
    }

    /// Width and height of the upright picture in the file.
    #[must_use]
    pub fn full_size(&self) -> (u32, u32) {
        self.full_size
    }

    /// What was noticed while opening.
    #[must_use]
    pub fn noticed(&self) -> &[Noticed] {
        &self.noticed
    }

    /// The part of it that the file does not have; `None` where it is whole, or where nobody can say.
    #[must_use]
    pub fn missing(&self) -> Option<Missing> {
        self.tonal_map.missing()
    }

    /// How light every pixel is.
    #[must_use]
    pub fn tonal_map(&self) -> &TonalMap {
        &self.tonal_map
    }

    /// Mean colour of `region` in `columns` x `rows` cells: linear sRGB, not clipped, interleaved, averaged in linear
    /// light by area.
    pub(crate) fn averaged_colour(&self, region: Region, columns: u32, rows: u32) -> Vec<f32> {
        let mut out = vec![0.0; 3 * columns as usize * rows as usize];
        let plan = AreaAverage::new(self.size(), region, (columns, rows));
        let across = 3 * columns as usize;
        out.par_chunks_mut(across * ROWS_A_GO).enumerate().for_each(|(part, out)| {
            let first = part * ROWS_A_GO;
            plan.rows::<3>(
                first..first + out.len() / across,
                |row, columns, linear| self.linear_row(row, columns, linear),
                |row, averages| {
                    let out = &mut out[(row - first) * across..][..across];
                    for (out, rgb) in out.as_chunks_mut().0.iter_mut().zip(averages.as_chunks().0) {
                        *out = self.encoding.srgb(*rgb);
                    }
                },
            );
        });
        out
    }

    /// Linear sRGB and Y (neither clipped) of one pixel of the working copy.
    pub(crate) fn colour_at(&self, column: u32, row: u32) -> ([f32; 3], f32) {
        let mut linear = [0.0; 3];
        self.linear_row(row as usize, column as usize..column as usize + 1, &mut linear);
        let y = self.encoding.y_row.iter().zip(linear).map(|(row, channel)| row * channel).sum();
        (self.encoding.srgb(linear), y)
    }

    /// Shares of the file's own pixels under one pixel of the working copy that are clipped: light, dark.
    pub(crate) fn clipped_at(&self, column: u32, row: u32) -> (f32, f32) {
        let at = row as usize * self.size().0 as usize + column as usize;
        self.clipping.at(at, &self.samples)
    }

    /// Linear light of a row in the source's own space.
    fn linear_row(&self, row: usize, columns: Range<usize>, linear: &mut [f32]) {
        let at = 3 * row * self.size().0 as usize;
        self.samples.linear(at + 3 * columns.start..at + 3 * columns.end, &self.encoding, linear);
        self.even_out(row, columns, linear);
    }
}

/// Output rows that one thread averages in one go.
const ROWS_A_GO: usize = 16;

/// Part of opening done once all is decoded; the rest is reducing, turning and measuring.
const DECODED: f32 = 0.7;

/// Part of opening done once reduced.
const REDUCED: f32 = 0.9;

#[cfg(test)]
mod tests;
