//! What the painter marks herself: swatches added, split, or all told by her.

use super::blobs::{distance, dot, principal, sub};
use super::cast::Cast;
use super::swatch::Swatch;
use super::{Small, Strip};
use crate::Photo;
use crate::colour::lab;

/// Corners of a swatch, round it, in pixels of the working copy: whole numbers are middles of pixels.
pub type Quad = [[f64; 2]; 4];

/// Sides of the square in the small picture whose median is the colour of a tapped place, halved.
const TAPPED: f64 = 2.0;

/// Pixels belong to a tapped swatch that differ from the tapped place by less than this, in ΔE*ab: what a hand-painted
/// swatch varies by; and by less than this part of how far that place is from paper.
const LIKE: f64 = 6.0;
const PART: f64 = 0.4;

/// What an eye sees side by side: less is noise.
const LEAST: f64 = 1.5;

/// A grown swatch that is more than so many times as long or broad as the others, or less than the inverse, is none.
const OTHER_SIZE: f64 = 1.8;

/// Where nothing is told of sizes: a part of the picture's shorter side, and the least and most that a swatch has.
const USUAL: f64 = 0.08;
const SMALLEST: f64 = 0.01;
const LARGEST: f64 = 0.5;

/// Frayed ends of a grown swatch that don't count, as a part of its pixels.
const FRAYED: f64 = 0.04;

impl Strip {
    /// A strip whose swatches are told: each is read in its middle against the paper beside it, of this L*, and its quad
    /// stays as it is given. Three corners must not lie in one line.
    ///
    /// The steps lie in the order in which they lie along the strip; where the quads lie in no line, as they are given.
    /// The end that is lighter comes first. They are not sorted by tone: a strip that turns back, as a very strong wash
    /// does that bronzes, keeps its order.
    ///
    /// None where there are no quads, or one can't be read: it lies outside the picture, or there is no paper beside it.
    #[must_use]
    pub fn marked(photo: &Photo, paper: f64, quads: &[Quad]) -> Option<Self> {
        let small = Small::of(photo);
        let within: Vec<Quad> = quads.iter().map(|quad| quad.map(|corner| small.reduced(corner))).collect();
        let axis = direction(&within)?;
        let mut swatches: Vec<(Quad, Swatch)> =
            quads.iter().zip(&within).map(|(quad, &within)| (*quad, Swatch::of(within, axis))).collect();
        if in_line(&swatches, axis) {
            let along = |swatch: &Swatch| dot(swatch.centre(), axis);
            swatches.sort_by(|a, b| along(&a.1).total_cmp(&along(&b.1)));
        }
        let all: Vec<Swatch> = swatches.iter().map(|it| it.1).collect();
        Self::read(&small, Cast::of(&small).as_ref(), swatches, &all, paper)
    }
}

/// The swatch about a tapped place, as far as its paint reaches; of the size and turn of the swatches `like` it where
/// that can't be told, because it runs into another or hardly differs from paper. It ends where one of those begins.
#[must_use]
pub fn swatch_at(photo: &Photo, spot: [f64; 2], like: &[Quad]) -> Quad {
    let small = Small::of(photo);
    let within: Vec<Quad> = like.iter().map(|quad| quad.map(|corner| small.reduced(corner))).collect();
    let axis = direction(&within).unwrap_or([1.0, 0.0]);
    let others: Vec<Swatch> = within.iter().map(|&quad| Swatch::of(quad, axis)).collect();
    let at = small.reduced(spot);
    let usual = usual_size(&others).unwrap_or_else(|| {
        let side = USUAL * small.columns.min(small.rows) as f64;
        (side, side)
    });
    // The others' own turn, which in perspective is not quite that of their line.
    let axis = others.iter().min_by(|a, b| far(a.centre(), at).total_cmp(&far(b.centre(), at))).map_or(
        axis,
        |nearest| {
            let side = sub(nearest.point(1.0, 0.0), nearest.point(-1.0, 0.0));
            let length = libm::hypot(side[0], side[1]).max(1e-9);
            side.map(|it| it / length)
        },
    );
    let grown = grown(&small, at, &others, (!others.is_empty()).then_some((axis, usual)));
    grown.unwrap_or_else(|| oblong(at, axis, (usual.0 / 2.0, usual.1 / 2.0))).map(|corner| small.full(corner))
}

/// Two halves of a swatch, one behind the other along the line in which `others` lie; along its longer side where
/// there is no other.
#[must_use]
pub fn split_swatch(quad: Quad, others: &[Quad]) -> [Quad; 2] {
    let apart = |other: &Quad| far(middle(*other), middle(quad)) > 1e-6;
    let all: Vec<Quad> = others.iter().copied().filter(apart).chain([quad]).collect();
    let swatch = Swatch::of(quad, direction(&all).unwrap_or([1.0, 0.0]));
    let [start, end, far_end, far_start] = swatch.corners();
    let (near, far) = (swatch.point(0.0, -1.0), swatch.point(0.0, 1.0));
    [[start, near, far, far_start], [near, end, far_end, far]]
}

/// The line along which swatches lie: a unit vector; a single one lies along its longer side.
pub(super) fn direction(quads: &[Quad]) -> Option<[f64; 2]> {
    if quads.iter().flatten().flatten().any(|it| !it.is_finite()) || quads.iter().any(|quad| area(quad) < 1.0)
    {
        return None;
    }
    match quads {
        [] => None,
        [quad] => {
            let sides = [sub(quad[1], quad[0]), sub(quad[2], quad[1])];
            let [first, second] = sides.map(|side| libm::hypot(side[0], side[1]));
            let (side, length) = if second > first { (sides[1], second) } else { (sides[0], first) };
            Some(side.map(|it| it / length))
        }
        _ => Some(principal(&quads.iter().map(|&quad| middle(quad)).collect::<Vec<_>>()).1),
    }
}

/// Whether swatches lie beside each other in one line, and not in rows: off it by less than half of their breadth.
fn in_line(swatches: &[(Quad, Swatch)], axis: [f64; 2]) -> bool {
    let across = [-axis[1], axis[0]];
    let count = swatches.len() as f64;
    let mean = swatches.iter().map(|it| dot(it.1.centre(), across)).sum::<f64>() / count;
    swatches.iter().all(|it| (dot(it.1.centre(), across) - mean).abs() < it.1.size().1 / 2.0)
}

/// The medians of lengths and breadths.
fn usual_size(others: &[Swatch]) -> Option<(f64, f64)> {
    let median = |of: fn(&Swatch) -> f64| {
        let mut sizes: Vec<f64> = others.iter().map(of).collect();
        sizes.sort_by(f64::total_cmp);
        sizes.get(sizes.len() / 2).copied()
    };
    median(|it| it.size().0).zip(median(|it| it.size().1))
}

/// The painted place about a spot, as an oblong; none where it is no swatch of the size that is asked for.
fn grown(
    small: &Small,
    at: [f64; 2],
    others: &[Swatch],
    like: Option<([f64; 2], (f64, f64))>,
) -> Option<Quad> {
    if !small.holds(at) {
        return None;
    }
    let seed = tapped(small, at);
    let shorter = small.columns.min(small.rows) as f64;
    let away = distance(seed, lab(paper_about(small, at, like.map_or(USUAL * shorter, |it| it.1.1))));
    let near = LIKE.min(PART * away);
    if near < LEAST / 2.0 {
        return None;
    }
    let open = |index: usize| {
        let place = [(index % small.columns) as f64, (index / small.columns) as f64];
        distance(lab(small.rgb[index]), seed) < near.max(LEAST)
            && !others.iter().any(|other| other.holds(place) && !other.holds(at))
    };
    let start = small.at(at[0], at[1]).0;
    let mut seen = vec![false; small.rgb.len()];
    seen[start] = true;
    let (mut pixels, mut next) = (vec![start], 0);
    while let Some(&index) = pixels.get(next) {
        next += 1;
        for side in small.sides(index) {
            if !seen[side] && open(side) {
                seen[side] = true;
                pixels.push(side);
            }
        }
    }
    let places: Vec<[f64; 2]> =
        pixels.iter().map(|at| [(at % small.columns) as f64, (at / small.columns) as f64]).collect();
    let axis = like.map_or_else(|| principal(&places).1, |it| it.0);
    let extent = |axis: [f64; 2]| {
        let mut along: Vec<f64> = places.iter().map(|&at| dot(at, axis)).collect();
        along.sort_by(f64::total_cmp);
        let frayed = (FRAYED / 2.0 * along.len() as f64) as usize;
        (along[frayed] - 0.5, along[along.len() - 1 - frayed] + 0.5)
    };
    let across = [-axis[1], axis[0]];
    let (along, off) = (extent(axis), extent(across));
    let size = (along.1 - along.0, off.1 - off.0);
    let fits = match like {
        Some((_, usual)) => [size.0 / usual.0, size.1 / usual.1]
            .iter()
            .all(|ratio| (1.0 / OTHER_SIZE..=OTHER_SIZE).contains(ratio)),
        None => [size.0, size.1].iter().all(|side| (SMALLEST * shorter..=LARGEST * shorter).contains(side)),
    };
    let (u, v) = ((along.0 + along.1) / 2.0, (off.0 + off.1) / 2.0);
    let centre = [0, 1].map(|it| u * axis[it] + v * across[it]);
    fits.then(|| oblong(centre, axis, (size.0 / 2.0, size.1 / 2.0)))
}

/// The median colour about a place, as L*, a and b.
fn tapped(small: &Small, [x, y]: [f64; 2]) -> [f64; 3] {
    let near = || (-2..=2).map(|off| TAPPED * f64::from(off) / 2.0);
    let colours: Vec<[f64; 3]> = near()
        .flat_map(|dy| near().map(move |dx| (dx, dy)))
        .map(|(dx, dy)| lab(small.at(x + dx, y + dy).1))
        .collect();
    [0, 1, 2].map(|it| {
        let mut values: Vec<f64> = colours.iter().map(|colour| colour[it]).collect();
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    })
}

/// What is light about a place, within some swatches of this size: its paper.
fn paper_about(small: &Small, [x, y]: [f64; 2], size: f64) -> [f64; 3] {
    let near = || (-8..=8).map(|off| size * f64::from(off) / 4.0);
    let mut colours: Vec<[f64; 3]> = near()
        .flat_map(|dy| near().map(move |dx| [x + dx, y + dy]))
        .filter(|&at| small.holds(at))
        .map(|at| small.at(at[0], at[1]).1)
        .collect();
    colours.sort_by(|a, b| a[1].total_cmp(&b[1]));
    colours[colours.len() * 9 / 10]
}

fn oblong(centre: [f64; 2], axis: [f64; 2], half: (f64, f64)) -> Quad {
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(along, across)| {
        let (u, v) = (along * half.0, across * half.1);
        [centre[0] + u * axis[0] - v * axis[1], centre[1] + u * axis[1] + v * axis[0]]
    })
}

pub(super) fn middle(quad: Quad) -> [f64; 2] {
    [0, 1].map(|axis| quad.iter().map(|corner| corner[axis]).sum::<f64>() / 4.0)
}

/// Twice its area would be the cross product of its diagonals.
fn area(quad: &Quad) -> f64 {
    let (a, b) = (sub(quad[2], quad[0]), sub(quad[3], quad[1]));
    (a[0] * b[1] - a[1] * b[0]).abs() / 2.0
}

fn far(a: [f64; 2], b: [f64; 2]) -> f64 {
    libm::hypot(a[0] - b[0], a[1] - b[1])
}

#[cfg(test)]
mod tests;
