//! JPEG, straight to RGB; four inks go by way of their amounts.

mod one_by_one;

use super::collector::Collector;
use super::colour::Channels;
use super::jpeg_input::WatchedInput;
use super::jpeg_segments::{self, Segments};
use super::{Claim, Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Progress};
use std::cell::Cell;
use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

const FORMAT: &str = Kind::Jpeg.name();

/// Decodes the base picture.
pub(super) fn decode(bytes: &[u8], limits: &Limits, progress: &Progress) -> Result<Stored, OpenError> {
    let segments = jpeg_segments::look(bytes, limits.profile_bytes);
    if let Some(what) = segments.unsupported() {
        return Err(OpenError::Unsupported { format: FORMAT, what });
    }
    let channel_by_channel = segments.is_channel_by_channel();
    let Segments { colour, orientation, gain_map, .. } = segments;
    colour.refuse_high_dynamic_range(FORMAT)?;
    let options = DecoderOptions::new_fast()
        .set_max_width(limits.side as usize)
        .set_max_height(limits.side as usize)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let reached = Cell::new(0);
    let input = WatchedInput::new(bytes, progress, (0.0, 0.9), &reached);
    let mut decoder = JpegDecoder::new_with_options(input, options);
    decoder.decode_headers().map_err(broken)?;
    let info = decoder.info().unwrap_or_default();
    let size = (u32::from(info.width), u32::from(info.height));
    let coded = decoder.input_colorspace();
    let (channels, out) = match info.components {
        1 | 3 => (Channels::Rgb, ColorSpace::RGB),
        4 => (Channels::Cmyk, coded.unwrap_or(ColorSpace::CMYK)),
        count => {
            return Err(OpenError::Unsupported { format: FORMAT, what: format!("{count} channels") });
        }
    };
    decoder.set_options(options.jpeg_set_out_colorspace(out));
    // A progressive picture holds coefficients of 2 bytes, one a channel at most, beside the output.
    let count = channels.count();
    limits.admit(FORMAT, size, Claim { peak_bytes: 3 * count as u32, file_bytes: bytes.len() })?;
    let (samples, is_whole) = if channel_by_channel {
        drop(decoder);
        (one_by_one::decode(bytes, size, count)?, true)
    } else {
        let mut samples = vec![0; size.0 as usize * size.1 as usize * count];
        let decoded = decoder.decode_into(&mut samples);
        drop(decoder);
        // Called off, the decoder took the file for cut short.
        progress.reach(0.9)?;
        decoded.map_err(broken)?;
        if channels == Channels::Cmyk {
            inks(&mut samples, coded == Some(ColorSpace::YCCK));
        }
        (samples, ends_at(bytes, reached.get()))
    };
    let mut noticed = Vec::new();
    if gain_map {
        noticed.push(Noticed::GainMapIgnored);
    }
    if !is_whole {
        noticed.push(Noticed::Incomplete);
    }
    let stored = Collector::whole(size, channels, samples, colour, orientation, noticed);
    progress.reach(1.0)?;
    Ok(stored)
}

/// Amounts of ink, in place. Four-channel JPEGs store what is left of white (Adobe's convention, followed by all in
/// practice). With YCCK the first three are inverted once more and coded as YCbCr (ITU-T T.871's equations), so that
/// these come out as amounts.
fn inks(samples: &mut [u8], is_ycck: bool) {
    for pixel in samples.as_chunks_mut::<4>().0 {
        if is_ycck {
            let [cyan, magenta, yellow] = rgb_from_ycc([pixel[0], pixel[1], pixel[2]]);
            *pixel = [cyan, magenta, yellow, 255 - pixel[3]];
        } else {
            *pixel = pixel.map(|sample| 255 - sample);
        }
    }
}

/// ITU-T T.871, full range.
pub(super) fn rgb_from_ycc([y, cb, cr]: [u8; 3]) -> [u8; 3] {
    let [y, cb, cr] = [f32::from(y), f32::from(cb) - 128.0, f32::from(cr) - 128.0];
    let [r, g, b] = [y + 1.402 * cr, y - 0.344_136 * cb - 0.714_136 * cr, y + 1.772 * cb];
    [r, g, b].map(|value| (value + 0.5) as u8)
}

/// Whether the marker for the end of a picture stands where the decoder stopped, give or take what it reads ahead.
///
/// The decoder stops without an error where it meets nonsense, and leaves the rest middle grey.
fn ends_at(bytes: &[u8], position: usize) -> bool {
    const READ_AHEAD: usize = 16;
    let near = position.saturating_sub(READ_AHEAD)..position.saturating_add(READ_AHEAD).min(bytes.len());
    bytes.get(near).unwrap_or_default().windows(2).any(|pair| pair == [0xff, 0xd9])
}

#[allow(clippy::needless_pass_by_value, reason = "it is handed to map_err")]
fn broken(error: DecodeErrors) -> OpenError {
    match error {
        DecodeErrors::LargeDimensions(side) => {
            OpenError::TooLarge { what: format!("a side of {side} pixels is beyond what a JPEG may have") }
        }
        other => OpenError::Broken { format: FORMAT, detail: other.to_string() },
    }
}

#[cfg(test)]
mod tests;
