//! A swatch: its place, and how its middle is read against the paper beside it.

use super::Small;
use super::blobs::{dot, sub};
use super::by_hand::Quad;
use super::cast::Cast;
use crate::colour::lab;
use crate::y_from_lightness;

/// A swatch in the small picture. Across it, -1 to 1 from side to side; along its strip, -1 to 1 from end to end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Swatch {
    /// At (-1, -1), (1, -1), (1, 1), (-1, 1), along first.
    corners: Quad,
}

/// What was read of a swatch.
pub(super) struct Tone {
    /// L*, a and b against the paper beside it.
    pub(super) lab: [f64; 3],
    /// Standard deviation of its L* as a mean of places that are not quite alike.
    pub(super) error: f64,
    /// Linear light of its middle, and of the paper beside it, in the mean.
    pub(super) seen: [f64; 3],
    pub(super) beside: [f64; 3],
    /// Whether part of it shines.
    pub(super) shines: bool,
    /// Of the swatch, in pixels of the small picture.
    pub(super) breadth: f64,
    /// The paper on both sides of it, from its start to its end: place and luminance.
    pub(super) papers: [Vec<([f64; 2], f64)>; 2],
}

/// The paper on one side, from its start to its end: places, and linear light, or how it is off the light that falls there.
type Papers = Vec<([f64; 2], [f64; 3])>;

/// The middle that is read: this part across, and along. Beads and dark edges lie outside.
const READ: f64 = 0.6;

/// Of the middle that half counts which lies closest together by luminance. It may lie off the half about the median by
/// this part of the way to the end, and only where it lies so much closer together than that one: grains are alike on
/// both sides, a bloom is on one.
const AWRY: f64 = 0.5;
const TIGHTER: f64 = 0.7;

/// No more places than so many are read each way: a mean of a thousand is sure enough.
const PLACES: usize = 32;

/// Places are compared in so many parts each way.
const PARTS: usize = 3;

/// Paper beside is looked at from here to there in halves of the swatch's breadth, at so many places: beyond a ragged
/// edge, and near enough to lie in the same light.
pub(super) const BESIDE: (f64, f64) = (1.2, 1.9);
pub(super) const OFFS: usize = 8;

/// And at so many places along.
const STATIONS: usize = 9;

/// The percentile of what lies beside that is surely paper, and the part of its light below which there is a pencil's
/// line, a number, or another's paint: paper's own noise is less.
const LIGHT: usize = 85;
const PENCILLED: f64 = 0.92;

/// Fewer pixels than this show no paper.
const FEWEST: usize = 6;

/// One side is no paper where it is this much darker than the other, or where it is darker and tinted by so much in
/// natural logarithms: shadows take less, and hardly tint.
const DARKER: f64 = 0.45;
const TINTED: f64 = 0.06;

/// A place is a gloss where it is this many times as light as the rest, and in each channel by this part of paper: a
/// lamp's light comes on top, where thinner paint lets more through of what was there.
const SHINES: f64 = 1.35;
const BY: f64 = 0.2;

/// And a swatch shines where this part of its places does.
const SHINING: f64 = 0.05;

impl Swatch {
    /// One whose strip runs along `axis`.
    pub(super) fn of(mut corners: Quad, axis: [f64; 2]) -> Self {
        // The sides that run along the strip come first and third.
        let side = |from: usize| sub(corners[(from + 1) % 4], corners[from]);
        let along = |from: usize| (dot(side(from), axis) - dot(side(from + 2), axis)).abs();
        if along(1) > along(0) {
            corners.rotate_left(1);
        }
        if dot(sub(corners[1], corners[0]), axis) < 0.0 {
            corners.rotate_left(2);
        }
        Self { corners }
    }

    pub(super) fn corners(&self) -> Quad {
        self.corners
    }

    /// A place of it, and beyond it.
    pub(super) fn point(&self, along: f64, across: f64) -> [f64; 2] {
        let weights = [
            (1.0 - along) * (1.0 - across),
            (1.0 + along) * (1.0 - across),
            (1.0 + along) * (1.0 + across),
            (1.0 - along) * (1.0 + across),
        ];
        [0, 1].map(|axis| (0..4).map(|at| weights[at] * self.corners[at][axis]).sum::<f64>() / 4.0)
    }

    /// Corners of what is looked at: it, and the paper on both sides of it.
    pub(super) fn beside(&self) -> [[f64; 2]; 4] {
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(along, across)| self.point(along, across * BESIDE.1))
    }

    pub(super) fn centre(&self) -> [f64; 2] {
        self.point(0.0, 0.0)
    }

    /// Length along its strip, and breadth across.
    pub(super) fn size(&self) -> (f64, f64) {
        let length = |[x, y]: [f64; 2]| libm::hypot(x, y);
        (
            length(sub(self.point(1.0, 0.0), self.point(-1.0, 0.0))),
            length(sub(self.point(0.0, 1.0), self.point(0.0, -1.0))),
        )
    }

    /// Whether a place lies in it, or on its edge.
    pub(super) fn holds(&self, at: [f64; 2]) -> bool {
        let sides = (0..4).map(|from| {
            let (edge, to) =
                (sub(self.corners[(from + 1) % 4], self.corners[from]), sub(at, self.corners[from]));
            edge[0] * to[1] - edge[1] * to[0]
        });
        let (least, most) =
            sides.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), it| (a.min(it), b.max(it)));
        least >= 0.0 || most <= 0.0
    }

    /// Reads it against paper of this L*, which is none of `all` swatches; none where it lies outside the picture, or
    /// nothing lies beside it.
    pub(super) fn read(&self, small: &Small, light: Option<&Cast>, all: &[Self], paper: f64) -> Option<Tone> {
        let cast = |at: [f64; 2]| light.map_or([1.0; 3], |light| light.at(at[0], at[1]));
        let [left, right] = self.papers(small, &cast, all)?;
        let (length, breadth) = self.size();
        let places = |side: f64| ((READ * side).ceil() as usize).clamp(PARTS, PLACES);
        let (columns, rows) = (places(length), places(breadth));
        let mut ratios = Vec::with_capacity(columns * rows);
        for column in 0..columns {
            let along = READ * middle(column, columns);
            let station = ((along + 1.0) / 2.0 * STATIONS as f64) as usize;
            let (left, right) = (left[station].1, right[station].1);
            for row in 0..rows {
                let across = READ * middle(row, rows);
                let at = self.point(along, across);
                if !small.holds(at) {
                    return None;
                }
                let rgb = small.at(at[0], at[1]).1;
                let to_right = 0.5 + across / (BESIDE.0 + BESIDE.1);
                let part = column * PARTS / columns * PARTS + row * PARTS / rows;
                let off = [0, 1, 2].map(|it| left[it] * (1.0 - to_right) + right[it] * to_right);
                let bare = product(off, cast(at));
                ratios.push((part, [0, 1, 2].map(|it| rgb[it] / bare[it])));
            }
        }
        let parts: Vec<f64> = (0..PARTS * PARTS)
            .map(|part| ratios.iter().filter(|it| it.0 == part).map(|it| it.1).collect::<Vec<_>>())
            .map(|part| lab(core_mean(part).map(|it| it * y_from_lightness(paper)))[0])
            .collect();
        let mean = parts.iter().sum::<f64>() / parts.len() as f64;
        let variance =
            parts.iter().map(|part| (part - mean) * (part - mean)).sum::<f64>() / (parts.len() - 1) as f64;
        let ratios: Vec<[f64; 3]> = ratios.into_iter().map(|it| it.1).collect();
        let tone = core_mean(ratios.clone());
        let is_glossy = |it: &&[f64; 3]| {
            luminance(**it) > SHINES * luminance(tone)
                && (0..3).all(|channel| it[channel] > tone[channel] + BY)
        };
        let glossy = ratios.iter().filter(is_glossy).count();
        let papers = [left, right].map(|side| -> Papers {
            let lit = |(at, off): ([f64; 2], [f64; 3])| (at, product(off, cast(at)));
            side.into_iter().map(lit).collect()
        });
        let both = || papers.iter().flatten().map(|it| it.1);
        let beside = [0, 1, 2].map(|it| both().map(|rgb| rgb[it]).sum::<f64>() / (2 * STATIONS) as f64);
        Some(Tone {
            lab: lab(tone.map(|it| it * y_from_lightness(paper))),
            error: libm::sqrt(variance / parts.len() as f64),
            seen: [0, 1, 2].map(|it| tone[it] * beside[it]),
            beside,
            breadth,
            shines: glossy as f64 > SHINING * ratios.len() as f64,
            papers: papers.map(|side| side.into_iter().map(|(at, rgb)| (at, luminance(rgb))).collect()),
        })
    }

    /// The paper on both sides, from its start to its end; at its ends where its sides have none.
    fn papers(
        &self,
        small: &Small,
        cast: &dyn Fn([f64; 2]) -> [f64; 3],
        all: &[Self],
    ) -> Option<[Papers; 2]> {
        let sides = [-1.0, 1.0].map(|side| self.side(side, small, cast, all));
        let sides = match sides {
            [None, None] => {
                let mut turned = *self;
                turned.corners.rotate_left(1);
                // Its ends are no sides: all of the paper there counts as one.
                let ends: Vec<_> =
                    [-1.0, 1.0].iter().filter_map(|&end| turned.side(end, small, cast, all)).collect();
                let all: Vec<_> = ends.into_iter().flatten().collect();
                let mean = average(&all)?;
                [Some(vec![(self.centre(), mean); STATIONS]), None]
            }
            sides => sides,
        };
        Some(match sides {
            [Some(left), Some(right)] => {
                let [l, r] = [&left, &right].map(|side| average(side).unwrap_or([1.0; 3]));
                match (is_beside(l, r), is_beside(r, l)) {
                    (true, false) => [left.clone(), left],
                    (false, true) => [right.clone(), right],
                    _ => [left, right],
                }
            }
            [Some(only), None] | [None, Some(only)] => [only.clone(), only],
            [None, None] => return None,
        })
    }

    /// The paper on one side at each station; none where there is none.
    fn side(
        &self,
        side: f64,
        small: &Small,
        cast: &dyn Fn([f64; 2]) -> [f64; 3],
        all: &[Self],
    ) -> Option<Papers> {
        let near = |along: f64| {
            (0..OFFS).filter_map(move |off| {
                let off = BESIDE.0 + (BESIDE.1 - BESIDE.0) * off as f64 / (OFFS - 1) as f64;
                let at = self.point(along, side * off);
                (small.holds(at) && !all.iter().any(|other| other.holds(at))).then(|| {
                    let (rgb, cast) = (small.at(at[0], at[1]).1, cast(at));
                    [0, 1, 2].map(|it| rgb[it] / cast[it])
                })
            })
        };
        let seen: Vec<Vec<[f64; 3]>> =
            (0..STATIONS).map(|station| near(middle(station, STATIONS)).collect()).collect();
        let told: Vec<Option<[f64; 3]>> = (0..STATIONS)
            .map(|station| {
                let stations = station.saturating_sub(1)..(station + 2).min(STATIONS);
                let pixels: Vec<[f64; 3]> = seen[stations].iter().flatten().copied().collect();
                (pixels.len() >= FEWEST).then(|| paper_of(pixels))
            })
            .collect();
        let nearest = |station: usize| {
            let known = (0..STATIONS).filter(|&at| told[at].is_some());
            known.min_by_key(|at| at.abs_diff(station)).and_then(|at| told[at])
        };
        let beyond = side * (BESIDE.0 + BESIDE.1) / 2.0;
        (0..STATIONS)
            .map(|station| Some((self.point(middle(station, STATIONS), beyond), nearest(station)?)))
            .collect()
    }
}

pub(super) fn luminance([r, g, b]: [f64; 3]) -> f64 {
    // IEC 61966-2-1.
    0.212_639 * r + 0.715_169 * g + 0.072_192 * b
}

fn product(one: [f64; 3], other: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|it| one[it] * other[it])
}

/// The middle of one of so many even parts of -1 to 1.
fn middle(at: usize, count: usize) -> f64 {
    (2.0 * at as f64 + 1.0) / count as f64 - 1.0
}

/// The mean of the half by luminance that lies closest together, about the middle: beads, dark edges and backruns that
/// fill less than a third don't count.
fn core_mean(mut pixels: Vec<[f64; 3]>) -> [f64; 3] {
    pixels.sort_by(|a, b| luminance(*a).total_cmp(&luminance(*b)));
    let half = pixels.len().div_ceil(2);
    let most = pixels.len() - half;
    let spread = |from: usize| luminance(pixels[from + half - 1]) - luminance(pixels[from]);
    let middle = most / 2;
    let by = (AWRY * most as f64) as usize;
    let tight =
        (middle - by..=middle + by).min_by(|&a, &b| spread(a).total_cmp(&spread(b))).unwrap_or(middle);
    let from = if spread(tight) < TIGHTER * spread(middle) { tight } else { middle };
    let core = &pixels[from..from + half];
    [0, 1, 2].map(|it| core.iter().map(|rgb| rgb[it]).sum::<f64>() / core.len() as f64)
}

/// Whether one side may be paper where the other is.
fn is_beside(one: [f64; 3], other: [f64; 3]) -> bool {
    let off = [0, 1, 2].map(|channel| libm::log(one[channel] / other[channel]));
    let mean = (off[0] + off[1] + off[2]) / 3.0;
    mean >= 0.0 || mean > libm::log(DARKER) && off.iter().all(|channel| (channel - mean).abs() < TINTED)
}

/// The mean of what is not darker than the light pixels by more than pencil and paint are.
fn paper_of(mut pixels: Vec<[f64; 3]>) -> [f64; 3] {
    pixels.sort_by(|a, b| luminance(*a).total_cmp(&luminance(*b)));
    let light = luminance(pixels[pixels.len() * LIGHT / 100]);
    pixels.retain(|&pixel| luminance(pixel) >= PENCILLED * light);
    [0, 1, 2]
        .map(|it| pixels.iter().map(|rgb| rgb[it]).sum::<f64>() / pixels.len() as f64)
        .map(|it| it.max(1e-5))
}

fn average(side: &[([f64; 2], [f64; 3])]) -> Option<[f64; 3]> {
    let count = side.len() as f64;
    (!side.is_empty()).then(|| [0, 1, 2].map(|it| side.iter().map(|at| at.1[it]).sum::<f64>() / count))
}
