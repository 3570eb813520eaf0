//! The light in parts of a picture, where a shadow is round, or a bar, or there are several: in a small part each has one
//! edge, or none.

use super::Lit;
use crate::strip::Small;
use crate::strip::shadow::{Places, Shadow};
use rayon::prelude::*;

/// Parts of a picture, which overlap: between their middles the light goes over from one to the next.
pub(super) struct Parts {
    /// How far apart their middles are, across and down; the first lies in the picture's corner.
    apart: (f64, f64),
    /// What a part looks like, where that is not as the whole does.
    lits: Vec<Option<Lit>>,
}

/// So many parts across and down.
const ACROSS: usize = 6;
const DOWN: usize = 5;

/// A part is looked at so many times as far as the middles beside it.
const WIDER: f64 = 1.1;

/// It is unlike the whole where paper's light is off that by more than this, as a mean of squares of natural logarithms:
/// cockled paper is off by .02.
const UNLIKE: f64 = 0.001;

/// And it is like something else where this part of that is left.
const LESS: f64 = 0.35;

/// A shadow's edge counts where its part has so much of a say.
const COUNTS: f64 = 0.2;

impl Parts {
    /// All like the whole.
    pub(super) fn none(small: &Small) -> Self {
        let apart = |side: usize, count: usize| side as f64 / (count - 1) as f64;
        Self { apart: (apart(small.columns, ACROSS), apart(small.rows, DOWN)), lits: Vec::new() }
    }

    pub(super) fn of(small: &Small, places: &Places, whole: &Lit) -> Self {
        let none = Self::none(small);
        let (across, down) = none.apart;
        let part = |at: usize| {
            let middle = [(at % ACROSS) as f64 * across, (at / ACROSS) as f64 * down];
            // As far as the middles of the parts beside it, and a little further for company.
            let within = places.within(middle, (WIDER * across, WIDER * down));
            let off = within.off(|x, y| whole.logs(x, y))?;
            (off > UNLIKE).then(|| Shadow::in_part(&within, &whole.smooth, LESS * off)).flatten()
        };
        let lits: Vec<Option<Lit>> = (0..ACROSS * DOWN).into_par_iter().map(part).collect();
        Self { lits: if lits.iter().any(Option::is_some) { lits } else { Vec::new() }, ..none }
    }

    /// Whether any is unlike the whole.
    pub(super) fn differ(&self) -> bool {
        !self.lits.is_empty()
    }

    /// The logarithms of the light at a place at which the whole has these.
    pub(super) fn logs(&self, x: f64, y: f64, whole: [f64; 3]) -> [f64; 3] {
        if !self.differ() {
            return whole;
        }
        self.about(x, y).into_iter().fold([0.0; 3], |sum, (part, weight)| {
            let there = self.lits[part].as_ref().map_or(whole, |lit| lit.logs(x, y));
            [0, 1, 2].map(|channel| sum[channel] + weight * there[channel])
        })
    }

    /// Whether a shadow's edge that is seen in a part runs between these places, where it counts.
    pub(super) fn are_parted(&self, places: &[[f64; 2]]) -> bool {
        self.lits.iter().enumerate().any(|(part, lit)| {
            let counts = |&[x, y]: &[f64; 2]| self.about(x, y).iter().any(|it| it.0 == part && it.1 > COUNTS);
            let near = places.iter().copied().filter(counts);
            lit.as_ref().and_then(|lit| lit.shadow.as_ref()).is_some_and(|shadow| shadow.parts(near))
        })
    }

    /// The four parts about a place, and how much each has a say there.
    fn about(&self, x: f64, y: f64) -> [(usize, f64); 4] {
        let between = |at: f64, count: usize| {
            let at = at.clamp(0.0, (count - 1) as f64);
            let first = (at as usize).min(count - 2);
            (first, at - first as f64)
        };
        let ((left, u), (top, v)) = (between(x / self.apart.0, ACROSS), between(y / self.apart.1, DOWN));
        let part = |down: usize, across: usize| (top + down) * ACROSS + left + across;
        [
            (part(0, 0), (1.0 - u) * (1.0 - v)),
            (part(0, 1), u * (1.0 - v)),
            (part(1, 0), (1.0 - u) * v),
            (part(1, 1), u * v),
        ]
    }
}
