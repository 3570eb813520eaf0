//! Device colours to luminance by LittleCMS, in floating point.

use crate::colorimetry::luminance_d65_from_d50;
use lcms2::{Flags, Intent, PixelFormat, Pod, Profile, Transform};

/// Channels of a device colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Device {
    /// One, 0–1.
    Grey,
    /// Three, 0–1.
    Rgb,
    /// Four, in per cent of ink.
    Cmyk,
}

/// Luminance under D65 of interleaved device colours: relative colorimetric, no black-point compensation, D50 to D65
/// by Bradford. Without a profile they are sRGB, LittleCMS's own.
///
/// # Panics
/// Where the profile is none.
#[must_use]
pub fn luminances(icc: Option<&[u8]>, device: Device, colours: &[f64]) -> Vec<f64> {
    let profile = icc.map_or_else(Profile::new_srgb, |icc| Profile::new_icc(icc).expect("a profile"));
    let xyz = match device {
        Device::Grey => transformed(&profile, PixelFormat::GRAY_DBL, colours.as_chunks::<1>().0),
        Device::Rgb => transformed(&profile, PixelFormat::RGB_DBL, colours.as_chunks::<3>().0),
        Device::Cmyk => transformed(&profile, PixelFormat::CMYK_DBL, colours.as_chunks::<4>().0),
    };
    xyz.into_iter().map(luminance_d65_from_d50).collect()
}

fn transformed<Colour: Pod>(profile: &Profile, format: PixelFormat, colours: &[Colour]) -> Vec<[f64; 3]> {
    let flags = Flags::NO_OPTIMIZE | Flags::NO_CACHE;
    let intent = Intent::RelativeColorimetric;
    let to = Profile::new_xyz();
    let transform = Transform::new_flags(profile, format, &to, PixelFormat::XYZ_DBL, intent, flags)
        .expect("a profile that LittleCMS takes");
    let mut xyz = vec![[0.0; 3]; colours.len()];
    transform.transform_pixels(colours, &mut xyz);
    xyz
}
