//! The demo's pictures, opened as any other, against what their generator knows of them.

use tonefast_core::{Bands, Frame, OpenOptions, Photo, Progress, Reading, Spot};

/// JPEG at quality 90 moves the mean of a spot by less than this.
const JPEG: f64 = 0.5;

fn open(bytes: &[u8]) -> Photo {
    Photo::open(bytes, &OpenOptions::default(), &Progress::new()).unwrap()
}

#[test]
fn spots_of_the_subject_read_as_they_were_drawn() {
    let truths = tonefast_demo::truths().subject;
    let photo = open(tonefast_demo::SUBJECT_JPEG);
    assert_eq!(photo.size(), (truths.width as u32, truths.height as u32));
    let bands = Bands::even(5).unwrap();
    for spot in &truths.spots {
        // The generator counts from corners, readings from pixel centres.
        let at =
            Spot { x: f64::from(spot.x) - 0.5, y: f64::from(spot.y) - 0.5, radius: f64::from(spot.radius) };
        let read = Reading::take(&photo, at, &bands).unwrap().lightness;
        assert!((read - spot.lightness).abs() < JPEG, "{}: {read} for {}", spot.name, spot.lightness);
    }
}

#[test]
fn framed_shares_of_the_painting_are_within_one_in_a_hundred() {
    let truths = tonefast_demo::truths().easel;
    let photo = open(tonefast_demo::EASEL_JPEG);
    let (width, height) = photo.size();
    let corners = truths.painted_corners.map(|[x, y]| [x / f64::from(width), y / f64::from(height)]);
    let frame = Frame::new(corners).unwrap();
    let histogram = photo.tonal_map().histogram(Some(&frame));
    let bands = Bands::even(5).unwrap();
    for (band, (share, truth)) in histogram.shares(&bands).iter().zip(truths.framed_shares).enumerate() {
        assert!((share - truth).abs() < 0.01, "band {}: {share} for {truth}", band + 1);
    }
}
