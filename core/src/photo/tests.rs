use super::*;
use crate::{Bands, NoReading, Reading, Spot};
use jpeg_encoder::{ColorType, Encoder};

/// A reading on a reduced copy may differ from one at full resolution by this much: the rim of a spot falls on other
/// pixels, and codes were rounded anew.
const REDUCED: f64 = 0.3;

/// A textured picture, tones and hues changing slowly under a grain.
fn textured(width: u32, height: u32) -> Vec<u8> {
    let pixel = |at: u32| {
        let (x, y) = (at % width, at / width);
        let grain = (x * 7919 + y).wrapping_mul(2_654_435_769) >> 27;
        [60 + x * 120 / width + grain, 90 + y * 80 / height + grain, 150 - x * 90 / width + grain]
            .map(|code| code as u8)
    };
    (0..width * height).flat_map(pixel).collect()
}

#[test]
fn a_reduced_copy_reads_as_the_whole() {
    let (width, height) = (1500u32, 1100u32);
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 92);
    encoder.add_exif_metadata(b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x08\0\0\0\0\0\0\0").unwrap();
    encoder.encode(&textured(width, height), width as u16, height as u16, ColorType::Rgb).unwrap();
    let open = |working_side| Photo::open(&bytes, &OpenOptions { working_side }, &Progress::new()).unwrap();
    let (full, reduced) = (open(None), open(Some(640)));
    assert_eq!((full.size(), reduced.size(), reduced.full_size()), ((1100, 1500), (469, 640), (1100, 1500)));
    let scale = 640.0 / 1500.0;
    let bands = Bands::even(5).unwrap();
    for (x, y, radius) in
        [(300.0, 300.0, 40.0), (550.0, 900.0, 60.0), (900.0, 1300.0, 100.0), (200.0, 1200.0, 25.0)]
    {
        let whole = Reading::take(&full, Spot { x, y, radius }, &bands).unwrap();
        let at = |place: f64| (place + 0.5) * scale - 0.5;
        let small = Spot { x: at(x), y: at(y), radius: radius * scale };
        let part = Reading::take(&reduced, small, &bands).unwrap();
        let apart = (whole.lightness - part.lightness).abs();
        assert!(apart < REDUCED, "{x}, {y}: {} and {}", whole.lightness, part.lightness);
    }
}

#[test]
fn what_is_called_off_is_not_opened() {
    let mut bytes = Vec::new();
    Encoder::new(&mut bytes, 90).encode(&textured(64, 64), 64, 64, ColorType::Rgb).unwrap();
    let progress = Progress::new();
    progress.cancel();
    let opened = Photo::open(&bytes, &OpenOptions::default(), &progress);
    assert!(matches!(opened, Err(OpenError::Cancelled)));
}

/// A file that was cut off: what never came neither counts nor reads, whether turned, lit or reduced.
#[test]
fn what_a_file_that_was_cut_off_never_had_neither_counts_nor_reads() {
    let (width, height) = (256u32, 192u32);
    let mut bytes = Vec::new();
    let encoder = Encoder::new(&mut bytes, 95);
    encoder.encode(&textured(width, height), width as u16, height as u16, ColorType::Rgb).unwrap();
    bytes.truncate(bytes.len() * 3 / 5);
    let open = |working_side| Photo::open(&bytes, &OpenOptions { working_side }, &Progress::new()).unwrap();
    let photo = open(None);
    assert!(photo.noticed().contains(&Noticed::Incomplete));
    let missing = photo.missing().unwrap();
    assert!((64..160).contains(&missing.y) && missing.y + missing.height == height, "{missing:?}");
    assert_eq!(photo.tonal_map().histogram(None).total(), u64::from(width * missing.y));
    let bands = Bands::even(5).unwrap();
    let read = |photo: &Photo, x: f64, y: f64| {
        Reading::take(photo, Spot { x, y, radius: 6.0 }, &bands).map(|reading| reading.lightness)
    };
    let there = read(&photo, 128.0, 30.0).unwrap();
    assert_eq!(read(&photo, 128.0, 185.0), Err(NoReading::CutOff));
    assert_eq!(read(&photo, 128.0, f64::from(missing.y)), Err(NoReading::CutOff));
    // A quarter to the right: the lower rows stand at the left.
    let turned = photo.turned(1);
    let stands = turned.missing().unwrap();
    assert_eq!((stands.x, stands.width, stands.height), (0, missing.height, width));
    assert_eq!(read(&turned, 8.0, 128.0), Err(NoReading::CutOff));
    let lit = photo.lit(&std::sync::Arc::new(crate::Light::scaled([1.0; 3])));
    assert_eq!(read(&lit, 128.0, 185.0), Err(NoReading::CutOff));
    assert_eq!(lit.missing(), photo.missing());
    let reduced = open(Some(128));
    let small = reduced.missing().unwrap();
    assert!(small.y.abs_diff(missing.y / 2) <= 1, "{small:?} of {missing:?}");
    assert!((read(&reduced, 64.0, 15.0).unwrap() - there).abs() < 1.0);
}
