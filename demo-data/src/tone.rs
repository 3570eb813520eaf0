//! Linear light to lightness and to encoded bytes.

use crate::vector::V3;

/// Relative luminance of a linear sRGB colour under D65 (IEC 61966-2-1, the Y row of its matrix).
pub(crate) fn luminance(rgb: V3) -> f32 {
    rgb.dot(V3 { x: 0.212_639, y: 0.715_169, z: 0.072_192 })
}

/// L* 0–100 of a relative luminance 0–1 (CIE 15:2018: ε = 216/24389, κ = 24389/27).
pub(crate) fn lightness(y: f64) -> f64 {
    if y > 216.0 / 24389.0 { 116.0 * libm::cbrt(y) - 16.0 } else { 24389.0 / 27.0 * y }
}

/// The inverse of [`lightness`].
pub(crate) fn luminance_of(lightness: f32) -> f32 {
    if lightness > 8.0 {
        let f = (lightness + 16.0) / 116.0;
        f * f * f
    } else {
        lightness * (27.0 / 24389.0)
    }
}

/// The sRGB encoding of one linear channel, 0–1 (IEC 61966-2-1: the two pieces meet at .0031308).
pub(crate) fn encode(linear: f32) -> f32 {
    let v = f64::from(linear.clamp(0.0, 1.0));
    let encoded = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * libm::pow(v, 1.0 / 2.4) - 0.055 };
    encoded as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 18 % is L* 49.496 and 50 % is 76.069 by the formula of CIE 15; the inverse leads back.
    #[test]
    fn lightness_follows_cie_15() {
        for (y, expected) in [(0.18, 49.496), (0.5, 76.069), (0.9, 95.997), (1.0, 100.0), (0.0, 0.0)] {
            assert!((lightness(y) - expected).abs() < 0.001, "{y}");
            assert!((luminance_of(expected as f32) - y as f32).abs() < 1e-4, "{y}");
        }
    }

    /// Grey 128 of sRGB is 21.586 % linear, by the decoding formula of IEC 61966-2-1.
    #[test]
    fn encoding_follows_iec_61966_2_1() {
        for (linear, byte) in [(0.0, 0.0), (1.0, 255.0), (0.215_861, 128.0), (0.003_035_27, 10.0)] {
            assert!((encode(linear) * 255.0 - byte).abs() < 0.01, "{linear}");
        }
    }
}
