//! A look through a JPEG's segments (ITU-T T.81, annex B) for what stands beside the pixels.

use super::colour::Colour;
use crate::photo::{Orientation, exif};

/// What the segments before the first scan say.
#[derive(Debug)]
pub(super) struct Segments {
    /// The profile, put together from its parts.
    pub(super) colour: Colour,
    /// From EXIF, else from XMP.
    pub(super) orientation: Orientation,
    /// A gain map or a second picture for bright displays follows.
    pub(super) gain_map: bool,
    /// The first frame's header.
    pub(super) frame: Option<Frame>,
    /// Where the marker of the first scan stands; at the end where there is none.
    pub(super) first_scan: usize,
    /// Channels in the first scan.
    pub(super) channels_of_scan: Option<u8>,
}

/// The header of a frame (T.81, B.2.2).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Frame {
    /// SOF0 to SOF15 as the second byte of the marker: the kind of coding.
    pub(super) marker: u8,
    /// Bits a channel.
    pub(super) bits: u8,
    pub(super) channels: u8,
}

impl Segments {
    /// What the frame uses that is not decoded here.
    pub(super) fn unsupported(&self) -> Option<String> {
        let frame = self.frame?;
        match frame.marker {
            0xc0..=0xc2 if frame.bits == 8 => None,
            0xc0..=0xc2 => Some(format!("{} bits a channel", frame.bits)),
            0xc3 | 0xc7 | 0xcb | 0xcf => Some("lossless coding".to_owned()),
            0xc5 | 0xc6 => Some("hierarchical coding".to_owned()),
            _ => Some("arithmetic coding".to_owned()),
        }
    }

    /// Whether several scans hold the picture: one channel each, or ever finer.
    pub(super) fn has_several_scans(&self) -> bool {
        let (Some(frame), Some(channels)) = (self.frame, self.channels_of_scan) else { return false };
        frame.marker == 0xc2 || channels < frame.channels
    }

    /// Where the coded data of the first scan end.
    pub(super) fn end_of_first_scan(&self, bytes: &[u8]) -> usize {
        end_of_scan(bytes, self.first_scan)
    }

    /// How many scans there are, counted up to `most`.
    pub(super) fn scans(&self, bytes: &[u8], most: usize) -> usize {
        let mut walk = Walk { bytes, at: self.first_scan };
        let next = |_| {
            walk.at = end_of_scan(bytes, walk.at);
            // Behind the end of the picture others may follow.
            if is_at(bytes, walk.at, END_OF_PICTURE) {
                return None;
            }
            walk.by_ref().for_each(drop);
            is_at(bytes, walk.at, START_OF_SCAN).then_some(())
        };
        1 + (1..most).map_while(next).count()
    }
}

const START_OF_SCAN: u8 = 0xda;
const END_OF_PICTURE: u8 = 0xd9;

fn is_at(bytes: &[u8], at: usize, marker: u8) -> bool {
    bytes.get(at..).is_some_and(|rest| rest.starts_with(&[0xff, marker]))
}

/// Where the coded data end of the scan whose marker stands at `at`: before the next marker that is not one for
/// restarts (T.81, B.1.1.5), or with the file.
fn end_of_scan(bytes: &[u8], at: usize) -> usize {
    /// Pairs that the compiler looks at several at a time.
    const BLOCK: usize = 64;
    let mut at = at + 2;
    while let Some((block, next)) = bytes.get(at..).zip(bytes.get(at + 1..)) {
        let pairs = block[..block.len().min(BLOCK)].iter().zip(next);
        // Within coded data a byte of 0xff is followed by 0, or by a rare mark for restarts.
        if pairs.clone().fold(false, |any, (&byte, &next)| any | ((byte == 0xff) & (next != 0))) {
            let ends = |(&byte, &next): (&u8, &u8)| byte == 0xff && !matches!(next, 0 | 0xd0..=0xd7 | 0xff);
            if let Some(nth) = pairs.clone().position(ends) {
                return at + nth;
            }
        }
        at += BLOCK;
    }
    bytes.len()
}

/// Reads the segments; a profile longer than `profile_bytes` is not put together.
pub(super) fn look(bytes: &[u8], profile_bytes: usize) -> Segments {
    const EXIF: &[u8] = b"Exif\0\0";
    const XMP: &[u8] = b"http://ns.adobe.com/xap/1.0/\0";
    const ICC: &[u8] = b"ICC_PROFILE\0";
    const GAIN_MAP: &[u8] = b"urn:iso:std:iso:ts:21496:-1\0";
    let mut parts = Vec::new();
    let mut exif_orientation = None;
    let mut xmp_orientation = None;
    let mut gain_map = false;
    let mut walk = Walk { bytes, at: 2 };
    let mut frame = None;
    for (marker, data) in &mut walk {
        if marker == 0xe1 && data.starts_with(EXIF) && exif_orientation.is_none() {
            exif_orientation = exif::orientation(data);
        } else if marker == 0xe1 && data.starts_with(XMP) {
            xmp_orientation = xmp_orientation.or_else(|| exif::orientation_in_xmp(data));
            gain_map |= holds(data, b"hdrgm:Version") || holds(data, b"HDRGainMap");
        } else if marker == 0xe2 && data.starts_with(GAIN_MAP) {
            gain_map = true;
        } else if let (true, [bits, _, _, _, _, channels, ..]) = (is_frame(marker), data) {
            frame = frame.or(Some(Frame { marker, bits: *bits, channels: *channels }));
        } else if let (0xe2, Some([number, count, part @ ..])) = (marker, data.strip_prefix(ICC)) {
            parts.push((*number, *count, part));
        }
    }
    Segments {
        colour: assemble(&mut parts, profile_bytes),
        orientation: exif_orientation.or(xmp_orientation).unwrap_or(Orientation::UPRIGHT),
        gain_map,
        frame,
        first_scan: walk.at.min(bytes.len()),
        channels_of_scan: walk.channels_of_first_scan(),
    }
}

/// SOF0 to SOF15 but the tables and the extension among them.
fn is_frame(marker: u8) -> bool {
    matches!(marker, 0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf)
}

fn holds(data: &[u8], what: &[u8]) -> bool {
    data.windows(what.len()).any(|window| window == what)
}

/// Puts a profile's parts in order (ICC.1:2022, annex B.4): each numbered from 1, all naming the same count.
fn assemble(parts: &mut [(u8, u8, &[u8])], longest: usize) -> Colour {
    let Some(&(_, count, _)) = parts.first() else {
        return Colour::Untagged;
    };
    parts.sort_by_key(|(number, ..)| *number);
    let in_order = parts.len() == usize::from(count)
        && parts.iter().zip(1..).all(|((number, of, _), wanted)| *number == wanted && *of == count);
    if !in_order {
        return Colour::Unusable("parts of it are missing".to_owned());
    }
    let length: usize = parts.iter().map(|(.., part)| part.len()).sum();
    if length > longest {
        return Colour::Unusable("it is too long".to_owned());
    }
    Colour::Icc(parts.iter().flat_map(|(.., part)| *part).copied().collect())
}

/// Segments in order, as marker and data, up to the first scan.
struct Walk<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Walk<'_> {
    /// Once the walk has come to its end at a scan.
    fn channels_of_first_scan(&self) -> Option<u8> {
        self.bytes.get(self.at + 4).copied()
    }
}

impl<'a> Iterator for Walk<'a> {
    type Item = (u8, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            // Fill bytes and rubbish between segments are passed over, as decoders do.
            while *self.bytes.get(self.at)? != 0xff {
                self.at += 1;
            }
            let marker = *self.bytes.get(self.at + 1)?;
            match marker {
                0xff => self.at += 1,
                // Markers without data.
                0x00 | 0x01 | 0xd0..=0xd9 => self.at += 2,
                START_OF_SCAN => return None,
                _ => {
                    let length = self.bytes.get(self.at + 2..self.at + 4)?;
                    let length = usize::from(u16::from_be_bytes([length[0], length[1]]));
                    let data = self.bytes.get(self.at + 4..self.at + 2 + length.max(2));
                    self.at += 2 + length.max(2);
                    if let Some(data) = data {
                        return Some((marker, data));
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(marker: u8, data: &[u8]) -> Vec<u8> {
        let mut bytes = vec![0xff, marker];
        bytes.extend((data.len() as u16 + 2).to_be_bytes());
        bytes.extend(data);
        bytes
    }

    fn file(segments: &[Vec<u8>]) -> Vec<u8> {
        let mut bytes = vec![0xff, 0xd8];
        bytes.extend(segments.concat());
        bytes.extend(segment(0xda, &[0; 10]));
        bytes
    }

    fn part(number: u8, count: u8, data: &[u8]) -> Vec<u8> {
        segment(0xe2, &[&b"ICC_PROFILE\0"[..], &[number, count], data].concat())
    }

    #[test]
    fn parts_of_a_profile_are_put_in_order() {
        let bytes = file(&[part(2, 3, b"cd"), part(3, 3, b"e"), part(1, 3, b"ab")]);
        assert_eq!(look(&bytes, 5).colour, Colour::Icc(b"abcde".to_vec()));
        assert_eq!(look(&bytes, 4).colour, Colour::Unusable("it is too long".to_owned()));
        for broken in [
            vec![part(1, 2, b"a")],
            vec![part(1, 2, b"a"), part(1, 2, b"b")],
            vec![part(0, 1, b"a")],
            vec![part(1, 2, b"a"), part(2, 3, b"b")],
        ] {
            assert_eq!(
                look(&file(&broken), 9).colour,
                Colour::Unusable("parts of it are missing".to_owned())
            );
        }
        assert_eq!(look(&file(&[]), 9).colour, Colour::Untagged);
    }

    #[test]
    fn fill_bytes_rubbish_and_a_lying_length_are_passed_over() {
        let mut bytes = vec![0xff, 0xd8, 0xff, 0xff, 0xff, 0xd0, 7, 7];
        bytes.extend(part(1, 1, b"a"));
        assert_eq!(look(&bytes, 9).colour, Colour::Icc(b"a".to_vec()));
        assert_eq!(look(&[0xff, 0xd8, 0xff, 0xe2, 0xff, 0xff, 1], 9).colour, Colour::Untagged);
        assert_eq!(look(&[0xff, 0xd8, 0xff, 0xe2, 0, 0, 0xff, 0xe2], 9).colour, Colour::Untagged);
    }

    #[test]
    fn scans_are_counted_up_to_the_end_of_the_picture() {
        let coded = [vec![0x12; 100], vec![0xff, 0, 0xff, 0xd3], vec![0x34; 100]].concat();
        let scan = [segment(0xda, &[3, 0, 0]), coded].concat();
        let mut bytes = [vec![0xff, 0xd8], segment(0xc2, &[8, 0, 1, 0, 1, 3]), scan.repeat(2)].concat();
        bytes.extend(segment(0xc4, b"a table"));
        bytes.extend(&scan);
        let picture = bytes.len();
        for (after, scans) in [(&b""[..], 3), (b"\xff\xd9", 3), (b"\xff", 3), (b"\xff\xda", 4)] {
            bytes.truncate(picture);
            bytes.extend(after);
            bytes.extend(if after == b"\xff\xd9" { &scan[..] } else { b"" });
            let segments = look(&bytes, 9);
            assert!(segments.has_several_scans());
            assert_eq!(segments.scans(&bytes, 10), scans, "{after:?}");
            assert_eq!(segments.scans(&bytes, 2), 2);
            assert_eq!(segments.end_of_first_scan(&bytes), segments.first_scan + scan.len());
        }
    }

    #[test]
    fn what_comes_after_the_scan_begins_is_not_read() {
        let mut bytes = file(&[]);
        bytes.extend(part(1, 1, b"a"));
        assert_eq!(look(&bytes, 9).colour, Colour::Untagged);
    }
}
