//! Encodings: how a file's samples stand for linear light.

use super::primaries::{Matrix, Primaries, inverse, times};
use super::stored::Encoding;
use crate::lightness::srgb_decode;

/// Bits of a sample as it is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Depth {
    /// 256 codes.
    Eight,
    /// 65,536 codes.
    Sixteen,
}

impl Depth {
    /// How many codes there are.
    pub(crate) const fn codes(self) -> usize {
        match self {
            Self::Eight => 256,
            Self::Sixteen => 65_536,
        }
    }
}

impl Encoding {
    /// sRGB (IEC 61966-2-1): what a picture without a profile is taken for.
    pub(crate) fn srgb_encoded(depth: Depth) -> Self {
        Self::from_primaries(&Primaries::BT709, srgb_decode, depth).unwrap_or_else(|| {
            unreachable!("sRGB's primaries are no degenerate triangle and its curve rises")
        })
    }

    /// From primaries and one transfer function for all three channels, encoded 0–1 to linear.
    ///
    /// `None` where the primaries are degenerate or the function does not rise.
    pub(crate) fn from_primaries(
        primaries: &Primaries,
        linear_from_encoded: impl Fn(f64) -> f64,
        depth: Depth,
    ) -> Option<Self> {
        let table = table_of(linear_from_encoded, depth)?;
        Self::from_tables([table.clone(), table.clone(), table], &primaries.xyz_d65_from_rgb()?)
    }

    /// From finished tables and the matrix to XYZ under D65.
    ///
    /// The matrix is scaled so that linear (1, 1, 1) has Y = 1. `None` where it has no inverse or no luminance.
    pub(crate) fn from_tables(linear_from_code: [Vec<f32>; 3], xyz_d65_from_rgb: &Matrix) -> Option<Self> {
        let white: f64 = xyz_d65_from_rgb[1].iter().sum();
        if !white.is_finite() || white < 1e-3 {
            return None;
        }
        let xyz_from_rgb = xyz_d65_from_rgb.map(|row| row.map(|value| value / white));
        inverse(&xyz_from_rgb)?;
        let srgb_from_xyz = inverse(&Primaries::BT709.xyz_d65_from_rgb()?)?;
        let narrow = |value: f64| value as f32;
        Some(Self {
            linear_from_code,
            y_row: xyz_from_rgb[1].map(narrow),
            srgb_from_source: times(&srgb_from_xyz, &xyz_from_rgb).map(|row| row.map(narrow)),
        })
    }
}

/// A table over all codes, clamped to 0–1; `None` where the function does not rise.
///
/// Curves stored with 8 or 16 bits wobble by their rounding: a fall of up to [`WOBBLE`] is levelled, more is refused.
pub(crate) fn table_of(linear_from_encoded: impl Fn(f64) -> f64, depth: Depth) -> Option<Vec<f32>> {
    let last = (depth.codes() - 1) as f64;
    let mut reached = 0.0_f64;
    let mut table = Vec::with_capacity(depth.codes());
    for code in 0..depth.codes() {
        let linear = linear_from_encoded(code as f64 / last);
        if linear.is_nan() || linear.clamp(0.0, 1.0) < reached - WOBBLE {
            return None;
        }
        reached = reached.max(linear.clamp(0.0, 1.0));
        table.push(reached as f32);
    }
    (reached > FAINTEST_FULL).then_some(table)
}

/// How far a table may fall back before it counts as not rising: a quarter of an 8-bit step of linear light, more than
/// a 16-bit curve's rounding and less than a reading would show near white.
const WOBBLE: f64 = 1e-3;

/// What full samples must reach for a table to be taken seriously: a tenth of the encoding's white, far below any
/// picture that is meant to be seen, so that only nonsense is refused.
const FAINTEST_FULL: f64 = 0.1;

/// The way back from linear light to the nearest code of one table.
pub(crate) struct Inverse {
    /// For each of [`BUCKETS`] even steps of linear light, the first code at or above it.
    first_code: Vec<u32>,
}

/// Steps of linear light by which the search is narrowed: fine enough that sRGB's steepest 8-bit stretch has one code
/// a step, small enough to stay in the processor's nearest cache.
const BUCKETS: usize = 4096;

impl Inverse {
    /// For a table that rises.
    pub(crate) fn of(table: &[f32]) -> Self {
        let first_code = (0..=BUCKETS)
            .map(|bucket| {
                let linear = bucket as f32 / BUCKETS as f32;
                table.partition_point(|&value| value < linear) as u32
            })
            .collect();
        Self { first_code }
    }

    /// The code whose linear light is nearest in `table`, the one this was made of.
    pub(crate) fn code(&self, table: &[f32], linear: f32) -> usize {
        let bucket = ((linear.clamp(0.0, 1.0) * BUCKETS as f32) as usize).min(BUCKETS - 1);
        let from = self.first_code[bucket] as usize;
        let to = self.first_code[bucket + 1] as usize;
        let above = from + table[from..to].partition_point(|&value| value < linear);
        if above == 0 {
            return 0;
        }
        if above == table.len() {
            return table.len() - 1;
        }
        if linear - table[above - 1] < table[above] - linear { above - 1 } else { above }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Linear light of 8-bit sRGB greys, from the formula of IEC 61966-2-1 as colour-science 0.4.7 evaluates it.
    #[test]
    fn srgb_greys_have_the_standards_linear_light() {
        let encoding = Encoding::srgb_encoded(Depth::Eight);
        for (code, linear) in [(0, 0.0), (10, 0.003_035), (128, 0.215_861), (192, 0.527_115), (255, 1.0)] {
            assert!((encoding.linear_from_code[1][code] - linear).abs() < 1e-6, "code {code}");
        }
        let sum: f32 = encoding.y_row.iter().sum();
        assert!((sum - 1.0).abs() < 1e-6);
        for (row, values) in encoding.srgb_from_source.iter().enumerate() {
            for (column, value) in values.iter().enumerate() {
                let identity = if row == column { 1.0 } else { 0.0 };
                assert!((value - identity).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn every_code_is_found_again_from_its_linear_light() {
        for depth in [Depth::Eight, Depth::Sixteen] {
            let table = table_of(srgb_decode, depth).unwrap();
            let inverse = Inverse::of(&table);
            for code in 0..depth.codes() {
                assert_eq!(inverse.code(&table, table[code]), code);
            }
            assert_eq!(inverse.code(&table, 2.0), depth.codes() - 1);
            assert_eq!(inverse.code(&table, -1.0), 0);
        }
    }

    #[test]
    fn a_curve_that_falls_back_is_refused_and_a_wobble_levelled() {
        assert!(table_of(|v| 1.0 - v, Depth::Eight).is_none());
        assert!(table_of(|_| 0.0, Depth::Eight).is_none());
        assert!(table_of(|_| f64::NAN, Depth::Eight).is_none());
        let table = table_of(|v| if v > 0.5 { v - 0.0005 } else { v }, Depth::Sixteen).unwrap();
        assert!(table.windows(2).all(|pair| pair[0] <= pair[1]));
    }
}
