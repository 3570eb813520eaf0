//! Settling: readings of one spot over several frames become one, and how steady they were.

use crate::{Bands, Reading, StandardError, Warning, lightness_from_y, y_from_lightness};
use std::collections::VecDeque;

/// The readings of one spot over the last frames.
#[derive(Debug, Clone, Default)]
pub struct Settling {
    frames: VecDeque<(f64, Reading)>,
}

/// A reading that several frames agree on.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// L*, its band and its uncertainty over the frames; the rest is the newest frame's.
    pub reading: Reading,
    /// Standard deviation of L* from frame to frame; 0 with one frame.
    pub unsteadiness: f64,
    /// How many frames.
    pub frames: usize,
    /// Whether there are enough to go by.
    pub is_settled: bool,
}

/// How long a frame counts, in seconds: long enough to average a hand's tremor (8 to 12 Hz; common practice) and a
/// lamp's flicker, short enough that a changed subject is seen at once.
const SPAN: f64 = 2.0;

/// Frames from which a spread means something.
const ENOUGH: usize = 5;

/// An edge nearer than this is told whatever the texture, as for a still: 8 bits leave about half an L*.
const ON_EDGE: f64 = 0.5;

impl Settling {
    /// Adds the reading of a frame taken at `time`, in seconds; frames of too long ago, or of a time to come, go.
    pub fn add(&mut self, time: f64, reading: Reading) {
        self.frames.retain(|&(before, _)| (0.0..=SPAN).contains(&(time - before)));
        self.frames.push_back((time, reading));
    }

    /// What the frames amount to; `None` before the first.
    #[must_use]
    pub fn settled(&self, bands: &Bands) -> Option<Settled> {
        let (_, newest) = self.frames.back()?;
        let count = self.frames.len() as f64;
        let mean =
            |of: fn(&Reading) -> f64| self.frames.iter().map(|(_, reading)| of(reading)).sum::<f64>() / count;
        // Means are taken in linear light, over frames as over pixels.
        let lightness = lightness_from_y(mean(|reading| y_from_lightness(reading.lightness)));
        let centre = mean(|reading| reading.lightness);
        let squares: f64 =
            self.frames.iter().map(|(_, it)| (it.lightness - centre) * (it.lightness - centre)).sum();
        let variance = if count > 1.0 { squares / (count - 1.0) } else { 0.0 };
        // The texture is the same in every frame, so frames don't average it out; their own noise they do.
        let texture = mean(|reading| reading.error.value * reading.error.value);
        let error =
            StandardError { value: (texture + variance / count).sqrt(), freedom: newest.error.freedom };
        let (edge, beyond) = bands.nearest_edge(lightness as f32);
        let mut warnings = newest.warnings.clone();
        warnings.retain(|warning| !matches!(warning, Warning::OnEdge(_)));
        if f64::from(edge) < error.half_width().max(ON_EDGE) {
            warnings.push(Warning::OnEdge(beyond));
        }
        Some(Settled {
            reading: Reading {
                lightness,
                median: mean(|reading| reading.median),
                spread: mean(|reading| reading.spread),
                error,
                band: bands.band_of(lightness as f32),
                nearest_edge: (f64::from(edge), beyond),
                warnings,
                ..newest.clone()
            },
            unsteadiness: variance.sqrt(),
            frames: self.frames.len(),
            is_settled: self.frames.len() >= ENOUGH,
        })
    }
}
