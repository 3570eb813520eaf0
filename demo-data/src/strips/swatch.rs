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
        // Now and then it runs dry along one side, and skips the pits.
        let dry = if self.seed % 4 == 1 { 0.6 * smoothstep(3.0, 0.0, self.half.1 + b) } else { 0.0 };
        let wavers = 1.0 * free * noise(self.seed, a * 0.055, b * 0.055)
            + (0.12 + 0.30 * free) * noise(self.seed + 1000, a * 0.2, b * 0.2)
            + (0.08 + 0.08 * free) * noise(self.seed + 1500, a * 0.7, b * 0.7);
        let within = smooth + wavers - (0.14 + dry) * (tooth + 0.2);
        let covered = smoothstep(-0.06, 0.14, within);
        if covered <= 0.0 {
            return 0.0;
        }
        // Paint gathers in a thin dark edge, from just inside it, and in a bead where the wash ran to.
        let rim = 0.42 * smoothstep(0.95, 0.25, within) - 0.05 * smoothstep(3.2, 1.2, within);
        let bead =
            0.20 * smoothstep(0.62, 0.98, b / self.half.1 + 0.1 * noise(self.seed + 2000, a * 0.09, 0.5));
        let uneven = 0.15 * fbm(self.seed + 3000, x * 0.045, y * 0.045, 4)
            + 0.025 * fbm(self.seed + 4000, a * 0.04, b * 0.35, 2)
            + 0.05 * b / self.half.1;
        let grains = 0.26 * settled + 0.075 * tooth;
        let load = covered * (1.0 + rim + bead + uneven - grains + self.bloom(a, b));
        self.thickness * f64::from(load.max(0.0))
    }

    /// Where a wet brush touched the drying wash of some swatches: pale within, a ragged rim.
    fn bloom(&self, a: f32, b: f32) -> f32 {
        if !self.seed.is_multiple_of(7) {
            return 0.0;
        }
        let (dx, dy) = (a - 0.45 * self.half.0, b - 0.84 * self.half.1);
        let ragged = 1.0
            + 0.34 * noise(self.seed + 5000, a * 0.16, b * 0.16)
            + 0.34 * fbm(self.seed + 5100, a * 0.5, b * 0.5, 3);
        let r = (dx * dx + 1.5 * dy * dy).sqrt() / (4.8 * ragged);
        0.22 * smoothstep(0.72, 0.96, r) * smoothstep(1.07, 0.99, r) - 0.2 * smoothstep(1.0, 0.45, r)
    }
}
