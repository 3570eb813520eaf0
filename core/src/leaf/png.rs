//! A leaf as a file: sRGB said so, what was read as text in it, and no place beyond what the painter wrote.

use super::words::{Captions, Words};
use crate::studio::StudioError;
use png::{
    BitDepth, ColorType, Compression, Encoder, EncodingError, PixelDimensions, SrgbRenderingIntent, Unit,
};
use resvg::tiny_skia::Pixmap;

/// Pixels to a metre: 200 to an inch, by which a leaf fills a page.
const DENSITY: u32 = 7874;

/// Encodes pixels, which are opaque.
pub(super) fn encoded(pixels: &Pixmap, captions: &Captions, words: &Words) -> Result<Vec<u8>, StudioError> {
    let rgb: Vec<u8> = pixels.data().as_chunks::<4>().0.iter().flat_map(|&[r, g, b, _]| [r, g, b]).collect();
    let odd = |error: EncodingError| StudioError::Odd(error.to_string());
    let mut png = Vec::new();
    let mut encoder = Encoder::new(&mut png, pixels.width(), pixels.height());
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fast);
    // Colorimetric: greys are to stay what they are.
    encoder.set_source_srgb(SrgbRenderingIntent::RelativeColorimetric);
    encoder.set_pixel_dims(Some(PixelDimensions { xppu: DENSITY, yppu: DENSITY, unit: Unit::Meter }));
    // Keywords of the PNG specification (third edition, 11.3.3.2).
    for (keyword, text) in [
        ("Title", words.title.clone()),
        ("Description", words.lines().join("\n")),
        ("Creation Time", captions.date.clone()),
        ("Software", concat!("Tonefast ", env!("CARGO_PKG_VERSION")).to_owned()),
    ] {
        encoder.add_itxt_chunk(keyword.to_owned(), text).map_err(odd)?;
    }
    let mut writer = encoder.write_header().map_err(odd)?;
    writer.write_image_data(&rgb).map_err(odd)?;
    writer.finish().map_err(odd)?;
    Ok(png)
}
