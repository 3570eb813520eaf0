//! WebP, GIF and BMP: the first frame, through one interface.

use super::collector::Collector;
use super::colour::{Channels, Colour};
use super::{Claim, Kind, Limits, gif_frames, webp_chunks};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Orientation, Progress};
use image::codecs::{bmp::BmpDecoder, gif::GifDecoder, webp::WebPDecoder};
use image::error::UnsupportedErrorKind;
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
    let frame = Frame { kind, file_bytes: bytes.len(), limits, progress };
    let broken = |error: ImageError| broken(kind, &error);
    match kind {
        Kind::WebP => {
            let decoder = WebPDecoder::new(input).map_err(broken)?;
            let several = decoder.has_animation();
            let (colour, orientation) = webp_chunks::look(bytes, limits.profile_bytes);
            frame.decode(decoder, Beside { colour, orientation, several })
        }
        Kind::Gif => {
            let beside = Beside { several: gif_frames::several(bytes), ..Beside::default() };
            frame.decode(GifDecoder::new(input).map_err(broken)?, beside)
        }
        _ => frame.decode(BmpDecoder::new(input).map_err(broken)?, Beside::default()),
    }
}

/// What stands beside the pixels.
#[derive(Default)]
struct Beside {
    colour: Colour,
    orientation: Orientation,
    several: bool,
}

/// One frame to be decoded, and within what.
struct Frame<'a> {
    kind: Kind,
    file_bytes: usize,
    limits: &'a Limits,
    progress: &'a Progress,
}

impl Frame<'_> {
    fn decode(&self, mut decoder: impl ImageDecoder, beside: Beside) -> Result<Stored, OpenError> {
        let Beside { colour, orientation, several } = beside;
        let format = self.kind.name();
        let size = decoder.dimensions();
        // The decoder's four channels, its own planes or canvas, and ours.
        let claim = Claim { peak_bytes: 12, file_bytes: self.file_bytes };
        self.limits.admit(format, size, claim)?;
        colour.refuse_high_dynamic_range(format)?;
        let channels = match decoder.color_type() {
            ColorType::L8 => Channels::Grey,
            ColorType::La8 => Channels::GreyAlpha,
            ColorType::Rgb8 => Channels::Rgb,
            ColorType::Rgba8 => Channels::RgbAlpha,
            other => {
                return Err(OpenError::Unsupported { format, what: format!("samples of kind {other:?}") });
            }
        };
        let mut within = image::Limits::no_limits();
        within.max_alloc = Some(frame_bytes(size));
        let broken = |error: ImageError| broken(self.kind, &error);
        decoder.set_limits(within).map_err(broken)?;
        self.progress.reach(0.1)?;
        let mut samples = vec![0; size.0 as usize * size.1 as usize * channels.count()];
        decoder.read_image(&mut samples).map_err(broken)?;
        self.progress.reach(0.8)?;
        let noticed = if several { vec![Noticed::FirstOfSeveral] } else { Vec::new() };
        let stored = Collector::whole(size, channels, samples, colour, orientation, noticed);
        self.progress.reach(1.0)?;
        Ok(stored)
    }
}

/// What a decoder may take for a frame beside the canvas: a frame may lie askew on it, but one of more than twice its
/// area has nowhere to be; small canvases get as much as an icon's.
fn frame_bytes((width, height): (u32, u32)) -> u64 {
    const PER_PIXEL: u64 = 2 * 4;
    const SMALL: u64 = 256 * 256;
    PER_PIXEL * (u64::from(width) * u64::from(height)).max(SMALL)
}

fn broken(kind: Kind, error: &ImageError) -> OpenError {
    let format = kind.name();
    match error {
        ImageError::Unsupported(unsupported) => {
            let what = match unsupported.kind() {
                UnsupportedErrorKind::GenericFeature(what) => format!("something rare ({what})"),
                other => format!("something rare ({other:?})"),
            };
            OpenError::Unsupported { format, what }
        }
        ImageError::Limits(_) => {
            let what = "a frame in it needs more memory than the picture itself".to_owned();
            OpenError::TooLarge { what }
        }
        other => OpenError::Broken { format, detail: other.to_string() },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::stored::Samples;
    use image::codecs::{bmp::BmpEncoder, gif::GifEncoder, webp::WebPEncoder};
    use image::{ExtendedColorType, ImageEncoder, RgbaImage};

    fn opened(kind: Kind, bytes: &[u8]) -> Result<Stored, OpenError> {
        decode(kind, bytes, &Limits::default(), &Progress::new())
    }

    fn eight(stored: &Stored) -> &[u8] {
        match &stored.samples {
            Samples::Rgb8(samples) => samples,
            Samples::Rgb16(_) => panic!("16 bits"),
        }
    }

    #[test]
    fn lossless_webp_comes_back_with_its_profile_and_turn() {
        let mut bytes = Vec::new();
        let mut encoder = WebPEncoder::new_lossless(&mut bytes);
        encoder.set_icc_profile(moxcms::ColorProfile::new_display_p3().encode().unwrap()).unwrap();
        let mut exif = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x08\0\0".to_vec();
        exif.extend([0; 4]);
        encoder.set_exif_metadata(exif).unwrap();
        encoder.write_image(&[1, 2, 3, 200, 100, 50], 2, 1, ExtendedColorType::Rgb8).unwrap();
        let stored = opened(Kind::WebP, &bytes).unwrap();
        assert_eq!(eight(&stored), [1, 2, 3, 200, 100, 50]);
        assert_eq!(stored.orientation, Orientation::from_exif(8));
        assert_eq!(stored.noticed, [Noticed::Profile { name: "Display P3".to_owned() }]);
    }

    #[test]
    fn the_first_frame_of_a_gif_stands_on_paper_white() {
        let mut bytes = Vec::new();
        let mut encoder = GifEncoder::new(&mut bytes);
        for red in [255, 0] {
            let pixels = vec![red, 0, 0, 255, 0, 0, 0, 0];
            let frame = image::Frame::new(RgbaImage::from_raw(2, 1, pixels).unwrap());
            encoder.encode_frame(frame).unwrap();
        }
        drop(encoder);
        let stored = opened(Kind::Gif, &bytes).unwrap();
        assert_eq!(eight(&stored), [255, 0, 0, 255, 255, 255]);
        assert_eq!(stored.noticed, [Noticed::OverPaperWhite, Noticed::FirstOfSeveral]);
    }

    /// The logical screen says 2 x 1; the frame's own descriptor claims 60,000 x 60,000 (GIF89a, 20).
    #[test]
    fn a_frame_far_beyond_its_canvas_is_refused() {
        let mut bytes = Vec::new();
        GifEncoder::new(&mut bytes).encode_frame(image::Frame::new(RgbaImage::new(2, 1))).unwrap();
        let descriptor = bytes.windows(10).position(|it| it[0] == 0x2c && it[5..9] == [2, 0, 1, 0]).unwrap();
        bytes[descriptor + 5..descriptor + 9].copy_from_slice(&[0x60, 0xea, 0x60, 0xea]);
        assert!(matches!(opened(Kind::Gif, &bytes), Err(OpenError::TooLarge { .. })));
    }

    #[test]
    fn bmp_is_read() {
        let mut bytes = Vec::new();
        let pixels = [9, 8, 7, 6, 5, 4];
        BmpEncoder::new(&mut bytes).write_image(&pixels, 1, 2, ExtendedColorType::Rgb8).unwrap();
        assert_eq!(eight(&opened(Kind::Bmp, &bytes).unwrap()), pixels);
        assert!(matches!(opened(Kind::Bmp, &bytes[..40]), Err(OpenError::Broken { .. })));
    }
}
