//! How unevenly a hand paints.

use super::InventedPaint;
use crate::noise::SplitMix64;

/// A hand, the same for the same seed.
pub(crate) struct Hand(SplitMix64);

/// What a layer's load is off by, as a part of it, at most.
const LAYER_OFF: f32 = 0.12;

impl Hand {
    pub(crate) fn new(seed: u64) -> Self {
        Self(SplitMix64::new(seed))
    }

    /// Even over `-most` to `most`.
    pub(crate) fn within(&mut self, most: f32) -> f64 {
        f64::from(self.0.between(-most, most))
    }

    /// Thicknesses of a strip of washes, meant to be even in tone, the thinnest first. A step strays by `unevenness` of
    /// an even gap as a standard deviation; the strong end comes out `stronger` L* darker than usual.
    pub(crate) fn washes(
        &mut self,
        paint: &InventedPaint,
        count: usize,
        unevenness: f64,
        stronger: f64,
    ) -> Vec<f64> {
        let (light, dark) = paint.reach;
        let mut places: Vec<f64> = (0..count)
            .map(|step| {
                // Four even draws make a bell near enough, of a standard deviation of .577.
                let bell = f64::from(self.0.unit() + self.0.unit() + self.0.unit() + self.0.unit() - 2.0);
                // She takes most care with the ends.
                let care = if step == 0 || step + 1 == count { 0.3 } else { 1.0 };
                (step as f64 + care * unevenness * bell / 0.577) / (count - 1) as f64
            })
            .collect();
        places.sort_by(f64::total_cmp);
        let wanted = places.into_iter().map(|place| light + (dark - stronger - light) * place);
        wanted.map(|lightness| paint.thickness_for(lightness)).collect()
    }

    /// Thicknesses of 1, 2, 3 … layers of a wash that alone has the tone `lightness`.
    pub(crate) fn layers(&mut self, paint: &InventedPaint, count: usize, lightness: f64) -> Vec<f64> {
        let one = paint.thickness_for(lightness);
        (1..=count)
            .map(|layers| one * layers as f64 * (1.0 + self.within(LAYER_OFF) / layers as f64))
            .collect()
    }
}
