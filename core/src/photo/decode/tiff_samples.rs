//! TIFF's ways to store samples, brought to whole ones side by side.

use super::colour::Channels;
use super::sample::Sample;

/// What a channel beyond the colours means (TIFF 6.0, ExtraSamples).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Alpha {
    /// Nothing that is known: the colours stand alone.
    None,
    /// Opacity, with the colours multiplied by it.
    MultipliedIn,
    /// Opacity, with the colours as they are.
    Separate,
}

impl Alpha {
    /// Makes opacity separate: divides it out again, or fills it where it is none.
    pub(super) fn settle<S: Sample>(self, samples: &mut [S], channels: Channels) {
        let count = match channels {
            Channels::GreyAlpha => 2,
            Channels::RgbAlpha => 4,
            Channels::Grey | Channels::Rgb | Channels::Cmyk => return,
        };
        let full = S::FULL as usize;
        match self {
            Self::Separate => {}
            Self::None => {
                for pixel in samples.chunks_exact_mut(count) {
                    pixel[count - 1] = S::from_index(full);
                }
            }
            Self::MultipliedIn => {
                for pixel in samples.chunks_exact_mut(count) {
                    let opacity = pixel[count - 1].index();
                    if opacity == 0 || opacity == full {
                        continue;
                    }
                    for sample in &mut pixel[..count - 1] {
                        *sample = S::from_index(((sample.index() * full + opacity / 2) / opacity).min(full));
                    }
                }
            }
        }
    }
}

/// Samples of 1, 2 or 4 bits, rows padded to whole bytes, spread over 0–255.
pub(super) fn spread(packed: &[u8], across: usize, bits: u8) -> Vec<u8> {
    let full = (1_u16 << bits) - 1;
    unpacked(packed, across, bits).map(|value| (u16::from(value) * 255 / full) as u8).collect()
}

/// Pixels from indices of 1 to 8 bits into a palette of reds, greens and blues, 16 bits each.
///
/// The upper 8 bits are kept; an index beyond the palette is black.
pub(super) fn from_palette(packed: &[u8], width: usize, bits: u8, palette: &[u16]) -> Vec<u8> {
    let entries = palette.len() / 3;
    let colour = |index: usize| -> [u8; 3] {
        if index >= entries {
            return [0; 3];
        }
        [0, 1, 2].map(|channel| (palette[channel * entries + index] >> 8) as u8)
    };
    unpacked(packed, width, bits).flat_map(|index| colour(usize::from(index))).collect()
}

/// Values of 1, 2, 4 or 8 bits, `across` of them a row, each row padded to whole bytes.
fn unpacked(packed: &[u8], across: usize, bits: u8) -> impl Iterator<Item = u8> {
    let bits = usize::from(bits);
    let row_bytes = (across * bits).div_ceil(8).max(1);
    let mask = ((1_u16 << bits) - 1) as u8;
    packed.chunks_exact(row_bytes).flat_map(move |row| {
        (0..across).map(move |column| {
            let at = column * bits;
            (row[at / 8] >> (8 - bits - at % 8)) & mask
        })
    })
}

/// Planes one after another, brought side by side.
pub(super) fn interleaved<S: Sample>(planes: &[S], channels: usize) -> Vec<S> {
    let count = planes.len() / channels;
    let mut samples = vec![S::default(); count * channels];
    for (channel, plane) in planes.chunks_exact(count.max(1)).take(channels).enumerate() {
        for (pixel, &sample) in samples.chunks_exact_mut(channels).zip(plane) {
            pixel[channel] = sample;
        }
    }
    samples
}

/// ITU-T T.871, full range.
pub(super) fn rgb_from_ycc([y, cb, cr]: [u8; 3]) -> [u8; 3] {
    let [y, cb, cr] = [f32::from(y), f32::from(cb) - 128.0, f32::from(cr) - 128.0];
    let [r, g, b] = [y + 1.402 * cr, y - 0.344_136 * cb - 0.714_136 * cr, y + 1.772 * cb];
    [r, g, b].map(|value| (value + 0.5) as u8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_bits_fill_the_scale_and_rows_are_padded() {
        assert_eq!(spread(&[0b1010_0000, 0b0100_0000], 3, 1), [255, 0, 255, 0, 255, 0]);
        assert_eq!(spread(&[0b00_01_10_11], 4, 2), [0, 85, 170, 255]);
        assert_eq!(spread(&[0x0f, 0x50], 3, 4), [0, 255, 85]);
    }

    #[test]
    fn a_palette_stands_reds_first() {
        let palette = [0xff00, 0x0100, 0x8000, 0x0200, 0x7fff, 0x0300];
        assert_eq!(from_palette(&[0b0100_0000], 2, 1, &palette), [255, 128, 127, 1, 2, 3]);
        assert_eq!(from_palette(&[7], 1, 8, &palette), [0, 0, 0]);
    }

    #[test]
    fn opacity_is_divided_out_again() {
        let mut samples: Vec<u8> = vec![50, 100, 10, 128, 9, 9, 9, 255, 0, 0, 0, 0];
        Alpha::MultipliedIn.settle(&mut samples, Channels::RgbAlpha);
        assert_eq!(samples, [100, 199, 20, 128, 9, 9, 9, 255, 0, 0, 0, 0]);
        Alpha::None.settle(&mut samples, Channels::RgbAlpha);
        assert_eq!(samples[3], 255);
    }

    #[test]
    fn planes_come_side_by_side() {
        assert_eq!(interleaved::<u8>(&[1, 2, 3, 4, 5, 6], 3), [1, 3, 5, 2, 4, 6]);
        assert!(interleaved::<u8>(&[], 3).is_empty());
    }

    /// T.871's own equations: greys stay, and pure red is (76, 85, 255) once rounded.
    #[test]
    fn ycc_becomes_rgb() {
        assert_eq!(rgb_from_ycc([77, 128, 128]), [77; 3]);
        assert_eq!(rgb_from_ycc([76, 85, 255]), [254, 0, 0]);
    }
}
