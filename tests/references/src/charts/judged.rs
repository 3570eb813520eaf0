//! A chart read in a light that was stated: how far off each reading is, and how far it is said to be.

use super::{Chart, ChartError, Way};
use std::sync::Arc;
use tonefast_core::{Bands, CameraModel, Circumstances, Doubt, Light, LightNote, Reading, Verdict};

/// A chart in a light.
pub struct Judged {
    /// Of every patch that was not stated.
    pub answers: Vec<Answer>,
    /// What was said of the light.
    pub notes: Vec<LightNote>,
    readings: Vec<Reading>,
}

/// One reading against the truth.
#[derive(Debug, Clone, Copy)]
pub struct Answer {
    /// The camera's number.
    pub camera: u32,
    /// Whether the patch is one of the greys.
    pub neutral: bool,
    /// True L*.
    pub truth: f64,
    /// Hue in degrees where C*ab is 10 and more.
    pub hue: Option<f64>,
    /// L* read less true L*.
    pub error: f64,
    /// Half of the 90 % interval.
    pub half: f64,
    /// How likely the truth was, for each L*.
    pub density: f64,
}

/// A difference of two readings against the truth.
#[derive(Debug, Clone, Copy)]
pub struct Difference {
    /// The camera's number.
    pub camera: u32,
    /// True difference of L*.
    pub truth: f64,
    /// Whether both hues lie within 40 degrees, or both are grey.
    pub alike: bool,
    /// Difference read less the true one.
    pub error: f64,
    /// Half of its 90 % interval.
    pub half: f64,
    /// What it amounts to.
    pub verdict: Verdict,
}

/// Hues nearer than this in degrees are alike.
const ALIKE: f64 = 40.0;

/// C*ab from which a patch has a hue.
const HAS_HUE: f64 = 10.0;

impl Judged {
    /// `chart` in the light that is stated in `way`, by a family of cameras.
    ///
    /// # Errors
    /// Where the patches tell nothing.
    pub fn of(chart: &Chart, way: Way, model: &Arc<CameraModel>) -> Result<Self, ChartError> {
        let light = Light::judge_by(&chart.photo, &chart.stated(way), &[], Circumstances::default(), model)?;
        let notes = light.notes().to_vec();
        let lit = chart.photo.lit(&Arc::new(light));
        let bands = Bands::even(5)?;
        let (mut answers, mut readings) = (Vec::new(), Vec::new());
        for patch in chart.patches.iter().filter(|patch| !way.names().contains(&patch.name.as_str())) {
            let reading = Reading::take(&lit, patch.spot, &bands)?;
            let error = reading.lightness - patch.lightness;
            let of_doubt = |of: fn(&Doubt, f64) -> f64| {
                reading.doubt.as_ref().map_or(f64::NAN, |doubt| of(doubt, -error))
            };
            answers.push(Answer {
                camera: chart.camera,
                neutral: patch.neutral,
                truth: patch.lightness,
                hue: (patch.colour.0 >= HAS_HUE).then_some(patch.colour.1),
                error,
                half: of_doubt(|doubt, _| doubt.plus_minus()),
                density: of_doubt(Doubt::density),
            });
            readings.push(reading);
        }
        Ok(Self { answers, notes, readings })
    }

    /// Of every pair of patches that were not stated.
    #[must_use]
    pub fn differences(&self) -> Vec<Difference> {
        let pairs = (0..self.readings.len()).flat_map(|a| (a + 1..self.readings.len()).map(move |b| (a, b)));
        pairs
            .map(|(a, b)| {
                let between = tonefast_core::Difference::between(&self.readings[a], &self.readings[b]);
                let (first, second) = (&self.answers[a], &self.answers[b]);
                let truth = second.truth - first.truth;
                let alike = match (first.hue, second.hue) {
                    (Some(a), Some(b)) => (a - b + 180.0).rem_euclid(360.0) - 180.0,
                    (None, None) => 0.0,
                    _ => 180.0,
                };
                Difference {
                    camera: first.camera,
                    truth,
                    alike: alike.abs() < ALIKE,
                    error: between.lightness - truth,
                    half: between.doubt.map_or(f64::NAN, |doubt| doubt.plus_minus()),
                    verdict: between.verdict,
                }
            })
            .collect()
    }
}
