//! Seeded random numbers for tests.

use libm::{cos, log};
use std::f64::consts::TAU;

/// SplitMix64 (Steele, Lea & Flood 2014).
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// From 0 to 1.
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// From `least` to `most`.
    pub(crate) fn within(&mut self, (least, most): (f64, f64)) -> f64 {
        least + (most - least) * self.unit()
    }

    /// Of mean 0 and standard deviation 1 (Box and Muller 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let (u, v) = (1.0 - self.unit(), self.unit());
        (-2.0 * log(u)).sqrt() * cos(TAU * v)
    }
}
