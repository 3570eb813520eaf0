//! How well a family of cameras foretells what it was not fitted to.

use super::{Answer, Chart, ChartError, Group, Judged, Way};
use std::collections::BTreeMap;
use std::sync::Arc;
use tonefast_core::{CameraFamily, CameraModel, LeftOver};

/// What was fitted with one camera left out.
#[derive(Debug, Clone, Copy, serde::Serialize, serde::Deserialize)]
pub struct Left {
    /// The camera's number.
    pub camera: u32,
    /// The parameters.
    pub left: LeftOver,
}

/// Half widths in L* that would hold 90 % of the main group in each way of stating, were they the same everywhere: of
/// neutral patches and of coloured ones. Worked out once from the same readings with NumPy.
const CONSTANT: [(f64, f64); 5] = [(7.7, 8.3), (6.7, 8.9), (10.9, 8.2), (4.1, 7.8), (0.8, 7.0)];

/// The most that a median half width may be: a little less than 1.15 times the constant, and with five greys 1.5.
const WIDEST: f64 = 1.12;
const WIDEST_OF_FIVE: f64 = 1.45;

/// The least logarithm of a density that counts: a single patch that is far off is not to decide.
const FLOOR: f64 = -7.0;

/// The mean logarithm of the truth's density over ways, neutral and coloured, each camera alike; less what medians are
/// too wide. The higher, the better.
///
/// # Errors
/// Where a chart can't be judged.
pub fn score(charts: &[&Chart], family: &CameraFamily) -> Result<f64, ChartError> {
    let model = Arc::new(CameraModel::of(family));
    let (mut sum, mut cells) = (0.0, 0.0);
    for (way, constants) in Way::ALL.into_iter().zip(CONSTANT) {
        let mut main = Vec::new();
        let mut all = Vec::new();
        for chart in charts {
            let answers = Judged::of(chart, way, &model)?.answers;
            main.extend(answers.iter().copied().filter(|_| chart.group == Group::Main));
            all.extend(answers);
        }
        for (neutral, constant) in [(true, constants.0), (false, constants.1)] {
            let only = |answers: &[Answer]| -> Vec<Answer> {
                answers.iter().copied().filter(|answer| answer.neutral == neutral).collect()
            };
            sum += mean(&only(&all), |answer| answer.camera, |answer| answer.density.ln().max(FLOOR));
            cells += 1.0;
            let most = if neutral && way == Way::FiveNeutrals { WIDEST_OF_FIVE } else { WIDEST * constant };
            sum -= 10.0
                * (median(&only(&main), |answer| answer.camera, |answer| answer.half) / most - 1.0).max(0.0);
        }
    }
    Ok(sum / cells)
}

/// The share of intervals that hold, each camera alike, and the 90 % interval of that share over cameras drawn anew.
pub fn coverage<T>(all: &[T], camera: impl Fn(&T) -> u32, held: impl Fn(&T) -> bool) -> (f64, (f64, f64)) {
    const DRAWS: u64 = 2_000;
    let shares: Vec<f64> = by_camera(all, &camera)
        .into_values()
        .map(|of| of.iter().filter(|one| held(one)).count() as f64 / of.len() as f64)
        .collect();
    let mean = |shares: &[f64]| shares.iter().sum::<f64>() / shares.len() as f64;
    // A linear congruential generator (Knuth's MMIX constants): the same draws each time.
    let mut state = 1_u64;
    let mut drawn: Vec<f64> = (0..DRAWS)
        .map(|_| {
            let draw: Vec<f64> = (0..shares.len())
                .map(|_| {
                    state =
                        state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                    shares[(state >> 33) as usize % shares.len()]
                })
                .collect();
            mean(&draw)
        })
        .collect();
    drawn.sort_by(f64::total_cmp);
    (mean(&shares), (drawn[drawn.len() / 20], drawn[drawn.len() * 19 / 20]))
}

/// The median of a value, each camera alike.
pub fn median<T>(all: &[T], camera: impl Fn(&T) -> u32, value: impl Fn(&T) -> f64) -> f64 {
    let counts: BTreeMap<u32, usize> =
        by_camera(all, &camera).into_iter().map(|(of, rows)| (of, rows.len())).collect();
    let mut weighted: Vec<(f64, f64)> =
        all.iter().map(|one| (value(one), 1.0 / counts[&camera(one)] as f64)).collect();
    weighted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = counts.len() as f64 / 2.0;
    let mut sum = 0.0;
    let middle = weighted.iter().find(|(_, weight)| {
        sum += weight;
        sum >= half
    });
    middle.map_or(0.0, |middle| middle.0)
}

fn mean<T>(all: &[T], camera: impl Fn(&T) -> u32, value: impl Fn(&T) -> f64) -> f64 {
    let cameras = by_camera(all, &camera);
    let of_each = cameras.values().map(|of| of.iter().map(|one| value(one)).sum::<f64>() / of.len() as f64);
    of_each.sum::<f64>() / cameras.len() as f64
}

fn by_camera<'a, T>(all: &'a [T], camera: &impl Fn(&T) -> u32) -> BTreeMap<u32, Vec<&'a T>> {
    let mut cameras: BTreeMap<u32, Vec<&T>> = BTreeMap::new();
    for one in all {
        cameras.entry(camera(one)).or_default().push(one);
    }
    cameras
}
