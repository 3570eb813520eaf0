//! JPEG, straight to RGB.

use super::collector::Collector;
use super::colour::Channels;
use super::jpeg_segments::{self, Segments};
use super::{Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Progress};
use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

const FORMAT: &str = Kind::Jpeg.name();

/// Decodes the base picture.
pub(super) fn decode(bytes: &[u8], limits: &Limits, progress: &Progress) -> Result<Stored, OpenError> {
    let options = DecoderOptions::new_fast()
        .set_max_width(limits.side as usize)
        .set_max_height(limits.side as usize)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(broken)?;
    let info = decoder.info().unwrap_or_default();
    let (width, height) = (u32::from(info.width), u32::from(info.height));
    // A progressive picture holds its coefficients, 2 bytes each, 3 a pixel at most, beside the 3 bytes of ours.
    limits.admit(FORMAT, width, height, 9)?;
    let Segments { colour, orientation, gain_map, scan } = jpeg_segments::look(bytes, limits.profile_bytes);
    progress.reach(0.05)?;
    let mut samples = vec![0; width as usize * height as usize * 3];
    decoder.decode_into(&mut samples).map_err(broken)?;
    progress.reach(1.0)?;
    let mut noticed = Vec::new();
    if gain_map {
        noticed.push(Noticed::GainMapIgnored);
    }
    if !ends(bytes.get(scan..).unwrap_or_default()) {
        noticed.push(Noticed::Incomplete);
    }
    Ok(Collector::whole((width, height), Channels::Rgb, samples, colour, orientation, noticed))
}

/// Whether the marker for the end of a picture stands anywhere in the scans; it is looked for from the end.
fn ends(scans: &[u8]) -> bool {
    scans.windows(2).rev().any(|pair| pair == [0xff, 0xd9])
}

#[allow(clippy::needless_pass_by_value, reason = "it is handed to map_err")]
fn broken(error: DecodeErrors) -> OpenError {
    match error {
        DecodeErrors::Unsupported(what) => {
            OpenError::Unsupported { format: FORMAT, what: format!("{what:?}") }
        }
        DecodeErrors::LargeDimensions(side) => {
            OpenError::TooLarge { what: format!("a side of {side} pixels is beyond what a JPEG may have") }
        }
        other => OpenError::Broken { format: FORMAT, detail: other.to_string() },
    }
}
