//! Along a strip: its colour against the paper beside it, and where one step ends.

use super::Small;
use super::blobs::{Painted, dot, lab, sub};
use super::chain::Chain;
use super::ground::Ground;
use crate::y_from_lightness;

/// A strip from end to end, one place a pixel of the small picture.
pub(super) struct Profile {
    centre: [f64; 2],
    axis: [f64; 2],
    /// The first place along the axis.
    from: f64,
    /// Its middle line and half of its breadth, as straight lines along the axis: value at 0, and slope.
    middle: (f64, f64),
    half: (f64, f64),
    places: Vec<Place>,
}

/// One place along a strip.
struct Place {
    /// L*, a and b against the paper beside it.
    lab: [f64; 3],
    /// Which part of its middle is painted.
    covered: f64,
    /// Luminance of the paper beside it, against paper as it would be there.
    beside: f64,
    /// The lightest pixel there against the middle one, in luminance.
    shine: f64,
}

/// A step.
pub(super) struct Segment {
    pub(super) quad: [[f64; 2]; 4],
    pub(super) centre: [f64; 2],
    pub(super) lightness: f64,
    pub(super) chroma: f64,
    pub(super) hue: f64,
    pub(super) shines: bool,
}

/// The middle of a swatch that is read: this part of its breadth, and of its length.
const READ_ACROSS: f64 = 0.5;
const READ_ALONG: f64 = 0.6;

/// Paper beside is looked at from here to there, in halves of the strip's breadth.
const BESIDE: (f64, f64) = (1.35, 1.9);

/// A place is painted where at least this part of its middle is.
const COVERED: f64 = 0.5;

/// Tones are compared over stretches of this part of the breadth to both sides of a place, from this far away, so that
/// a dark edge between two steps decides nothing.
const STRETCH: f64 = 0.16;
const SKIPPED: f64 = 0.06;

/// A difference from which there is an edge, in ΔE*ab: what an eye sees side by side; and how many times what the
/// profile does by itself.
const EDGE: f64 = 1.2;
const ROUGH: f64 = 4.0;

/// Neighbours without a gap between them that differ by less, in ΔE*ab of their middles, are one step.
const SAME: f64 = 1.8;

/// A strip is at least so many pixels of the small picture broad: less is an edge or a line.
const NARROWEST: f64 = 10.0;

/// A step is at least this part of the breadth long.
const SHORTEST: f64 = 0.2;

/// A pixel this many times as light as the middle one shines.
const SHINES: f64 = 1.35;

impl Profile {
    /// None where it is no strip after all.
    pub(super) fn along(
        chain: &Chain,
        small: &Small,
        ground: &Ground,
        painted: &Painted,
        paper: f64,
    ) -> Option<Self> {
        let (centre, axis) = (chain.centre, chain.axis);
        let across = [-axis[1], axis[0]];
        let placed: Vec<(f64, f64)> = chain
            .pixels
            .iter()
            .map(|&at| (dot(sub(at, centre), axis), dot(sub(at, centre), across)))
            .collect();
        let from = placed.iter().map(|at| at.0).fold(f64::INFINITY, f64::min).floor();
        let to = placed.iter().map(|at| at.0).fold(f64::NEG_INFINITY, f64::max).ceil();
        let mut bins: Vec<Vec<f64>> = vec![Vec::new(); (to - from) as usize + 1];
        for (along, off) in placed {
            bins[(along - from).round() as usize].push(off);
        }
        let mut edges = Vec::new();
        for (at, bin) in bins.iter_mut().enumerate().filter(|(_, bin)| bin.len() >= 4) {
            bin.sort_by(f64::total_cmp);
            let (low, high) = (bin[bin.len() / 25], bin[bin.len() - 1 - bin.len() / 25]);
            edges.push((from + at as f64, (low + high) / 2.0, (high - low) / 2.0));
        }
        let middle = straight(edges.iter().map(|edge| (edge.0, edge.1)).collect())?;
        let half = straight(edges.iter().map(|edge| (edge.0, edge.2)).collect())?;
        let mut profile = Self { centre, axis, from, middle, half, places: Vec::new() };
        if [from, to].iter().any(|&end| profile.half_at(end) < NARROWEST / 2.0) {
            return None;
        }
        profile.places = (0..bins.len())
            .map(|at| profile.place(at as f64 + from, small, ground, painted, paper))
            .collect();
        Some(profile)
    }

    /// Breadth in its middle, in pixels of the small picture.
    pub(super) fn width(&self) -> f64 {
        2.0 * self.half_at(self.from + self.places.len() as f64 / 2.0)
    }

    /// A spot of paper beside its middle.
    pub(super) fn paper_spot(&self) -> [f64; 2] {
        let along = self.from + self.places.len() as f64 / 2.0;
        self.point(along, (BESIDE.0 + BESIDE.1) / 2.0)
    }

    /// Whether the paper beside it changes at once by more than a part.
    pub(super) fn is_shadowed(&self, part: f64) -> bool {
        let reach = (self.width() / 2.0).ceil() as usize;
        let papers: Vec<f64> = self.places.iter().map(|place| place.beside).collect();
        let (least, most) =
            papers.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), &it| (a.min(it), b.max(it)));
        papers.windows(reach.max(2)).any(|near| (near[0] / near[near.len() - 1] - 1.0).abs() > part)
            || most / least > 1.0 + 2.0 * part
    }

    /// Its steps, in their order along it.
    pub(super) fn steps(&self) -> Vec<Segment> {
        let breadth = self.width();
        let shortest = (SHORTEST * breadth).max(3.0) as usize;
        let mut steps = Vec::new();
        for (from, to) in self.runs(shortest) {
            let mut cuts = vec![from];
            cuts.extend(self.edges(from, to, shortest));
            cuts.push(to);
            self.join(&mut cuts);
            steps.extend(cuts.windows(2).map(|pair| self.segment(pair[0], pair[1])));
        }
        steps
    }

    /// Takes cuts away between parts that are alike: rough washes have edges of their own.
    fn join(&self, cuts: &mut Vec<usize>) {
        loop {
            let tones: Vec<[f64; 3]> =
                cuts.windows(2).map(|pair| self.median(read(pair[0], pair[1]))).collect();
            let apart = tones
                .windows(2)
                .map(|pair| libm::sqrt((0..3).map(|axis| (pair[0][axis] - pair[1][axis]).powi(2)).sum()));
            match apart.enumerate().min_by(|a, b| a.1.total_cmp(&b.1)) {
                Some((at, least)) if least < SAME => drop(cuts.remove(at + 1)),
                _ => return,
            }
        }
    }

    /// Stretches that are painted without a gap.
    fn runs(&self, shortest: usize) -> Vec<(usize, usize)> {
        let mut runs = Vec::new();
        let mut begun = None;
        for at in 0..=self.places.len() {
            let covered = self.places.get(at).is_some_and(|place| place.covered >= COVERED);
            match (begun, covered) {
                (None, true) => begun = Some(at),
                (Some(from), false) => {
                    runs.push((from, at));
                    begun = None;
                }
                _ => {}
            }
        }
        runs.retain(|(from, to)| to - from >= shortest);
        runs
    }

    /// Places at which the tone changes, within a painted stretch.
    fn edges(&self, from: usize, to: usize, shortest: usize) -> Vec<usize> {
        let breadth = self.width();
        let stretch = (STRETCH * breadth).max(3.0) as usize;
        let skipped = (SKIPPED * breadth).max(1.0) as usize;
        let change = |at: usize| -> f64 {
            let left = (at.saturating_sub(skipped + stretch)).max(from)..at.saturating_sub(skipped).max(from);
            let right = (at + skipped).min(to)..(at + skipped + stretch).min(to);
            if left.len() < 2 || right.len() < 2 {
                return 0.0;
            }
            let (a, b) = (self.median(left), self.median(right));
            libm::sqrt((0..3).map(|axis| (a[axis] - b[axis]).powi(2)).sum())
        };
        let changes: Vec<f64> = (from..to).map(change).collect();
        let mut sorted = changes.clone();
        sorted.sort_by(f64::total_cmp);
        let quiet = sorted.get(sorted.len() / 5).copied().unwrap_or_default();
        let least = EDGE.max(ROUGH * quiet.min(EDGE));
        let mut peaks: Vec<(f64, usize)> = Vec::new();
        for (at, &size) in changes.iter().enumerate() {
            let near = at.saturating_sub(shortest)..(at + shortest + 1).min(changes.len());
            let inside = at >= shortest && at + shortest <= changes.len();
            let is_peak = changes[near.clone()].iter().all(|&other| other <= size);
            let is_first = !changes[near.start..at].contains(&size);
            if inside && size >= least && is_peak && is_first {
                peaks.push((size, from + at + self.flat(&changes, at) / 2));
            }
        }
        peaks.into_iter().map(|peak| peak.1).collect()
    }

    /// How many places after one have the very same change: an edge lies in the middle of them.
    fn flat(&self, changes: &[f64], at: usize) -> usize {
        changes[at..].iter().take_while(|&&change| change >= 0.98 * changes[at]).count() - 1
    }

    fn median(&self, places: std::ops::Range<usize>) -> [f64; 3] {
        [0, 1, 2].map(|axis| {
            let mut values: Vec<f64> = places.clone().map(|at| self.places[at].lab[axis]).collect();
            values.sort_by(f64::total_cmp);
            values[values.len() / 2]
        })
    }

    fn segment(&self, from: usize, to: usize) -> Segment {
        let read = read(from, to);
        let [lightness, a, b] = self.median(read.clone());
        let shines = self.places[read].iter().filter(|place| place.shine > SHINES).count() * 4 > to - from;
        let (start, end) = (self.from + from as f64, self.from + to as f64 - 1.0);
        let quad =
            [self.point(start, -1.0), self.point(end, -1.0), self.point(end, 1.0), self.point(start, 1.0)];
        Segment {
            quad,
            centre: self.point((start + end) / 2.0, 0.0),
            lightness,
            chroma: libm::hypot(a, b),
            hue: libm::atan2(b, a).to_degrees().rem_euclid(360.0),
            shines,
        }
    }

    fn half_at(&self, along: f64) -> f64 {
        self.half.0 + self.half.1 * along
    }

    /// A place along the axis, and across it in halves of the breadth.
    fn point(&self, along: f64, off: f64) -> [f64; 2] {
        let across = self.middle.0 + self.middle.1 * along + off * self.half_at(along);
        [
            self.centre[0] + along * self.axis[0] - across * self.axis[1],
            self.centre[1] + along * self.axis[1] + across * self.axis[0],
        ]
    }

    fn place(&self, along: f64, small: &Small, ground: &Ground, painted: &Painted, paper: f64) -> Place {
        let half = self.half_at(along);
        let count = (READ_ACROSS * 2.0 * half).ceil().max(3.0) as usize;
        let (mut middle, mut covered, mut lights) = ([0.0; 3], 0.0, Vec::new());
        for at in 0..count {
            let off = READ_ACROSS * (2.0 * (at as f64 + 0.5) / count as f64 - 1.0);
            let [x, y] = self.point(along, off);
            let (index, rgb) = small.at(x, y);
            for channel in 0..3 {
                middle[channel] += rgb[channel] / count as f64;
            }
            covered += f64::from(u8::from(painted.away[index] > painted.threshold)) / count as f64;
            lights.push(rgb[1]);
        }
        let [x, y] = self.point(along, 0.0);
        let bare = ground.at(x, y);
        let beside = self.beside(along, small, painted).unwrap_or(bare);
        let scale = y_from_lightness(paper);
        let relative = [0, 1, 2].map(|channel| scale * middle[channel] / beside[channel]);
        lights.sort_by(f64::total_cmp);
        let shine = lights[lights.len() - 1] / lights[lights.len() / 2].max(1e-6);
        Place { lab: lab(relative), covered, beside: beside[1] / bare[1], shine }
    }

    /// The paper beside a place, on both sides, a little along it too.
    fn beside(&self, along: f64, small: &Small, painted: &Painted) -> Option<[f64; 3]> {
        let half = self.half_at(along);
        let mut sides = Vec::new();
        for side in [-1.0, 1.0] {
            let (mut sum, mut count) = ([0.0; 3], 0.0);
            for step in 0..7 {
                for off in 0..5 {
                    let off = side * (BESIDE.0 + (BESIDE.1 - BESIDE.0) * f64::from(off) / 4.0);
                    let [x, y] = self.point(along + (f64::from(step) - 3.0) / 6.0 * half, off);
                    let within = x >= 0.0 && y >= 0.0 && x < small.columns as f64 && y < small.rows as f64;
                    let (index, rgb) = small.at(x, y);
                    if within && painted.away[index] <= painted.threshold {
                        for channel in 0..3 {
                            sum[channel] += rgb[channel];
                        }
                        count += 1.0;
                    }
                }
            }
            if count >= 8.0 {
                sides.push(sum.map(|channel| channel / count));
            }
        }
        let count = sides.len() as f64;
        (!sides.is_empty())
            .then(|| [0, 1, 2].map(|channel| sides.iter().map(|side| side[channel]).sum::<f64>() / count))
    }
}

/// The middle part of a step, which is read.
fn read(from: usize, to: usize) -> std::ops::Range<usize> {
    let margin = ((1.0 - READ_ALONG) / 2.0 * (to - from) as f64) as usize;
    from + margin..(to - margin).max(from + margin + 1)
}

/// A straight line through points, by least squares, twice: the second time without what is far off.
fn straight(points: Vec<(f64, f64)>) -> Option<(f64, f64)> {
    let first = line(&points)?;
    let mut off: Vec<f64> = points.iter().map(|(x, y)| (y - first.0 - first.1 * x).abs()).collect();
    off.sort_by(f64::total_cmp);
    let far = 2.5 * off[off.len() / 2].max(0.5);
    let near: Vec<_> = points.into_iter().filter(|(x, y)| (y - first.0 - first.1 * x).abs() <= far).collect();
    line(&near)
}

fn line(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let count = points.len() as f64;
    if count < 8.0 {
        return None;
    }
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|it| it.0), mean(|it| it.1));
    let (mut up, mut along) = (0.0, 0.0);
    for it in points {
        up += (it.0 - x) * (it.1 - y);
        along += (it.0 - x) * (it.0 - x);
    }
    let slope = if along > 0.0 { up / along } else { 0.0 };
    Some((y - slope * x, slope))
}
