//! WebP, GIF and BMP: the first frame, through one interface.

use super::collector::Collector;
use super::colour::{Channels, Colour};
use super::gif_frames;
use super::{Claim, Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Orientation, Progress, exif};
use image::codecs::{bmp::BmpDecoder, gif::GifDecoder, webp::WebPDecoder};
use image::{ColorType, ImageDecoder, ImageError};
use std::io::Cursor;

/// Decodes the first frame.
pub(super) fn decode(
    kind: Kind,
    bytes: &[u8],
    limits: &Limits,
    progress: &Progress,
) -> Result<Stored, OpenError> {
    let input = Cursor::new(bytes);
    let broken = |error: ImageError| broken(kind, &error);
    match kind {
        Kind::WebP => {
            let decoder = WebPDecoder::new(input).map_err(broken)?;
            let noticed = several(decoder.has_animation());
            run(kind, decoder, noticed, bytes.len(), (limits, progress))
        }
        Kind::Gif => {
            let decoder = GifDecoder::new(input).map_err(broken)?;
            run(kind, decoder, several(gif_frames::several(bytes)), bytes.len(), (limits, progress))
        }
        _ => run(kind, BmpDecoder::new(input).map_err(broken)?, Vec::new(), bytes.len(), (limits, progress)),
    }
}

fn several(there_are: bool) -> Vec<Noticed> {
    if there_are { vec![Noticed::FirstOfSeveral] } else { Vec::new() }
}

fn run(
    kind: Kind,
    mut decoder: impl ImageDecoder,
    noticed: Vec<Noticed>,
    file_bytes: usize,
    (limits, progress): (&Limits, &Progress),
) -> Result<Stored, OpenError> {
    let (width, height) = decoder.dimensions();
    // The decoder's four channels, its own planes or canvas, and ours.
    limits.admit(kind.name(), (width, height), Claim { peak_bytes: 12, file_bytes })?;
    let channels = match decoder.color_type() {
        ColorType::L8 => Channels::Grey,
        ColorType::La8 => Channels::GreyAlpha,
        ColorType::Rgb8 => Channels::Rgb,
        ColorType::Rgba8 => Channels::RgbAlpha,
        other => {
            return Err(OpenError::Unsupported {
                format: kind.name(),
                what: format!("samples of kind {other:?}"),
            });
        }
    };
    let colour = match decoder.icc_profile() {
        Ok(Some(profile)) if profile.len() > limits.profile_bytes => {
            Colour::Unusable("it is too long".to_owned())
        }
        Ok(Some(profile)) => Colour::Icc(profile),
        Ok(None) | Err(_) => Colour::Untagged,
    };
    let mut orientation = decoder.exif_metadata().ok().flatten().and_then(|block| exif::orientation(&block));
    if orientation.is_none() {
        orientation =
            decoder.xmp_metadata().ok().flatten().and_then(|packet| exif::orientation_in_xmp(&packet));
    }
    let orientation = orientation.unwrap_or(Orientation::UPRIGHT);
    progress.reach(0.1)?;
    let mut samples = vec![0; width as usize * height as usize * channels.count()];
    decoder.read_image(&mut samples).map_err(|error| broken(kind, &error))?;
    progress.reach(0.8)?;
    Ok(Collector::whole((width, height), channels, samples, colour, orientation, noticed))
}

fn broken(kind: Kind, error: &ImageError) -> OpenError {
    let format = kind.name();
    match error {
        ImageError::Unsupported(unsupported) => {
            OpenError::Unsupported { format, what: unsupported.to_string() }
        }
        ImageError::Limits(limits) => OpenError::TooLarge { what: limits.to_string() },
        other => OpenError::Broken { format, detail: other.to_string() },
    }
}
