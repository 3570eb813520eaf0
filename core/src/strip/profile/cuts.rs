//! Where one step of a strip ends and the next begins.

use super::Profile;
use crate::strip::Small;
use crate::strip::blobs::seen_apart;
use crate::strip::ground::Ground;
use crate::strip::swatch::Swatch;
use std::ops::Range;

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

/// A step is at least this part of what is usual in its strip long.
const SLIVER: f64 = 0.5;

/// And at least this part of the breadth.
const SHORTEST: f64 = 0.2;

/// Two parts are one step that a bloom has cut where each is shorter than this part of a usual step, both together are
/// no longer than this, and they differ by less than this part of what neighbours do.
const SHORT: f64 = 0.8;
const ONE_STEP: f64 = 1.3;
const MORE_ALIKE: f64 = 0.6;

impl Profile {
    /// Its steps, in their order along it.
    pub(in crate::strip) fn swatches(&self, small: &Small, ground: &Ground) -> Vec<Swatch> {
        let breadth = self.width();
        let shortest = (SHORTEST * breadth).max(3.0) as usize;
        let mut steps = Vec::new();
        for (from, to) in self.runs(shortest) {
            let mut cuts = vec![from];
            cuts.extend(self.edges(from, to, shortest));
            cuts.push(to);
            self.join(&mut cuts, small, ground);
            self.settle(&mut cuts);
            steps.extend(cuts.windows(2).map(|pair| (pair[0], pair[1])));
        }
        self.without_slivers(&mut steps);
        self.rejoin(&mut steps);
        let mut swatches: Vec<Swatch> = steps.iter().map(|&(from, to)| self.swatch(from, to)).collect();
        if let Some(faint) = self.faint(&steps, small, &ground.light) {
            let at = if faint.start < self.from + steps[0].0 as f64 { 0 } else { swatches.len() };
            swatches.insert(at, self.between(faint.start, faint.end));
        }
        swatches
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
        let mut peaks = Vec::new();
        for (at, &size) in changes.iter().enumerate() {
            let near = at.saturating_sub(shortest)..(at + shortest + 1).min(changes.len());
            let inside = at >= shortest && at + shortest <= changes.len();
            let is_peak = changes[near.clone()].iter().all(|&other| other <= size);
            let is_first = !changes[near.start..at].contains(&size);
            if inside && size >= least && is_peak && is_first {
                peaks.push(from + at);
            }
        }
        peaks
    }

    /// Takes cuts away between parts that are alike against the paper beside each: rough washes have edges of their own,
    /// and so have shadows.
    fn join(&self, cuts: &mut Vec<usize>, small: &Small, ground: &Ground) {
        loop {
            let tones: Vec<Option<[f64; 3]>> = cuts
                .windows(2)
                .map(|pair| {
                    self.swatch(pair[0], pair[1])
                        .read(small, Some(&ground.light), &[], 100.0)
                        .map(|tone| tone.lab)
                })
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

    /// Moves each cut to where the parts on both sides of it are most alike in themselves.
    fn settle(&self, cuts: &mut [usize]) {
        for _ in 0..2 {
            for at in 1..cuts.len().saturating_sub(1) {
                let (from, to) = ((cuts[at - 1] + cuts[at]).div_ceil(2), (cuts[at] + cuts[at + 1]) / 2);
                let within = |cut: usize| self.scatter(from..cut) + self.scatter(cut..to);
                if let Some(best) =
                    (from + 2..to.saturating_sub(1)).min_by(|&a, &b| within(a).total_cmp(&within(b)))
                {
                    cuts[at] = best;
                }
            }
        }
    }

    /// Squares of what places are off their mean, in all.
    fn scatter(&self, places: Range<usize>) -> f64 {
        let count = places.len().max(1) as f64;
        let mut sums = [[0.0; 2]; 3];
        for place in &self.places[places] {
            for (sum, value) in sums.iter_mut().zip(place.lab) {
                *sum = [sum[0] + value, sum[1] + value * value];
            }
        }
        sums.iter().map(|[sum, squares]| squares - sum * sum / count).sum()
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

    /// Puts together what a bloom has cut: two parts without a gap, both short, that are one usual step together and are
    /// more alike than steps are.
    fn rejoin(&self, steps: &mut Vec<(usize, usize)>) {
        loop {
            let mut lengths: Vec<usize> = steps.iter().map(|step| step.1 - step.0).collect();
            lengths.sort_unstable();
            let Some(&usual) = lengths.get(lengths.len() * 2 / 3) else { return };
            let tones: Vec<[f64; 3]> = steps.iter().map(|step| self.median(step.0..step.1)).collect();
            let apart: Vec<f64> = tones.windows(2).map(|pair| seen_apart(pair[0], pair[1])).collect();
            let mut sorted = apart.clone();
            sorted.sort_by(f64::total_cmp);
            let Some(&typical) = sorted.get(sorted.len() / 2) else { return };
            let is_cut = |&at: &usize| {
                let (one, other) = (steps[at], steps[at + 1]);
                let length = |step: (usize, usize)| (step.1 - step.0) as f64 / usual as f64;
                one.1 == other.0
                    && length(one).max(length(other)) < SHORT
                    && length((one.0, other.1)) < ONE_STEP
                    && apart[at] < MORE_ALIKE * typical
            };
            let Some(at) = (0..apart.len()).find(is_cut) else { return };
            steps[at].1 = steps.remove(at + 1).1;
        }
    }
}
