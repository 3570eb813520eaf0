//! What the steps of a strip tell together: how even they are, which can be told apart, and whether a shadow's edge
//! crosses them.

use super::blobs::sub;
use super::swatch::Tone;
use super::{Strip, StripStep, StripWarning};
use nalgebra::{Matrix3, Vector3};

/// Two steps under this can't be told apart: about the just noticeable 2.3 ΔE*ab, rounded down since they lie side by
/// side.
const ALIKE: f64 = 1.5;

/// Gaps, in even ones, that are told as too close and too far.
const CLOSE: f64 = 0.5;
const FAR: f64 = 1.45;

/// How far the paper beside may depart, within half of a breadth, from a light that falls off smoothly: light that
/// falls off by half over a picture changes by 2 % in such a distance.
const SUDDEN: f64 = 0.08;

/// The logarithm of how much lighter one side may be than the other: as much as light that falls off by a third over a
/// picture changes across the broadest strip.
const ONE_SIDE: f64 = 0.16;

impl Strip {
    /// How many of its steps can really be told apart by their tone: those that differ by less than what an eye tells,
    /// or than what they repeat to, count as one, wherever they lie in the strip.
    #[must_use]
    pub fn distinct(&self) -> usize {
        let mut steps: Vec<&StripStep> = self.steps.iter().collect();
        steps.sort_by(|a, b| b.lightness.total_cmp(&a.lightness));
        let mut told: Vec<&StripStep> = Vec::new();
        for step in steps {
            if told.last().is_none_or(|last| last.lightness - step.lightness >= tellable(last, step)) {
                told.push(step);
            }
        }
        told.len()
    }
}

/// How even gaps are, and which stand out.
pub(super) fn spacing(steps: &[StripStep]) -> (f64, Vec<StripWarning>) {
    let gaps: Vec<f64> = steps.windows(2).map(|pair| pair[0].lightness - pair[1].lightness).collect();
    if gaps.is_empty() {
        return (1.0, Vec::new());
    }
    let even = (steps[0].lightness - steps[steps.len() - 1].lightness) / gaps.len() as f64;
    if even <= 0.0 {
        return (0.0, vec![StripWarning::Alike(1, steps.len())]);
    }
    let off = gaps.iter().map(|gap| (gap - even).abs()).sum::<f64>() / gaps.len() as f64 / even;
    let warnings = gaps.iter().enumerate().filter_map(|(at, &gap)| match gap {
        gap if gap.abs() < tellable(&steps[at], &steps[at + 1]) => Some(StripWarning::Alike(at + 1, at + 2)),
        gap if gap < 0.0 => Some(StripWarning::TurnsBack(at + 1, at + 2)),
        gap if gap < CLOSE * even => Some(StripWarning::TooClose(at + 1, at + 2)),
        gap if gap > FAR * even => Some(StripWarning::TooFar(at + 1, at + 2)),
        _ => None,
    });
    ((1.0 - off).max(0.0), warnings.collect())
}

/// The difference in L* from which two steps can be told apart.
fn tellable(one: &StripStep, other: &StripStep) -> f64 {
    ALIKE.max(libm::hypot(one.repeatable, other.repeatable))
}

/// Whether a shadow's edge lies across the paper beside: it departs at once from a light that falls off smoothly, or
/// one side is much darker than the other.
pub(super) fn is_shadowed(tones: &[Tone]) -> bool {
    let sides = [0, 1].map(|side| -> Vec<([f64; 2], f64)> {
        let places = tones.iter().flat_map(|tone| &tone.papers[side]);
        places.map(|&(at, light)| (at, libm::log(light.max(1e-5)))).collect()
    });
    let Some(light) = Plane::through(sides.iter().flatten()) else { return false };
    let breadth = tones.iter().map(|tone| tone.breadth).sum::<f64>() / tones.len() as f64;
    let means = sides.each_ref().map(|side| side.iter().map(|it| it.1).sum::<f64>() / side.len() as f64);
    (means[0] - means[1]).abs() > ONE_SIDE
        || sides.iter().any(|side| {
            let off: Vec<([f64; 2], f64)> = side.iter().map(|&(at, log)| (at, log - light.at(at))).collect();
            off.iter().enumerate().any(|(at, one)| {
                off[..at].iter().any(|other| {
                    let between = sub(one.0, other.0);
                    (one.1 - other.1).abs() > SUDDEN && libm::hypot(between[0], between[1]) < breadth / 2.0
                })
            })
        })
}

/// A light that falls off evenly: its logarithm at the origin, and its slopes.
struct Plane([f64; 3]);

impl Plane {
    fn through<'a>(points: impl Iterator<Item = &'a ([f64; 2], f64)>) -> Option<Self> {
        let (mut normal, mut right) = (Matrix3::zeros(), Vector3::zeros());
        for ([x, y], log) in points {
            let basis = Vector3::new(1.0, *x, *y);
            normal += basis * basis.transpose();
            right += basis * *log;
        }
        normal.lu().solve(&right).map(|terms| Self(terms.into()))
    }

    fn at(&self, [x, y]: [f64; 2]) -> f64 {
        self.0[0] + self.0[1] * x + self.0[2] * y
    }
}
