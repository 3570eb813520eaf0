//! Texture and unevenness: how a spot's tone varies from pixel to pixel, and from part to part.
//!
//! Granulation and the paper's tooth are texture: neighbours vary, parts agree. A spot that lies across two washes, or
//! in a gradient, is uneven: its parts differ. The two are told apart on the means of square patches, which blur the
//! spot as distance does.

use super::{Spot, StandardError};
use crate::Photo;
use crate::lightness::{LIGHTNESS_FROM_CODE, Y_CODES, lightness_from_y};

/// How a spot's tone varies.
pub(super) struct Texture {
    /// Standard error of the spot's L*, from how its patches differ.
    pub(super) error: StandardError,
    /// Standard deviation of the patches' L* beyond what texture explains.
    pub(super) unevenness: f64,
}

/// Patches along a spot's diameter: about twenty lie inside, enough to judge by, each wide enough to blur the grain.
const PATCHES_ACROSS: f64 = 5.0;

/// Narrowest patch, in pixels: a JPEG's and a sensor's neighbours depend on each other over two or three.
const NARROWEST_PATCH: f64 = 3.0;

/// Area over which grain hangs together, in pixels: granulation photographed at a painter's distance is a few pixels
/// wide.
const GRAIN: f64 = 16.0;

/// Error of L* that no texture shows: 8-bit codes and JPEG's quantisation, about .3 L* a spot (JPEG 75 to 95, flat
/// patches).
const FLOOR: f64 = 0.15;

/// The least share of a patch that must lie in the spot.
const LEAST_COVER: f64 = 0.5;

impl Texture {
    pub(super) fn of(photo: &Photo, spot: Spot) -> Self {
        let side = (2.0 * spot.radius / PATCHES_ACROSS).max(NARROWEST_PATCH).round();
        let patches = patches(photo, spot, side);
        let count = patches.len() as f64;
        if patches.len() < 3 {
            let all = patches_pooled(photo, spot);
            return Self {
                error: StandardError { value: (all / count.max(1.0)).sqrt().max(FLOOR), freedom: 3.0 },
                unevenness: 0.0,
            };
        }
        let mean = patches.iter().map(|patch| patch.mean).sum::<f64>() / count;
        let between = patches.iter().map(|patch| (patch.mean - mean) * (patch.mean - mean)).sum::<f64>()
            / (count - 1.0);
        let within = patches.iter().map(|patch| patch.variance).sum::<f64>() / count;
        let explained = within * (GRAIN / (side * side)).min(1.0);
        Self {
            error: StandardError { value: (between / count + FLOOR * FLOOR).sqrt(), freedom: count - 1.0 },
            unevenness: (between - explained).max(0.0).sqrt(),
        }
    }
}

/// One patch: L* of its mean Y, and the variance of its pixels' L*.
struct Patch {
    mean: f64,
    variance: f64,
}

#[derive(Clone, Copy, Default)]
struct Sums {
    pixels: f64,
    y: f64,
    lightness: f64,
    square: f64,
}

impl Sums {
    fn add(&mut self, codes: &[u16]) {
        for &code in codes {
            let lightness = f64::from(LIGHTNESS_FROM_CODE[usize::from(code)]);
            self.pixels += 1.0;
            self.y += f64::from(code);
            self.lightness += lightness;
            self.square += lightness * lightness;
        }
    }

    fn patch(self) -> Patch {
        let mean = self.lightness / self.pixels;
        Patch {
            mean: lightness_from_y(self.y / self.pixels / (Y_CODES - 1) as f64),
            variance: (self.square / self.pixels - mean * mean).max(0.0),
        }
    }
}

/// The patches of a grid about the spot's centre that lie in it by half or more.
fn patches(photo: &Photo, spot: Spot, side: f64) -> Vec<Patch> {
    let reach = (spot.radius / side).ceil() + 1.0;
    let across = 2 * reach as usize + 1;
    let cell = |at: f64, centre: f64| {
        (((at - centre) / side).round() + reach).clamp(0.0, (across - 1) as f64) as usize
    };
    let mut grid = vec![Sums::default(); across * across];
    for (row, columns) in spot.rows(photo.size()) {
        let codes = photo.tonal_map().row(row);
        let line = cell(f64::from(row), spot.y) * across;
        let mut from = columns.start;
        while from < columns.end {
            let place = cell(f64::from(from), spot.x);
            let mut to = from + 1;
            while to < columns.end && cell(f64::from(to), spot.x) == place {
                to += 1;
            }
            grid[line + place].add(&codes[from as usize..to as usize]);
            from = to;
        }
    }
    grid.into_iter().filter(|sums| sums.pixels >= LEAST_COVER * side * side).map(Sums::patch).collect()
}

/// Variance of all of the spot's pixels, for spots too small for patches.
fn patches_pooled(photo: &Photo, spot: Spot) -> f64 {
    let mut sums = Sums::default();
    for (row, columns) in spot.rows(photo.size()) {
        sums.add(&photo.tonal_map().row(row)[columns.start as usize..columns.end as usize]);
    }
    sums.patch().variance
}
