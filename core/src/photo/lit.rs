//! A photo seen in a light that was told: Y and colours made anew from the same samples.

use super::stored::{Encoding, Samples};
use super::{Photo, upright};
use crate::lightness::code_from_y;
use crate::{Light, Spot, TonalMap};
use rayon::prelude::*;
use std::sync::Arc;

/// What a photo was made anew by.
pub(super) struct Lit {
    light: Arc<Light>,
    /// As the camera saw it.
    raw: Encoding,
}

/// A spot as the camera recorded it.
pub(crate) struct Recorded {
    /// Mean linear light per channel, in the source's own space.
    pub(crate) linear: [f64; 3],
    /// Shares of the file's own pixels that are clipped: light, dark.
    pub(crate) clipped: (f64, f64),
}

impl Lit {
    /// The encoding as the camera saw it.
    pub(super) fn raw(&self) -> &Encoding {
        &self.raw
    }
}

impl Photo {
    /// The same photo in `light`, whatever light it was told before.
    ///
    /// Light beyond that of a perfect white is kept in readings ([`crate::Warning::AboveWhite`]); views show it white.
    #[must_use]
    pub fn lit(&self, light: &Arc<Light>) -> Self {
        let raw = self.lit.as_ref().map_or(&self.encoding, |lit| &lit.raw).clone();
        let encoding = Encoding {
            linear_from_code: std::array::from_fn(|channel| {
                raw.linear_from_code[channel]
                    .iter()
                    .map(|&linear| light.surface(channel, f64::from(linear)) as f32)
                    .collect()
            }),
            ..raw.clone()
        };
        let size = self.size();
        let codes = if light.along(0.5).is_some() {
            even_codes(size, &self.samples, &encoding, light)
        } else {
            upright::codes_of(size, &self.samples, &encoding)
        };
        Self {
            full_size: self.full_size,
            tonal_map: TonalMap::new(size.0, size.1, codes).without(self.missing()),
            samples: Arc::clone(&self.samples),
            encoding,
            clipping: Arc::clone(&self.clipping),
            noticed: self.noticed.clone(),
            lit: Some(Lit { light: Arc::clone(light), raw }),
        }
    }

    /// The light that was told; none where the photo is as the camera saw it.
    #[must_use]
    pub fn light(&self) -> Option<&Light> {
        self.lit.as_ref().map(|lit| &*lit.light)
    }

    /// The mean of a spot as the camera recorded it; none where the spot lies outside.
    pub(crate) fn recorded(&self, spot: Spot) -> Option<Recorded> {
        let raw = self.lit.as_ref().map_or(&self.encoding, |lit| &lit.raw);
        let (mut sum, mut clipped, mut pixels) = ([0.0; 3], (0.0, 0.0), 0.0);
        let mut line = Vec::new();
        for (row, columns) in spot.rows(self.size()) {
            let at = 3 * (row as usize * self.size().0 as usize);
            line.resize(3 * columns.len(), 0.0);
            let range = at + 3 * columns.start as usize..at + 3 * columns.end as usize;
            self.samples.linear(range, raw, &mut line);
            for rgb in line.as_chunks::<3>().0 {
                for (sum, &channel) in sum.iter_mut().zip(rgb) {
                    *sum += f64::from(channel);
                }
            }
            for column in columns {
                let share = self.clipped_at(column, row);
                clipped = (clipped.0 + f64::from(share.0), clipped.1 + f64::from(share.1));
                pixels += 1.0;
            }
        }
        (pixels > 0.0).then(|| Recorded {
            linear: sum.map(|sum| sum / pixels),
            clipped: (clipped.0 / pixels, clipped.1 / pixels),
        })
    }

    /// Luminance under D65 of linear light in the source's own space.
    pub(crate) fn y_row(&self) -> [f64; 3] {
        self.encoding.y_row.map(f64::from)
    }

    /// Divides linear light of a row of pixels by the light that fell on them.
    pub(super) fn even_out(&self, row: usize, columns: std::ops::Range<usize>, linear: &mut [f32]) {
        let Some(along) = self.light().and_then(|light| light.along(middle(row, self.size().1))) else {
            return;
        };
        let across = 1.0 / self.size().0 as f32;
        for (column, rgb) in columns.zip(linear.as_chunks_mut::<3>().0) {
            let inverse = 1.0 / along((column as f32 + 0.5) * across);
            *rgb = rgb.map(|channel| channel * inverse);
        }
    }
}

/// The middle of a row in fractions of the picture's height.
fn middle(row: usize, rows: u32) -> f64 {
    (row as f64 + 0.5) / f64::from(rows)
}

/// Codes of Y of every pixel, divided by the light that fell on it.
fn even_codes(size: (u32, u32), samples: &Samples, encoding: &Encoding, light: &Light) -> Vec<u16> {
    match samples {
        Samples::Rgb8(samples) => even(size, samples, &encoding.y_tables(), 256, usize::from, light),
        Samples::Rgb16(samples) => even(size, samples, &encoding.y_tables(), 65_536, usize::from, light),
    }
}

/// `index` says where in the tables, `entries` long, a sample stands.
fn even<T: Copy + Sync>(
    size: (u32, u32),
    samples: &[T],
    tables: &[Vec<f32>; 3],
    entries: usize,
    index: impl Fn(T) -> usize + Sync,
    light: &Light,
) -> Vec<u16> {
    let width = size.0 as usize;
    let mut codes = vec![0; width * size.1 as usize];
    // A length known to the compiler saves a check at every sample.
    let [red, green, blue] = tables;
    let (red, green, blue) = (&red[..entries], &green[..entries], &blue[..entries]);
    let across = 1.0 / size.0 as f32;
    codes.par_chunks_mut(width).zip(samples.par_chunks(3 * width)).enumerate().for_each(
        |(row, (codes, samples))| {
            let Some(along) = light.along(middle(row, size.1)) else { return };
            for (column, (code, &[r, g, b])) in codes.iter_mut().zip(samples.as_chunks().0).enumerate() {
                let y = red[index(r)] + green[index(g)] + blue[index(b)];
                *code = code_from_y(y / along((column as f32 + 0.5) * across));
            }
        },
    );
    codes
}
