//! What is asked of the painter before a reference patch counts.
//!
//! A patch that is darker than much of the picture can hardly be paper, and patches whose light differs by more than
//! light and cameras explain can't all be what was stated. Such a patch does not count until the painter says that it is
//! what she stated; then it counts, with all that follows.

use super::seen::Seen;
use crate::tonal_map::Histogram;
use crate::{PatchKind, Y_CODES, y_from_lightness};

/// A question about a reference patch, which does not count while it is open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// The patch, counted from 0.
    pub patch: usize,
    /// What speaks against it.
    pub why: Questioned,
}

/// What speaks against a reference patch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Questioned {
    /// By this patch alone, this share of the picture would be lighter than a perfect white, and by more than light that
    /// falls off explains.
    DarkerThanPicture(f64),
    /// It and this patch, counted from 0, differ by more than light and cameras explain.
    Disagrees(usize),
}

/// The share of a picture that may come out so much lighter than a perfect white by a patch before it is questioned: that
/// is lamps, gloss and sky. A sky that is lighter than paper in the hand can fill more; then it is one
/// question more (common practice: the sky takes a third to a half of a landscape).
pub(crate) const MUCH: f64 = 0.25;

/// Most light over least between two papers that a lamp's or a window's falling off explains. The edge of a shadow is
/// three and more (common practice): that the painter must say.
pub(crate) const STEEPEST: f64 = 2.2;

/// How much steeper or flatter than the light itself a camera's file may be between two patches, as a slope in
/// logarithms: measured curves of 23 cameras lie between .81 and 1.84, and flare in the darks flattens further.
const SLOPES: (f64, f64) = (0.5, 2.0);

/// By how much light at two patches may differ besides, as a factor: what looks even falls off by 15 % across a picture,
/// doubled.
const UNEVEN: f64 = 1.3;

/// Patches by which much of the picture would be lighter than a perfect white by more than falling-off light explains,
/// unless they were confirmed. Paper in the dimmer part of a sheet is none of them.
pub(super) fn darker_than_picture(
    histogram: &Histogram,
    seen: &[Seen],
    y_row: [f64; 3],
    confirmed: &[usize],
) -> Vec<Question> {
    let total = histogram.total().max(1) as f64;
    let asked =
        seen.iter().filter(|patch| patch.kind != PatchKind::Dark && !confirmed.contains(&patch.index));
    asked
        .filter_map(|patch| {
            let white = patch.y(y_row) / y_from_lightness(patch.lightness);
            let first = (STEEPEST * white * (Y_CODES - 1) as f64) as usize + 1;
            let lighter: u64 = histogram.counts().iter().skip(first).map(|&count| u64::from(count)).sum();
            let share = lighter as f64 / total;
            (share > MUCH)
                .then_some(Question { patch: patch.index, why: Questioned::DarkerThanPicture(share) })
        })
        .collect()
}

/// Patches that disagree with others by more than light explains: the one that disagrees with most first, and then among
/// the rest. Once one of two was confirmed, nothing is asked about the two any more.
pub(super) fn disagreeing(seen: &[Seen], y_row: [f64; 3], confirmed: &[usize]) -> Vec<Question> {
    let mut rest: Vec<&Seen> = seen.iter().filter(|patch| !confirmed.contains(&patch.index)).collect();
    let mut questions = Vec::new();
    loop {
        let disagreeing = |patch: &Seen| {
            let mut others = rest.iter().filter(|other| disagree(patch, other, y_row));
            let first = others.next()?.index;
            Some((1 + others.count(), patch.kind != PatchKind::White, first))
        };
        // Of two that are alike in that, the one that is no paper, and then the darker one.
        let worst = rest.iter().filter_map(|patch| Some((disagreeing(patch)?, *patch))).max_by(|a, b| {
            let darker = b.1.y(y_row).total_cmp(&a.1.y(y_row));
            (a.0.0, a.0.1).cmp(&(b.0.0, b.0.1)).then(darker)
        });
        let Some(((_, _, other), &Seen { index: patch, .. })) = worst else { return questions };
        questions.push(Question { patch, why: Questioned::Disagrees(other) });
        rest.retain(|seen| seen.index != patch);
    }
}

/// Whether two patches differ by more than light and cameras explain.
fn disagree(first: &Seen, second: &Seen, y_row: [f64; 3]) -> bool {
    let recorded = libm::log(second.y(y_row) / first.y(y_row));
    let truth = libm::log(y_from_lightness(second.lightness) / y_from_lightness(first.lightness));
    if first.kind == PatchKind::White && second.kind == PatchKind::White {
        return (recorded - truth).abs() > libm::log(STEEPEST);
    }
    let (recorded, truth) = if truth < 0.0 { (-recorded, -truth) } else { (recorded, truth) };
    let play = libm::log(UNEVEN);
    !(SLOPES.0 * truth - play..=SLOPES.1 * truth + play).contains(&recorded)
}
