//! Which way up, as a picture's metadata says it.

use super::Orientation;
use exif::{In, Reader, Tag};

/// EXIF blocks longer than this are not read: JPEG's hold 64 KiB, a thumbnail included; other containers have no
/// limit of their own.
const LONGEST: usize = 4 << 20;

/// The orientation in an EXIF block (a TIFF structure, with or without the `Exif\0\0` before it).
///
/// `None` where there is none or the block cannot be read; 0 and unknown values mean upright.
pub(crate) fn orientation(block: &[u8]) -> Option<Orientation> {
    let block = block.strip_prefix(b"Exif\0\0").unwrap_or(block);
    if block.len() > LONGEST {
        return None;
    }
    // A damaged entry elsewhere must not hide a sound orientation.
    let exif = Reader::new()
        .continue_on_error(true)
        .read_raw(block.to_vec())
        .or_else(|error| error.distill_partial_result(|_| ()))
        .ok()?;
    let field = exif.get_field(Tag::Orientation, In::PRIMARY)?;
    Some(Orientation::from_exif(field.value.get_uint(0).unwrap_or(0)))
}

/// The orientation in an XMP packet (`tiff:Orientation`, as attribute or element), for files that carry no EXIF.
///
/// A search for the one property and no XML reader: what it cannot find it takes for absent.
pub(crate) fn orientation_in_xmp(packet: &[u8]) -> Option<Orientation> {
    const NAME: &[u8] = b"tiff:Orientation";
    let at = packet.windows(NAME.len()).position(|window| window == NAME)?;
    let rest = packet.get(at + NAME.len()..)?.trim_ascii_start();
    let value = match rest.split_first()? {
        (b'=', quoted) => quoted.trim_ascii_start().get(1..)?,
        (b'>', text) => text,
        _ => return None,
    };
    let digit = value.trim_ascii_start().first()?.checked_sub(b'0')?;
    (1..=8).contains(&digit).then(|| Orientation::from_exif(u32::from(digit)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A TIFF structure of one IFD with one SHORT (EXIF 2.3, 4.6.2), big endian.
    fn block(tag: u16, value: u16) -> Vec<u8> {
        let mut bytes = b"MM\0*\0\0\0\x08\0\x01".to_vec();
        bytes.extend(tag.to_be_bytes());
        bytes.extend([0, 3, 0, 0, 0, 1]);
        bytes.extend(value.to_be_bytes());
        bytes.extend([0; 6]);
        bytes
    }

    #[test]
    fn each_value_is_read_and_unknown_ones_are_upright() {
        for value in 0..=9 {
            assert_eq!(orientation(&block(0x0112, value)), Some(Orientation::from_exif(u32::from(value))));
        }
        assert_eq!(orientation(&block(0x0112, 9)), Some(Orientation::UPRIGHT));
        assert_eq!(orientation(&block(0x010f, 6)), None);
        let mut prefixed = b"Exif\0\0".to_vec();
        prefixed.extend(block(0x0112, 6));
        assert_eq!(orientation(&prefixed), Some(Orientation::from_exif(6)));
    }

    #[test]
    fn a_block_cut_short_says_nothing() {
        let whole = block(0x0112, 6);
        for length in 0..20 {
            assert_eq!(orientation(&whole[..length]), None, "{length} bytes");
        }
    }

    #[test]
    fn xmp_is_read_as_attribute_and_as_element() {
        assert_eq!(orientation_in_xmp(b"<x tiff:Orientation=\"6\"/>"), Some(Orientation::from_exif(6)));
        assert_eq!(orientation_in_xmp(b"<x tiff:Orientation = '8'/>"), Some(Orientation::from_exif(8)));
        assert_eq!(
            orientation_in_xmp(b"<tiff:Orientation>3</tiff:Orientation>"),
            Some(Orientation::from_exif(3))
        );
        for nothing in
            ["", "tiff:Orientation", "tiff:Orientation=", "tiff:Orientation=\"9\"", "tiff:Orientation>"]
        {
            assert_eq!(orientation_in_xmp(nothing.as_bytes()), None, "{nothing}");
        }
    }
}
