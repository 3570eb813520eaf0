//! Bare paper, as it would be everywhere: a smooth light on one colour.

use super::Small;
use nalgebra::{SMatrix, SVector};

/// The logarithm of each channel as a quadratic of place, and less of it where a shadow lies.
pub(super) struct Ground {
    size: (f64, f64),
    terms: [SVector<f64, TERMS>; 3],
    /// Of each tile, row by row: the logarithm of the part of the light that a shadow leaves.
    shadow: Vec<f64>,
    /// Tiles in a row.
    across: usize,
}

/// Side of a tile in which there is shadow or none.
const TILE: usize = 8;

/// What a shadow takes at the least, as a logarithm: less is the light's falling off. And how alike shadowed paper is.
const SHADE: f64 = 0.1;
const SHADE_SPREAD: f64 = 0.06;

/// At least this part of the picture must be paper in shadow for there to be one.
const LEAST_SHADE: f64 = 0.06;

/// Steps in which shadows are looked for.
const BINS: usize = 64;
const BIN: f64 = 0.02;

const TERMS: usize = 6;

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

impl Ground {
    /// None where there is no paper to speak of.
    pub(super) fn of(small: &Small) -> Option<Self> {
        let tops = lightest(small);
        let starts = STARTS.iter().filter_map(|part| tops.get((part * tops.len() as f64) as usize));
        let mut ground = starts
            .filter(|top| top.iter().all(|&channel| channel > 0.01))
            .find_map(|&top| Self::from(small, top.map(libm::log)))?;
        ground.find_shadow(small);
        Some(ground)
    }

    /// Fitted to what is like a first colour, in logarithms.
    fn from(small: &Small, first: [f64; 3]) -> Option<Self> {
        let size = (small.columns as f64, small.rows as f64);
        let mut terms = [SVector::<f64, TERMS>::zeros(); 3];
        for (terms, channel) in terms.iter_mut().zip(first) {
            terms[0] = channel;
        }
        let across = small.columns.div_ceil(TILE);
        let shadow = vec![0.0; across * small.rows.div_ceil(TILE)];
        let mut ground = Self { size, terms, shadow, across };
        for near in NEAR {
            ground = ground.fitted(small, first, near)?;
        }
        Some(ground)
    }

    /// Paper that is darker by one and the same part, and not tinted, is paper in a shadow. What is painted there lies
    /// in the shadow of the paper about it.
    fn find_shadow(&mut self, small: &Small) {
        let offs: Vec<Option<f64>> = (0..small.rgb.len())
            .map(|at| {
                let bare = self.at((at % small.columns) as f64, (at / small.columns) as f64);
                let off: [f64; 3] =
                    [0, 1, 2].map(|channel| libm::log(small.rgb[at][channel].max(1e-5) / bare[channel]));
                let mean = (off[0] + off[1] + off[2]) / 3.0;
                off.iter().all(|off| (off - mean).abs() < TINTED).then_some(mean)
            })
            .collect();
        let mut counts = [0_usize; BINS];
        for &off in offs.iter().flatten().filter(|&&off| -off >= SHADE) {
            let bin = ((-off - SHADE) / BIN) as usize;
            if bin < BINS {
                counts[bin] += 1;
            }
        }
        let Some((most, _)) = counts.iter().enumerate().max_by_key(|it| it.1) else { return };
        let shade = -(SHADE + (most as f64 + 0.5) * BIN);
        let is_shaded = |off: f64| (off - shade).abs() < SHADE_SPREAD;
        let shaded = offs.iter().flatten().filter(|&&off| is_shaded(off)).count();
        if (shaded as f64) < LEAST_SHADE * offs.len() as f64 {
            return;
        }
        let mut votes = vec![(0_usize, 0_usize); self.shadow.len()];
        for (at, off) in offs.iter().enumerate() {
            let tile = (at / small.columns / TILE) * self.across + at % small.columns / TILE;
            match off {
                Some(off) if is_shaded(*off) => votes[tile].1 += 1,
                Some(off) if off.abs() < SHADE_SPREAD => votes[tile].0 += 1,
                _ => {}
            }
        }
        let told =
            votes.iter().map(|&(lit, shaded)| (lit + shaded > TILE * TILE / 3).then_some(shaded > lit));
        let told = spread(told.collect(), self.across);
        self.shadow = told.into_iter().map(|tile| if tile == Some(true) { shade } else { 0.0 }).collect();
    }

    /// Linear light of paper at a place.
    pub(super) fn at(&self, x: f64, y: f64) -> [f64; 3] {
        let basis = self.basis(x, y);
        let column = (x.max(0.0) as usize / TILE).min(self.across - 1);
        let row = (y.max(0.0) as usize / TILE).min(self.shadow.len() / self.across - 1);
        let shade = self.shadow[row * self.across + column];
        [0, 1, 2].map(|channel| libm::exp(self.terms[channel].dot(&basis) + shade))
    }

    fn basis(&self, x: f64, y: f64) -> SVector<f64, TERMS> {
        let (u, v) = (2.0 * x / self.size.0 - 1.0, 2.0 * y / self.size.1 - 1.0);
        SVector::from([1.0, u, v, u * u, u * v, v * v])
    }

    fn fitted(&self, small: &Small, first: [f64; 3], near: f64) -> Option<Self> {
        let mut normal = SMatrix::<f64, TERMS, TERMS>::zeros();
        let mut right = [SVector::<f64, TERMS>::zeros(); 3];
        let mut count = 0;
        // Every other pixel each way is plenty.
        for row in (0..small.rows).step_by(2) {
            for column in (0..small.columns).step_by(2) {
                let logs =
                    small.rgb[row * small.columns + column].map(|channel| libm::log(channel.max(1e-5)));
                let basis = self.basis(column as f64, row as f64);
                let off: [f64; 3] = [0, 1, 2].map(|channel| logs[channel] - self.terms[channel].dot(&basis));
                let mean = (off[0] + off[1] + off[2]) / 3.0;
                let tint = off.iter().map(|off| (off - mean).abs()).fold(0.0, f64::max);
                let fallen = (0..3).map(|channel| first[channel] - logs[channel]).sum::<f64>() / 3.0;
                if fallen > FALLS || mean.abs() > near || tint > TINTED.min(near) {
                    continue;
                }
                count += 1;
                normal += basis * basis.transpose();
                for channel in 0..3 {
                    right[channel] += basis * logs[channel];
                }
            }
        }
        if (4 * count) as f64 <= LEAST * (small.rows * small.columns) as f64 {
            return None;
        }
        let solver = normal.lu();
        let mut terms = self.terms;
        for channel in 0..3 {
            terms[channel] = solver.solve(&right[channel])?;
        }
        Some(Self { size: self.size, terms, shadow: self.shadow.clone(), across: self.across })
    }
}

/// Tiles that nothing is told of are told by most of their neighbours, ring by ring.
fn spread(mut told: Vec<Option<bool>>, across: usize) -> Vec<Option<bool>> {
    let down = told.len() / across;
    while told.contains(&None) && told.iter().any(Option::is_some) {
        let before = told.clone();
        for (at, tile) in told.iter_mut().enumerate().filter(|(_, tile)| tile.is_none()) {
            let columns = (at % across).saturating_sub(1)..(at % across + 2).min(across);
            let rows = (at / across).saturating_sub(1)..(at / across + 2).min(down);
            let near = rows.flat_map(|row| &before[row * across..][columns.clone()]);
            let (mut lit, mut shaded) = (0, 0);
            for &is_shaded in near.flatten() {
                if is_shaded { shaded += 1 } else { lit += 1 }
            }
            if lit + shaded > 0 {
                *tile = Some(shaded > lit);
            }
        }
    }
    told
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
            tile.sort_by(|a, b| a[1].total_cmp(&b[1]));
            // Not the very lightest, which may be a gloss.
            tops.push(tile[tile.len() * 9 / 10]);
        }
    }
    tops.sort_by(|a, b| a[1].total_cmp(&b[1]));
    tops
}
