//! What is painted: patches of the picture that differ from bare paper.

use super::Small;
use super::ground::Ground;
use crate::colour::lab;
use rayon::prelude::*;

/// Patches of paint.
pub(super) struct Painted {
    /// How far each pixel is from paper, as ΔE*ab.
    pub(super) away: Vec<f32>,
    /// From this on a pixel is painted.
    pub(super) threshold: f32,
    pub(super) blobs: Vec<Blob>,
}

/// A patch in one piece.
#[derive(Debug, Clone)]
pub(super) struct Blob {
    /// Its pixels, as columns and rows.
    pub(super) pixels: Vec<[f64; 2]>,
    pub(super) centre: [f64; 2],
    /// Along its longest and its shortest extent: unit vectors.
    pub(super) axis: [f64; 2],
    /// Half of its extent along the axis and across.
    pub(super) half: (f64, f64),
    /// CIELAB a and b in the mean.
    pub(super) tint: [f64; 2],
    /// L* below paper's, of the thirds at its axis's start and end; of all of it where it is a single step.
    pub(super) depths: (f64, f64),
    /// Whether its colour changes along its axis: it is several steps, and no single one.
    pub(super) varies: bool,
    may_vary: bool,
}

/// What a pixel that is not painted belongs to.
#[derive(Clone, Copy)]
enum Beside {
    Sheet,
    /// Too small for a sheet.
    Other,
    /// Too small for anything: paper shows through.
    Hole,
}

/// The least difference from paper that is paint: what an eye sees of two that lie side by side.
const LEAST: f32 = 1.8;

/// And how many times the noise of bare paper.
const NOISES: f32 = 4.0;

/// What is further away, in ΔE*ab, is no paper however noisy.
const MAY_BE_PAPER: f32 = 6.0;

/// A patch whose ends differ by so much in CIE94's ΔE holds several steps: a hand-painted swatch changes by less from end to end.
const VARIES: f64 = 5.0;

/// Less may still be several, of a paint that spans little, where it is so many times as long as broad along its strip.
const MAY_VARY: f64 = 2.5;
const LONG: f64 = 1.6;
const ALONG: f64 = 0.94;

/// A patch must have this part of the picture.
const SMALLEST: f64 = 0.000_25;

/// And lie on the sheet: this part of its outline borders on paper, which hangs together over this part of the picture at
/// least: a shadow's edge may part it.
const SHEET: f64 = 0.04;
const ON_PAPER: f64 = 0.7;

/// And fill its place: an oblong has twelve times the root of what its spread's determinant is, a written number or an
/// outline much less.
const FILLED: f64 = 0.8;

impl Painted {
    pub(super) fn of(small: &Small, ground: &Ground) -> Self {
        let relative: Vec<[f64; 3]> = (0..small.rgb.len())
            .into_par_iter()
            .map(|at| {
                let paper = ground.at((at % small.columns) as f64, (at / small.columns) as f64);
                [0, 1, 2].map(|channel| small.rgb[at][channel] / paper[channel])
            })
            .collect();
        let smooth = smoothed(&relative, small.columns, small.rows);
        let lab: Vec<[f64; 3]> = smooth.par_iter().map(|&rgb| lab(rgb)).collect();
        // What is lighter than paper is a gloss, or paper at a shadow's edge: not paint.
        let away: Vec<f32> = lab
            .iter()
            .enumerate()
            .map(|(at, [l, a, b])| match ground.is_paper(at) {
                true => 0.0,
                false => libm::sqrt((l.min(100.0) - 100.0).powi(2) + a * a + b * b) as f32,
            })
            .collect();
        let threshold = (NOISES * noise(&away)).max(LEAST);
        let mut mask: Vec<bool> = away.iter().map(|&away| away > threshold).collect();
        open(&mut mask, small.columns, small.rows);
        let least = (SMALLEST * away.len() as f64) as usize;
        let bare: Vec<bool> = mask.iter().map(|painted| !painted).collect();
        let mut beside = vec![Beside::Hole; away.len()];
        for part in pieces(&bare, small) {
            let what = match part.len() {
                size if size as f64 > SHEET * away.len() as f64 => Beside::Sheet,
                size if size > least => Beside::Other,
                _ => Beside::Hole,
            };
            part.into_iter().for_each(|at| beside[at] = what);
        }
        let blobs = pieces(&mask, small)
            .into_iter()
            .filter(|piece| piece.len() > least && lies_on_sheet(piece, &mask, &beside, small))
            .map(|piece| Blob::of(&piece, small.columns, &lab))
            .filter(|blob| blob.is_filled())
            .collect();
        Self { away, threshold, blobs }
    }
}

impl Blob {
    fn of(piece: &[usize], columns: usize, lab: &[[f64; 3]]) -> Self {
        let pixels: Vec<[f64; 2]> =
            piece.iter().map(|at| [(at % columns) as f64, (at / columns) as f64]).collect();
        let count = piece.len() as f64;
        let mean = |of: &dyn Fn(usize) -> f64| (0..piece.len()).map(of).sum::<f64>() / count;
        let tint = [1, 2].map(|axis| mean(&|at| lab[piece[at]][axis]));
        let (centre, axis) = principal(&pixels);
        let extent = |direction: [f64; 2]| {
            let mut along: Vec<f64> = pixels.iter().map(|&at| dot(sub(at, centre), direction)).collect();
            along.sort_by(f64::total_cmp);
            // Frayed ends don't count.
            let (low, high) = (along[along.len() / 50], along[along.len() - 1 - along.len() / 50]);
            (high - low) / 2.0
        };
        let half = (extent(axis), extent([-axis[1], axis[0]]));
        let end = |sign: f64| {
            let there = |at: &usize| sign * dot(sub(pixels[*at], centre), axis) > half.0 / 3.0;
            let third: Vec<usize> = (0..piece.len()).filter(there).map(|at| piece[at]).collect();
            [0, 1, 2].map(|it| third.iter().map(|&at| lab[at][it]).sum::<f64>() / third.len().max(1) as f64)
        };
        let (start, end) = (end(-1.0), end(1.0));
        let apart = seen_apart(start, end);
        let varies = apart > VARIES;
        let may_vary = apart > MAY_VARY;
        let all = 100.0 - (start[0] + end[0]) / 2.0;
        let depths = if varies { (100.0 - start[0], 100.0 - end[0]) } else { (all, all) };
        Self { pixels, centre, axis, half, tint, depths, varies, may_vary }
    }

    fn is_filled(&self) -> bool {
        let [xx, xy, yy] = spread(&self.pixels, self.centre).map(|sum| sum / self.pixels.len() as f64);
        self.pixels.len() as f64 > FILLED * 12.0 * libm::sqrt((xx * yy - xy * xy).max(0.0))
    }

    /// About how many steps of a strip along an axis it may hold: they are half as long as broad, or longer.
    pub(super) fn steps(&self, axis: [f64; 2]) -> f64 {
        let ratio = self.half.0 / self.half.1.max(1.0);
        let lies_along = || dot(self.axis, axis).abs() > ALONG;
        match () {
            () if self.varies => (2.0 * ratio).max(1.0),
            () if self.may_vary && ratio > LONG && lies_along() => ratio,
            () => 1.0,
        }
    }

    /// Half of its extent along a direction.
    pub(super) fn reach(&self, direction: [f64; 2]) -> f64 {
        let (along, across) = (dot(direction, self.axis), dot(direction, [-self.axis[1], self.axis[0]]));
        along.abs() * self.half.0 + across.abs() * self.half.1
    }
}

/// Middle, and the direction in which pixels reach furthest.
pub(super) fn principal(pixels: &[[f64; 2]]) -> ([f64; 2], [f64; 2]) {
    let count = pixels.len() as f64;
    let centre = [0, 1].map(|axis| pixels.iter().map(|at| at[axis]).sum::<f64>() / count);
    let [xx, xy, yy] = spread(pixels, centre);
    let angle = 0.5 * libm::atan2(2.0 * xy, xx - yy);
    (centre, [libm::cos(angle), libm::sin(angle)])
}

/// Sums of squares and products of what lies between pixels and their middle.
fn spread(pixels: &[[f64; 2]], centre: [f64; 2]) -> [f64; 3] {
    pixels
        .iter()
        .map(|&at| sub(at, centre))
        .fold([0.0; 3], |[xx, xy, yy], [x, y]| [xx + x * x, xy + x * y, yy + y * y])
}

pub(super) fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

pub(super) fn sub(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

/// CIE94's colour difference for graphic arts (CIE 116-1995), chroma as the mean of both: vivid colours may lie further
/// apart in a and b before an eye sees it.
pub(super) fn seen_apart(one: [f64; 3], other: [f64; 3]) -> f64 {
    let [first, second] = [one, other].map(|[_, a, b]| libm::hypot(a, b));
    let (chroma, tone) = ((first + second) / 2.0, one[0] - other[0]);
    let of_chroma = first - second;
    let of_hue = ((one[1] - other[1]).powi(2) + (one[2] - other[2]).powi(2) - of_chroma * of_chroma).max(0.0);
    let (by_chroma, by_hue) = (1.0 + 0.045 * chroma, 1.0 + 0.015 * chroma);
    libm::sqrt(tone * tone + (of_chroma / by_chroma).powi(2) + of_hue / (by_hue * by_hue))
}

/// ΔE*ab.
pub(super) fn distance(one: [f64; 3], other: [f64; 3]) -> f64 {
    libm::sqrt((0..3).map(|axis| (one[axis] - other[axis]).powi(2)).sum())
}

/// Means of three by three pixels, in linear light.
pub(super) fn smoothed(rgb: &[[f64; 3]], columns: usize, rows: usize) -> Vec<[f64; 3]> {
    let near = |at: usize, end: usize| at.saturating_sub(1)..(at + 2).min(end);
    (0..rgb.len())
        .into_par_iter()
        .map(|at| {
            let mut sum = [0.0; 4];
            for row in near(at / columns, rows) {
                for pixel in &rgb[row * columns..][near(at % columns, columns)] {
                    for channel in 0..3 {
                        sum[channel] += pixel[channel];
                    }
                    sum[3] += 1.0;
                }
            }
            [0, 1, 2].map(|channel| sum[channel] / sum[3])
        })
        .collect()
}

/// How far bare paper is from itself: the lower quartile of what may be paper.
fn noise(away: &[f32]) -> f32 {
    let mut sorted: Vec<f32> = away.iter().copied().step_by(7).filter(|&away| away < MAY_BE_PAPER).collect();
    sorted.sort_by(f32::total_cmp);
    sorted.get(sorted.len() / 4).copied().unwrap_or_default()
}

/// Takes away what is thinner than three pixels: pencil lines, and the noise of single pixels.
fn open(mask: &mut [bool], columns: usize, rows: usize) {
    for keeps in [true, false] {
        let before = mask.to_vec();
        let near = |at: usize, end: usize| at.saturating_sub(1)..(at + 2).min(end);
        for (at, pixel) in mask.iter_mut().enumerate() {
            let mut around = near(at / columns, rows)
                .flat_map(|row| &before[row * columns..][near(at % columns, columns)]);
            *pixel = if keeps { around.all(|&it| it) } else { around.any(|&it| it) };
        }
    }
}

/// Pieces that hang together by their sides.
fn pieces(mask: &[bool], small: &Small) -> Vec<Vec<usize>> {
    let mut seen = vec![false; mask.len()];
    let mut pieces = Vec::new();
    for start in 0..mask.len() {
        if !mask[start] || seen[start] {
            continue;
        }
        seen[start] = true;
        let mut piece = vec![start];
        let mut next = 0;
        while let Some(&at) = piece.get(next) {
            next += 1;
            for side in small.sides(at).filter(|&side| mask[side]) {
                if !seen[side] {
                    seen[side] = true;
                    piece.push(side);
                }
            }
        }
        pieces.push(piece);
    }
    pieces
}

/// Whether a piece is surrounded by the sheet, and no part of what lies about it.
fn lies_on_sheet(piece: &[usize], mask: &[bool], beside: &[Beside], small: &Small) -> bool {
    let (mut on, mut off) = (0, 0);
    for &at in piece {
        let mut sides = 0;
        for side in small.sides(at) {
            sides += 1;
            match beside[side] {
                _ if mask[side] => {}
                Beside::Sheet => on += 1,
                Beside::Other => off += 1,
                Beside::Hole => {}
            }
        }
        // Beyond the picture nothing is seen.
        off += 4 - sides;
    }
    f64::from(on) > ON_PAPER * f64::from(on + off)
}
