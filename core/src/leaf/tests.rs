//! Leaves, read back.

use super::*;
use crate::photo::OpenOptions;
use crate::random::Random;
use crate::studio::{SeenBands, SeenPin};
use crate::{Progress, Reading, Spot};
use ::png::Decoder;
use lopdf::{Document, Object};
use std::io::Cursor;

fn photo(width: u32, height: u32) -> Photo {
    seeded(3, width, height)
}

fn seeded(seed: u64, width: u32, height: u32) -> Photo {
    let mut random = Random::new(seed);
    let pixels: Vec<u8> = (0..width * height)
        .flat_map(|at| {
            let light = random.within((0.0, 40.0)) + 210.0 * f64::from(at % width) / f64::from(width);
            [light, light * 0.8, light * 0.6].map(|it| it as u8)
        })
        .collect();
    let mut png = Cursor::new(Vec::new());
    let picture = image::RgbImage::from_raw(width, height, pixels).unwrap();
    picture.write_to(&mut png, image::ImageFormat::Png).unwrap();
    Photo::open(png.get_ref(), &OpenOptions::default(), &Progress::new()).unwrap()
}

fn seen(photo: &Photo, pins: usize, view: View) -> Seen {
    let bands = Bands::even(5).unwrap();
    let shares = photo.tonal_map().histogram(None).shares(&bands);
    let (width, height) = (f64::from(photo.size().0), f64::from(photo.size().1));
    let pins = (0..pins)
        .map(|at| {
            let along = (at as f64 + 0.5) / pins as f64;
            let spot = Spot {
                x: (along * (width - 1.0)).round(),
                y: ((1.0 - along) * (height - 1.0)).round(),
                radius: 6.0,
            };
            let reading = Reading::take(photo, spot, &bands).unwrap();
            let letter = char::from(b'A' + at as u8).to_string();
            let warnings = vec!["Uneven: its parts differ by 9.1".to_owned()];
            SeenPin::read(
                (&letter, if at % 2 == 0 { "Hull" } else { "" }),
                spot,
                &reading,
                "as the camera saw it",
                warnings,
            )
        })
        .collect();
    Seen { view: view.into(), pins, ..Seen::plain(photo.size(), 0, (SeenBands::Even, &bands), shares) }
}

fn captions(title: &str) -> Captions {
    let [note, session, locality, date] =
        ["The mud is as dark as the hull.", "Low water", "The old quay", "25 November 2026, 14:05"]
            .map(str::to_owned);
    Captions { title: title.to_owned(), note, session, locality, date, turned: false }
}

/// Pixels as RGB and all that a PNG says.
fn read(png: &[u8]) -> (::png::Info<'static>, Vec<u8>) {
    let mut reader = Decoder::new(Cursor::new(png)).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut pixels).unwrap();
    (reader.info().clone(), pixels)
}

#[test]
fn the_picture_is_cores_own_view_and_all_about_it_is_grey() {
    let photo = photo(600, 400);
    for view in [View::Colour, View::Lightness, View::Bands, View::Outlines] {
        let seen = seen(&photo, 0, view);
        let (info, pixels) = read(&annotated(&photo, &seen, &captions("Hull")).unwrap());
        let bands = seen.division().unwrap();
        let Picture { columns, rows, rgba, .. } = Picture::of(&photo, &seen, view, &bands, LONGEST).unwrap();
        assert_eq!((columns, rows), (600, 400), "it is not enlarged");
        let (across, down) = (info.width as usize, info.height as usize);
        let first =
            rgba.as_chunks::<4>().0.iter().take(600).flat_map(|it| &it[..3]).copied().collect::<Vec<_>>();
        let corner = (0..across * down)
            .find(|&at| at % across + 600 <= across && pixels[3 * at..].starts_with(&first))
            .expect("its first row is there");
        let (left, top) = (corner % across, corner / across);
        for at in 0..across * down {
            let pixel = &pixels[3 * at..3 * at + 3];
            let (x, y) = (at % across, at / across);
            if (left..left + 600).contains(&x) && (top..top + 400).contains(&y) {
                let own = 4 * ((y - top) * 600 + x - left);
                assert_eq!(pixel, &rgba[own..own + 3], "{view:?} at {x}, {y}");
            } else {
                assert!(pixel[0] == pixel[1] && pixel[1] == pixel[2], "{view:?} at {x}, {y}: {pixel:?}");
            }
        }
    }
}

#[test]
fn the_file_says_srgb_and_what_was_read_and_nothing_of_where_the_photo_was_taken() {
    let photo = photo(120, 90);
    let seen = seen(&photo, 2, View::Colour);
    let title = "Hull & mast <3 \u{1f30a} מים";
    let png = annotated(&photo, &seen, &captions(title)).unwrap();
    let (info, _) = read(&png);
    assert_eq!(info.srgb, Some(::png::SrgbRenderingIntent::RelativeColorimetric));
    assert!(info.exif_metadata.is_none());
    let texts: Vec<(String, String)> =
        info.utf8_text.iter().map(|text| (text.keyword.clone(), text.get_text().unwrap())).collect();
    let text = |keyword: &str| &texts.iter().find(|it| it.0 == keyword).unwrap().1;
    assert_eq!((text("Title").as_str(), text("Creation Time").as_str()), (title, "25 November 2026, 14:05"));
    let lightness = seen.pins[0].lightness;
    assert!(text("Description").contains("A, Hull: band"), "{}", text("Description"));
    assert!(text("Description").contains(&format!("L* {lightness:.0}")), "{}", text("Description"));
    for chunk in [b"eXIf".as_slice(), b"tEXt", b"zTXt"] {
        assert!(!png.windows(4).any(|it| it == chunk), "{}", String::from_utf8_lossy(chunk));
    }
}

/// Nothing that is written falls off, and no line lies on another, whatever the words and however many the pins.
#[test]
fn whatever_is_said_stays_on_the_leaf() {
    for (width, height) in [(60, 40), (900, 300), (300, 900), (2500, 1800)] {
        let photo = photo(width, height);
        for (pins, title) in
            [(0, ""), (2, "Hull"), (12, "w".repeat(300).as_str()), (12, "מים נמוכים "), (3, "水 \u{1f30a}")]
        {
            let seen = seen(&photo, pins, View::Bands);
            let (info, pixels) = read(&annotated(&photo, &seen, &captions(title)).unwrap());
            let (across, down) = (info.width as usize, info.height as usize);
            let is_white =
                |x: usize, y: usize| pixels[3 * (y * across + x)..3 * (y * across + x) + 3] == [255; 3];
            let told = format!("{width} x {height}, {pins} pins, {title:?}");
            assert!((0..across).all(|x| is_white(x, down - 1)), "{told}: the lowest row is free");
            assert!((0..down).all(|y| is_white(across - 1, y)), "{told}: the last column is free");
            assert!(across as f64 >= NARROWEST && down < 6 * across, "{told}: {across} x {down}");
        }
    }
}

#[test]
fn another_photo_is_refused() {
    let (kept, other) = (photo(60, 40), photo(40, 60));
    let seen = seen(&kept, 0, View::Colour);
    assert!(matches!(annotated(&other, &seen, &captions("")), Err(StudioError::Odd(_))));
}

/// Read back by another library (lopdf): pages, their size, what is written on them, and their pictures.
#[test]
fn a_handout_reads_back() {
    let photos: Vec<Photo> = (0..7).map(|seed| seeded(seed, 300, 200)).collect();
    for (paper, [width, height]) in [(Paper::A4, [595.276, 841.890]), (Paper::Letter, [612.0, 792.0])] {
        for (layout, pages, pictures, greys) in
            [(HandoutLayout::Grid, 2, 7, 0), (HandoutLayout::OneAPage, 7, 21, 14)]
        {
            let mut handout = Handout::new(paper, layout, "Low water");
            for (number, photo) in photos.iter().enumerate() {
                let title = format!("Snapshot number {number}");
                handout.add(photo, &seen(photo, 2, View::Colour), &captions(&title)).unwrap();
            }
            let pdf = Document::load_mem(&handout.finish().unwrap()).unwrap();
            let told = format!("{paper:?}, {layout:?}");
            assert_eq!(pdf.get_pages().len(), pages, "{told}");
            for &id in pdf.get_pages().values() {
                let page = pdf.get_dictionary(id).unwrap();
                let sides = page.get(b"MediaBox").unwrap().as_array().unwrap();
                let sides: Vec<f32> = sides.iter().map(|side| side.as_float().unwrap()).collect();
                // A hundredth of a point is less than a printer's dot.
                assert!(
                    (sides[2] - width).abs() < 0.01 && (sides[3] - height).abs() < 0.01,
                    "{told}: {sides:?}"
                );
            }
            let numbers: Vec<u32> = pdf.get_pages().keys().copied().collect();
            let text = pdf.extract_text(&numbers).unwrap();
            let plain: String = text.chars().filter(|it| !it.is_whitespace()).collect();
            for number in 0..7 {
                assert!(plain.contains(&format!("Snapshotnumber{number}")), "{told}: {text}");
            }
            assert!(plain.contains("A,Hull:band") && plain.contains("Lowwater"), "{told}: {text}");
            let images: Vec<Vec<u8>> = pdf.objects.values().filter_map(pixels).collect();
            let is_grey = |rgb: &&Vec<u8>| rgb.as_chunks::<3>().0.iter().all(|[r, g, b]| r == g && g == b);
            assert_eq!((images.len(), images.iter().filter(is_grey).count()), (pictures, greys), "{told}");
        }
    }
}

/// In the picture's own text, on the ladder, and on both kinds of pages, read back by another library (lopdf).
#[test]
fn bands_are_counted_as_she_counts() {
    let photo = photo(300, 200);
    let mut seen = seen(&photo, 1, View::Bands);
    let band = seen.pins[0].band;
    seen.pins[0].warnings = vec!["On the edge to band 1".to_owned()];
    seen.shares = vec![0.1, 0.15, 0.2, 0.25, 0.3];
    let captions = |turned| Captions { turned, ..captions("Hull") };
    let mut drawn = Vec::new();
    let counted = [false, true].map(|turned| {
        let (info, pixels) = read(&annotated(&photo, &seen, &captions(turned)).unwrap());
        drawn.push(pixels);
        let told = info.utf8_text.iter().find(|it| it.keyword == "Description").unwrap().get_text().unwrap();
        let [grid, whole] = [HandoutLayout::Grid, HandoutLayout::OneAPage].map(|layout| {
            let mut handout = Handout::new(Paper::A4, layout, "Low water");
            handout.add(&photo, &seen, &captions(turned)).unwrap();
            let pdf = Document::load_mem(&handout.finish().unwrap()).unwrap();
            let text = pdf.extract_text(&[1]).unwrap();
            text.chars().filter(|it| !it.is_whitespace()).collect::<String>()
        });
        (told, grid, whole)
    });
    for ((told, grid, whole), (band, edge, shares, ladder)) in counted.iter().zip([
        (band, 1, "Bands1:10%,2:15%,3:20%,4:25%,5:30%", "110%215%L*80320%L*60425%L*40530%L*20"),
        (6 - band, 5, "Bands1:30%,2:25%,3:20%,4:15%,5:10%", "510%415%L*80320%L*60225%L*40130%L*20"),
    ]) {
        let reading = format!("A, Hull: band {band}, L*");
        assert!(told.contains(&reading) && told.contains(&format!("edge to band {edge}")), "{told}");
        let plain: String = reading.chars().filter(|it| !it.is_whitespace()).collect();
        assert!(grid.contains(&plain) && grid.contains(shares), "{grid}");
        assert!(whole.contains(&plain) && whole.contains(ladder), "{whole}");
    }
    assert!(drawn[0] != drawn[1], "the ladder that is drawn beside the picture, too");
}

/// Whichever view was kept, a page of its own shows colour, lightness and bands, each once.
#[test]
fn a_page_shows_each_of_the_three_views_once() {
    let photo = photo(300, 200);
    for view in [View::Colour, View::Lightness, View::Bands] {
        let mut handout = Handout::new(Paper::A4, HandoutLayout::OneAPage, "Low water");
        handout.add(&photo, &seen(&photo, 2, view), &captions("Hull")).unwrap();
        let pdf = Document::load_mem(&handout.finish().unwrap()).unwrap();
        let images: Vec<Vec<u8>> = pdf.objects.values().filter_map(pixels).collect();
        let tones = |rgb: &Vec<u8>| {
            rgb.as_chunks::<3>()
                .0
                .iter()
                .map(|it| it.map(u32::from))
                .collect::<std::collections::BTreeSet<_>>()
        };
        let is_colour = |rgb: &&Vec<u8>| tones(rgb).iter().any(|[r, g, b]| r != g || g != b);
        // Five bands and, where they meet, what lies between two.
        let is_bands = |rgb: &&Vec<u8>| !is_colour(rgb) && tones(rgb).len() < 40;
        let count = |is: &dyn Fn(&&Vec<u8>) -> bool| images.iter().filter(is).count();
        assert_eq!(
            (images.len(), count(&is_colour), count(&is_bands)),
            (3, 1, 1),
            "{view:?}: {:?}",
            images.iter().map(|it| tones(it).len()).collect::<Vec<_>>()
        );
    }
}

/// Read back by another library (lopdf).
#[test]
fn six_a_page_have_their_ladder_and_say_which_is_darker_and_no_date_twice() {
    let photo = photo(300, 200);
    for layout in [HandoutLayout::Grid, HandoutLayout::OneAPage] {
        let mut handout = Handout::new(Paper::A4, layout, "Low water");
        let mut seen = seen(&photo, 2, View::Colour);
        seen.shares = vec![0.1, 0.15, 0.2, 0.25, 0.3];
        handout.add(&photo, &seen, &captions("Hull")).unwrap();
        let pdf = Document::load_mem(&handout.finish().unwrap()).unwrap();
        let text: String = pdf.extract_text(&[1]).unwrap().chars().filter(|it| !it.is_whitespace()).collect();
        assert!(text.contains("110%215%L*80320%L*60425%L*40530%L*20"), "{layout:?}: {text}");
        assert!(text.contains("BisfarlighterthanHull."), "{layout:?}: {text}");
        assert_eq!(text.matches("2026").count(), 1, "{layout:?}: {text}");
    }
}

/// The pixels of a picture in a PDF, as RGB.
fn pixels(object: &Object) -> Option<Vec<u8>> {
    let stream = object.as_stream().ok()?;
    let is_image = stream.dict.get(b"Subtype").and_then(Object::as_name).is_ok_and(|name| name == b"Image");
    is_image.then(|| stream.decompressed_content().unwrap())
}

#[test]
fn the_same_handout_is_the_same_file() {
    let photo = photo(120, 90);
    let made = || {
        let mut handout = Handout::new(Paper::A4, HandoutLayout::Grid, "Low water");
        handout.add(&photo, &seen(&photo, 3, View::Bands), &captions("Hull")).unwrap();
        handout.finish().unwrap()
    };
    assert!(made() == made());
}

/// What a file that was cut off does not have is hatched in two greys, and the print says that it is missing.
#[test]
fn what_a_file_does_not_have_is_hatched_and_said() {
    let mut random = Random::new(5);
    let samples: Vec<u8> = (0..3 * 160 * 120).map(|_| random.within((20.0, 90.0)) as u8).collect();
    let mut bytes = Vec::new();
    let encoder = jpeg_encoder::Encoder::new(&mut bytes, 90);
    encoder.encode(&samples, 160, 120, jpeg_encoder::ColorType::Rgb).unwrap();
    bytes.truncate(bytes.len() / 2);
    let photo = Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).unwrap();
    let missing = photo.missing().unwrap();
    let (seen, bands) = (seen(&photo, 0, View::Lightness), Bands::even(5).unwrap());
    let Picture { columns, rgba, .. } = Picture::of(&photo, &seen, View::Lightness, &bands, LONGEST).unwrap();
    let is_hatching = |pixel: &[u8]| pixel[..3] == [0xd0; 3] || pixel[..3] == [0x60; 3];
    let (there, cut) = rgba.split_at(4 * columns as usize * missing.y as usize);
    assert!(cut.chunks_exact(4).all(is_hatching) && cut.contains(&0xd0) && cut.contains(&0x60));
    assert!(!there.chunks_exact(4).take(160 * 16).any(|pixel| pixel[..3] == [0xd0; 3]));
    let words = Words::of(&seen, &Captions::default(), photo.noticed());
    assert!(
        words.lines().iter().any(|line| line.contains("part of the file is missing")),
        "{:?}",
        words.lines()
    );
}
