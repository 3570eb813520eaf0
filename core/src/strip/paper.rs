//! Bare paper beside a strip: where the light of its photo can be stated, so that whatever is read in the photo stands
//! on what the strip stands on.

use super::Small;
use super::swatch::{Swatch, Tone, luminance};
use crate::Spot;

/// Radius of a spot of paper, in breadths of the swatch that it lies beside: it lies within what was looked at there.
const RADIUS: f64 = 0.15;

/// By how much a spot may be off the paper there, in natural logarithms: more is a pencil's line, a number, or paint.
const CLEAN: f64 = 0.03;

/// So many spots say how light falls off across a picture (six give a curved field); more add nothing.
const MOST: usize = 12;

/// Spots of bare paper beside swatches that were read, on either side, as far as they are clean and lie in none of `all`.
pub(super) fn papers(small: &Small, tones: &[Tone], all: &[Swatch]) -> Vec<Spot> {
    let mut spots: Vec<Spot> = Vec::new();
    for tone in tones {
        for side in &tone.papers {
            let radius = (RADIUS * tone.breadth).max(1.0);
            let off = |&(at, paper): &([f64; 2], f64)| {
                let is_bare = small.holds(at) && !all.iter().any(|swatch| swatch.holds(at));
                let off = libm::log(mean(small, at, radius)? / paper).abs();
                (is_bare && off < CLEAN).then_some((off, at))
            };
            let cleanest = side.iter().filter_map(off).min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, at)) = cleanest else { continue };
            let [x, y] = small.full(at);
            // One side stands for both where the other has no paper.
            if !spots.iter().any(|spot| libm::hypot(spot.x - x, spot.y - y) < 1.0) {
                spots.push(Spot { x, y, radius: radius * small.scale.0 });
            }
        }
    }
    let step = spots.len().div_ceil(MOST).max(1);
    spots.into_iter().step_by(step).collect()
}

/// Mean luminance of the small picture's pixels in a disc; none where a part of it lies outside.
fn mean(small: &Small, [x, y]: [f64; 2], radius: f64) -> Option<f64> {
    let reach = radius.ceil() as i64;
    let (mut sum, mut count) = (0.0, 0.0);
    for down in -reach..=reach {
        for across in -reach..=reach {
            if libm::hypot(down as f64, across as f64) > radius {
                continue;
            }
            let at = [x + across as f64, y + down as f64];
            if !small.holds(at) {
                return None;
            }
            sum += luminance(small.at(at[0], at[1]).1);
            count += 1.0;
        }
    }
    Some(sum / count)
}
