//! JPEG by libjpeg, straight to RGB; four inks go by way of their amounts.

mod rows;

use super::collector::Collector;
use super::colour::Channels;
use super::jpeg_segments::{self, Segments};
use super::{Claim, Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Progress};
use mozjpeg::ColorSpace;
use rows::{Header, Input};
use std::cell::Cell;

const FORMAT: &str = Kind::Jpeg.name();

/// Scans that a picture may have: those in use have about ten, and each goes over all of the picture, however few its
/// bytes.
const MOST_SCANS: usize = 100;

/// Bytes that may be left over at the end of a sound picture, since encoders pad.
const LEFT_OVER: usize = 16;

/// Rows between two looks at the progress.
const ROWS_A_GO: usize = 64;

/// Decodes the base picture.
pub(super) fn decode(bytes: &[u8], limits: &Limits, progress: &Progress) -> Result<Stored, OpenError> {
    let segments = jpeg_segments::look(bytes, limits.profile_bytes);
    if let Some(what) = segments.unsupported() {
        return Err(OpenError::Unsupported { format: FORMAT, what });
    }
    let stop = if segments.has_several_scans() {
        let scans = segments.scans(bytes, MOST_SCANS + 1);
        if scans > MOST_SCANS {
            let what = format!("more than {MOST_SCANS} scans");
            return Err(OpenError::Unsupported { format: FORMAT, what });
        }
        0
    } else {
        segments.end_of_first_scan(bytes).saturating_sub(LEFT_OVER)
    };
    let Segments { colour, orientation, gain_map, .. } = segments;
    colour.refuse_high_dynamic_range(FORMAT)?;
    let past_stop = Cell::new(false);
    let header = Header::read(Input { bytes, progress, stop, past_stop: &past_stop })?;
    let size = header.size();
    let (channels, space) = match header.channels() {
        1 | 3 => (Channels::Rgb, ColorSpace::JCS_RGB),
        4 => (Channels::Cmyk, ColorSpace::JCS_CMYK),
        count => {
            return Err(OpenError::Unsupported { format: FORMAT, what: format!("{count} channels") });
        }
    };
    // A picture of several scans holds coefficients of 2 bytes, one a channel at most, beside the output.
    let count = channels.count();
    limits.admit(FORMAT, size, Claim { peak_bytes: 3 * count as u32, file_bytes: bytes.len() })?;
    let mut rows = header.start(space)?;
    let mut samples = vec![0; size.0 as usize * size.1 as usize * count];
    for some in samples.chunks_mut(size.0 as usize * count * ROWS_A_GO) {
        rows.read(some)?;
    }
    if channels == Channels::Cmyk {
        // Four-channel JPEGs store what is left of white (Adobe's convention, followed by all in practice).
        samples.iter_mut().for_each(|sample| *sample = 255 - *sample);
    }
    let mut noticed = Vec::new();
    if gain_map {
        noticed.push(Noticed::GainMapIgnored);
    }
    if !rows.are_whole() {
        noticed.push(Noticed::Incomplete);
    }
    let stored = Collector::whole(size, channels, samples, colour, orientation, noticed);
    progress.reach(1.0)?;
    Ok(stored)
}

#[cfg(test)]
mod tests;
