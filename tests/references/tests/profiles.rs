//! Profiles, held to LittleCMS in floating point: relative colorimetric, no black-point compensation, then D50 to D65
//! by Bradford.

#![allow(clippy::unwrap_used, reason = "a test fails where it stands, its helpers included")]

use lcms2::{CIExyY, CIExyYTRIPLE, Profile, ToneCurve};
use moxcms::{
    ColorProfile, DataColorSpace, LutDataType, LutMultidimensionalType, LutStore, LutType, LutWarehouse,
    Matrix3d, ProfileClass, ToneReprCurve, Vector3d,
};
use std::io::Cursor;
use tiff::encoder::{TiffEncoder, colortype};
use tiff::tags::Tag;
use tonefast_core::{Noticed, OpenOptions, Photo, Progress};
use tonefast_references::{Device, lightness, luminances};

/// What a lossless picture may differ by, in L*: a tenth is under a thirtieth of what a viewer can tell, and above
/// what 8-bit tables and a 16-bit Y cost together.
const LOSSLESS: f64 = 0.1;

/// Samples a side of the cube that is tried: every 17th code, the ends included.
const STEPS: usize = 16;

const D65: CIExyY = CIExyY { x: 0.3127, y: 0.3290, Y: 1.0 };
const D50: CIExyY = CIExyY { x: 0.3457, y: 0.3585, Y: 1.0 };

#[test]
fn matrix_profiles_agree_over_their_cubes() {
    let srgb = Profile::new_srgb();
    // Gammas and curves as LittleCMS writes them: a parametric one, a bare gamma, and a sampled one.
    let srgb_curve =
        ToneCurve::new_parametric(4, &[2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045]).unwrap();
    let gamma = ToneCurve::new(563.0 / 256.0);
    let samples: Vec<u16> =
        (0..=1023_u32).map(|i| ((f64::from(i) / 1023.0).powf(1.8) * 65_535.0) as u16).collect();
    let sampled = ToneCurve::new_tabulated(&samples);
    let p3 = [[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]];
    let adobe = [[0.64, 0.33], [0.21, 0.71], [0.15, 0.06]];
    let wide = [[0.7347, 0.2653], [0.1596, 0.8404], [0.0366, 0.0001]];
    let swapped = [[0.30, 0.60], [0.64, 0.33], [0.15, 0.06]];
    for (name, profile) in [
        ("sRGB", srgb),
        ("Display P3", rgb(D65, p3, &srgb_curve)),
        ("Adobe RGB (1998)", rgb(D65, adobe, &gamma)),
        ("wide gamut, D50", rgb(D50, wide, &sampled)),
        ("red and green swapped", rgb(D65, swapped, &srgb_curve)),
    ] {
        let icc = profile.icc().unwrap();
        let worst = worst_over_cube(&icc);
        println!("{name}: {worst:.3}");
        assert!(worst < LOSSLESS, "{name}: {worst}");
    }
}

/// Ignored, this profile would be wrong by tens: the check above can fail.
#[test]
fn a_swapped_profile_is_honoured() {
    let curve = ToneCurve::new(2.2);
    let icc = rgb(D65, [[0.30, 0.60], [0.64, 0.33], [0.15, 0.06]], &curve).icc().unwrap();
    let red = opened(&png_of(1, 1, png::ColorType::Rgb, &[255, 0, 0], Some(icc)));
    let plain = opened(&png_of(1, 1, png::ColorType::Rgb, &[255, 0, 0], None));
    assert!(l_of(&red, 0) - l_of(&plain, 0) > 20.0);
    assert!(matches!(red.noticed(), [Noticed::Profile { .. }]));
    assert_eq!(plain.noticed(), []);
}

#[test]
fn grey_profiles_agree_at_every_code() {
    for curve in
        [ToneCurve::new(1.8), ToneCurve::new(2.2), ToneCurve::new_tabulated(&[0, 9_000, 30_000, 65_535])]
    {
        let icc = Profile::new_gray(&D50, &curve).unwrap().icc().unwrap();
        let codes: Vec<u8> = (0..=255).collect();
        let photo = opened(&png_of(256, 1, png::ColorType::Grayscale, &codes, Some(icc.clone())));
        let wide: Vec<f64> = codes.iter().map(|&code| f64::from(code) / 255.0).collect();
        let expected = luminances(Some(&icc), Device::Grey, &wide);
        assert!(worst(&photo, &expected) < LOSSLESS);
    }
}

#[test]
fn sixteen_bits_agree_too() {
    let icc = rgb(D65, [[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]], &ToneCurve::new(2.2)).icc().unwrap();
    let words: Vec<u16> = (0..3 * 512_u32).map(|i| (i * 40_503 % 65_536) as u16).collect();
    let bytes: Vec<u8> = words.iter().flat_map(|word| word.to_be_bytes()).collect();
    let mut info = info_of(512, 1, png::ColorType::Rgb, Some(icc.clone()));
    info.bit_depth = png::BitDepth::Sixteen;
    let photo = opened(&encoded(info, &bytes));
    let wide: Vec<f64> = words.iter().map(|&word| f64::from(word) / 65_535.0).collect();
    assert!(worst(&photo, &luminances(Some(&icc), Device::Rgb, &wide)) < LOSSLESS);
}

#[test]
fn table_profiles_for_rgb_agree() {
    for (name, table, pcs) in [
        ("lut16, Lab", LutWarehouse::Lut(plain(LutType::Lut16, 3, 9)), DataColorSpace::Lab),
        ("lut8, Lab", LutWarehouse::Lut(plain(LutType::Lut8, 3, 9)), DataColorSpace::Lab),
        ("lutAToB, XYZ", LutWarehouse::Multidimensional(multidimensional(false)), DataColorSpace::Xyz),
        (
            "lutAToB with a grid, XYZ",
            LutWarehouse::Multidimensional(multidimensional(true)),
            DataColorSpace::Xyz,
        ),
    ] {
        let icc = table_profile(DataColorSpace::Rgb, pcs, table);
        let worst = worst_over_cube(&icc);
        println!("{name}: {worst:.3}");
        assert!(worst < LOSSLESS, "{name}: {worst}");
    }
}

#[test]
fn table_profiles_for_inks_agree() {
    for lut_type in [LutType::Lut16, LutType::Lut8] {
        let table = LutWarehouse::Lut(plain(lut_type, 4, 5));
        let icc = table_profile(DataColorSpace::Cmyk, DataColorSpace::Lab, table);
        let inks: Vec<u8> = (0..4 * 4096_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
        let mut bytes = Vec::new();
        let mut encoder = TiffEncoder::new(Cursor::new(&mut bytes)).unwrap();
        let mut page = encoder.new_image::<colortype::CMYK8>(64, 64).unwrap();
        page.encoder().write_tag(Tag::IccProfile, &icc[..]).unwrap();
        page.write_data(&inks).unwrap();
        let photo = opened(&bytes);
        assert!(matches!(photo.noticed(), [Noticed::Profile { .. }]), "{:?}", photo.noticed());
        // LittleCMS counts inks in per cent.
        let percent: Vec<f64> = inks.iter().map(|&ink| f64::from(ink) / 2.55).collect();
        let worst = worst(&photo, &luminances(Some(&icc), Device::Cmyk, &percent));
        println!("{lut_type:?}: {worst:.3}");
        assert!(worst < LOSSLESS, "{worst}");
    }
}

fn rgb(white: CIExyY, [red, green, blue]: [[f64; 2]; 3], curve: &ToneCurve) -> Profile {
    let point = |[x, y]: [f64; 2]| CIExyY { x, y, Y: 1.0 };
    let primaries = CIExyYTRIPLE { Red: point(red), Green: point(green), Blue: point(blue) };
    Profile::new_rgb(&white, &primaries, &[curve, curve, curve]).unwrap()
}

/// Worst |ΔL*| over a cube of 8-bit colours.
fn worst_over_cube(icc: &[u8]) -> f64 {
    let code = |step: usize| (step * 255 / (STEPS - 1)) as u8;
    let mut codes = Vec::new();
    for r in 0..STEPS {
        for g in 0..STEPS {
            for b in 0..STEPS {
                codes.extend([code(r), code(g), code(b)]);
            }
        }
    }
    let (width, height) = ((STEPS * STEPS) as u32, STEPS as u32);
    let photo = opened(&png_of(width, height, png::ColorType::Rgb, &codes, Some(icc.to_vec())));
    let unusable = photo.noticed().iter().any(|noticed| matches!(noticed, Noticed::ProfileUnusable { .. }));
    assert!(!unusable, "{:?}", photo.noticed());
    let wide: Vec<f64> = codes.iter().map(|&code| f64::from(code) / 255.0).collect();
    worst(&photo, &luminances(Some(icc), Device::Rgb, &wide))
}

fn worst(photo: &Photo, expected: &[f64]) -> f64 {
    assert_eq!(photo.tonal_map().codes().len(), expected.len());
    (0..expected.len())
        .map(|pixel| (l_of(photo, pixel) - lightness(expected[pixel].clamp(0.0, 1.0))).abs())
        .fold(0.0, f64::max)
}

fn l_of(photo: &Photo, pixel: usize) -> f64 {
    lightness(f64::from(photo.tonal_map().codes()[pixel]) / 65_535.0)
}

fn opened(bytes: &[u8]) -> Photo {
    Photo::open(bytes, &OpenOptions { working_side: None }, &Progress::new()).unwrap()
}

fn png_of(width: u32, height: u32, color: png::ColorType, data: &[u8], icc: Option<Vec<u8>>) -> Vec<u8> {
    encoded(info_of(width, height, color, icc), data)
}

fn info_of(width: u32, height: u32, color: png::ColorType, icc: Option<Vec<u8>>) -> png::Info<'static> {
    let mut info = png::Info::with_size(width, height);
    info.color_type = color;
    info.icc_profile = icc.map(Into::into);
    info
}

fn encoded(info: png::Info<'_>, data: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut writer = png::Encoder::with_info(&mut bytes, info).unwrap().write_header().unwrap();
    writer.write_image_data(data).unwrap();
    writer.finish().unwrap();
    bytes
}

/// A profile whose colorimetric table is the one given.
fn table_profile(space: DataColorSpace, pcs: DataColorSpace, table: LutWarehouse) -> Vec<u8> {
    let mut profile = ColorProfile::new_srgb();
    profile.cicp = None;
    (profile.red_trc, profile.green_trc, profile.blue_trc) = (None, None, None);
    profile.color_space = space;
    profile.pcs = pcs;
    profile.profile_class = ProfileClass::OutputDevice;
    profile.lut_a_to_b_perceptual = Some(table.clone());
    profile.lut_a_to_b_colorimetric = Some(table);
    profile.encode().unwrap()
}

/// lut8Type or lut16Type to Lab, of made-up colours that bend: lightness falls with the square of what is put on, and
/// a* and b* swing with it.
fn plain(lut_type: LutType, inputs: u8, points: u8) -> LutDataType {
    let is_wide = lut_type == LutType::Lut16;
    let store = |values: Vec<f64>| {
        let full = if is_wide { 65_535.0 } else { 255.0 };
        if is_wide {
            LutStore::Store16(values.into_iter().map(|value| (value * full + 0.5) as u16).collect())
        } else {
            LutStore::Store8(values.into_iter().map(|value| (value * full + 0.5) as u8).collect())
        }
    };
    let entries = if is_wide { 33_u16 } else { 256 };
    let curve = |gamma: f64| {
        let last = f64::from(entries - 1);
        (0..entries).map(move |i| (f64::from(i) / last).powf(gamma))
    };
    let count = usize::from(points).pow(u32::from(inputs));
    let mut grid = Vec::with_capacity(3 * count);
    for entry in 0..count {
        let mut rest = entry;
        let mut at = vec![0.0; usize::from(inputs)];
        for value in at.iter_mut().rev() {
            *value = (rest % usize::from(points)) as f64 / f64::from(points - 1);
            rest /= usize::from(points);
        }
        let put_on = at.iter().sum::<f64>() / f64::from(inputs);
        let lightness = if inputs == 4 { 1.0 - put_on * put_on } else { put_on * put_on };
        grid.extend([lightness * 0.99, 0.5 + 0.2 * (at[0] - at[1]), 0.5 + 0.2 * (at[1] - at[2])]);
    }
    LutDataType {
        num_input_channels: inputs,
        num_output_channels: 3,
        num_clut_grid_points: points,
        matrix: Matrix3d::IDENTITY,
        num_input_table_entries: entries,
        num_output_table_entries: entries,
        input_table: store((0..inputs).flat_map(|channel| curve(1.0 + 0.3 * f64::from(channel))).collect()),
        clut_table: store(grid),
        output_table: store((0..3).flat_map(|channel| curve(if channel == 0 { 0.9 } else { 1.0 })).collect()),
        lut_type,
    }
}

/// lutAToBType to XYZ: gamma curves, sRGB's matrix under D50 in the connection space's scale, and a grid before them.
fn multidimensional(has_grid: bool) -> LutMultidimensionalType {
    const FULL: f64 = 1.0 + 32_767.0 / 32_768.0;
    let matrix = [
        [0.436_074_7, 0.385_064_9, 0.143_080_4],
        [0.222_504_5, 0.716_878_6, 0.060_616_9],
        [0.013_932_2, 0.097_104_5, 0.714_173_3],
    ];
    let curves = |gamma: f32| vec![ToneReprCurve::Parametric(vec![gamma]); 3];
    let mut grid_points = [0; 16];
    grid_points[..3].fill(5);
    let bent = |step: usize| ((step as f64 / 4.0).powf(1.3) * 65_535.0 + 0.5) as u16;
    let mut entries = Vec::new();
    for r in 0..5 {
        for g in 0..5 {
            for b in 0..5 {
                entries.extend([bent(r), bent(g), bent(b)]);
            }
        }
    }
    LutMultidimensionalType {
        num_input_channels: 3,
        num_output_channels: 3,
        grid_points: if has_grid { grid_points } else { [0; 16] },
        clut: has_grid.then_some(LutStore::Store16(entries)),
        a_curves: if has_grid { curves(1.1) } else { Vec::new() },
        b_curves: curves(1.0),
        m_curves: curves(2.2),
        matrix: Matrix3d { v: matrix.map(|row| row.map(|value| value / FULL)) },
        bias: Vector3d { v: [0.0; 3] },
    }
}
