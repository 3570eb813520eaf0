//! The same quantities as core computes, from the standards' formulas, sharing none of its code.

/// CIE 1976 L* of a luminance relative to white (CIE 15, 8.2.1).
#[must_use]
pub fn lightness(y: f64) -> f64 {
    if y > 216.0 / 24_389.0 { 116.0 * y.cbrt() - 16.0 } else { y * 24_389.0 / 27.0 }
}

/// Luminance under D65 of an XYZ under D50: the second row of Bradford's matrix from D50 to D65, as B. Lindbloom
/// tabulates it.
pub(crate) fn luminance_d65_from_d50([x, y, z]: [f64; 3]) -> f64 {
    -0.028_369_7 * x + 1.009_995_4 * y + 0.021_041_4 * z
}
