//! A sheet of paper, followed from place to place: light on it may change anyhow, as long as it does so smoothly, or as a
//! shadow does.

use super::Small;
use super::cast::Cast;
use rayon::prelude::*;
use std::collections::VecDeque;

/// A sheet.
pub(super) struct Sheet {
    paper: Vec<bool>,
    /// How far paper's channels are off the light, in logarithms, also where it is hidden.
    cockled: Tiles,
}

/// Values of a picture's tiles.
struct Tiles {
    side: usize,
    across: usize,
    values: Vec<[f64; 3]>,
}

/// Side of a tile, in pixels.
const TILE: usize = 8;

/// Paper goes on where a pixel is so near in light, in natural logarithms, to what it has been on the way there: shadows
/// have softer edges than that; and so much of a pixel is remembered.
const STEP: f64 = 0.04;
const REMEMBERED: f64 = 0.25;

/// And so near in its tint, which shadows hardly change: the palest washes, of L* 92, are .03 away or more.
const TINT_STEP: f64 = 0.01;
const TINT_REMEMBERED: f64 = 0.05;

/// A wash that paper leaked into all the same is told by its tint: so far from what most paper about it has, in tiles that
/// no pale swatch fills.
const OTHER_TINT: f64 = 0.012;
const WIDE_TILE: usize = 128;

/// Of which every so many pixels are plenty for a median.
const SOME: usize = 7;

/// Paper's colour may lie so far from where it is brightest, likewise; and its light so far below and above.
const TINTED: f64 = 0.05;
const BELOW: f64 = 0.9;
const ABOVE: f64 = 0.25;

/// A part of the sheet fills this part of the picture, and ends at a shadow's hard edge, or the sheet's own: less may be
/// a pale wash.
const LEAST: f64 = 0.06;

/// Where parts are looked for: every so many pixels.
const SOUGHT: usize = 16;

/// Which pixels are paper in this light.
pub(super) fn paper(small: &Small, logs: &[[f64; 3]], light: &Cast) -> Vec<bool> {
    let off = off(small, logs, light);
    let mut paper = vec![false; logs.len()];
    let mut seen = paper.clone();
    for start in (0..small.rows)
        .step_by(SOUGHT)
        .flat_map(|row| (0..small.columns).step_by(SOUGHT).map(move |column| row * small.columns + column))
    {
        if seen[start] || !off[start].may_be() {
            continue;
        }
        let part = followed(small, &off, start, &mut seen);
        if part.len() as f64 > LEAST * off.len() as f64 {
            part.into_iter().for_each(|at| paper[at] = true);
        }
    }
    let usual =
        Tiles::of(small, WIDE_TILE, &paper, |pixels| median(pixels.step_by(SOME).map(|at| off[at].tint)));
    for at in 0..off.len() {
        let usual = usual.at((at % small.columns) as f64, (at / small.columns) as f64);
        paper[at] &= (0..3).all(|channel| (off[at].tint[channel] - usual[channel]).abs() < OTHER_TINT);
    }
    paper
}

impl Sheet {
    pub(super) fn of(small: &Small, logs: &[[f64; 3]], paper: Vec<bool>, light: &Cast) -> Self {
        let off = off(small, logs, light);
        let cockled = Tiles::of(small, TILE, &paper, |pixels| {
            let count = pixels.len() as f64;
            let channels = pixels.map(|at| off[at].tint.map(|tint| tint + off[at].light));
            channels.fold([0.0; 3], |sum, it| [0, 1, 2].map(|channel| sum[channel] + it[channel] / count))
        });
        Self { paper, cockled }
    }

    pub(super) fn is_paper(&self, index: usize) -> bool {
        self.paper[index]
    }

    /// How far paper's channels are off the light at a place, in logarithms.
    pub(super) fn at(&self, x: f64, y: f64) -> [f64; 3] {
        self.cockled.at(x, y)
    }
}

fn off(small: &Small, logs: &[[f64; 3]], light: &Cast) -> Vec<Off> {
    (0..logs.len())
        .into_par_iter()
        .map(|at| {
            let light = light.logs((at % small.columns) as f64, (at / small.columns) as f64);
            Off::of([0, 1, 2].map(|channel| logs[at][channel] - light[channel]))
        })
        .collect()
}

impl Tiles {
    /// Of what some pixels of each tile are told to have.
    fn of(
        small: &Small,
        side: usize,
        told: &[bool],
        value: impl Fn(std::vec::IntoIter<usize>) -> [f64; 3],
    ) -> Self {
        let across = small.columns.div_ceil(side);
        let mut tiles = vec![Vec::new(); across * small.rows.div_ceil(side)];
        for at in (0..told.len()).filter(|&at| told[at]) {
            tiles[at / small.columns / side * across + at % small.columns / side].push(at);
        }
        let values =
            tiles.into_iter().map(|pixels| (!pixels.is_empty()).then(|| value(pixels.into_iter()))).collect();
        Self { side, across, values: filled(values, across) }
    }

    /// The value at a place: between the tiles about it.
    fn at(&self, x: f64, y: f64) -> [f64; 3] {
        let down = self.values.len() / self.across;
        let between = |at: f64, count: usize| {
            let at = ((at + 0.5) / self.side as f64 - 0.5).clamp(0.0, (count - 1) as f64);
            let first = (at as usize).min(count.saturating_sub(2));
            (first, (first + 1).min(count - 1), at - first as f64)
        };
        let ((left, right, u), (top, bottom, v)) = (between(x, self.across), between(y, down));
        let tile = |row: usize, column: usize| self.values[row * self.across + column];
        let (a, b, c, d) = (tile(top, left), tile(top, right), tile(bottom, left), tile(bottom, right));
        [0, 1, 2].map(|it| (a[it] * (1.0 - u) + b[it] * u) * (1.0 - v) + (c[it] * (1.0 - u) + d[it] * u) * v)
    }
}

/// How far a pixel is off the smooth light.
#[derive(Clone, Copy)]
struct Off {
    /// In the mean of its channels.
    light: f64,
    /// Each channel, against that mean.
    tint: [f64; 3],
}

impl Off {
    fn of(channels: [f64; 3]) -> Self {
        let light = (channels[0] + channels[1] + channels[2]) / 3.0;
        Self { light, tint: channels.map(|channel| channel - light) }
    }

    /// Whether it may be paper.
    fn may_be(&self) -> bool {
        (-BELOW..ABOVE).contains(&self.light) && self.tint.iter().all(|tint| tint.abs() < TINTED)
    }

    /// Whether paper that has been like this goes on there.
    fn leads_to(&self, there: &Self) -> bool {
        (there.light - self.light).abs() < STEP
            && (0..3).all(|it| (there.tint[it] - self.tint[it]).abs() < TINT_STEP)
    }

    /// What paper has been once it has gone on there.
    fn and_then(&self, there: &Self) -> Self {
        let light = self.light + REMEMBERED * (there.light - self.light);
        let tint = [0, 1, 2].map(|it| self.tint[it] + TINT_REMEMBERED * (there.tint[it] - self.tint[it]));
        Self { light, tint }
    }
}

/// Pixels to which paper goes on from one that is.
fn followed(small: &Small, off: &[Off], start: usize, seen: &mut [bool]) -> Vec<usize> {
    // With each, what paper has been on the way there.
    let mut next = VecDeque::from([(start, off[start])]);
    seen[start] = true;
    let mut paper = Vec::new();
    while let Some((at, been)) = next.pop_front() {
        paper.push(at);
        for side in small.sides(at) {
            let there = &off[side];
            if !seen[side] && there.may_be() && been.leads_to(there) {
                seen[side] = true;
                next.push_back((side, been.and_then(there)));
            }
        }
    }
    paper
}

/// Channel by channel.
fn median(values: impl Iterator<Item = [f64; 3]>) -> [f64; 3] {
    let mut values: Vec<[f64; 3]> = values.collect();
    [0, 1, 2].map(|it| {
        let middle = values.len() / 2;
        values.select_nth_unstable_by(middle, |a, b| a[it].total_cmp(&b[it])).1[it]
    })
}

/// Tiles of which nothing is told have what the tiles about them have: from a picture half as large, and so on.
fn filled(tiles: Vec<Option<[f64; 3]>>, across: usize) -> Vec<[f64; 3]> {
    let down = tiles.len() / across;
    if tiles.len() == 1 || tiles.iter().all(Option::is_some) {
        return tiles.into_iter().map(Option::unwrap_or_default).collect();
    }
    let half = across.div_ceil(2);
    let mut sums = vec![([0.0; 3], 0.0); half * down.div_ceil(2)];
    for (at, tile) in tiles.iter().enumerate() {
        let Some(tile) = tile else { continue };
        let (sum, count) = &mut sums[at / across / 2 * half + at % across / 2];
        *count += 1.0;
        for channel in 0..3 {
            sum[channel] += tile[channel];
        }
    }
    let mean = |(sum, count): ([f64; 3], f64)| (count > 0.0).then(|| sum.map(|channel| channel / count));
    let halves = filled(sums.into_iter().map(mean).collect(), half);
    let told = |(at, tile): (usize, Option<[f64; 3]>)| {
        tile.unwrap_or_else(|| halves[at / across / 2 * half + at % across / 2])
    };
    tiles.into_iter().enumerate().map(told).collect()
}
