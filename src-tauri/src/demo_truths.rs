//! The demo's pictures and paints, opened as any other, against what their generator knows of them.

use tonefast_core::{Bands, Frame, OpenOptions, PaintBox, Photo, Progress, Reading, Spot, strips};

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

/// How far a step of a strip may read from what was drawn, in L*: what the eye tells side by side.
const STEP: f64 = 1.5;

#[test]
fn strips_of_the_demo_are_found_and_read_as_they_were_drawn() {
    let truths = tonefast_demo::truths().strips;
    let found = strips(&open(tonefast_demo::STRIPS_JPEG), truths.paper_lightness);
    assert_eq!(found.len(), truths.strips.len());
    for (found, drawn) in found.iter().zip(&truths.strips) {
        assert_eq!(found.steps.len(), drawn.steps.len(), "{}", drawn.paint);
        for (read, truth) in found.steps.iter().zip(&drawn.steps) {
            assert!((read.lightness - truth.lightness).abs() < STEP, "{}: {read:?}", drawn.paint);
        }
    }
}

#[test]
fn the_starter_box_is_a_box_of_paints_that_says_what_it_is() {
    let paints = PaintBox::read(tonefast_demo::STARTER_PAINTS).unwrap();
    assert_eq!(paints.json().as_bytes(), tonefast_demo::STARTER_PAINTS);
    assert!(paints.paints.iter().all(|paint| paint.about.notes.contains("Invented")));
}
