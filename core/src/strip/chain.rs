//! Which patches of paint lie in one line.
//!
//! Swatches in rows could be read along or across. Along its strip a paint gets darker from step to step and keeps its
//! hue; across, neither holds. So every direction in which patches lie next to each other is tried, and the one is
//! taken along which paint darkens most steadily; what is left is tried again.

use super::blobs::{Blob, Painted, dot, principal, sub};

/// Patches in one line: a strip, or part of what is none.
pub(super) struct Chain {
    /// All pixels of its patches.
    pub(super) pixels: Vec<[f64; 2]>,
    pub(super) centre: [f64; 2],
    pub(super) axis: [f64; 2],
}

/// Patches in one line, by their numbers.
struct Line {
    members: Vec<usize>,
    axis: [f64; 2],
    /// How far paint gets darker along it, in L*; less where it goes up and down, or changes its hue.
    steadiness: f64,
}

/// Two patches of which the second may follow the first.
struct Link {
    cost: f64,
    ends: (usize, usize),
    direction: [f64; 2],
}

/// Two patches are of one strip where one is at most so many times as broad as the other.
const BROADER: f64 = 1.8;

/// And no further apart than so many of their breadths.
const APART: f64 = 1.2;

/// Links of a patch must lead on: they bend by less than this (its cosine, 155°).
const BEND: f64 = -0.9;

/// Strips of one direction lie within so much of it (its cosine, 14°): perspective and hands turn them.
const ALIGNED: f64 = 0.97;

/// A patch this many times as long as broad lies along its strip where its tone changes along it, and is linked at its
/// ends only, within 20°.
const LONG: f64 = 1.8;
const AT_ITS_END: f64 = 0.94;

/// A hue that is off by a right angle weighs as much as this many breadths between.
const OTHER_HUE: f64 = 1.5;

/// And so much of a right angle from link to link in the mean is another paint.
const OTHER_PAINT: f64 = 0.3;

/// A strip is at least this many times as long as broad.
const STRIP: f64 = 1.8;

/// And its paint gets darker by so much at least, in L*: three steps that can be told apart.
const STEADY: f64 = 3.0;

/// Chains of patches, each long enough to be a strip.
pub(super) fn chains(painted: &Painted) -> Vec<Chain> {
    let blobs = &painted.blobs;
    let mut links = Vec::new();
    for first in 0..blobs.len() {
        for second in first + 1..blobs.len() {
            links.extend(Link::between(blobs, (first, second)));
        }
    }
    links.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let mut free = vec![true; blobs.len()];
    let mut chains = Vec::new();
    loop {
        let directions = links
            .iter()
            .filter(|link| free[link.ends.0] && free[link.ends.1])
            .map(|link| link.direction)
            .chain(blobs.iter().zip(&free).filter(|it| *it.1 && it.0.varies).map(|it| it.0.axis));
        let tried = directions.map(|direction| lines(blobs, &links, &free, direction));
        let total = |lines: &Vec<Line>| lines.iter().map(|line| line.steadiness).sum::<f64>();
        let Some(best) = tried.max_by(|a, b| total(a).total_cmp(&total(b))) else { return chains };
        if best.is_empty() {
            return chains;
        }
        for line in best {
            let pixels: Vec<[f64; 2]> =
                line.members.iter().flat_map(|&at| blobs[at].pixels.iter().copied()).collect();
            line.members.iter().for_each(|&at| free[at] = false);
            chains.push(Chain { centre: principal(&pixels).0, pixels, axis: line.axis });
        }
    }
}

impl Link {
    /// None where the two can't be neighbours in a strip.
    fn between(blobs: &[Blob], ends: (usize, usize)) -> Option<Self> {
        let (first, second) = (&blobs[ends.0], &blobs[ends.1]);
        let between = sub(second.centre, first.centre);
        let distance = libm::hypot(between[0], between[1]);
        let direction = between.map(|axis| axis / distance);
        let across = [-direction[1], direction[0]];
        let (a, b) = (first.reach(across), second.reach(across));
        let (narrow, broad) = (a.min(b), a.max(b));
        let gap = (distance - first.reach(direction) - second.reach(direction)).max(0.0) / (2.0 * narrow);
        let at_ends = [first, second].into_iter().all(|blob| {
            blob.half.0 < LONG * blob.half.1 || !blob.varies || dot(blob.axis, direction).abs() > AT_ITS_END
        });
        let cost = gap + OTHER_HUE * unlike(first.tint, second.tint);
        (broad < BROADER * narrow && gap < APART && at_ends).then_some(Self { cost, ends, direction })
    }
}

/// The lines that free patches form along a direction, each long and steady enough to be a strip.
fn lines(blobs: &[Blob], links: &[Link], free: &[bool], direction: [f64; 2]) -> Vec<Line> {
    let mut taken: Vec<Vec<usize>> = vec![Vec::new(); blobs.len()];
    for Link { ends: (first, second), direction: way, .. } in links {
        let aligned = dot(*way, direction).abs() > ALIGNED;
        if aligned
            && free[*first]
            && free[*second]
            && leads_on(blobs, &taken, *first, *second)
            && leads_on(blobs, &taken, *second, *first)
        {
            taken[*first].push(*second);
            taken[*second].push(*first);
        }
    }
    let mut seen = vec![false; blobs.len()];
    let mut lines = Vec::new();
    for start in (0..blobs.len()).filter(|&at| free[at]) {
        if seen[start] {
            continue;
        }
        let mut members = vec![start];
        seen[start] = true;
        let mut next = 0;
        while let Some(&at) = members.get(next) {
            next += 1;
            for &other in &taken[at] {
                if !seen[other] {
                    seen[other] = true;
                    members.push(other);
                }
            }
        }
        match Line::of(blobs, members.clone(), direction) {
            Some(line) => lines.push(line),
            // A patch of several steps may be a strip without what happens to lie before its end.
            None => lines.extend(members.into_iter().filter_map(|at| Line::of(blobs, vec![at], direction))),
        }
    }
    lines
}

impl Line {
    fn of(blobs: &[Blob], mut members: Vec<usize>, direction: [f64; 2]) -> Option<Self> {
        let axis = match members[..] {
            [only] if dot(blobs[only].axis, direction).abs() > ALIGNED => blobs[only].axis,
            [_] => return None,
            _ => principal(&members.iter().map(|&at| blobs[at].centre).collect::<Vec<_>>()).1,
        };
        members.sort_by(|&a, &b| dot(blobs[a].centre, axis).total_cmp(&dot(blobs[b].centre, axis)));
        let across = [-axis[1], axis[0]];
        let breadth = members.iter().map(|&at| blobs[at].reach(across)).fold(0.0, f64::max);
        let (first, last) = (&blobs[members[0]], &blobs[members[members.len() - 1]]);
        let length = dot(sub(last.centre, first.centre), axis) + first.reach(axis) + last.reach(axis);
        // A patch of several steps is as strong at its ends as they are.
        let depths: Vec<f64> = members
            .iter()
            .flat_map(|&at| {
                let (start, end) = blobs[at].depths;
                if dot(blobs[at].axis, axis) < 0.0 { [end, start] } else { [start, end] }
            })
            .collect();
        let net = (depths[depths.len() - 1] - depths[0]).abs();
        let ways: f64 = depths.windows(2).map(|pair| (pair[1] - pair[0]).abs()).sum();
        let hues = members.windows(2).map(|pair| unlike(blobs[pair[0]].tint, blobs[pair[1]].tint));
        let other = hues.sum::<f64>() / (members.len().max(2) - 1) as f64 / OTHER_PAINT;
        // Any two steps go one way; the more there are the less it is chance.
        let steps: f64 = members.iter().map(|&at| blobs[at].steps(axis)).sum();
        let sure = ((steps - 2.0) / steps).max(0.0);
        let steadiness = sure * net * (net / ways.max(1e-9)).powi(2) * (1.0 - other.min(1.0));
        (length > STRIP * 2.0 * breadth && steadiness > STEADY).then_some(Self { members, axis, steadiness })
    }
}

/// 0 where two hues are alike, 1 where they are a right angle apart or more; near greys are like any.
fn unlike(first: [f64; 2], second: [f64; 2]) -> f64 {
    let (a, b) = (libm::sqrt(dot(first, first)), libm::sqrt(dot(second, second)));
    let sure = (a.min(b) / 6.0).min(1.0);
    sure * (1.0 - dot(first, second) / (a * b).max(1e-9)).clamp(0.0, 1.0)
}

/// Whether a patch has room for another link, in line with the one that it has.
fn leads_on(blobs: &[Blob], taken: &[Vec<usize>], at: usize, to: usize) -> bool {
    let towards = |other: usize| {
        let between = sub(blobs[other].centre, blobs[at].centre);
        let distance = libm::hypot(between[0], between[1]);
        between.map(|axis| axis / distance)
    };
    match taken[at][..] {
        [] => true,
        [other] => dot(towards(other), towards(to)) < BEND,
        _ => false,
    }
}
