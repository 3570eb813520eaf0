//! PNG, row by row.

use super::collector::Collector;
use super::colour::Channels;
use super::png_chunks::{self, Chunks};
use super::{Claim, Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Progress};
use png::{BitDepth, ColorType, DecodingError, Reader, Transformations};
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
    let noticed = if animated { vec![Noticed::FirstOfSeveral] } else { Vec::new() };
    let wide = depth == BitDepth::Sixteen;
    let mut collector = if wide {
        Collector::new::<u16>(width, height, channels, colour)
    } else {
        Collector::new::<u8>(width, height, channels, colour)
    };
    let mut sink = Sink { collector: &mut collector, wide, words: Vec::new() };
    if interlaced {
        interlaced_rows(&mut reader, &mut sink, progress)?;
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

/// Seven passes are spread over the whole picture; a file cut short leaves the later ones out.
fn interlaced_rows(
    reader: &mut Reader<Cursor<&[u8]>>,
    sink: &mut Sink<'_>,
    progress: &Progress,
) -> Result<(), OpenError> {
    let size = reader
        .output_buffer_size()
        .ok_or(OpenError::Broken { format: FORMAT, detail: "it is too large to address".to_owned() })?;
    progress.reach(0.1)?;
    let mut whole = vec![0; size];
    reader.next_frame(&mut whole).map_err(broken)?;
    progress.reach(0.8)?;
    sink.push(&whole);
    progress.reach(1.0)
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
        assert_eq!(eight(&stored)[..64 * 3], data[..64 * 3]);
        assert_eq!(eight(&stored)[64 * 63 * 3..], [0x80; 64 * 3]);
        assert!(decode(&whole[..40], &Limits::default(), &Progress::new()).is_err());
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
