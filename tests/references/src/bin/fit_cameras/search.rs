//! Finds the parameters of what the curves leave open.

use tonefast_core::{CameraFamily, LeftOver};
use tonefast_references::ChartError;

/// The first and the last step, in the logarithm of a parameter.
const STEPS: (f64, f64) = (0.2, 0.04);

/// How strongly the start is believed: six charts' cameras tell little of six parameters.
const BELIEF: f64 = 0.02;

/// Changes one parameter after the other as long as `score` rises, by smaller and smaller steps.
pub(super) fn climb(
    start: &CameraFamily,
    score: impl Fn(&CameraFamily) -> Result<f64, ChartError>,
) -> Result<(CameraFamily, f64), ChartError> {
    let family = |moved: &[f64]| CameraFamily { left: moved_by(start.left, moved), ..start.clone() };
    let believed = |moved: &[f64]| -> Result<f64, ChartError> {
        Ok(score(&family(moved))? - BELIEF * moved.iter().map(|moved| moved * moved).sum::<f64>())
    };
    let mut moved = [0.0; 6];
    let mut best = believed(&moved)?;
    let mut step = STEPS.0;
    while step > STEPS.1 {
        let before = best;
        for at in 0..moved.len() {
            for step in [step, -step] {
                let mut trial = moved;
                trial[at] += step;
                let reached = believed(&trial)?;
                if reached > best {
                    (moved, best) = (trial, reached);
                    break;
                }
            }
        }
        if best == before {
            step /= 2.0;
        }
    }
    Ok((family(&moved), best))
}

fn moved_by(left: LeftOver, moved: &[f64]) -> LeftOver {
    let scaled = |value: f64, at: usize| (value * moved[at].exp() * 1e4).round() / 1e4;
    LeftOver {
        least_bend: scaled(left.least_bend, 0).min(1.0),
        flare: scaled(left.flare, 1),
        sd: scaled(left.sd, 2),
        reach: scaled(left.reach, 3),
        toe_sd: scaled(left.toe_sd, 4),
        colour: scaled(left.colour, 5),
    }
}
