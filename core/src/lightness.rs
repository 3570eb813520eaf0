//! Luminance Y to lightness L* and back, and the tables that kernels and the shader share.
//!
//! CIE 15:2018 and ISO/CIE 11664-4 define L* = 116 f(Y/Yn) - 16 with f the cube root above ε = 216/24389 and
//! (κ t + 16)/116 below, κ = 24389/27. Y is relative to the white under D65, where sRGB and Display P3 put theirs.

use std::sync::LazyLock;

/// Codes of a tonal map: Y from 0 to 1 in even steps, a code of 65,535 being the white.
///
/// One step is .0138 L* at black and less everywhere else, so a stored Y errs by at most .007 L*.
pub const Y_CODES: usize = 65_536;

/// L* of each code of Y.
pub static LIGHTNESS_FROM_CODE: LazyLock<Vec<f32>> =
    LazyLock::new(|| (0..Y_CODES).map(|code| lightness_from_y(y_from_code(code as u16)) as f32).collect());

/// The 8-bit sRGB code that shows each code of linear light: of Y as a neutral grey, or of one channel.
pub static GREY_FROM_CODE: LazyLock<Vec<u8>> =
    LazyLock::new(|| (0..Y_CODES).map(|code| grey_from_y(y_from_code(code as u16))).collect());

/// ε of CIE 15:2018: where the cube root gives way to the line.
const EPSILON: f64 = 216.0 / 24_389.0;

/// κ of CIE 15:2018: the slope of the line.
const KAPPA: f64 = 24_389.0 / 27.0;

/// Lightness L* (0 to 100 for Y from 0 to 1, more above) of luminance `y` relative to the white.
#[must_use]
pub fn lightness_from_y(y: f64) -> f64 {
    if y > EPSILON { 116.0 * libm::cbrt(y) - 16.0 } else { KAPPA * y }
}

/// Luminance relative to the white of lightness L*.
#[must_use]
pub fn y_from_lightness(lightness: f64) -> f64 {
    if lightness > KAPPA * EPSILON {
        let root = (lightness + 16.0) / 116.0;
        root * root * root
    } else {
        lightness / KAPPA
    }
}

/// Luminance of a code of a tonal map.
pub(crate) fn y_from_code(code: u16) -> f64 {
    f64::from(code) / (Y_CODES - 1) as f64
}

/// The code of linear light `y`, rounded; what lies outside 0 to 1 takes the nearest end.
pub(crate) fn code_from_y(y: f32) -> u16 {
    // `as` saturates, and takes not-a-number for 0.
    (y * (Y_CODES - 1) as f32 + 0.5) as u16
}

/// Linear light of a value encoded by IEC 61966-2-1 (sRGB), both 0 to 1.
pub(crate) fn srgb_decode(encoded: f64) -> f64 {
    if encoded <= 0.04045 { encoded / 12.92 } else { libm::pow((encoded + 0.055) / 1.055, 2.4) }
}

/// The value by which IEC 61966-2-1 (sRGB) encodes linear light, both 0 to 1.
pub(crate) fn srgb_encode(linear: f64) -> f64 {
    if linear <= 0.003_130_8 { linear * 12.92 } else { 1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055 }
}

/// The 8-bit sRGB code nearest to linear light from 0 to 1.
pub(crate) fn grey_from_y(linear: f64) -> u8 {
    (srgb_encode(linear) * 255.0 + 0.5) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    /// colour-science 0.4.7, `colour.lightness(Y, method='CIE 1976')`, printed to three decimals.
    #[test]
    fn lightness_agrees_with_colour_science() {
        for (y, lightness) in
            [(0.18, 49.496), (0.184_187, 50.0), (0.5, 76.069), (0.9, 95.997), (0.0, 0.0), (1.0, 100.0)]
        {
            assert!((lightness_from_y(y) - lightness).abs() < 5e-4, "Y {y}: {}", lightness_from_y(y));
            assert!(
                (y_from_lightness(lightness) - y).abs() < 1e-5,
                "L* {lightness}: {}",
                y_from_lightness(lightness)
            );
        }
    }

    /// 8-bit sRGB greys through IEC 61966-2-1 and CIE 1976, colour-science 0.4.7.
    #[test]
    fn greys_agree_with_colour_science() {
        for (grey, lightness) in
            [(10, 2.742), (64, 27.093), (119, 50.034), (128, 53.585), (192, 77.704), (243, 95.842)]
        {
            let computed = lightness_from_y(srgb_decode(f64::from(grey) / 255.0));
            assert!((computed - lightness).abs() < 5e-4, "grey {grey}: {computed}");
        }
    }

    #[test]
    fn a_code_of_y_errs_by_at_most_seven_thousandths() {
        for step in 0..200_000 {
            let y = f64::from(step) / 200_000.0;
            let stored = LIGHTNESS_FROM_CODE[usize::from(code_from_y(y as f32))];
            assert!((f64::from(stored) - lightness_from_y(y)).abs() < 0.007, "Y {y}");
        }
    }

    #[test]
    fn every_grey_comes_back_from_its_own_linear_light() {
        for grey in 0..=255u8 {
            let code = code_from_y(srgb_decode(f64::from(grey) / 255.0) as f32);
            assert_eq!(GREY_FROM_CODE[usize::from(code)], grey);
        }
    }

    #[test]
    fn what_lies_outside_takes_the_nearest_end() {
        assert_eq!((code_from_y(-0.2), code_from_y(1.4), code_from_y(f32::NAN)), (0, 65_535, 0));
    }
}
