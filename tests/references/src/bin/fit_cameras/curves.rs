//! Measured tone curves, as a mean and ways to vary.

use nalgebra::DMatrix;
use tonefast_references::ChartError;

/// What curves have in common.
pub(super) struct Curves {
    pub(super) at: Vec<f64>,
    pub(super) mean: Vec<f64>,
    pub(super) shapes: [Vec<f64>; 2],
    pub(super) count: usize,
    /// The share of their variance that the shapes hold.
    pub(super) explained: f64,
}

/// L* in the file at which curves are compared: near enough for a toe and a shoulder.
const AT: [f64; 15] =
    [5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 87.0, 92.0, 95.0, 98.0, 100.0];

/// Where all are set equal: the exposure is anyone's choice.
const MATCHED: usize = 10;

/// log10 of recorded light of the first column, and from one to the next.
const FIRST: f64 = -2.75;
const APART: f64 = 0.25;

/// Steps of the recorded light that a curve is followed in.
const STEPS: usize = 4_000;

/// How much steeper than straight a curve runs below its first column, in log-log.
const TOE: f64 = 1.5;

impl Curves {
    pub(super) fn read(text: &str) -> Result<Self, ChartError> {
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
        let first = reader.headers()?.iter().position(|name| name == "e-2.75").ok_or("no column e-2.75")?;
        let mut rows = Vec::new();
        for row in reader.records() {
            let values = row?.iter().skip(first).map(str::parse).collect::<Result<Vec<f64>, _>>()?;
            rows.push(offsets(&values));
        }
        let count = rows.len();
        let mean: Vec<f64> =
            (0..AT.len()).map(|at| rows.iter().map(|row| row[at]).sum::<f64>() / count as f64).collect();
        let apart = DMatrix::from_fn(count, AT.len(), |row, at| rows[row][at] - mean[at]);
        let parts = apart.svd(false, true);
        let directions = parts.v_t.ok_or("no components")?;
        let sd = |of: usize| parts.singular_values[of] / ((count - 1) as f64).sqrt();
        // Signs are free: the first rises towards the darks, the second towards the lights.
        let shape = |of: usize, at: usize| {
            let sign = directions[(of, if of == 0 { 0 } else { AT.len() - 1 })].signum();
            rounded(sign * sd(of) * directions[(of, at)])
        };
        let variance = |of: usize| parts.singular_values[of] * parts.singular_values[of];
        let all: f64 = (0..parts.singular_values.len()).map(variance).sum();
        Ok(Self {
            at: AT.to_vec(),
            mean: mean.into_iter().map(rounded).collect(),
            shapes: [0, 1].map(|of| (0..AT.len()).map(|at| shape(of, at)).collect()),
            count,
            explained: (variance(0) + variance(1)) / all,
        })
    }
}

/// log10 of recorded light less log10 of the file's light, at each of [`AT`].
fn offsets(encoded: &[f64]) -> Vec<f64> {
    let tones: Vec<f64> = encoded.iter().map(|&value| lightness(decoded(value))).collect();
    let light = |step: usize| FIRST - FIRST * step as f64 / STEPS as f64;
    let followed: Vec<f64> =
        (0..=STEPS).map(|step| monotone(&tones, (light(step) - FIRST) / APART)).collect();
    let recorded = |tone: f64| {
        if tone < followed[0] {
            return FIRST + (y(tone) / y(followed[0])).log10() / TOE;
        }
        let after = followed.partition_point(|&at| at < tone).clamp(1, STEPS);
        let (low, high) = (followed[after - 1], followed[after]);
        let share = ((tone - low) / (high - low)).clamp(0.0, 1.0);
        light(after - 1) + share * (light(after) - light(after - 1))
    };
    let matched = recorded(AT[MATCHED]) - y(AT[MATCHED]).log10();
    AT.iter().map(|&tone| recorded(tone) - y(tone).log10() - matched).collect()
}

/// Through values at 0, 1, 2 ..., by a cubic that never swings (Fritsch & Butland 1984).
fn monotone(values: &[f64], at: f64) -> f64 {
    let last = values.len() - 1;
    let step = |of: usize| values[of + 1] - values[of];
    let slope = |of: usize| match of {
        0 => step(0),
        of if of == last => step(last - 1),
        of if step(of - 1) * step(of) <= 0.0 => 0.0,
        of => 2.0 * step(of - 1) * step(of) / (step(of - 1) + step(of)),
    };
    let of = (at.max(0.0) as usize).min(last - 1);
    let (t, u) = (at - of as f64, 1.0 - (at - of as f64));
    u * u * (1.0 + 2.0 * t) * values[of] + u * u * t * slope(of) + t * t * (3.0 - 2.0 * t) * values[of + 1]
        - t * t * u * slope(of + 1)
}

fn decoded(v: f64) -> f64 {
    if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
}

fn lightness(y: f64) -> f64 {
    if y > 216.0 / 24_389.0 { 116.0 * y.cbrt() - 16.0 } else { y * 24_389.0 / 27.0 }
}

fn y(lightness: f64) -> f64 {
    if lightness > 8.0 { ((lightness + 16.0) / 116.0).powi(3) } else { lightness * 27.0 / 24_389.0 }
}

fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}
