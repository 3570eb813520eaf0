//! The scene as a painter sizes it up: what belongs together, and how light each part is.

use rayon::prelude::*;

use crate::noise::{SplitMix64, noise};
use crate::scene::{Region, Scene, developed};
use crate::tone::{lightness, luminance};
use crate::vector::smoothstep;

/// Row-major maps of one size: the part of the scene and its tone, L* 0–100.
pub(crate) struct Study {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) region: Vec<Region>,
    pub(crate) tone: Vec<f32>,
}

impl Study {
    /// Looks at the scene through an unsteady hand, and then squints.
    pub(crate) fn of(scene: &Scene, width: usize) -> Self {
        let height = width * 4 / 3;
        let seen: Vec<(Region, f32)> = (0..width * height)
            .into_par_iter()
            .map(|i| {
                let (u, v) = ((i % width) as f32 / width as f32, (i / width) as f32 / width as f32);
                let (du, dv) = hand(u, v);
                let mut draws = SplitMix64::new(0xb705_0000_0000 + i as u64);
                let seen = scene.seen(u + du, v + dv, &mut draws);
                (seen.region, lightness(f64::from(luminance(developed(seen.light)))) as f32)
            })
            .collect();
        let (region, tone) = seen.into_iter().unzip();
        let mut study = Self { width, height, region, tone };
        for _ in 0..2 {
            study.squint(1, study.width);
            study.squint(study.width, study.height);
        }
        study
    }

    /// Averages each tone with those of its own part along one axis. (Averaging L* is the painter's doing, not light's.)
    fn squint(&mut self, stride: usize, _extent: usize) {
        let (w, h) = (self.width, self.height);
        let (region, tone) = (&self.region, &self.tone);
        self.tone = (0..w * h)
            .into_par_iter()
            .map(|i| {
                let own = region[i];
                let along = if stride == 1 { i % w } else { i / w };
                let end = if stride == 1 { w } else { h };
                let reach = match own {
                    Region::Sky | Region::Mud => 6,
                    Region::Water | Region::NearHill | Region::FarHill => 4,
                    _ => 2,
                };
                let (from, to) = (along.saturating_sub(reach), (along + reach).min(end - 1));
                let (mut sum, mut count) = (0.0, 0.0);
                for k in from..=to {
                    let j = i - along * stride + k * stride;
                    if region[j] == own {
                        sum += tone[j];
                        count += 1.0;
                    }
                }
                sum / count
            })
            .collect();
    }
}

/// How far the hand strays, in widths.
fn hand(u: f32, v: f32) -> (f32, f32) {
    let stray = |seed: u32| {
        0.0034 * noise(seed, u * 4.0, v * 4.0)
            + 0.0011 * noise(seed + 1, u * 17.0, v * 17.0)
            + 0.0004 * noise(seed + 2, u * 70.0, v * 70.0)
    };
    // No line strays over the edge of the paper.
    let inner = smoothstep(0.0, 0.03, u.min(1.0 - u).min(v).min(4.0 / 3.0 - v));
    (stray(201) * inner, stray(211) * inner)
}
