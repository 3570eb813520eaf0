//! Whether a GIF holds more than one picture (GIF89a, the blocks of its grammar).

/// Looks for a second image descriptor; what is damaged has none.
pub(super) fn several(bytes: &[u8]) -> bool {
    frames(bytes).is_some_and(|frames| frames > 1)
}

/// Frames, counted up to 2.
fn frames(bytes: &[u8]) -> Option<u32> {
    const HEADER: usize = 13;
    const EXTENSION: u8 = 0x21;
    const IMAGE: u8 = 0x2c;
    let mut at = HEADER + palette_bytes(*bytes.get(10)?);
    let mut frames = 0;
    while frames < 2 {
        match bytes.get(at) {
            Some(&EXTENSION) => at = after_blocks(bytes, at + 2)?,
            Some(&IMAGE) => {
                frames += 1;
                // Ten bytes of descriptor, its palette, and the code size before the data.
                at = after_blocks(bytes, at + 10 + palette_bytes(*bytes.get(at + 9)?) + 1)
                    .unwrap_or(bytes.len());
            }
            _ => break,
        }
    }
    Some(frames)
}

/// Bytes of the palette that a packed field announces.
fn palette_bytes(packed: u8) -> usize {
    if packed & 0x80 == 0 { 0 } else { 3 << ((packed & 7) + 1) }
}

/// Where the data sub-blocks that begin at `at` are over.
fn after_blocks(bytes: &[u8], mut at: usize) -> Option<usize> {
    loop {
        let length = usize::from(*bytes.get(at)?);
        at += 1 + length;
        if length == 0 {
            return Some(at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::codecs::gif::GifEncoder;
    use image::{Frame, RgbaImage};

    #[test]
    fn one_frame_is_told_from_two() {
        for (count, expected) in [(1, false), (2, true), (3, true)] {
            let mut bytes = Vec::new();
            let mut encoder = GifEncoder::new(&mut bytes);
            for _ in 0..count {
                encoder.encode_frame(Frame::new(RgbaImage::new(20, 20))).unwrap();
            }
            drop(encoder);
            assert_eq!(several(&bytes), expected, "{count} frames");
            for length in 0..bytes.len() {
                several(&bytes[..length]);
            }
        }
    }
}
