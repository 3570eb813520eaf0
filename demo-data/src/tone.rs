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

/// CIELAB of a linear sRGB colour under D65 (CIE 15:2018; the matrix of IEC 61966-2-1, whose rows add up to the white).
pub(crate) fn lab(rgb: [f64; 3]) -> [f64; 3] {
    const XYZ: [[f64; 3]; 3] = [
        [0.412_391, 0.357_584, 0.180_481],
        [0.212_639, 0.715_169, 0.072_192],
        [0.019_331, 0.119_195, 0.950_532],
    ];
    // `lightness` is 116 f - 16 of each.
    let [x, y, z] = XYZ.map(|[r, g, b]| lightness((r * rgb[0] + g * rgb[1] + b * rgb[2]) / (r + g + b)));
    [y, 500.0 / 116.0 * (x - y), 200.0 / 116.0 * (y - z)]
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

    /// sRGB's blue is L* 32.301, a* 79.19, b* -107.86 (colour-science 0.4.7); greys have no tint.
    #[test]
    fn lab_follows_cie_15() {
        for (rgb, expected) in [([0.0, 0.0, 1.0], [32.301, 79.19, -107.86]), ([0.18; 3], [49.496, 0.0, 0.0])]
        {
            for (got, expected) in lab(rgb).into_iter().zip(expected) {
                assert!((got - expected).abs() < 0.01, "{rgb:?}: {got} for {expected}");
            }
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
