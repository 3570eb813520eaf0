//! One swatch, as a loaded brush leaves it.

use crate::noise::{fbm, noise};
use crate::vector::smoothstep;

/// A swatch on the sheet, millimetres.
pub(crate) struct Swatch {
    pub(super) seed: u32,
    pub(super) centre: (f32, f32),
    /// Half its length along the strip, and half its breadth.
    pub(super) half: (f32, f32),
    /// How far down it goes for each step to the right.
    pub(super) lean: f32,
    /// Of its layer, where the wash lies evenly.
    pub(super) thickness: f64,
}

/// Corners are as round as a brush.
const ROUND: f32 = 2.6;
/// Nothing of a swatch lies further out than this.
const OUTSIDE: f32 = 3.0;

impl Swatch {
    /// A place of it, and beyond: -1 to 1 along the strip and across.
    pub(super) fn place(&self, along: f32, across: f32) -> (f32, f32) {
        let (a, b) = (along * self.half.0, across * self.half.1);
        (self.centre.0 + a - b * self.lean, self.centre.1 + b + a * self.lean)
    }

    /// How thick its layer lies at a place; `settled` is the tooth that its pigment settles by, `tooth` the paper's.
    pub(super) fn thickness_at(&self, x: f32, y: f32, settled: f32, tooth: f32) -> f64 {
        let (dx, dy) = (x - self.centre.0, y - self.centre.1);
        let (a, b) = (dx + dy * self.lean, dy - dx * self.lean);
        let (beside, below) = (a.abs() - self.half.0, b.abs() - self.half.1);
        if beside > OUTSIDE || below > OUTSIDE {
            return 0.0;
        }
        // Inside the rounded shape, its edge drawn by hand; the tooth breaks it up.
        let (ox, oy) = ((beside + ROUND).max(0.0), (below + ROUND).max(0.0));
        let smooth = ROUND - (ox * ox + oy * oy).sqrt() - (beside.max(below) + ROUND).min(0.0);
        // A brush wavers more along the outside than where it meets the next swatch.
        let free = smoothstep(-4.0, 0.0, below);
        let wavers = 0.75 * free * noise(self.seed, a * 0.11, b * 0.11)
            + (0.15 + 0.35 * free) * noise(self.seed + 1000, a * 0.45, b * 0.45);
        let within = smooth + wavers - 0.22 * tooth;
        let covered = smoothstep(-0.06, 0.14, within);
        if covered <= 0.0 {
            return 0.0;
        }
        // Paint gathers in a thin dark edge, from just inside it, and in a bead where the wash ran to.
        let rim = 0.42 * smoothstep(0.95, 0.25, within) - 0.05 * smoothstep(3.2, 1.2, within);
        let bead =
            0.20 * smoothstep(0.62, 0.98, b / self.half.1 + 0.1 * noise(self.seed + 2000, a * 0.09, 0.5));
        let uneven = 0.10 * fbm(self.seed + 3000, x * 0.05, y * 0.05, 3)
            + 0.03 * noise(self.seed + 4000, a * 0.05, b * 0.8)
            + 0.05 * b / self.half.1;
        let grains = 0.24 * settled + 0.05 * tooth;
        let load = covered * (1.0 + rim + bead + uneven - grains + self.bloom(a, b));
        self.thickness * f64::from(load.max(0.0))
    }

    /// Where a wet brush touched the drying wash of every fifth swatch, near its end: pale within, a ragged rim.
    fn bloom(&self, a: f32, b: f32) -> f32 {
        if !self.seed.is_multiple_of(5) {
            return 0.0;
        }
        let (dx, dy) = (a - 0.45 * self.half.0, b - 0.72 * self.half.1);
        let ragged = 1.0 + 0.5 * fbm(self.seed + 5000, a * 0.35, b * 0.35, 3);
        let r = (dx * dx + dy * dy).sqrt() / (4.6 * ragged);
        0.28 * smoothstep(0.8, 0.97, r) * smoothstep(1.06, 1.0, r) - 0.22 * smoothstep(1.0, 0.7, r)
    }
}
