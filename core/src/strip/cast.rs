//! The light that falls on a sheet of paper: it falls off smoothly, and a shadow may lie across.

mod parts;

use super::Small;
use super::shadow::{Places, Shadow};
use super::sheet;
use nalgebra::{SMatrix, SVector};
use parts::Parts;
use rayon::prelude::*;

/// The light on bare paper, everywhere.
pub(super) struct Cast {
    whole: Lit,
    /// Where that is not how it looks.
    parts: Parts,
}

/// A light that falls off, and the shadow across it.
pub(super) struct Lit {
    pub(super) smooth: Smooth,
    pub(super) shadow: Option<Shadow>,
}

/// What was found on the way to it.
pub(super) struct Seen {
    pub(super) light: Cast,
    /// The logarithms of the picture's channels, smoothed.
    pub(super) logs: Vec<[f64; 3]>,
    /// Which pixels are paper.
    pub(super) paper: Vec<bool>,
}

/// The logarithm of each channel as a quadratic of place.
pub(super) struct Smooth {
    size: (f64, f64),
    terms: [SVector<f64, TERMS>; 3],
}

pub(super) const TERMS: usize = 6;

/// A pixel, and the logarithms of its channels.
struct Point {
    at: [f64; 2],
    logs: [f64; 3],
}

/// Where paper is looked for among tiles in their order of lightness: from the lightest on, since a sheet may be less
/// than the table about it, and a gloss or a lamp is less than a sheet.
const STARTS: [f64; 3] = [0.95, 0.85, 0.7];

/// Tiles along the longer side, in each of which the lightest part is looked at first.
const TILES: usize = 16;

/// How near to the fit a pixel must be to count as paper, in natural logarithms of its light, from the first fit to the
/// last: wide enough at first for light that falls off by half.
const NEAR: [f64; 6] = [0.35, 0.25, 0.15, 0.08, 0.05, 0.05];

/// No light on a sheet falls off by more than this, likewise: to a bit less than half. What is darker is no paper.
const FALLS: f64 = 0.75;

/// How far its colour may lie from paper's, likewise: white paper is not tinted by more than a few percent.
const TINTED: f64 = 0.05;

/// At least this part of the picture must be paper.
const LEAST: f64 = 0.08;

impl Cast {
    /// None where there is no paper to speak of.
    pub(super) fn of(small: &Small) -> Option<Self> {
        Self::seen(small).map(|seen| seen.light)
    }

    /// With the paper that it was seen on.
    pub(super) fn seen(small: &Small) -> Option<Seen> {
        let tops = lightest(small);
        // Every third pixel each way is plenty for a smooth light.
        let every = |side: usize| (0..side).step_by(3);
        let points: Vec<Point> = every(small.rows)
            .flat_map(|row| every(small.columns).map(move |column| (column, row)))
            .map(|(column, row)| {
                let rgb = small.rgb[row * small.columns + column];
                Point { at: [column as f64, row as f64], logs: logs(rgb) }
            })
            .collect();
        let starts = STARTS.iter().filter_map(|part| tops.get((part * tops.len() as f64) as usize));
        let smooth = starts
            .filter(|top| top.iter().all(|&channel| channel > 0.01))
            .find_map(|&top| Smooth::from(small, &points, top.map(libm::log)))?;
        let logs: Vec<[f64; 3]> = small.smoothed().par_iter().map(|&rgb| logs(rgb)).collect();
        let mut light = Self { whole: Lit { smooth, shadow: None }, parts: Parts::none(small) };
        let mut paper = sheet::paper(small, &logs, &light);
        let places = Places::of(small, &logs, &paper, &light.whole.smooth);
        let shadowed = Shadow::across(&places, &light.whole.smooth);
        let is_shadowed = shadowed.is_some();
        light.whole = shadowed.unwrap_or(light.whole);
        light.parts = Parts::of(small, &places, &light.whole);
        if is_shadowed || light.parts.differ() {
            paper = sheet::paper(small, &logs, &light);
        }
        Some(Seen { light, logs, paper })
    }

    /// Linear light of its channels at a place.
    pub(super) fn at(&self, x: f64, y: f64) -> [f64; 3] {
        self.logs(x, y).map(libm::exp)
    }

    /// The logarithms of these.
    pub(super) fn logs(&self, x: f64, y: f64) -> [f64; 3] {
        self.parts.logs(x, y, self.whole.logs(x, y))
    }

    /// Whether a shadow's edge runs between these places.
    pub(super) fn is_parted(&self, places: &[[f64; 2]]) -> bool {
        let whole = self.whole.shadow.as_ref();
        whole.is_some_and(|shadow| shadow.parts(places.iter().copied())) || self.parts.are_parted(places)
    }
}

impl Lit {
    /// The logarithms of its channels at a place.
    fn logs(&self, x: f64, y: f64) -> [f64; 3] {
        let smooth = self.smooth.at(x, y);
        let left = self.shadow.as_ref().map_or([0.0; 3], |shadow| shadow.at(x, y));
        [0, 1, 2].map(|channel| smooth[channel] + left[channel])
    }
}

impl Smooth {
    /// Fitted to what is like a first colour, in logarithms.
    fn from(small: &Small, points: &[Point], first: [f64; 3]) -> Option<Self> {
        let mut terms = [SVector::<f64, TERMS>::zeros(); 3];
        for (terms, channel) in terms.iter_mut().zip(first) {
            terms[0] = channel;
        }
        let mut smooth = Self { size: (small.columns as f64, small.rows as f64), terms };
        for near in NEAR {
            smooth = smooth.fitted(points, first, near)?;
        }
        Some(smooth)
    }

    /// The logarithms of its channels at a place.
    pub(super) fn at(&self, x: f64, y: f64) -> [f64; 3] {
        let basis = self.basis(x, y);
        self.terms.each_ref().map(|terms| terms.dot(&basis))
    }

    /// Of the same picture, with other terms for its channels by so much.
    pub(super) fn plus(&self, by: [SVector<f64, TERMS>; 3]) -> Self {
        Self { size: self.size, terms: [0, 1, 2].map(|channel| self.terms[channel] + by[channel]) }
    }

    pub(super) fn basis(&self, x: f64, y: f64) -> SVector<f64, TERMS> {
        let (u, v) = (2.0 * x / self.size.0 - 1.0, 2.0 * y / self.size.1 - 1.0);
        SVector::from([1.0, u, v, u * u, u * v, v * v])
    }

    fn fitted(&self, points: &[Point], first: [f64; 3], near: f64) -> Option<Self> {
        let mut normal = SMatrix::<f64, TERMS, TERMS>::zeros();
        let mut right = [SVector::<f64, TERMS>::zeros(); 3];
        let mut count = 0;
        for Point { at: [x, y], logs } in points {
            let fallen = (0..3).map(|channel| first[channel] - logs[channel]).sum::<f64>() / 3.0;
            if fallen > FALLS {
                continue;
            }
            let basis = self.basis(*x, *y);
            let off: [f64; 3] = [0, 1, 2].map(|channel| logs[channel] - self.terms[channel].dot(&basis));
            let mean = (off[0] + off[1] + off[2]) / 3.0;
            let tint = off.iter().map(|off| (off - mean).abs()).fold(0.0, f64::max);
            if mean.abs() > near || tint > TINTED.min(near) {
                continue;
            }
            count += 1;
            normal += basis * basis.transpose();
            for channel in 0..3 {
                right[channel] += basis * logs[channel];
            }
        }
        if count as f64 <= LEAST * points.len() as f64 {
            return None;
        }
        let solver = normal.lu();
        let mut terms = self.terms;
        for channel in 0..3 {
            terms[channel] = solver.solve(&right[channel])?;
        }
        Some(Self { size: self.size, terms })
    }
}

fn logs(rgb: [f64; 3]) -> [f64; 3] {
    rgb.map(|channel| libm::log(channel.max(1e-5)))
}

/// What is light in each tile, from dark to light.
fn lightest(small: &Small) -> Vec<[f64; 3]> {
    let side = small.columns.max(small.rows).div_ceil(TILES);
    let mut tops: Vec<[f64; 3]> = Vec::new();
    for top in (0..small.rows).step_by(side) {
        for left in (0..small.columns).step_by(side) {
            let rows = top..(top + side).min(small.rows);
            let mut tile: Vec<[f64; 3]> = rows
                .flat_map(|row| {
                    let from = row * small.columns + left;
                    let to = row * small.columns + (left + side).min(small.columns);
                    small.rgb[from..to].iter().copied()
                })
                .collect();
            // Not the very lightest, which may be a gloss.
            let top = tile.len() * 9 / 10;
            tops.push(*tile.select_nth_unstable_by(top, |a, b| a[1].total_cmp(&b[1])).1);
        }
    }
    tops.sort_by(|a, b| a[1].total_cmp(&b[1]));
    tops
}
