//! Encoded pictures: JPEG with an orientation, and nothing of where or when.

use jpeg_encoder::{ColorType, Encoder, EncodingError, SamplingFactor};

use crate::canvas::Canvas;

/// How the stored rows stand to the upright picture (EXIF 2.32, tag 0x0112).
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stored {
    /// As seen; no EXIF is written.
    Upright,
    /// Orientation 6: the first stored row is the right-hand side of the picture, the first stored column its top.
    OnItsSide,
}

/// The bytes of a baseline JPEG, 4:2:0, at `quality` 1–100.
pub(crate) fn encode(canvas: &Canvas, stored: Stored, quality: u8) -> Result<Vec<u8>, EncodingError> {
    let upright = canvas.encoded();
    let (w, h) = (canvas.width, canvas.height);
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder.set_optimized_huffman_tables(true);
    match stored {
        Stored::Upright => encoder.encode(&upright, w as u16, h as u16, ColorType::Rgb)?,
        Stored::OnItsSide => {
            encoder.add_app_segment(1, orientation_6())?;
            let mut turned = Vec::with_capacity(upright.len());
            for x in (0..w).rev() {
                for y in 0..h {
                    let at = 3 * (y * w + x);
                    turned.extend_from_slice(&upright[at..at + 3]);
                }
            }
            encoder.encode(&turned, h as u16, w as u16, ColorType::Rgb)?;
        }
    }
    Ok(bytes)
}

/// An APP1 body: the EXIF mark, a little-endian TIFF header and one directory with one tag.
fn orientation_6() -> Vec<u8> {
    let mut app1 = b"Exif\0\0II*\0".to_vec();
    app1.extend(8u32.to_le_bytes()); // the first directory follows the header
    app1.extend(1u16.to_le_bytes()); // one entry
    app1.extend(0x0112u16.to_le_bytes()); // Orientation
    app1.extend(3u16.to_le_bytes()); // SHORT
    app1.extend(1u32.to_le_bytes()); // one value
    app1.extend(6u32.to_le_bytes()); // in the first two bytes of four
    app1.extend(0u32.to_le_bytes()); // no further directory
    app1
}
