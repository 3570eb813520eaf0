//! Embedded ICC profiles, taken to linear light (ICC.1:2022).

use super::encoding::{Depth, table_of};
use super::primaries::{D50_XYZ, D65, Matrix, Primaries, bradford, times, xyz_of};
use super::stored::Encoding;
use crate::lightness::srgb_decode;
use curve::Curve;
pub(crate) use lookup::Lookup;
use moxcms::{ColorProfile, DataColorSpace, ParsingOptions, ProfileClass, ProfileText};

mod curve;
mod grid;
mod lookup;

/// A profile that can be used, for samples of one depth.
pub(crate) struct Profile {
    /// Its own name; `None` where it is sRGB by its numbers, whatever it is called.
    pub(crate) name: Option<String>,
    /// How samples become linear light.
    pub(crate) way: Way,
}

/// How samples become linear light.
pub(crate) enum Way {
    /// By a table a channel and a matrix. Grey samples stand in all three channels.
    Tables(Encoding),
    /// Through the profile's own tables of colours, pixel by pixel, to [`Lookup`]'s encoding.
    Lookup(Box<Lookup>),
}

/// Colour spaces of samples that a profile can be for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Device {
    Grey,
    Rgb,
    Cmyk,
}

/// Reads a profile for samples of `device`, `depth` bits each. Relative colorimetric, without black-point
/// compensation; D50 becomes D65 by Bradford.
///
/// # Errors
/// Why it cannot be used, in words that go on from "colour profile not usable".
pub(crate) fn read(icc: &[u8], device: Device, depth: Depth) -> Result<Profile, String> {
    // Curves of 65,536 entries are legal and longer than what the parser allows by default.
    let options = ParsingOptions { max_allowed_trc_size: 65_536, ..ParsingOptions::default() };
    let profile =
        ColorProfile::new_from_slice_with_options(icc, options).map_err(|_| "it is damaged".to_owned())?;
    match profile.profile_class {
        ProfileClass::InputDevice
        | ProfileClass::DisplayDevice
        | ProfileClass::OutputDevice
        | ProfileClass::ColorSpace => {}
        ProfileClass::DeviceLink | ProfileClass::Abstract | ProfileClass::Named => {
            return Err("it does not describe a picture's colours".to_owned());
        }
    }
    let name = Some(name_of(&profile));
    let table = profile.lut_a_to_b_colorimetric.as_ref().or(profile.lut_a_to_b_perceptual.as_ref());
    match (profile.color_space, device) {
        (DataColorSpace::Rgb, Device::Grey | Device::Rgb) | (DataColorSpace::Cmyk, Device::Cmyk) => {
            if let Some(table) = table {
                let lookup = Lookup::new(table, profile.pcs, depth)?;
                return Ok(Profile { name, way: Way::Lookup(Box::new(lookup)) });
            }
            let encoding = matrix_encoding(&profile, depth)?;
            let name = if is_srgb(&encoding, depth) { None } else { name };
            Ok(Profile { name, way: Way::Tables(encoding) })
        }
        (DataColorSpace::Gray, Device::Grey) => {
            Ok(Profile { name, way: Way::Tables(grey_encoding(&profile, depth)?) })
        }
        (space, _) => Err(format!("it is for {}, the picture is {}", space_name(space), device_name(device))),
    }
}

/// The transfer's code point (ITU-T H.273) in a profile's cicp tag.
pub(crate) fn transfer_code_point(icc: &[u8]) -> Option<u8> {
    const TAG_COUNT: usize = 128;
    let count = u32::from_be_bytes(*icc.get(TAG_COUNT..)?.first_chunk()?) as usize;
    let mut tags = icc.get(TAG_COUNT + 4..)?.chunks_exact(12).take(count);
    let tag = tags.find(|tag| tag.starts_with(b"cicp"))?;
    let offset = u32::from_be_bytes(*tag.get(4..)?.first_chunk()?) as usize;
    // The type's name, four zeros, then primaries and transfer.
    icc.get(offset.checked_add(9)?).copied()
}

fn device_name(device: Device) -> &'static str {
    match device {
        Device::Grey => "grey",
        Device::Rgb => "RGB",
        Device::Cmyk => "four inks",
    }
}

fn space_name(space: DataColorSpace) -> &'static str {
    match space {
        DataColorSpace::Gray => "grey",
        DataColorSpace::Rgb => "RGB",
        DataColorSpace::Cmyk => "four inks",
        _ => "another kind of colours",
    }
}

/// Three curves and three colorants. The colorants are relative to D50 in every version of the specification.
fn matrix_encoding(profile: &ColorProfile, depth: Depth) -> Result<Encoding, String> {
    let incomplete = || "it is incomplete".to_owned();
    let mut tables = Vec::with_capacity(3);
    for curve in [&profile.red_trc, &profile.green_trc, &profile.blue_trc] {
        let curve = Curve::new(curve.as_ref().ok_or_else(incomplete)?).ok_or_else(incomplete)?;
        tables.push(table_of(|encoded| curve.at(encoded), depth).ok_or("its curves do not rise")?);
    }
    let tables: [Vec<f32>; 3] = tables.try_into().map_err(|_| incomplete())?;
    let xyz_d50_from_rgb: Matrix = profile.colorant_matrix().v;
    let xyz_d65_from_rgb = times(&d65_from_d50().ok_or_else(incomplete)?, &xyz_d50_from_rgb);
    Encoding::from_tables(tables, &xyz_d65_from_rgb).ok_or_else(|| "its colours make no sense".to_owned())
}

/// One curve, to Y or to L* of the connection space; a grey is neutral under whatever white.
fn grey_encoding(profile: &ColorProfile, depth: Depth) -> Result<Encoding, String> {
    let curve = profile.gray_trc.as_ref().and_then(Curve::new).ok_or("it is incomplete")?;
    let to_lightness = profile.pcs == DataColorSpace::Lab;
    let linear = |encoded: f64| {
        let value = curve.at(encoded);
        if to_lightness {
            lookup::relative_from_f(((value * 100.0) as f32 + 16.0) / 116.0).into()
        } else {
            value
        }
    };
    let table = table_of(linear, depth).ok_or("its curve does not rise")?;
    let xyz_from_rgb = Primaries::BT709.xyz_d65_from_rgb().ok_or("it is incomplete")?;
    Encoding::from_tables([table.clone(), table.clone(), table], &xyz_from_rgb)
        .ok_or_else(|| "it is incomplete".to_owned())
}

/// The change of white from the connection space to ours.
fn d65_from_d50() -> Option<Matrix> {
    bradford(D50_XYZ, xyz_of(D65))
}

/// Whether an encoding is sRGB by its numbers. The profiles in use differ from the standard by their rounding and by
/// how their makers adapted D65 to D50: up to .002 in the curves and .004 in the matrix.
fn is_srgb(encoding: &Encoding, depth: Depth) -> bool {
    const CURVE: f32 = 0.002;
    const MATRIX: f32 = 0.004;
    let last = (depth.codes() - 1) as f64;
    let near_curve = |table: &Vec<f32>| {
        table
            .iter()
            .enumerate()
            .all(|(code, linear)| (linear - srgb_decode(code as f64 / last) as f32).abs() < CURVE)
    };
    let near_matrix = encoding.srgb_from_source.iter().enumerate().all(|(row, values)| {
        values.iter().enumerate().all(|(column, value)| {
            let identity = if row == column { 1.0 } else { 0.0 };
            (value - identity).abs() < MATRIX
        })
    });
    near_matrix && encoding.linear_from_code.iter().all(near_curve)
}

/// The profile's description, made fit for one line.
fn name_of(profile: &ColorProfile) -> String {
    const LONGEST: usize = 60;
    let text = match &profile.description {
        Some(ProfileText::PlainString(text)) => text.as_str(),
        Some(ProfileText::Localizable(texts)) => texts
            .iter()
            .find(|text| text.language == "en")
            .or(texts.first())
            .map_or("", |text| text.value.as_str()),
        Some(ProfileText::Description(texts)) => texts.ascii_string.as_str(),
        None => "",
    };
    let name: String = text.chars().filter(|c| !c.is_control()).take(LONGEST).collect();
    if name.trim().is_empty() { "without a name".to_owned() } else { name.trim().to_owned() }
}

#[cfg(test)]
mod tests;
