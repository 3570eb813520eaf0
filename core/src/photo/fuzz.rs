//! A door for the fuzz targets: what they feed, and the properties that must hold of what comes out. Not part of the
//! library.

use super::decode::{self, Limits};
use super::encoding::Depth;
use super::profile::{self, Device, Lookup, Way};
use super::stored::{Encoding, Samples, Stored};
use super::{OpenError, Orientation, Progress, exif};

/// An EXIF block and the same bytes as an XMP packet: whatever turn is read exchanges pixels and loses none.
///
/// # Panics
/// Where that does not hold.
pub fn orientation(bytes: &[u8]) {
    for orientation in [exif::orientation(bytes), exif::orientation_in_xmp(bytes)].into_iter().flatten() {
        turns_every_pixel_once(orientation);
    }
}

/// A whole file, within limits that keep a run short.
///
/// # Panics
/// Where what comes out contradicts itself.
pub fn decode(bytes: &[u8]) {
    check(decode::decode(bytes, &limits(), &Progress::new()).and_then(Stored::held), bytes);
}

/// As [`decode`], as HEIC whatever the file's first bytes say.
///
/// # Panics
/// Where what comes out contradicts itself.
pub fn heic(bytes: &[u8]) {
    check(decode::heic(bytes, &limits(), &Progress::new()).and_then(Stored::held), bytes);
}

/// A profile, for every kind of samples at both depths.
///
/// # Panics
/// Where an encoding breaks its promises.
pub fn icc(bytes: &[u8]) {
    for device in [Device::Grey, Device::Rgb, Device::Cmyk] {
        for depth in [Depth::Eight, Depth::Sixteen] {
            let Ok(profile) = profile::read(bytes, device, depth) else { continue };
            if let Some(name) = profile.name {
                assert!(
                    !name.is_empty() && name.chars().count() <= 60 && !name.chars().any(char::is_control)
                );
            }
            match profile.way {
                Way::Tables(encoding) => keeps_its_promises(&encoding, depth),
                Way::Lookup(lookup) => looks_up(&lookup, depth),
            }
        }
    }
}

/// A quarter of a megapixel: every path of the decoders is open, and none takes long.
fn limits() -> Limits {
    Limits { pixels: 1 << 18, memory: 64 << 20, profile_bytes: 1 << 20, ..Limits::default() }
}

fn check(decoded: Result<Stored, OpenError>, bytes: &[u8]) {
    match decoded {
        Ok(stored) => {
            let (count, depth) = match &stored.samples {
                Samples::Rgb8(samples) => (samples.len(), Depth::Eight),
                Samples::Rgb16(samples) => (samples.len(), Depth::Sixteen),
            };
            assert!(stored.width > 0 && stored.height > 0);
            assert_eq!(count, 3 * stored.width as usize * stored.height as usize);
            assert!(u64::from(stored.width) * u64::from(stored.height) <= limits().pixels);
            turns_every_pixel_once(stored.orientation);
            keeps_its_promises(&stored.encoding, depth);
        }
        Err(OpenError::Empty) => assert!(bytes.is_empty()),
        Err(OpenError::Cancelled) => panic!("nobody called it off"),
        Err(error) => assert!(!error.to_string().is_empty() && !error.hint().is_empty()),
    }
}

/// Tables rise from 0 to at most 1, one entry a code; luminance sums to 1.
fn keeps_its_promises(encoding: &Encoding, depth: Depth) {
    for table in &encoding.linear_from_code {
        assert_eq!(table.len(), depth.codes());
        assert!(table.iter().all(|linear| (0.0..=1.0).contains(linear)));
        assert!(table.windows(2).all(|pair| pair[0] <= pair[1]));
    }
    assert!((encoding.y_row.iter().sum::<f32>() - 1.0).abs() < 1e-3);
    assert!(encoding.srgb_from_source.iter().flatten().all(|value| value.is_finite()));
}

/// Corners of the device cube and a few points within give the same codes each time.
fn looks_up(lookup: &Lookup, depth: Depth) {
    let last = depth.codes() - 1;
    for corner in 0..16_usize {
        let device = [0, 1, 2, 3]
            .map(|channel| if (corner >> channel) & 1 == 1 { last } else { last / (channel + 3) });
        let device = &device[..lookup.inputs()];
        assert_eq!(lookup.codes(device), lookup.codes(device));
    }
}

fn turns_every_pixel_once(orientation: Orientation) {
    const SIZE: (u32, u32) = (3, 2);
    let (width, height) = orientation.upright_size(SIZE.0, SIZE.1);
    let mut seen = [false; 6];
    for y in 0..height {
        for x in 0..width {
            let (column, row) = orientation.stored_from_upright(x, y, SIZE.0, SIZE.1);
            assert!(column < SIZE.0 && row < SIZE.1);
            let place = &mut seen[(row * SIZE.0 + column) as usize];
            assert!(!*place);
            *place = true;
        }
    }
    assert!(seen.iter().all(|&seen| seen));
}
