//! Along a strip: its colour against the paper beside it, and where one step ends.

use super::Small;
use super::blobs::{Painted, dot, seen_apart, sub};
use super::chain::Chain;
use super::ground::Ground;
use super::swatch::Swatch;
use crate::colour::lab;

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
    /// L*, a and b against bare paper.
    lab: [f64; 3],
    /// Which part of its middle is painted.
    covered: f64,
}

/// The middle that is looked at: this part of its breadth.
const READ_ACROSS: f64 = 0.5;

/// A place is painted where at least this part of its middle is.
const COVERED: f64 = 0.5;

/// Tones are compared over stretches of this part of the breadth to both sides of a place, from this far away, so that
/// a dark edge between two steps decides nothing.
const STRETCH: f64 = 0.16;
const SKIPPED: f64 = 0.06;

/// A difference from which there is an edge, in CIE94's ΔE: what an eye sees side by side; and how many times what the
/// profile does by itself.
const EDGE: f64 = 1.2;
const ROUGH: f64 = 4.0;

/// Neighbours without a gap between them that differ by less, in CIE94's ΔE of their middles, are one step.
const SAME: f64 = 1.8;

/// A strip is at least so many pixels of the small picture broad: less is an edge or a line.
const NARROWEST: f64 = 10.0;

/// A step is at least this part of what is usual in its strip long.
const SLIVER: f64 = 0.5;

/// And at least this part of the breadth.
const SHORTEST: f64 = 0.2;

impl Profile {
    /// None where it is no strip after all.
    pub(super) fn along(chain: &Chain, small: &Small, ground: &Ground, painted: &Painted) -> Option<Self> {
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
        profile.places =
            (0..bins.len()).map(|at| profile.place(at as f64 + from, small, ground, painted)).collect();
        Some(profile)
    }

    /// Breadth in its middle, in pixels of the small picture.
    pub(super) fn width(&self) -> f64 {
        2.0 * self.half_at(self.from + self.places.len() as f64 / 2.0)
    }

    /// Its steps, in their order along it.
    pub(super) fn swatches(&self, small: &Small) -> Vec<Swatch> {
        let breadth = self.width();
        let shortest = (SHORTEST * breadth).max(3.0) as usize;
        let mut steps = Vec::new();
        for (from, to) in self.runs(shortest) {
            let mut cuts = vec![from];
            cuts.extend(self.edges(from, to, shortest));
            cuts.push(to);
            self.join(&mut cuts, small);
            steps.extend(cuts.windows(2).map(|pair| (pair[0], pair[1])));
        }
        self.without_slivers(&mut steps);
        steps.into_iter().map(|(from, to)| self.swatch(from, to)).collect()
    }

    /// Takes away what is much shorter than most steps: a gap that is half seen, or the dark edge or bead of a step.
    fn without_slivers(&self, steps: &mut Vec<(usize, usize)>) {
        loop {
            let length = |step: &(usize, usize)| (step.1 - step.0) as f64;
            let mut lengths: Vec<f64> = steps.iter().map(length).collect();
            lengths.sort_by(f64::total_cmp);
            let Some(&usual) = lengths.get(lengths.len() * 2 / 3) else { return };
            let Some(at) = (0..steps.len()).min_by(|&a, &b| length(&steps[a]).total_cmp(&length(&steps[b])))
            else {
                return;
            };
            if length(&steps[at]) >= SLIVER * usual {
                return;
            }
            let (from, to) = steps.remove(at);
            let depth = |&(from, to): &(usize, usize)| 100.0 - self.median(from..to)[0];
            let own = depth(&(from, to));
            let before = at.checked_sub(1).filter(|&before| steps[before].1 == from);
            let after = Some(at).filter(|&after| steps.get(after).is_some_and(|step| step.0 == to));
            let sides: Vec<usize> = [before, after].into_iter().flatten().collect();
            // A gap is lighter than what lies about it, and belongs to neither.
            if sides.len() == 2 && sides.iter().all(|&side| depth(&steps[side]) > own) {
                continue;
            }
            let alike = |&side: &usize| (depth(&steps[side]) - own).abs();
            if let Some(side) = sides.into_iter().min_by(|a, b| alike(a).total_cmp(&alike(b))) {
                let step = &mut steps[side];
                *step = (step.0.min(from), step.1.max(to));
            }
        }
    }

    /// Takes cuts away between parts that are alike against the paper beside each: rough washes have edges of their own,
    /// and so have shadows.
    fn join(&self, cuts: &mut Vec<usize>, small: &Small) {
        loop {
            let tones: Vec<Option<[f64; 3]>> = cuts
                .windows(2)
                .map(|pair| self.swatch(pair[0], pair[1]).read(small, &[], 100.0).map(|tone| tone.lab))
                .collect();
            let apart = tones.windows(2).map(|pair| match (pair[0], pair[1]) {
                (Some(one), Some(other)) => seen_apart(one, other),
                _ => f64::INFINITY,
            });
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
            seen_apart(a, b)
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

    fn swatch(&self, from: usize, to: usize) -> Swatch {
        let (start, end) = (self.from + from as f64 - 0.5, self.from + to as f64 - 0.5);
        let quad =
            [self.point(start, -1.0), self.point(end, -1.0), self.point(end, 1.0), self.point(start, 1.0)];
        Swatch::of(quad, self.axis)
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

    fn place(&self, along: f64, small: &Small, ground: &Ground, painted: &Painted) -> Place {
        let half = self.half_at(along);
        let count = (READ_ACROSS * 2.0 * half).ceil().max(3.0) as usize;
        let (mut middle, mut covered) = ([0.0; 3], 0.0);
        for at in 0..count {
            let off = READ_ACROSS * (2.0 * (at as f64 + 0.5) / count as f64 - 1.0);
            let [x, y] = self.point(along, off);
            let (index, rgb) = small.at(x, y);
            for channel in 0..3 {
                middle[channel] += rgb[channel] / count as f64;
            }
            covered += f64::from(u8::from(painted.away[index] > painted.threshold)) / count as f64;
        }
        let [x, y] = self.point(along, 0.0);
        let bare = ground.at(x, y);
        Place { lab: lab([0, 1, 2].map(|channel| middle[channel] / bare[channel])), covered }
    }
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
