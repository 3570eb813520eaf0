//! Profiles written by the `moxcms` crate from published numbers, read back.

use super::*;
use moxcms::{ToneReprCurve, Xyzd};

fn encoding_of(profile: &ColorProfile, device: Device, depth: Depth) -> Encoding {
    match read(&profile.encode().unwrap(), device, depth).unwrap().way {
        Way::Tables(encoding) => encoding,
        Way::Lookup(_) => panic!("a table profile"),
    }
}

/// Colorants under D50 as B. Lindbloom's tables of RGB working spaces (Bradford) and CSS Color 4's sample code give
/// them; Y rows under D65 as colour-science 0.4.7 computes them from the standards' primaries, Adobe RGB's from its
/// specification of 1998, 4.3.5.3.
#[test]
fn luminance_rows_are_d65s_again() {
    const SRGB: Matrix = [
        [0.436_074_7, 0.385_064_9, 0.143_080_4],
        [0.222_504_5, 0.716_878_6, 0.060_616_9],
        [0.013_932_2, 0.097_104_5, 0.714_173_3],
    ];
    const DISPLAY_P3: Matrix = [
        [0.515_118_7, 0.291_977_8, 0.157_103_5],
        [0.241_189_2, 0.692_244_1, 0.066_566_8],
        [-0.001_050_5, 0.041_879_1, 0.784_071_3],
    ];
    const ADOBE_RGB: Matrix = [
        [0.609_741_4, 0.205_267_3, 0.149_218_1],
        [0.311_116_4, 0.625_623_8, 0.063_262_5],
        [0.019_475_1, 0.060_865_7, 0.744_610_7],
    ];
    for (colorants, expected) in [
        (SRGB, [0.212639, 0.715169, 0.072192]),
        (DISPLAY_P3, [0.228975, 0.691739, 0.079287]),
        (ADOBE_RGB, [0.29734, 0.62736, 0.07529]),
    ] {
        let mut profile = ColorProfile::new_srgb();
        profile.cicp = None;
        let column = |i: usize| Xyzd { x: colorants[0][i], y: colorants[1][i], z: colorants[2][i] };
        (profile.red_colorant, profile.green_colorant, profile.blue_colorant) =
            (column(0), column(1), column(2));
        let encoding = encoding_of(&profile, Device::Rgb, Depth::Eight);
        for (found, wanted) in encoding.y_row.iter().zip(expected) {
            assert!((found - wanted).abs() < 1e-4, "{:?} against {expected:?}", encoding.y_row);
        }
        let sum: f32 = encoding.y_row.iter().sum();
        assert!((sum - 1.0).abs() < 1e-6);
        assert_eq!(encoding.linear_from_code.each_ref().map(Vec::len), [256; 3]);
    }
}

#[test]
fn srgb_is_known_by_its_numbers_and_others_by_name() {
    let name =
        |profile: &ColorProfile, depth| read(&profile.encode().unwrap(), Device::Rgb, depth).unwrap().name;
    assert_eq!(name(&ColorProfile::new_srgb(), Depth::Eight), None);
    assert_eq!(name(&ColorProfile::new_srgb(), Depth::Sixteen), None);
    assert_eq!(name(&ColorProfile::new_display_p3(), Depth::Eight).as_deref(), Some("Display P3"));
}

/// Linear light of the curve's own formula at both depths.
#[test]
fn grey_stands_in_all_channels() {
    let mut profile = ColorProfile::new_gray_with_gamma(2.2);
    profile.gray_trc = Some(ToneReprCurve::Parametric(vec![2.0]));
    for depth in [Depth::Eight, Depth::Sixteen] {
        let encoding = encoding_of(&profile, Device::Grey, depth);
        let half = depth.codes() / 2;
        let expected = (half as f32 / (depth.codes() - 1) as f32).powi(2);
        for table in &encoding.linear_from_code {
            assert!((table[half] - expected).abs() < 1e-6);
        }
    }
}

#[test]
fn what_cannot_be_used_says_why() {
    let why = |icc: &[u8], device| match read(icc, device, Depth::Eight) {
        Ok(_) => panic!("usable"),
        Err(why) => why,
    };
    assert_eq!(why(&[], Device::Rgb), "it is damaged");
    let grey = ColorProfile::new_gray_with_gamma(2.2).encode().unwrap();
    assert_eq!(why(&grey, Device::Rgb), "it is for grey, the picture is RGB");
    let mut falling = ColorProfile::new_srgb();
    falling.cicp = None;
    falling.green_trc = Some(ToneReprCurve::Lut(vec![65_535, 0]));
    assert_eq!(why(&falling.encode().unwrap(), Device::Rgb), "its curves do not rise");
    let mut flat = ColorProfile::new_srgb();
    flat.cicp = None;
    flat.green_colorant = flat.red_colorant;
    assert_eq!(why(&flat.encode().unwrap(), Device::Rgb), "its colours make no sense");
    let srgb = ColorProfile::new_srgb().encode().unwrap();
    for length in (0..srgb.len()).step_by(13) {
        let _ = read(&srgb[..length], Device::Rgb, Depth::Eight);
    }
}
