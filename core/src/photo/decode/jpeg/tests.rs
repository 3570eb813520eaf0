use super::*;
use crate::photo::Orientation;
use crate::photo::stored::Samples;
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

const SIDE: u16 = 64;

/// A smooth picture of [`SIDE`] squared by an encoder that shares nothing with the decoder; `tweak` sets what is
/// special about it.
fn encoded(data: &[u8], color: ColorType, tweak: impl FnOnce(&mut Encoder<&mut Vec<u8>>)) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 100);
    tweak(&mut encoder);
    encoder.encode(data, SIDE, SIDE, color).unwrap();
    bytes
}

fn smooth(channels: usize) -> Vec<u8> {
    let side = usize::from(SIDE);
    let value = |x: usize, y: usize, channel: usize| match channel {
        0 => 4 * x,
        1 => 4 * y,
        2 => 2 * (x + y),
        _ => 30,
    };
    (0..side * side)
        .flat_map(|at| (0..channels).map(move |channel| value(at % side, at / side, channel) as u8))
        .collect()
}

fn opened(bytes: &[u8]) -> Result<Stored, OpenError> {
    decode(bytes, &Limits::default(), &Progress::new()).and_then(Stored::held)
}

fn eight(stored: &Stored) -> &[u8] {
    match &stored.samples {
        Samples::Rgb8(samples) => samples,
        Samples::Rgb16(_) => panic!("16 bits"),
    }
}

/// Quality 100 quantises by steps of 1: codes come back within 4, colours once rounded to YCbCr and back.
fn assert_near(found: &[u8], wanted: impl Iterator<Item = u8>) {
    assert!(found.iter().zip(wanted).all(|(found, wanted)| found.abs_diff(wanted) <= 4));
}

#[test]
fn baseline_progressive_and_grey_come_back() {
    let data = smooth(3);
    for progressive in [false, true] {
        let bytes = encoded(&data, ColorType::Rgb, |encoder| encoder.set_progressive(progressive));
        let stored = opened(&bytes).unwrap();
        assert_eq!((stored.width, stored.height), (64, 64));
        assert_eq!(stored.noticed, []);
        assert_near(eight(&stored), data.iter().copied());
    }
    let grey = smooth(1);
    let stored = opened(&encoded(&grey, ColorType::Luma, |_| ())).unwrap();
    assert_near(eight(&stored), grey.iter().flat_map(|&grey| [grey; 3]));
}

/// With tuned codes this encoder writes a scan for each channel.
#[test]
fn channels_one_by_one_come_back() {
    let data = smooth(3);
    for sampling in [SamplingFactor::F_1_1, SamplingFactor::F_2_1, SamplingFactor::F_2_2] {
        let bytes = encoded(&data, ColorType::Rgb, |encoder| {
            encoder.set_optimized_huffman_tables(true);
            encoder.set_sampling_factor(sampling);
        });
        let stored = opened(&bytes).unwrap();
        assert_eq!(stored.noticed, []);
        assert_near(eight(&stored), data.iter().copied());
    }
}

/// All ways to code four inks give the same amounts; (1 − C)(1 − K) stands for a profile (common practice).
#[test]
fn four_inks_are_read_whichever_way_they_are_coded() {
    let inks = smooth(4);
    let wanted: Vec<u8> = inks
        .as_chunks::<4>()
        .0
        .iter()
        .flat_map(|&[c, m, y, k]| {
            [c, m, y].map(|ink| ((255 - u32::from(ink)) * (255 - u32::from(k)) / 255) as u8)
        })
        .collect();
    for color in [ColorType::Cmyk, ColorType::CmykAsYcck] {
        for one_by_one in [false, true] {
            let bytes = encoded(&inks, color, |encoder| encoder.set_optimized_huffman_tables(one_by_one));
            let stored = opened(&bytes).unwrap();
            assert_eq!(stored.noticed, [Noticed::InksWithoutProfile]);
            assert_near(eight(&stored), wanted.iter().copied());
        }
    }
}

#[test]
fn a_profile_in_parts_and_a_turn_are_read() {
    let mut icc = moxcms::ColorProfile::new_display_p3().encode().unwrap();
    // Padding within the profile makes it long enough to need more than one segment of 64 KiB.
    icc.resize(150_000, 0);
    let mut exif = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x05\0\0".to_vec();
    exif.extend([0; 4]);
    let bytes = encoded(&smooth(3), ColorType::Rgb, |encoder| {
        encoder.add_icc_profile(&icc).unwrap();
        encoder.add_exif_metadata(&exif).unwrap();
    });
    let stored = opened(&bytes).unwrap();
    assert_eq!(stored.noticed, [Noticed::Profile { name: "Display P3".to_owned() }]);
    assert_eq!(stored.orientation, Orientation::from_exif(5));
}

#[test]
fn a_file_cut_short_shows_what_came_and_says_so() {
    let bytes = encoded(&smooth(3), ColorType::Rgb, |_| ());
    let stored = opened(&bytes[..bytes.len() * 3 / 4]).unwrap();
    assert_eq!(stored.noticed, [Noticed::Incomplete]);
    // Every row that is said to have come is the picture's own.
    let decoded = stored.decoded.unwrap() as usize;
    assert!((24..64).contains(&decoded), "{decoded}");
    let data = smooth(3);
    assert_near(&eight(&stored)[..3 * 64 * decoded], data.iter().copied());
    assert_eq!(opened(&bytes).unwrap().decoded, None);
    assert!(matches!(opened(&bytes[..100]), Err(OpenError::Broken { .. })));
}

/// Nonsense within the scan, with a proper end after it: the decoder makes do, not always with a warning.
#[test]
fn a_scan_that_makes_no_sense_is_told() {
    for progressive in [false, true] {
        let mut bytes = encoded(&smooth(3), ColorType::Rgb, |encoder| encoder.set_progressive(progressive));
        let middle = bytes.len() / 2;
        // Ones are no code of any Huffman table (T.81, annex C); each is stuffed.
        bytes.splice(middle..middle, [0xff, 0].repeat(40));
        assert_eq!(opened(&bytes).unwrap().noticed, [Noticed::Incomplete]);
    }
}

/// A few bytes before the end are common, and harm nothing; many are what no row asked for.
#[test]
fn padding_is_passed_over_and_what_is_left_over_told() {
    let bytes = encoded(&smooth(3), ColorType::Rgb, |_| ());
    for (count, noticed) in [(2, &[][..]), (200, &[Noticed::Incomplete])] {
        let mut padded = bytes.clone();
        padded.splice(bytes.len() - 2..bytes.len() - 2, vec![0; count]);
        assert_eq!(opened(&padded).unwrap().noticed, noticed);
    }
}

/// A scan over all of a large picture takes a few bytes: thousands of them would take minutes.
#[test]
fn endless_scans_are_refused() {
    let bytes = encoded(&smooth(3), ColorType::Rgb, |encoder| encoder.set_progressive(true));
    let scan = bytes.windows(2).rposition(|it| it == [0xff, 0xda]).unwrap();
    let end = bytes.len() - 2;
    for (times, refused) in [(2, false), (200, true)] {
        let many = [&bytes[..scan], &bytes[scan..end].repeat(times), &bytes[end..]].concat();
        assert_eq!(matches!(opened(&many), Err(OpenError::Unsupported { .. })), refused);
    }
}

/// libjpeg's own words: a Huffman table that has more codes than there can be (T.81, B.2.4.2).
#[test]
fn what_cannot_be_decoded_is_told_in_words() {
    let mut bytes = encoded(&smooth(3), ColorType::Rgb, |_| ());
    let table = bytes.windows(2).position(|it| it == [0xff, 0xc4]).unwrap();
    bytes[table + 5] = 0xff;
    let error = opened(&bytes).err().unwrap().to_string();
    assert!(error.contains("damaged: Bogus Huffman table"), "{error}");
}

#[test]
fn a_gain_map_beside_the_picture_is_told() {
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x hdrgm:Version=\"1.0\"/>".to_vec();
    let bytes = encoded(&smooth(3), ColorType::Rgb, |encoder| encoder.add_app_segment(1, xmp).unwrap());
    assert_eq!(opened(&bytes).unwrap().noticed, [Noticed::GainMapIgnored]);
}

/// Precision and kind of coding stand in the frame's header (T.81, B.2.2).
#[test]
fn what_is_not_read_is_named() {
    let bytes = encoded(&smooth(3), ColorType::Rgb, |_| ());
    let frame = bytes.windows(2).position(|it| it == [0xff, 0xc0]).unwrap();
    for (at, value, word) in [(4, 12, "12 bits"), (1, 0xc3, "lossless"), (1, 0xc9, "arithmetic")] {
        let mut other = bytes.clone();
        other[frame + at] = value;
        let error = opened(&other).err().unwrap().to_string();
        assert!(error.contains(word) && error.contains("cannot be read yet"), "{error}");
    }
}

#[test]
fn calling_off_stops_it() {
    let bytes = encoded(&smooth(3), ColorType::Rgb, |_| ());
    let progress = Progress::new();
    progress.cancel();
    assert!(matches!(decode(&bytes, &Limits::default(), &progress), Err(OpenError::Cancelled)));
}
