use super::*;
use crate::photo::stored::Samples;
use std::io::Cursor;
use tiff::encoder::colortype::{CMYK8, ColorType as Stored8, Gray8, Gray16, Gray32Float, RGB8, RGBA8};
use tiff::encoder::{TiffEncoder, TiffValue};

/// One page of 2 x 1 by the reference-tested encoder of the `tiff` crate, with one tag more.
fn encoded<C: Stored8>(data: &[C::Inner], tag: Option<(Tag, u16)>) -> Vec<u8>
where
    [C::Inner]: TiffValue,
{
    let mut bytes = Vec::new();
    let mut encoder = TiffEncoder::new(Cursor::new(&mut bytes)).unwrap();
    let mut page = encoder.new_image::<C>(2, 1).unwrap();
    if let Some((tag, value)) = tag {
        page.encoder().write_tag(tag, value).unwrap();
    }
    page.write_data(data).unwrap();
    bytes
}

fn opened(bytes: &[u8]) -> Result<Stored, OpenError> {
    decode(bytes, &Limits::default(), &Progress::new())
}

fn eight(stored: &Stored) -> &[u8] {
    match &stored.samples {
        Samples::Rgb8(samples) => samples,
        Samples::Rgb16(_) => panic!("16 bits"),
    }
}

#[test]
fn eight_and_sixteen_bits_come_back() {
    let rgb = opened(&encoded::<RGB8>(&[1, 2, 3, 4, 5, 6], None)).unwrap();
    assert_eq!(eight(&rgb), [1, 2, 3, 4, 5, 6]);
    let grey = opened(&encoded::<Gray8>(&[7, 8], None)).unwrap();
    assert_eq!(eight(&grey), [7, 7, 7, 8, 8, 8]);
    let wide = opened(&encoded::<Gray16>(&[0x1234, 0xfedc], None)).unwrap();
    assert!(matches!(
        wide.samples,
        Samples::Rgb16(samples) if samples == [0x1234, 0x1234, 0x1234, 0xfedc, 0xfedc, 0xfedc]
    ));
}

#[test]
fn inks_are_amounts_here() {
    let stored = opened(&encoded::<CMYK8>(&[0, 0, 0, 0, 0, 255, 255, 0], None)).unwrap();
    assert_eq!(eight(&stored), [255, 255, 255, 255, 0, 0]);
    assert_eq!(stored.noticed, [Noticed::InksWithoutProfile]);
}

#[test]
fn the_tag_says_which_way_up() {
    for value in 1..=8 {
        let bytes = encoded::<Gray8>(&[7, 8], Some((Tag::Orientation, value)));
        assert_eq!(opened(&bytes).unwrap().orientation, Orientation::from_exif(value.into()));
    }
}

#[test]
fn opacity_counts_only_where_it_is_said_to_be_one() {
    let data = [10, 20, 30, 255, 0, 0, 0, 0];
    let stored = opened(&encoded::<RGBA8>(&data, None)).unwrap();
    assert_eq!(eight(&stored)[..3], [10, 20, 30]);
}

#[test]
fn what_is_not_read_is_named() {
    let error = opened(&encoded::<Gray32Float>(&[0.5, 1.0], None)).err().unwrap().to_string();
    assert!(error.contains("32 bits") || error.contains("floating"), "{error}");
    let reversed = encoded::<Gray8>(&[7, 8], Some((Tag::FillOrder, 2)));
    assert!(opened(&reversed).err().unwrap().to_string().contains("back to front"));
    let raw = encoded::<Gray8>(&[7, 8], Some((Tag::Unknown(50_706), 1)));
    assert!(matches!(opened(&raw), Err(OpenError::Unrecognised { found: Some("a camera's raw picture") })));
}

/// A page of indices, 2 bits each, written by hand after TIFF 6.0, section 5.
#[test]
fn a_palette_is_looked_up() {
    let mut bytes = b"II*\0\x08\0\0\0".to_vec();
    let entries: [(u16, u16, u32, u32); 9] = [
        (256, 3, 1, 3),
        (257, 3, 1, 1),
        (258, 3, 1, 2),
        (259, 3, 1, 1),
        (262, 3, 1, 3),
        (273, 4, 1, 122),
        (277, 3, 1, 1),
        (279, 4, 1, 1),
        (320, 3, 12, 124),
    ];
    bytes.extend((entries.len() as u16).to_le_bytes());
    for (tag, kind, count, value) in entries {
        bytes.extend(tag.to_le_bytes());
        bytes.extend(kind.to_le_bytes());
        bytes.extend(count.to_le_bytes());
        bytes.extend(value.to_le_bytes());
    }
    bytes.extend([0; 4]);
    assert_eq!(bytes.len(), 122);
    bytes.extend([0b00_01_11_00, 0]);
    for channel in 0..3_u16 {
        for entry in 0..4_u16 {
            bytes.extend((((channel * 10 + entry) << 8) | 0x55).to_le_bytes());
        }
    }
    let stored = opened(&bytes).unwrap();
    assert_eq!(eight(&stored), [0, 10, 20, 1, 11, 21, 3, 13, 23]);
}
