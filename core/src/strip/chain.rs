//! Which patches of paint lie in one line.

use super::blobs::{Blob, Painted, dot, principal, sub};

/// Patches in one line: a strip, or part of what is none.
pub(super) struct Chain {
    /// All pixels of its patches.
    pub(super) pixels: Vec<[f64; 2]>,
    pub(super) centre: [f64; 2],
    pub(super) axis: [f64; 2],
}

/// Two patches are of one strip where one is at most so many times as broad as the other.
const BROADER: f64 = 1.8;

/// And no further apart than so many of their breadths.
const APART: f64 = 1.2;

/// Links of a patch must lead on: they bend by less than this (its cosine, 155°).
const BEND: f64 = -0.9;

/// A patch this many times as long as broad lies along its strip where its tone changes along it, and is linked at its
/// ends only, within 20°. Where its tone does not, it is a tall swatch, and is linked by its long sides, within 35°.
const LONG: f64 = 1.8;
const AT_ITS_END: f64 = 0.94;
const BY_ITS_SIDE: f64 = 0.57;

/// A hue that is off by a right angle weighs as much as this many breadths between.
const OTHER_HUE: f64 = 1.5;

/// A strip is at least this many times as long as broad.
const STRIP: f64 = 2.0;

/// Chains of patches, each long enough to be a strip.
pub(super) fn chains(painted: &Painted) -> Vec<Chain> {
    let blobs = &painted.blobs;
    let mut links: Vec<(f64, usize, usize)> = Vec::new();
    for first in 0..blobs.len() {
        for second in first + 1..blobs.len() {
            if let Some(cost) = cost(&blobs[first], &blobs[second]) {
                links.push((cost, first, second));
            }
        }
    }
    links.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut taken: Vec<Vec<usize>> = vec![Vec::new(); blobs.len()];
    for (_, first, second) in links {
        if leads_on(blobs, &taken, first, second) && leads_on(blobs, &taken, second, first) {
            taken[first].push(second);
            taken[second].push(first);
        }
    }
    let mut seen = vec![false; blobs.len()];
    let mut chains = Vec::new();
    for start in 0..blobs.len() {
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
        let pixels: Vec<[f64; 2]> = members.iter().flat_map(|&at| blobs[at].pixels.iter().copied()).collect();
        let (centre, axis) = principal(&pixels);
        let breadth = members.iter().map(|&at| blobs[at].reach([-axis[1], axis[0]])).fold(0.0, f64::max);
        let length = pixels.iter().map(|&at| dot(sub(at, centre), axis).abs()).fold(0.0, f64::max);
        if length > STRIP * breadth {
            chains.push(Chain { pixels, centre, axis });
        }
    }
    chains
}

/// How unlikely it is that two patches are neighbours in a strip; none where they can't be.
fn cost(first: &Blob, second: &Blob) -> Option<f64> {
    let between = sub(second.centre, first.centre);
    let distance = libm::sqrt(dot(between, between));
    let direction = between.map(|axis| axis / distance);
    let across = [-direction[1], direction[0]];
    let (a, b) = (first.reach(across), second.reach(across));
    let (narrow, broad) = (a.min(b), a.max(b));
    let gap = (distance - first.reach(direction) - second.reach(direction)).max(0.0) / (2.0 * narrow);
    let ends = [first, second].into_iter().all(|blob| {
        let along = dot(blob.axis, direction).abs();
        blob.half.0 < LONG * blob.half.1 || if blob.varies { along > AT_ITS_END } else { along < BY_ITS_SIDE }
    });
    (broad < BROADER * narrow && gap < APART && ends)
        .then(|| gap + OTHER_HUE * unlike(first.tint, second.tint))
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
        let distance = libm::sqrt(dot(between, between));
        between.map(|axis| axis / distance)
    };
    match taken[at][..] {
        [] => true,
        [other] => dot(towards(other), towards(to)) < BEND,
        _ => false,
    }
}
