//! The committed files are what the generator draws, and what they claim of themselves holds.

use tonefast_demo::{
    Drawn, EASEL_JPEG, REWRITE, STARTER_PAINTS, STRIPS_JPEG, SUBJECT_JPEG, TRUTHS_JSON, draw, truths,
};

#[test]
fn the_committed_files_are_what_the_generator_draws() {
    let Drawn { subject, easel, starter, strips, truths } = draw().expect("the generator draws");
    assert!(subject == SUBJECT_JPEG, "low-water.jpg is stale: run `{REWRITE}`");
    assert!(easel == EASEL_JPEG, "low-water-easel.jpg is stale: run `{REWRITE}`");
    assert!(starter.as_bytes() == STARTER_PAINTS, "starter-paints.json is stale: run `{REWRITE}`");
    assert!(strips == STRIPS_JPEG, "strips.jpg is stale: run `{REWRITE}`");
    assert!(truths == TRUTHS_JSON, "truths.json is stale: run `{REWRITE}`");
}

/// All files go wherever the app goes, so they must stay small: the harbour under 900 kB, the strips under 350 kB.
#[test]
fn the_pictures_are_small() {
    assert!(SUBJECT_JPEG.len() + EASEL_JPEG.len() < 900_000, "{} + {}", SUBJECT_JPEG.len(), EASEL_JPEG.len());
    assert!(STRIPS_JPEG.len() < 350_000 && STARTER_PAINTS.len() < 50_000, "{}", STRIPS_JPEG.len());
}

/// EXIF 2.32: APP1 begins `Exif\0\0`, then a TIFF header; tag 0x0112 is Orientation, 0x8825 would point to places.
#[test]
fn the_subject_says_how_it_stands_and_nothing_else() {
    assert_eq!(&SUBJECT_JPEG[..2], [0xff, 0xd8]);
    let exif = SUBJECT_JPEG.windows(6).position(|w| w == b"Exif\0\0").expect("there is EXIF") + 6;
    let tiff = &SUBJECT_JPEG[exif..exif + 26];
    assert_eq!(tiff, b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0");
    assert!([EASEL_JPEG, STRIPS_JPEG].iter().all(|jpeg| !jpeg.windows(6).any(|w| w == b"Exif\0\0")));
}

/// The scale of the tones: a big light, a broad middle, few darks. What makes a picture for five bands.
#[test]
fn the_subject_uses_the_whole_scale() {
    let subject = truths().subject;
    assert!((subject.shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
    assert!(subject.shares.iter().all(|&share| share > 0.03), "{:?}", subject.shares);
    assert!(subject.shares[0] > 0.2, "{:?}", subject.shares);
}

/// Two hues of one tone: closer than an untrained eye tells apart (2–3.5 in ΔE*ab, common practice).
#[test]
fn the_equal_tones_are_equal() {
    let pair = truths().subject.equal_tones;
    assert!((pair.first.lightness - pair.second.lightness).abs() < 2.0, "{pair:?}");
}

/// An 18 % card is L* 49.5 by CIE 15, and paper is 94–97 (common practice); the studio's light is a little uneven.
#[test]
fn the_easel_shows_a_grey_card_and_paper() {
    let easel = truths().easel;
    assert!((easel.grey_card.lightness - 49.5).abs() < 1.0, "{:?}", easel.grey_card);
    assert!((93.0..97.5).contains(&easel.paper_white.lightness), "{:?}", easel.paper_white);
    assert!((easel.framed_shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
}

/// A mistake must be seen: at least half of what was meant, and to the same side.
#[test]
fn the_mistakes_are_in_the_painting() {
    for mistake in truths().easel.mistakes {
        let made = mistake.painting.lightness - mistake.subject.lightness;
        assert!(made / f64::from(mistake.meant) > 0.5, "{mistake:?}: {made}");
    }
}

/// Each step is darker than the one before by more than two L*, so that any eye tells them apart (2-3.5 in ΔE*ab, common
/// practice), the first darker than the paper, and its swatch lies in the picture.
#[test]
fn the_strips_run_from_light_to_dark() {
    let truths = truths().strips;
    let counts: Vec<usize> = truths.strips.iter().map(|strip| strip.steps.len()).collect();
    assert_eq!(counts, [8, 8, 7]);
    for strip in &truths.strips {
        let tones: Vec<f64> = strip.steps.iter().map(|step| step.lightness).collect();
        assert!(tones[0] < truths.paper_lightness - 2.0, "{} {tones:?}", strip.paint);
        assert!(tones.is_sorted_by(|light, dark| light - dark > 2.0), "{} {tones:?}", strip.paint);
        let inside = |[x, y]: [f64; 2]| {
            (0.0..truths.width as f64).contains(&x) && (0.0..truths.height as f64).contains(&y)
        };
        assert!(strip.steps.iter().flat_map(|step| step.corners).all(inside), "{}", strip.paint);
        let named = format!("\"name\": \"{}\"", strip.paint);
        assert!(std::str::from_utf8(STARTER_PAINTS).is_ok_and(|text| text.contains(&named)), "{named}");
    }
}
