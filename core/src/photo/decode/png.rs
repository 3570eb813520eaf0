//! PNG, row by row.

use super::collector::Collector;
use super::colour::Channels;
use super::png_chunks::{self, Chunks};
use super::{Claim, Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Progress};
use png::{BitDepth, ColorType, DecodingError, InterlaceInfo, Reader, Transformations};
use std::io::Cursor;

const FORMAT: &str = Kind::Png.name();

/// Decodes the default image; frames after it are left alone.
pub(super) fn decode(bytes: &[u8], limits: &Limits, progress: &Progress) -> Result<Stored, OpenError> {
    let mut decoder = png::Decoder::new(Cursor::new(bytes));
    // Text and profiles may inflate to anything: the profile is read by our own look through the chunks.
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_transformations(Transformations::EXPAND);
    let header = decoder.read_header_info().map_err(broken)?;
    let (width, height, interlaced) = (header.width, header.height, header.interlaced);
    let sample = if header.bit_depth == BitDepth::Sixteen { 2 } else { 1 };
    // Ours are 3 samples a pixel; an interlaced picture is gathered whole before, of 4 samples at most.
    let peak_bytes = if interlaced { 7 * sample } else { 3 * sample };
    limits.admit(FORMAT, (width, height), Claim { peak_bytes, file_bytes: bytes.len() })?;
    let Chunks { colour, orientation, animated } = png_chunks::look(bytes, limits.profile_bytes);
    colour.refuse_high_dynamic_range(FORMAT)?;
    let mut reader = decoder.read_info().map_err(broken)?;
    let (color, depth) = reader.output_color_type();
    let channels = match color {
        ColorType::Grayscale => Channels::Grey,
        ColorType::GrayscaleAlpha => Channels::GreyAlpha,
        ColorType::Rgb => Channels::Rgb,
        ColorType::Rgba => Channels::RgbAlpha,
        ColorType::Indexed => unreachable!("a palette is expanded"),
    };
    let mut noticed = if animated { vec![Noticed::FirstOfSeveral] } else { Vec::new() };
    let wide = depth == BitDepth::Sixteen;
    let mut collector = if wide {
        Collector::new::<u16>(width, height, channels, colour)
    } else {
        Collector::new::<u8>(width, height, channels, colour)
    };
    let mut sink = Sink { collector: &mut collector, wide, words: Vec::new() };
    if interlaced {
        if interlaced_rows(&mut reader, &mut sink, progress)? {
            noticed.push(Noticed::Incomplete);
        }
    } else {
        rows(&mut reader, height, &mut sink, progress)?;
    }
    Ok(collector.finish(orientation, noticed))
}

/// Rows between two looks at the progress: some milliseconds of work.
const ROWS_BETWEEN: u32 = 64;

fn rows(
    reader: &mut Reader<Cursor<&[u8]>>,
    height: u32,
    sink: &mut Sink<'_>,
    progress: &Progress,
) -> Result<(), OpenError> {
    let length = reader
        .output_line_size(reader.info().width)
        .ok_or(OpenError::Broken { format: FORMAT, detail: "its rows are too long".to_owned() })?;
    let mut row = vec![0; length];
    for y in 0..height {
        if y % ROWS_BETWEEN == 0 {
            progress.reach(y as f32 / height as f32)?;
        }
        match reader.read_row(&mut row) {
            Ok(_) => sink.push(&row),
            // What came before the damage is shown.
            Err(_) if y > 0 => break,
            Err(error) => return Err(broken(error)),
        }
    }
    progress.reach(1.0)
}

/// Seven passes over the whole picture, each finer: a row of an early one fills the blocks that later ones divide, so
/// that a file cut short shows all of the picture coarsely. Whether it was cut short.
fn interlaced_rows(
    reader: &mut Reader<Cursor<&[u8]>>,
    sink: &mut Sink<'_>,
    progress: &Progress,
) -> Result<bool, OpenError> {
    let too_large = || OpenError::Broken { format: FORMAT, detail: "it is too large to address".to_owned() };
    let (width, height) = (reader.info().width, reader.info().height);
    let length = reader.output_line_size(width).ok_or_else(too_large)?;
    let (color, depth) = reader.output_color_type();
    let bits = (color.samples() * depth as usize) as u8;
    let mut whole = vec![0; reader.output_buffer_size().ok_or_else(too_large)?];
    // The passes have 15 rows for every 8 of the picture.
    let rows = height as f32 * 15.0 / 8.0;
    let mut done = 0_u32;
    let is_cut_short = loop {
        if done.is_multiple_of(ROWS_BETWEEN) {
            progress.reach((done as f32 / rows).min(1.0) * 0.8)?;
        }
        match reader.next_interlaced_row() {
            Ok(Some(row)) => {
                if let InterlaceInfo::Adam7(place) = row.interlace() {
                    png::splat_interlaced_row(&mut whole, length, row.data(), place, bits);
                }
                done += 1;
            }
            Ok(None) => break false,
            Err(_) if done > 0 => break true,
            Err(error) => return Err(broken(error)),
        }
    };
    for row in whole.chunks_exact(length.max(1)) {
        sink.push(row);
    }
    progress.reach(1.0)?;
    Ok(is_cut_short)
}

/// Hands bytes on as samples; 16-bit ones are big endian in the file.
struct Sink<'a> {
    collector: &'a mut Collector,
    wide: bool,
    words: Vec<u16>,
}

impl Sink<'_> {
    fn push(&mut self, rows: &[u8]) {
        if self.wide {
            self.words.clear();
            self.words.extend(rows.as_chunks::<2>().0.iter().map(|pair| u16::from_be_bytes(*pair)));
            self.collector.push(&self.words);
        } else {
            self.collector.push(rows);
        }
    }
}

#[allow(clippy::needless_pass_by_value, reason = "it is handed to map_err")]
fn broken(error: DecodingError) -> OpenError {
    match error {
        DecodingError::LimitsExceeded => {
            OpenError::TooLarge { what: "its rows or notes need more memory than is set aside".to_owned() }
        }
        other => OpenError::Broken { format: FORMAT, detail: other.to_string() },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::Orientation;
    use crate::photo::stored::Samples;

    /// A PNG by the reference-tested encoder of the `png` crate; `tweak` sets what is special about it.
    fn encoded(
        (width, height): (u32, u32),
        color: ColorType,
        depth: BitDepth,
        data: &[u8],
        tweak: impl FnOnce(&mut png::Info<'_>),
    ) -> Vec<u8> {
        let mut info = png::Info::with_size(width, height);
        info.color_type = color;
        info.bit_depth = depth;
        tweak(&mut info);
        let mut bytes = Vec::new();
        let mut writer = png::Encoder::with_info(&mut bytes, info).unwrap().write_header().unwrap();
        writer.write_image_data(data).unwrap();
        writer.finish().unwrap();
        bytes
    }

    fn opened(bytes: &[u8]) -> Stored {
        decode(bytes, &Limits::default(), &Progress::new()).unwrap()
    }

    fn eight(stored: &Stored) -> &[u8] {
        match &stored.samples {
            Samples::Rgb8(samples) => samples,
            Samples::Rgb16(_) => panic!("16 bits"),
        }
    }

    #[test]
    fn grey_of_few_bits_is_spread_over_the_scale() {
        let stored = opened(&encoded((4, 1), ColorType::Grayscale, BitDepth::Two, &[0b00_01_10_11], |_| ()));
        assert_eq!(eight(&stored), [0, 0, 0, 85, 85, 85, 170, 170, 170, 255, 255, 255]);
    }

    #[test]
    fn sixteen_bits_are_kept() {
        let data = [0x12, 0x34, 0x80, 0x01, 0xff, 0xfe];
        let stored = opened(&encoded((1, 1), ColorType::Rgb, BitDepth::Sixteen, &data, |_| ()));
        assert!(matches!(stored.samples, Samples::Rgb16(samples) if samples == [0x1234, 0x8001, 0xfffe]));
        assert_eq!(stored.encoding.linear_from_code[0].len(), 65_536);
    }

    /// Linear .5 is sRGB 188 (IEC 61966-2-1); a blend of encoded values would give 128.
    #[test]
    fn what_shows_through_is_paper_white_in_linear_light() {
        let data = [0, 0, 0, 128, 10, 20, 30, 255, 9, 9, 9, 0];
        let stored = opened(&encoded((3, 1), ColorType::Rgba, BitDepth::Eight, &data, |_| ()));
        assert_eq!(eight(&stored), [187, 187, 187, 10, 20, 30, 255, 255, 255]);
        assert_eq!(stored.noticed, [Noticed::OverPaperWhite]);
    }

    #[test]
    fn a_palette_with_a_clear_entry_is_expanded() {
        let stored = opened(&encoded((2, 1), ColorType::Indexed, BitDepth::Eight, &[0, 1], |info| {
            info.palette = Some(vec![200, 100, 50, 1, 2, 3].into());
            info.trns = Some(vec![255, 0].into());
        }));
        assert_eq!(eight(&stored), [200, 100, 50, 255, 255, 255]);
    }

    #[test]
    fn a_file_cut_short_shows_the_rows_that_came() {
        let data: Vec<u8> = (0..64 * 64 * 3_u32).map(|i| ((i * 7919) >> 5) as u8).collect();
        let whole = encoded((64, 64), ColorType::Rgb, BitDepth::Eight, &data, |_| ());
        let stored = opened(&whole[..whole.len() / 2]);
        assert_eq!(stored.noticed, [Noticed::Incomplete]);
        let decoded = stored.decoded.unwrap() as usize;
        assert!((1..64).contains(&decoded), "{decoded}");
        let (came, rest) = eight(&stored).split_at(64 * 3 * decoded);
        assert_eq!(came, &data[..came.len()]);
        assert!(rest.iter().all(|&sample| sample == 0x80), "middle grey where no row came");
        assert_eq!(opened(&whole).decoded, None);
        assert!(decode(&whole[..40], &Limits::default(), &Progress::new()).is_err());
    }

    /// A 4 x 4 picture whose first pass holds only its first pixel (W3C PNG, third edition, 8.1); the encoder of the
    /// `png` crate writes no interlacing, so the seven passes are packed by hand.
    #[test]
    fn an_interlaced_file_cut_short_is_coarse() {
        let mut bytes = encoded((4, 4), ColorType::Grayscale, BitDepth::Eight, &[0; 16], |_| ());
        let data = bytes.windows(4).position(|kind| kind == b"IDAT").unwrap();
        bytes.truncate(data - 4);
        bytes[28] = 1;
        let sum = crc(&bytes[12..29]);
        bytes[29..33].copy_from_slice(&sum.to_be_bytes());
        // No filter, one pixel; the stream then goes on without end.
        let stream = miniz_oxide::deflate::compress_to_vec_zlib(&[0, 10], 0);
        bytes.extend((stream.len() as u32 + 100).to_be_bytes());
        bytes.extend(b"IDAT");
        bytes.extend(stream);
        let stored = opened(&bytes);
        assert_eq!(stored.noticed, [Noticed::Incomplete]);
        assert_eq!(eight(&stored), [10; 48]);
    }

    /// The sum over a chunk's type and data (W3C PNG, annex D).
    fn crc(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0, |sum: u32, &byte| {
            (0..8).fold(
                sum ^ u32::from(byte),
                |sum, _| if sum & 1 == 1 { 0xedb8_8320 ^ (sum >> 1) } else { sum >> 1 },
            )
        })
    }

    #[test]
    fn exif_says_which_way_up() {
        let mut exif = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0".to_vec();
        exif.extend([0; 4]);
        let bytes = encoded((1, 1), ColorType::Grayscale, BitDepth::Eight, &[7], |info| {
            info.exif_metadata = Some(exif.into());
        });
        assert_eq!(opened(&bytes).orientation, Orientation::from_exif(6));
    }

    #[test]
    fn a_cancelled_progress_stops_it() {
        let bytes = encoded((1, 1), ColorType::Grayscale, BitDepth::Eight, &[7], |_| ());
        let progress = Progress::new();
        progress.cancel();
        assert!(matches!(decode(&bytes, &Limits::default(), &progress), Err(OpenError::Cancelled)));
    }
}
