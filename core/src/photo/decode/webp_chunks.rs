//! A look through a WebP's chunks (RFC 9649, section 2.3) for what stands beside the pixels: the decoder would set
//! aside as much memory for it as the file claims.

use super::colour::Colour;
use crate::photo::{Orientation, exif};

/// The profile, and the turn from EXIF, else from XMP.
pub(super) fn look(bytes: &[u8], profile_bytes: usize) -> (Colour, Orientation) {
    let mut colour = Colour::Untagged;
    let mut exif_orientation = None;
    let mut xmp_orientation = None;
    for (kind, data) in (Walk { rest: bytes.get(12..).unwrap_or_default() }) {
        match kind {
            b"ICCP" if data.len() > profile_bytes => colour = Colour::Unusable("it is too long".to_owned()),
            b"ICCP" => colour = Colour::Icc(data.to_vec()),
            b"EXIF" => exif_orientation = exif_orientation.or_else(|| exif::orientation(data)),
            b"XMP " => xmp_orientation = xmp_orientation.or_else(|| exif::orientation_in_xmp(data)),
            _ => {}
        }
    }
    (colour, exif_orientation.or(xmp_orientation).unwrap_or(Orientation::UPRIGHT))
}

/// Chunks in order, as name and data, until the bytes end.
struct Walk<'a> {
    rest: &'a [u8],
}

impl<'a> Iterator for Walk<'a> {
    type Item = (&'a [u8; 4], &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let (kind, after) = self.rest.split_first_chunk::<4>()?;
        let (length, after) = after.split_first_chunk::<4>()?;
        let length = usize::try_from(u32::from_le_bytes(*length)).ok()?;
        let data = after.get(..length)?;
        // Chunks begin at even places.
        self.rest = after.get(length.checked_add(length % 2)?..).unwrap_or_default();
        Some((kind, data))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
        let mut bytes = kind.to_vec();
        bytes.extend((data.len() as u32).to_le_bytes());
        bytes.extend(data);
        bytes.resize(bytes.len() + data.len() % 2, 0);
        bytes
    }

    #[test]
    fn odd_chunks_are_padded_and_claims_beyond_the_end_passed_over() {
        let mut bytes = b"RIFF\0\0\0\0WEBP".to_vec();
        bytes.extend(chunk(b"ICCP", b"abc"));
        bytes.extend(chunk(b"XMP ", b"<x tiff:Orientation='6'/>"));
        let (colour, orientation) = look(&bytes, 10);
        assert_eq!(colour, Colour::Icc(b"abc".to_vec()));
        assert_eq!(orientation, Orientation::from_exif(6));
        assert_eq!(look(&bytes, 2).0, Colour::Unusable("it is too long".to_owned()));
        let mut claims = b"RIFF\0\0\0\0WEBPICCP".to_vec();
        claims.extend([0xff; 4]);
        assert_eq!(look(&claims, 10).0, Colour::Untagged);
    }
}
