//! A picture in linear light, and its way to bytes.

use rayon::prelude::*;

use crate::noise::SplitMix64;
use crate::tone::encode;
use crate::vector::V3;

/// Row-major linear sRGB, upright, origin top left.
pub(crate) struct Canvas {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) pixels: Vec<V3>,
}

impl Canvas {
    /// One call of `draw(x, y)` a pixel; the rows share nothing, so the number of threads cannot matter.
    pub(crate) fn drawn(width: usize, height: usize, draw: impl Fn(usize, usize) -> V3 + Sync) -> Self {
        let pixels = (0..height)
            .into_par_iter()
            .flat_map_iter(|y| {
                let draw = &draw;
                (0..width).map(move |x| draw(x, y))
            })
            .collect();
        Self { width, height, pixels }
    }

    pub(crate) fn at(&self, x: usize, y: usize) -> V3 {
        self.pixels[y * self.width + x]
    }

    /// Sensor grain: a light's shot noise with a little read noise, the same for the same seed.
    pub(crate) fn with_grain(mut self, seed: u64, strength: f32) -> Self {
        self.pixels.par_iter_mut().enumerate().for_each(|(i, pixel)| {
            let mut draws = SplitMix64::new(seed ^ (i as u64).wrapping_mul(0xd134_2543_de82_ef95));
            let mut grain = |v: f32| {
                // Four even draws make a bell near enough.
                let bell = draws.unit() + draws.unit() + draws.unit() + draws.unit() - 2.0;
                (v + strength * bell * (v + 0.002).sqrt()).clamp(0.0, 1.0)
            };
            *pixel = V3 { x: grain(pixel.x), y: grain(pixel.y), z: grain(pixel.z) };
        });
        self
    }

    /// 8-bit sRGB, three bytes a pixel.
    pub(crate) fn encoded(&self) -> Vec<u8> {
        // Fine enough that a step of the table is a fifth of the smallest step of the 8-bit code.
        const STEPS: usize = 1 << 16;
        let table: Vec<u8> =
            (0..=STEPS).map(|i| (encode(i as f32 / STEPS as f32) * 255.0 + 0.5) as u8).collect();
        let byte = |v: f32| table[(v.clamp(0.0, 1.0) * STEPS as f32 + 0.5) as usize];
        self.pixels.iter().flat_map(|p| [byte(p.x), byte(p.y), byte(p.z)]).collect()
    }
}
