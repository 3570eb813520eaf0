//! What a file is, by its first bytes.

use super::{Kind, OpenError};

/// The kind of picture, or an error that says what the content looks like instead.
pub(super) fn kind(bytes: &[u8]) -> Result<Kind, OpenError> {
    let kind = match bytes {
        [0xff, 0xd8, 0xff, ..] => Kind::Jpeg,
        [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n', ..] => Kind::Png,
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Kind::WebP,
        [b'G', b'I', b'F', b'8', b'7' | b'9', b'a', ..] => Kind::Gif,
        // A bitmap's header announces its own length: 12 to 124 bytes, in the versions that there are.
        [b'B', b'M', _, _, _, _, _, _, _, _, _, _, _, _, 12..=124, 0, 0, 0, ..] => Kind::Bmp,
        _ if is_camera_raw(bytes) => return Err(found("a camera's raw picture")),
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => Kind::Tiff,
        [_, _, _, _, b'f', b't', b'y', b'p', brand @ ..] => of_brand(brand)?,
        _ => return Err(OpenError::Unrecognised { found: look(bytes) }),
    };
    Ok(kind)
}

fn found(what: &'static str) -> OpenError {
    OpenError::Unrecognised { found: Some(what) }
}

/// Kinds that share the box structure of ISO/IEC 14496-12, by their major brand and the compatible ones after it.
fn of_brand(after_ftyp: &[u8]) -> Result<Kind, OpenError> {
    let brands = after_ftyp.get(..after_ftyp.len().min(128)).unwrap_or_default();
    let any = |wanted: &[&[u8; 4]]| brands.chunks_exact(4).any(|brand| wanted.iter().any(|it| brand == *it));
    match brands.get(..4) {
        Some(b"avif" | b"avis") => Err(found("AVIF")),
        Some(b"crx ") => Err(found("a camera's raw picture")),
        Some(b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx") => Ok(Kind::Heic),
        Some(b"mif1" | b"mif2" | b"msf1" | b"miaf") if any(&[b"avif", b"avis"]) => Err(found("AVIF")),
        Some(b"mif1" | b"mif2" | b"msf1" | b"miaf") => Ok(Kind::Heic),
        _ => Err(found("a video")),
    }
}

/// Raw pictures that do not stay within TIFF; those that do are told apart by their tags, when TIFF is read.
fn is_camera_raw(bytes: &[u8]) -> bool {
    matches!(bytes, [b'I', b'I', 42, 0, _, _, _, _, b'C', b'R', ..])
        || bytes.starts_with(b"IIRO")
        || bytes.starts_with(b"IIRS")
        || bytes.starts_with(b"IIU\0")
        || bytes.starts_with(b"FUJIFILMCCD-RAW")
        || bytes.starts_with(b"\0MRM")
        || bytes.starts_with(b"FOVb")
}

/// What else it looks like, for the painter to know what was picked by mistake.
fn look(bytes: &[u8]) -> Option<&'static str> {
    const STARTS: [(&[u8], &str); 24] = [
        (b"%PDF", "PDF"),
        (b"8BPS", "a layered picture (PSD)"),
        (b"gimp xcf", "a layered picture (XCF)"),
        (b"PK\x03\x04", "a ZIP archive or an office document"),
        (b"\x1f\x8b", "a compressed archive"),
        (b"Rar!", "a compressed archive"),
        (b"7z\xbc\xaf", "a compressed archive"),
        (b"\0\0\0\x0cjP  ", "JPEG 2000"),
        (b"\xff\x4f\xff\x51", "JPEG 2000"),
        (b"\xff\x0a", "JPEG XL"),
        (b"\0\0\0\x0cJXL ", "JPEG XL"),
        (b"\x76\x2f\x31\x01", "OpenEXR"),
        (b"#?RADIANCE", "Radiance HDR"),
        (b"qoif", "QOI"),
        (b"DDS ", "a texture (DDS)"),
        (b"\0\0\x01\0", "an icon"),
        (b"\0\0\x02\0", "a cursor"),
        (b"%!PS", "PostScript"),
        (b"\x1aE\xdf\xa3", "a video"),
        (b"OggS", "sound or video"),
        (b"ID3", "sound"),
        (b"fLaC", "sound"),
        (b"RIFF", "sound or video"),
        (b"\x7fELF", "a program"),
    ];
    let start = STARTS.iter().find(|(start, _)| bytes.starts_with(start)).map(|(_, what)| *what);
    start.or_else(|| look_of_text(bytes))
}

fn look_of_text(bytes: &[u8]) -> Option<&'static str> {
    let beginning = &bytes[..bytes.len().min(1024)];
    if beginning.iter().all(|&byte| byte == 0) {
        return Some("nothing but zeros");
    }
    let printable = |&byte: &u8| matches!(byte, b'\t' | b'\n' | b'\r' | 0x20..=0x7e | 0x80..);
    let is_utf8 = match std::str::from_utf8(beginning) {
        Ok(_) => true,
        // Cut in the middle of a character.
        Err(error) => error.error_len().is_none(),
    };
    if !is_utf8 || !beginning.iter().all(printable) {
        return None;
    }
    let lower = beginning.to_ascii_lowercase();
    let has = |what: &[u8]| lower.windows(what.len()).any(|window| window == what);
    Some(if has(b"<svg") {
        "SVG"
    } else if has(b"<html") || has(b"<!doctype html") {
        "a web page"
    } else {
        "text"
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn looks(bytes: &[u8]) -> Option<&'static str> {
        match kind(bytes) {
            Err(OpenError::Unrecognised { found }) => found,
            other => panic!("{other:?}"),
        }
    }

    /// First bytes as the formats' own specifications give them.
    #[test]
    fn kinds_are_told_by_their_first_bytes() {
        assert_eq!(kind(b"\xff\xd8\xff\xe0"), Ok(Kind::Jpeg));
        assert_eq!(kind(b"\x89PNG\r\n\x1a\n\0"), Ok(Kind::Png));
        assert_eq!(kind(b"RIFF\0\0\0\0WEBPVP8 "), Ok(Kind::WebP));
        assert_eq!(kind(b"GIF89a\0"), Ok(Kind::Gif));
        assert_eq!(kind(b"BM\0\0\0\0\0\0\0\0\x36\0\0\0\x28\0\0\0"), Ok(Kind::Bmp));
        assert_eq!(kind(b"II*\0\x08\0\0\0\x01\0"), Ok(Kind::Tiff));
        assert_eq!(kind(b"MM\0*\0\0\0\x08"), Ok(Kind::Tiff));
        assert_eq!(kind(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"), Ok(Kind::Heic));
        assert_eq!(kind(b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic"), Ok(Kind::Heic));
    }

    #[test]
    fn what_is_no_picture_is_named() {
        assert_eq!(looks(b"%PDF-1.7"), Some("PDF"));
        assert_eq!(looks(b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif"), Some("AVIF"));
        assert_eq!(looks(b"\0\0\0\x18ftypisom\0\0\0\0"), Some("a video"));
        assert_eq!(looks(b"II*\0\x10\0\0\0CR\x02\0"), Some("a camera's raw picture"));
        assert_eq!(looks(b"<?xml version='1.0'?><svg/>"), Some("SVG"));
        assert_eq!(looks(b"<!DOCTYPE html>"), Some("a web page"));
        assert_eq!(looks("Grüße".as_bytes()), Some("text"));
        assert_eq!(looks(&[0; 4000]), Some("nothing but zeros"));
        assert_eq!(looks(&[1, 2, 3]), None);
        assert_eq!(looks(b"BM is how this text begins"), Some("text"));
        assert_eq!(looks(b"\0\0\0\x18ftyp"), Some("a video"));
    }
}
