//! JPEG by libjpeg, straight to RGB; four inks go by way of their amounts.

mod rows;

use super::collector::Collector;
use super::colour::{Channels, Meaning};
use super::jpeg_segments::{self, Segments};
use super::{Claim, Kind, Limits};
use crate::photo::encoding::Depth;
use crate::photo::stored::{Rows, Source, Stored};
use crate::photo::{Noticed, OpenError, Progress};
use mozjpeg::ColorSpace;
use rows::{Header, Input};

const FORMAT: &str = Kind::Jpeg.name();

/// Scans that a picture may have: those in use have about ten, and each goes over all of the picture, however few its
/// bytes.
const MOST_SCANS: usize = 100;

/// Bytes that may be left over at the end of a sound picture, since encoders pad.
const LEFT_OVER: usize = 16;

/// Rows that are brought to RGB at a time.
const ROWS_A_GO: usize = 64;

/// Decodes the base picture, or begins to: where its rows are RGB and mean what a table and a matrix say, they are left
/// to be asked for.
pub(super) fn decode<'a>(
    bytes: &'a [u8],
    limits: &Limits,
    progress: &'a Progress,
) -> Result<Stored<Source<'a>>, OpenError> {
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
    let header = Header::read(Input { bytes, progress, stop })?;
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
    let mut noticed = if gain_map { vec![Noticed::GainMapIgnored] } else { Vec::new() };
    let (meaning, about_colour) = Meaning::of(colour, channels, Depth::Eight);
    if let (Meaning::Kept(encoding), Channels::Rgb) = (&meaning, channels) {
        let (width, height) = size;
        let (encoding, noticed) = (encoding.clone(), about_colour.into_iter().chain(noticed).collect());
        return Ok(Stored {
            width,
            height,
            samples: Source::Rows(Box::new(rows)),
            orientation,
            encoding,
            noticed,
            decoded: None,
        });
    }
    let mut collector = Collector::meaning::<u8>(size, channels, meaning, about_colour);
    let row = size.0 as usize * count;
    let mut some = vec![0; row * ROWS_A_GO];
    for first in (0..size.1 as usize).step_by(ROWS_A_GO) {
        let some = &mut some[..row * ROWS_A_GO.min(size.1 as usize - first)];
        rows.next(some)?;
        if channels == Channels::Cmyk {
            // Four-channel JPEGs store what is left of white (Adobe's convention, followed by all in practice).
            some.iter_mut().for_each(|sample| *sample = 255 - *sample);
        }
        collector.push(some);
    }
    noticed.extend(rows.noticed());
    let decoded = rows.decoded();
    Ok(Stored { decoded, ..collector.finish(orientation, noticed) }.into_source())
}

#[cfg(test)]
mod tests;
