//! A look through a PNG's chunks before anything is inflated (W3C PNG, third edition).

use super::code_points::CodePoints;
use super::colour::Colour;
use crate::photo::{Orientation, exif};
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;

/// What the chunks before and after the pixels say.
pub(super) struct Chunks {
    /// What holds for the colours: cICP over iCCP over the rest.
    pub(super) colour: Colour,
    /// From eXIf, else from XMP.
    pub(super) orientation: Orientation,
    /// Whether more frames follow.
    pub(super) animated: bool,
}

/// Reads the chunks; a profile longer than `profile_bytes` once inflated is not kept.
pub(super) fn look(bytes: &[u8], profile_bytes: usize) -> Chunks {
    let mut icc = None;
    let mut code_points = None;
    let mut exif_orientation = None;
    let mut xmp_orientation = None;
    let mut animated = false;
    let walk = Walk { rest: bytes.get(8..).unwrap_or_default() };
    for (kind, data) in walk {
        match kind {
            b"iCCP" if icc.is_none() => icc = Some(profile(data, profile_bytes)),
            b"cICP" => code_points = Some(points(data)),
            b"eXIf" if exif_orientation.is_none() => exif_orientation = exif::orientation(data),
            b"iTXt" if data.starts_with(b"XML:com.adobe.xmp\0\0") => {
                xmp_orientation = exif::orientation_in_xmp(data);
            }
            b"acTL" => animated = data.get(..4).is_some_and(|frames| frames != [0, 0, 0, 1]),
            _ => {}
        }
    }
    Chunks {
        colour: code_points.or(icc).unwrap_or(Colour::Untagged),
        orientation: exif_orientation.or(xmp_orientation).unwrap_or(Orientation::UPRIGHT),
        animated,
    }
}

/// Code points in a cICP chunk: primaries, transfer, matrix (0, as PNG holds RGB) and whether the full range is used.
fn points(data: &[u8]) -> Colour {
    match *data {
        [primaries, transfer, 0, 1] => {
            Colour::CodePoints(CodePoints { primaries: primaries.into(), transfer: transfer.into() })
        }
        [_, _, 0, 0] => Colour::Unusable("its samples leave part of the range unused".to_owned()),
        _ => Colour::Unusable("its code points are damaged".to_owned()),
    }
}

/// The profile in an iCCP chunk: a name, a zero, the method 0, then a zlib stream.
fn profile(data: &[u8], longest: usize) -> Colour {
    let unusable = |why: &str| Colour::Unusable(why.to_owned());
    let Some(end) = data.iter().take(80).position(|&byte| byte == 0) else {
        return unusable("it is damaged");
    };
    let Some([0, stream @ ..]) = data.get(end + 1..) else {
        return unusable("it is packed in an unknown way");
    };
    match decompress_to_vec_zlib_with_limit(stream, longest) {
        Ok(profile) => Colour::Icc(profile),
        Err(error) if error.status == miniz_oxide::inflate::TINFLStatus::HasMoreOutput => {
            unusable("it is too long")
        }
        Err(_) => unusable("it is damaged"),
    }
}

/// Chunks in order, as type and data, until the bytes end.
struct Walk<'a> {
    rest: &'a [u8],
}

impl<'a> Iterator for Walk<'a> {
    type Item = (&'a [u8; 4], &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let (length, after) = self.rest.split_first_chunk::<4>()?;
        let (kind, after) = after.split_first_chunk::<4>()?;
        let length = usize::try_from(u32::from_be_bytes(*length)).ok()?;
        let data = after.get(..length)?;
        self.rest = after.get(length.checked_add(4)?..).unwrap_or_default();
        Some((kind, data))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use miniz_oxide::deflate::compress_to_vec_zlib;

    fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
        // The sum over the chunk is not looked at here.
        [&(data.len() as u32).to_be_bytes(), &kind[..], data, &[0; 4]].concat()
    }

    fn colour_of(chunks: &[Vec<u8>]) -> Colour {
        let bytes = [&[0; 8], &chunks.concat()[..]].concat();
        look(&bytes, 1000).colour
    }

    fn iccp(profile: &[u8]) -> Vec<u8> {
        chunk(b"iCCP", &[&b"name\0\0"[..], &compress_to_vec_zlib(profile, 6)].concat())
    }

    #[test]
    fn a_profile_is_inflated_up_to_the_limit_and_no_further() {
        assert_eq!(colour_of(&[iccp(&[7; 1000])]), Colour::Icc(vec![7; 1000]));
        let too_long = Colour::Unusable("it is too long".to_owned());
        assert_eq!(colour_of(&[iccp(&[7; 1001])]), too_long);
        assert_eq!(colour_of(&[iccp(&vec![0; 10_000_000])]), too_long);
        let damaged = Colour::Unusable("it is damaged".to_owned());
        assert_eq!(colour_of(&[chunk(b"iCCP", b"name\0\0nonsense")]), damaged);
        assert_eq!(colour_of(&[chunk(b"iCCP", b"no end")]), damaged);
    }

    /// W3C PNG, third edition: cICP takes precedence over iCCP.
    #[test]
    fn code_points_come_before_a_profile() {
        let points = Colour::CodePoints(CodePoints { primaries: 12, transfer: 13 });
        assert_eq!(colour_of(&[iccp(&[7; 10]), chunk(b"cICP", &[12, 13, 0, 1])]), points);
        assert!(matches!(colour_of(&[chunk(b"cICP", &[1, 1, 1, 1])]), Colour::Unusable(_)));
        assert!(matches!(colour_of(&[chunk(b"cICP", &[1, 1, 0, 0])]), Colour::Unusable(_)));
    }

    #[test]
    fn exif_comes_before_xmp_and_frames_are_noticed() {
        let xmp = chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0<x tiff:Orientation=\"3\"/>");
        let mut exif = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0".to_vec();
        exif.extend([0; 4]);
        let of = |chunks: &[Vec<u8>]| look(&[&[0; 8], &chunks.concat()[..]].concat(), 1000);
        assert_eq!(of(std::slice::from_ref(&xmp)).orientation, Orientation::from_exif(3));
        assert_eq!(of(&[xmp, chunk(b"eXIf", &exif)]).orientation, Orientation::from_exif(6));
        assert!(of(&[chunk(b"acTL", &[0, 0, 0, 2, 0, 0, 0, 0])]).animated);
        assert!(!of(&[chunk(b"acTL", &[0, 0, 0, 1, 0, 0, 0, 0])]).animated);
    }
}
