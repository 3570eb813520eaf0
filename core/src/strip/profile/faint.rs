//! The palest wash of a strip, which a look at single pixels takes for paper: it is looked for beyond the strip's light
//! end, where all of its breadth together is told from the paper beside it.

use super::Profile;
use crate::strip::Small;
use crate::strip::cast::Cast;
use crate::strip::swatch::{BESIDE, OFFS};
use std::ops::Range;

/// So far beyond the end it may begin, in breadths; and it is at most and at least so many of the strip's usual steps
/// long.
const APART: f64 = 0.6;
const LONGEST: f64 = 1.5;
const SHORTEST: f64 = 0.55;

/// How much light it takes, in natural logarithms over all channels: an L* of .6 below paper's, which is more than
/// cockling leaves between paper on both sides and the place between.
const TAKES: f64 = 0.02;

/// And less than the step before it, by this part at most.
const PALER: f64 = 0.95;

/// How nearly it takes the channels that the step before it takes (a cosine); a wash takes them in nearly the same parts.
const SAME_PAINT: f64 = 0.85;

/// Places are seen together over this part of a step.
const TOGETHER: f64 = 0.2;

impl Profile {
    /// The wash beyond the end at which the steps are lighter, from and to, if there is one.
    pub(super) fn faint(&self, steps: &[(usize, usize)], small: &Small, light: &Cast) -> Option<Range<f64>> {
        let (first, last) = (steps.first()?, steps.last()?);
        let tone = |step: &(usize, usize)| self.median(step.0..step.1)[0];
        let (end, onward, step) = match tone(first) > tone(last) {
            true => (self.from + first.0 as f64 - 0.5, -1.0, first),
            false => (self.from + last.1 as f64 - 0.5, 1.0, last),
        };
        let mut lengths: Vec<usize> = steps.iter().map(|step| step.1 - step.0).collect();
        lengths.sort_unstable();
        let usual = lengths[lengths.len() / 2] as f64;
        let inside = (step.0..step.1)
            .filter_map(|at| self.taken(self.from + at as f64, small, light))
            .collect::<Vec<_>>();
        let before = mean(&inside)?;
        let along = |taken: &[f64; 3]| (0..3).map(|it| taken[it] * before[it]).sum::<f64>() / norm(before);

        let window = ((TOGETHER * usual) as usize).max(2);
        let furthest = (APART * self.width() + LONGEST * usual) as usize;
        let beyond: Vec<[f64; 3]> = (0..furthest + window)
            .map_while(|at| self.taken(end + onward * (at as f64 + 0.5), small, light))
            .collect();
        let seen: Vec<[f64; 3]> = beyond.windows(window).filter_map(mean).collect();
        let much: Vec<f64> = seen.iter().map(along).collect();

        // The first windows still see the edge of the step before.
        let past =
            |&at: &usize| much[at] < TAKES / 2.0 || much.get(at + 1).is_some_and(|next| *next > much[at]);
        let begin = (0..much.len()).find(past)?;
        let most = (begin..much.len()).max_by(|&a, &b| much[a].total_cmp(&much[b]))?;
        let is_bare = |at: &usize| much[*at] < much[most] / 2.0;
        let from = (begin..most).rev().find(is_bare).map_or(begin, |at| at + 1);
        let to = (most..much.len()).find(is_bare)?;
        let middle = mean(&seen[from..to])?;
        let is_step = (SHORTEST * usual..=LONGEST * usual).contains(&((to - from) as f64));
        let is_paler = along(&middle) >= TAKES && much[most] <= PALER * norm(before);
        let place = |at: usize| end + onward * (at as f64 + window as f64 / 2.0);
        let (one, other) = (place(from), place(to));
        (is_step && is_paler && along(&middle) >= SAME_PAINT * norm(middle))
            .then(|| one.min(other)..one.max(other))
    }

    /// How much light a place along takes, in natural logarithms of each channel, against the paper on both sides of it;
    /// none where these lie outside the picture.
    fn taken(&self, along: f64, small: &Small, light: &Cast) -> Option<[f64; 3]> {
        let median = |offs: &[f64]| -> Option<[f64; 3]> {
            let mut logs = [0, 1, 2].map(|_| Vec::with_capacity(offs.len()));
            for &off in offs {
                let at = self.point(along, off);
                if !small.holds(at) {
                    return None;
                }
                let (rgb, cast) = (small.at(at[0], at[1]).1, light.at(at[0], at[1]));
                (0..3).for_each(|it| logs[it].push(libm::log(rgb[it].max(1e-5) / cast[it])));
            }
            Some(logs.map(|mut channel| {
                channel.sort_by(f64::total_cmp);
                channel[channel.len() / 2]
            }))
        };
        let count = (super::READ_ACROSS * 2.0 * self.half_at(along)).ceil().max(3.0) as usize;
        let inner: Vec<f64> = (0..count)
            .map(|at| super::READ_ACROSS * (2.0 * (at as f64 + 0.5) / count as f64 - 1.0))
            .collect();
        let side = |sign: f64| -> Vec<f64> {
            let step = (BESIDE.1 - BESIDE.0) / (OFFS - 1) as f64;
            (0..OFFS).map(|at| sign * (BESIDE.0 + step * at as f64)).collect()
        };
        let (middle, left, right) = (median(&inner)?, median(&side(-1.0))?, median(&side(1.0))?);
        Some([0, 1, 2].map(|it| (left[it] + right[it]) / 2.0 - middle[it]))
    }
}

fn mean(of: &[[f64; 3]]) -> Option<[f64; 3]> {
    let count = of.len() as f64;
    (!of.is_empty()).then(|| [0, 1, 2].map(|it| of.iter().map(|taken| taken[it]).sum::<f64>() / count))
}

fn norm([a, b, c]: [f64; 3]) -> f64 {
    libm::sqrt(a * a + b * b + c * c).max(1e-9)
}
