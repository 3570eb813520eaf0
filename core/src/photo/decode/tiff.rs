//! TIFF: the first page.

use super::collector::Collector;
use super::colour::{Channels, Colour};
use super::tiff_input::AsGrey;
use super::tiff_samples::{self, Alpha};
use super::{Claim, Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Orientation, Progress, exif};
use tiff::decoder::{Decoder, DecodingResult};
use tiff::tags::Tag;
use tiff::{ColorType, TiffError};

const FORMAT: &str = Kind::Tiff.name();

type Source<'a> = Decoder<AsGrey<'a>>;

/// Decodes the first page.
pub(super) fn decode(bytes: &[u8], limits: &Limits, progress: &Progress) -> Result<Stored, OpenError> {
    let (input, is_palette) = AsGrey::new(bytes);
    let mut decoder = Decoder::new(input).map_err(broken)?;
    let mut within = tiff::decoder::Limits::default();
    within.decoding_buffer_size = usize::try_from(limits.memory).unwrap_or(usize::MAX);
    within.ifd_value_size = limits.profile_bytes;
    decoder = decoder.with_limits(within);
    if is_camera_raw(&mut decoder) {
        return Err(OpenError::Unrecognised { found: Some("a camera's raw picture") });
    }
    let size = decoder.dimensions().map_err(broken)?;
    let color = decoder.colortype().map_err(broken)?;
    let (channels, bits) = channels_of(color, is_palette)?;
    // The page as it is stored, one plane beside another, and ours.
    let stored_bytes = channels.count() as u32 * u32::from(bits).div_ceil(8);
    let peak_bytes = 2 * stored_bytes + if bits > 8 { 6 } else { 3 };
    limits.admit(FORMAT, size, Claim { peak_bytes, file_bytes: bytes.len() })?;
    refuse_other_numbers(&mut decoder)?;
    if matches!(decoder.find_tag_unsigned::<u32>(Tag::FillOrder), Ok(Some(2))) {
        return Err(unsupported("bits stored back to front"));
    }
    let alpha = alpha_of(&mut decoder);
    let palette =
        if is_palette { Some(decoder.get_tag_u16_vec(Tag::ColorMap).map_err(broken)?) } else { None };
    let colour = colour_of(&mut decoder, limits);
    let orientation = orientation_of(&mut decoder);
    let noticed = if decoder.more_images() { vec![Noticed::FirstOfSeveral] } else { Vec::new() };
    progress.reach(0.1)?;
    let page = read(&mut decoder, channels.count())?;
    progress.reach(0.8)?;
    let width = size.0 as usize;
    let stored = match (page, palette) {
        (DecodingResult::U8(packed), Some(palette)) => {
            let samples = tiff_samples::from_palette(&packed, width, bits, &palette);
            Collector::whole(size, Channels::Rgb, samples, colour, orientation, noticed)
        }
        (DecodingResult::U8(packed), None) if bits < 8 => {
            let samples = tiff_samples::spread(&packed, width * channels.count(), bits);
            Collector::whole(size, channels, samples, colour, orientation, noticed)
        }
        (DecodingResult::U8(mut samples), None) if matches!(color, ColorType::YCbCr(_)) => {
            // The parts were packed as JPEGs, which the library leaves as YCbCr, brought to full size.
            for pixel in samples.as_chunks_mut::<3>().0 {
                *pixel = tiff_samples::rgb_from_ycc(*pixel);
            }
            Collector::whole(size, channels, samples, colour, orientation, noticed)
        }
        (DecodingResult::U8(mut samples), None) => {
            alpha.settle(&mut samples, channels);
            Collector::whole(size, channels, samples, colour, orientation, noticed)
        }
        (DecodingResult::U16(mut samples), None) => {
            alpha.settle(&mut samples, channels);
            Collector::whole(size, channels, samples, colour, orientation, noticed)
        }
        _ => return Err(unsupported("an unusual kind of samples")),
    };
    progress.reach(1.0)?;
    Ok(stored)
}

/// Raw pictures within TIFF: DNG by its version, others by a small first page that points to hidden ones, or by the
/// photometric interpretation of a colour filter array.
fn is_camera_raw(decoder: &mut Source<'_>) -> bool {
    const DNG_VERSION: Tag = Tag::Unknown(50_706);
    const COLOUR_FILTER_ARRAY: u32 = 32_803;
    let has = |decoder: &mut Source<'_>, tag| matches!(decoder.find_tag(tag), Ok(Some(_)));
    let number = |decoder: &mut Source<'_>, tag| decoder.find_tag_unsigned::<u32>(tag).ok().flatten();
    let is_reduced = number(decoder, Tag::NewSubfileType).is_some_and(|kind| kind & 1 == 1);
    has(decoder, DNG_VERSION)
        || (is_reduced && has(decoder, Tag::SubIfd))
        || number(decoder, Tag::PhotometricInterpretation) == Some(COLOUR_FILTER_ARRAY)
}

/// Channels and bits a sample.
fn channels_of(color: ColorType, is_palette: bool) -> Result<(Channels, u8), OpenError> {
    let (channels, bits) = match color {
        ColorType::Gray(bits) => (Channels::Grey, bits),
        ColorType::GrayA(bits) => (Channels::GreyAlpha, bits),
        ColorType::RGB(bits) => (Channels::Rgb, bits),
        ColorType::RGBA(bits) => (Channels::RgbAlpha, bits),
        ColorType::CMYK(bits) => (Channels::Cmyk, bits),
        ColorType::YCbCr(bits) => (Channels::Rgb, bits),
        ColorType::Lab(_) => return Err(unsupported("CIELAB colours")),
        _ => return Err(unsupported("an unusual number of channels")),
    };
    let is_ycc = matches!(color, ColorType::YCbCr(_));
    match bits {
        _ if is_palette && channels != Channels::Grey => return Err(unsupported("a palette with opacity")),
        8 => {}
        16 if !is_palette && !is_ycc => {}
        1 | 2 | 4 if channels == Channels::Grey => {}
        _ => return Err(unsupported(&format!("{bits} bits a sample"))),
    }
    Ok((channels, bits))
}

/// Refuses samples that are no whole numbers from zero up.
fn refuse_other_numbers(decoder: &mut Source<'_>) -> Result<(), OpenError> {
    const WHOLE: u16 = 1;
    const UNDEFINED: u16 = 4;
    let formats =
        decoder.find_tag_unsigned_vec::<u16>(Tag::SampleFormat).map_err(broken)?.unwrap_or_default();
    match formats.iter().find(|&&format| format != WHOLE && format != UNDEFINED) {
        None => Ok(()),
        Some(3) => Err(unsupported("floating-point samples")),
        Some(_) => Err(unsupported("samples below zero")),
    }
}

/// What the fourth (or second) channel is for.
fn alpha_of(decoder: &mut Source<'_>) -> Alpha {
    let extra = decoder.find_tag_unsigned_vec::<u16>(Tag::ExtraSamples).ok().flatten();
    match extra.as_deref() {
        Some([1, ..]) => Alpha::MultipliedIn,
        Some([2, ..]) => Alpha::Separate,
        _ => Alpha::None,
    }
}

fn colour_of(decoder: &mut Source<'_>, limits: &Limits) -> Colour {
    match decoder.find_tag(Tag::IccProfile) {
        Ok(None) => Colour::Untagged,
        Ok(Some(value)) => match value.into_u8_vec() {
            Ok(profile) if profile.len() <= limits.profile_bytes => Colour::Icc(profile),
            Ok(_) => Colour::Unusable("it is too long".to_owned()),
            Err(_) => Colour::Unusable("it is damaged".to_owned()),
        },
        Err(TiffError::LimitsExceeded) => Colour::Unusable("it is too long".to_owned()),
        Err(_) => Colour::Unusable("it is damaged".to_owned()),
    }
}

fn orientation_of(decoder: &mut Source<'_>) -> Orientation {
    const XMP: Tag = Tag::Unknown(700);
    if let Ok(Some(value)) = decoder.find_tag_unsigned::<u32>(Tag::Orientation) {
        return Orientation::from_exif(value);
    }
    let packet = decoder.find_tag(XMP).ok().flatten().and_then(|value| value.into_u8_vec().ok());
    packet.and_then(|packet| exif::orientation_in_xmp(&packet)).unwrap_or(Orientation::UPRIGHT)
}

/// The whole page, its planes interleaved.
fn read(decoder: &mut Source<'_>, channels: usize) -> Result<DecodingResult, OpenError> {
    let mut page = DecodingResult::U8(Vec::new());
    let layout = decoder.read_image_to_buffer(&mut page).map_err(broken)?;
    if layout.planes <= 1 {
        return Ok(page);
    }
    if layout.planes != channels {
        return Err(unsupported("an unusual number of planes"));
    }
    match page {
        DecodingResult::U8(planes) => Ok(DecodingResult::U8(tiff_samples::interleaved(&planes, channels))),
        DecodingResult::U16(planes) => Ok(DecodingResult::U16(tiff_samples::interleaved(&planes, channels))),
        other => Ok(other),
    }
}

fn unsupported(what: &str) -> OpenError {
    OpenError::Unsupported { format: FORMAT, what: what.to_owned() }
}

#[allow(clippy::needless_pass_by_value, reason = "it is handed to map_err")]
fn broken(error: TiffError) -> OpenError {
    match error {
        TiffError::UnsupportedError(what) => unsupported(&format!("something rare ({what})")),
        TiffError::LimitsExceeded => {
            OpenError::TooLarge { what: "its page needs more memory than is set aside".to_owned() }
        }
        other => OpenError::Broken { format: FORMAT, detail: other.to_string() },
    }
}

#[cfg(test)]
mod tests;
