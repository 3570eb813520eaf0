//! A TIFF as its decoder reads it: pages with a palette pose as grey, whose values are then the indices. The decoder
//! knows no palettes and refuses them by their tag.

use std::io::{Cursor, Read, Seek, SeekFrom};

/// Reads from memory, with one byte changed where the first page has a palette.
pub(super) struct AsGrey<'a> {
    inner: Cursor<&'a [u8]>,
    /// Where the low byte of "photometric interpretation: palette" stands.
    palette_at: Option<u64>,
}

impl<'a> AsGrey<'a> {
    /// The input, and whether the first page has a palette.
    pub(super) fn new(bytes: &'a [u8]) -> (Self, bool) {
        let palette_at = palette_at(bytes).map(|at| at as u64);
        (Self { inner: Cursor::new(bytes), palette_at }, palette_at.is_some())
    }
}

/// PhotometricInterpretation (TIFF 6.0): grey with black as zero.
const BLACK_IS_ZERO: u8 = 1;

impl Read for AsGrey<'_> {
    fn read(&mut self, buf: &mut [u8]) -> std::io::Result<usize> {
        let from = self.inner.position();
        let count = self.inner.read(buf)?;
        if let Some(offset) = self.palette_at.and_then(|at| at.checked_sub(from))
            && let Some(byte) = usize::try_from(offset).ok().and_then(|offset| buf[..count].get_mut(offset))
        {
            *byte = BLACK_IS_ZERO;
        }
        Ok(count)
    }
}

impl Seek for AsGrey<'_> {
    fn seek(&mut self, to: SeekFrom) -> std::io::Result<u64> {
        self.inner.seek(to)
    }
}

/// Looks through the first directory (TIFF 6.0, section 2) for a photometric interpretation of 3, a palette.
fn palette_at(bytes: &[u8]) -> Option<usize> {
    const PHOTOMETRIC: u16 = 262;
    const PALETTE: u16 = 3;
    const ENTRY: usize = 12;
    let is_little = bytes.starts_with(b"II*\0");
    if !is_little && !bytes.starts_with(b"MM\0*") {
        return None;
    }
    let short = |at: usize| -> Option<u16> {
        let pair = *bytes.get(at..)?.first_chunk()?;
        Some(if is_little { u16::from_le_bytes(pair) } else { u16::from_be_bytes(pair) })
    };
    let offset = *bytes.get(4..)?.first_chunk()?;
    let directory = if is_little { u32::from_le_bytes(offset) } else { u32::from_be_bytes(offset) } as usize;
    let count = usize::from(short(directory)?);
    for index in 0..count {
        let entry = directory.checked_add(2 + index * ENTRY)?;
        if short(entry)? == PHOTOMETRIC {
            let value = entry + 8;
            return (short(value)? == PALETTE).then_some(if is_little { value } else { value + 1 });
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_palettes_byte_is_changed_however_it_is_read() {
        let mut little = b"II*\0\x08\0\0\0\x01\0".to_vec();
        little.extend([0x06, 0x01, 3, 0, 1, 0, 0, 0, 3, 0, 0, 0, 0, 0, 0, 0]);
        let mut big = b"MM\0*\0\0\0\x08\0\x01".to_vec();
        big.extend([0x01, 0x06, 0, 3, 0, 0, 0, 1, 0, 3, 0, 0, 0, 0, 0, 0]);
        for (bytes, at) in [(little, 18), (big, 19)] {
            let mut expected = bytes.clone();
            expected[at] = 1;
            for size in 1..30 {
                let (mut input, is_palette) = AsGrey::new(&bytes);
                assert!(is_palette);
                let mut read: Vec<u8> = Vec::new();
                let mut piece = vec![0; size];
                loop {
                    let count = input.read(&mut piece).unwrap();
                    if count == 0 {
                        break;
                    }
                    read.extend(&piece[..count]);
                }
                assert_eq!(read, expected, "{size} bytes at a time");
            }
        }
        assert!(!AsGrey::new(b"II*\0").1);
    }
}
