//! How fast the parts are: `cargo bench -p tonefast-core --bench parts`.

mod photos;

use divan::{Bencher, black_box};
use photos::{SIZES, Size, file};
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::time::SystemTime;
use tonefast_core::{
    Bands, Captions, Circumstances, Light, Moment, OpenOptions, PaintBox, Patch, PatchKind, Photo, Progress,
    Reading, Region, Seen, SeenBands, SeenPin, Session, SessionAbout, SessionOrder, Spot, Studio, View,
    ViewSettings, Wash, annotated, colours, render,
};

fn main() {
    divan::main();
}

fn opened(size: Size) -> Photo {
    let bytes = fs::read(file(size)).expect("it was just drawn");
    Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).expect("it was drawn as a picture")
}

fn five() -> Bands {
    Bands::even(5).expect("five is allowed")
}

/// Bytes to a photo, and the colour copy that a phone's screen wants first.
#[divan::bench(args = SIZES.map(|size| size.name), sample_count = 10, sample_size = 1)]
fn open_and_first_copy(bencher: Bencher<'_, '_>, name: &str) {
    let size = SIZES.into_iter().find(|size| size.name == name).expect("it is one of them");
    let bytes = fs::read(file(size)).expect("it was just drawn");
    bencher.bench(|| {
        let photo = Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).expect("a picture");
        let (width, height) = photo.size();
        black_box(colours(&photo, Region::whole(width, height), 780, 585));
        photo
    });
}

#[divan::bench(args = ["colour", "lightness", "bands"], sample_count = 20)]
fn view_of_12_mp_on_a_phone(bencher: Bencher<'_, '_>, name: &str) {
    let (photo, bands) = (opened(SIZES[0]), five());
    let view = match name {
        "colour" => View::Colour,
        "lightness" => View::Lightness,
        _ => View::Bands,
    };
    let settings = ViewSettings { view, bands: &bands, soft: None, frame: None, line: 1 };
    let (width, height) = photo.size();
    bencher.bench(|| render(&photo, &settings, Region::whole(width, height), 780, 585));
}

#[divan::bench(sample_count = 50)]
fn band_12_mp_anew(bencher: Bencher<'_, '_>) {
    let (photo, bands) = (opened(SIZES[0]), five());
    bencher.bench(|| photo.tonal_map().banded(&bands));
}

#[divan::bench(sample_count = 20)]
fn shares_of_12_mp(bencher: Bencher<'_, '_>) {
    let (photo, bands) = (opened(SIZES[0]), five());
    bencher.bench(|| photo.tonal_map().histogram(None).shares(&bands));
}

#[divan::bench(args = [5, 12], sample_count = 20)]
fn bands_fitted(bencher: Bencher<'_, '_>, count: usize) {
    let histogram = opened(SIZES[0]).tonal_map().histogram(None);
    bencher.bench(|| Bands::fitted(count, &histogram).expect("there are pixels"));
}

#[divan::bench(args = [10, 50, 200], sample_count = 100)]
fn reading_of_radius(bencher: Bencher<'_, '_>, radius: u32) {
    let (photo, bands) = (opened(SIZES[0]), five());
    let spot = Spot { x: 1500.0, y: 1200.0, radius: f64::from(radius) };
    bencher.bench(|| Reading::take(&photo, spot, &bands).expect("it lies inside"));
}

/// A light told anew on 12 MP: judged, and Y made again; evened out, paper lies in four places.
#[divan::bench(args = ["one paper", "four papers"], sample_count = 20)]
fn light_of_12_mp(bencher: Bencher<'_, '_>, name: &str) {
    let photo = opened(SIZES[0]);
    let (width, height) = (f64::from(photo.size().0), f64::from(photo.size().1));
    let places = [(0.1, 0.1), (0.9, 0.1), (0.1, 0.9), (0.9, 0.9)];
    let used = if name == "one paper" { 1 } else { 4 };
    // The photo is no board of papers: what they read is taken for the light's falling off, or its edge.
    let patches: Vec<Patch> = places[..used]
        .iter()
        .map(|(x, y)| Patch {
            kind: PatchKind::White,
            spot: Spot { x: x * width, y: y * height, radius: 40.0 },
            lightness: PatchKind::White.usual_lightness(),
        })
        .collect();
    bencher.bench(|| {
        let light = Light::judge(&photo, &patches, Circumstances::default()).expect("none is clipped");
        photo.lit(&Arc::new(light))
    });
}

/// What Keep draws behind: a leaf of 2048 pixels with two pins, as a PNG.
#[divan::bench(sample_count = 10)]
fn leaf_of_12_mp(bencher: Bencher<'_, '_>) {
    let photo = opened(SIZES[0]);
    let bands = five();
    let read = |letter: &str, x: f64| {
        let spot = Spot { x, y: 900.0, radius: 30.0 };
        let reading = Reading::take(&photo, spot, &bands).expect("it lies within");
        SeenPin::read((letter, "Hull"), spot, &reading, "as the camera saw it", Vec::new())
    };
    let shares = photo.tonal_map().histogram(None).shares(&bands);
    let pins = vec![read("A", 700.0), read("B", 2000.0)];
    let seen = Seen { pins, ..Seen::plain(photo.size(), 0, (SeenBands::Even, &bands), shares) };
    let captions = Captions { title: "Low water".to_owned(), ..Captions::default() };
    bencher.bench_local(|| annotated(&photo, &seen, &captions).expect("it is the photo"));
}

/// A studio of 300 sessions with 5,000 snapshots.
fn full_studio(folder: &Path) -> Studio {
    let mut studio = Studio::open(folder, SystemTime::now()).expect("a studio");
    let sessions: Vec<i64> = (0..300)
        .map(|at| {
            let about = SessionAbout { title: format!("Low water {at}"), ..SessionAbout::default() };
            studio.begin_session(&about, Moment(at)).expect("room for it")
        })
        .collect();
    let photo = studio.keep_photo(sessions[0], "low-water.jpg", b"bytes", Moment(0)).expect("room for it");
    let seen = Seen::plain((4000, 3000), 0, (SeenBands::Even, &five()), vec![0.2; 5]);
    for at in 0..5_000 {
        let session = sessions[at % sessions.len()];
        let title = format!("Hull {at}");
        studio.keep_snapshot(session, &photo, (&title, ""), &seen, Moment(0)).expect("room for it");
    }
    studio
}

/// All sessions of a full studio, sorted, and all their snapshots.
#[divan::bench(sample_count = 20)]
fn list_300_sessions_with_5000_snapshots(bencher: Bencher<'_, '_>) {
    let folder = tempfile::TempDir::new().expect("a folder");
    let studio = full_studio(folder.path());
    bencher.bench_local(|| {
        let listed = studio.sessions(SessionOrder::Title).expect("they were just begun");
        let snapshots = |session: &Session| studio.snapshots(session.id).expect("they were just kept").len();
        assert_eq!(listed.iter().map(snapshots).sum::<usize>(), 5_000);
    });
}

/// A word that is in one title of 5,000, and one that is in all.
#[divan::bench(args = ["4321", "hull"], sample_count = 20)]
fn search_5000_snapshots(bencher: Bencher<'_, '_>, word: &str) {
    let folder = tempfile::TempDir::new().expect("a folder");
    let studio = full_studio(folder.path());
    bencher.bench_local(|| studio.search(word).expect("words are found"));
}

/// Looked through for damage, tidied, and ready.
#[divan::bench(sample_count = 20)]
fn open_a_full_studio(bencher: Bencher<'_, '_>) {
    let folder = tempfile::TempDir::new().expect("a folder");
    drop(full_studio(folder.path()));
    bencher.bench_local(|| Studio::open(folder.path(), SystemTime::now()).expect("it was closed"));
}

/// Sixty colours spread over the cube of sRGB.
fn sixty_colours() -> Vec<[u8; 3]> {
    (0..60_u32).map(|at| [at * 97 % 241, at * 53 % 239, at * 151 % 233].map(|code| code as u8 + 10)).collect()
}

/// Sixty paints, from their colours to each mixed with every other by halves: 1,770 mixtures.
#[divan::bench(sample_count = 20)]
fn all_pairs_of_60_paints(bencher: Bencher<'_, '_>) {
    let colours = sixty_colours();
    bencher.bench(|| {
        let washes: Vec<Wash> = colours.iter().map(|&srgb| Wash::from_srgb(srgb)).collect();
        let pairs = (0..washes.len()).flat_map(|one| (0..one).map(move |other| (one, other)));
        let dull = pairs
            .map(|(one, other)| washes[one].mixed(&washes[other], 0.5).expect("a half is a share").dullness)
            .sum::<f64>();
        black_box(dull)
    });
}

/// A passage of two colours in 64 steps.
#[divan::bench(sample_count = 100)]
fn passage_of_64(bencher: Bencher<'_, '_>) {
    let (one, other) = (Wash::from_srgb([191, 55, 53]), Wash::from_srgb([0, 90, 162]));
    bencher.bench(|| one.passage(&other, 63));
}

/// 100,000 rows of 5,000 paints, read and taken in; it is to take under 2 s.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn take_a_table_of_100_000_rows_in(bencher: Bencher<'_, '_>) {
    let row = |at: usize| format!("Clay {},{},{}\r\n", at / 20, 95 - 4 * (at % 20), 4 + at % 3);
    let table = format!("paint,lightness,plus_minus\r\n{}", (0..100_000).map(row).collect::<String>());
    let opened = || {
        let folder = tempfile::TempDir::new().expect("a folder");
        let studio = Studio::open(folder.path(), SystemTime::UNIX_EPOCH).expect("a new studio");
        (folder, studio)
    };
    bencher.with_inputs(opened).bench_local_values(|(folder, mut studio)| {
        let paints = PaintBox::read(table.as_bytes()).expect("a table");
        assert_eq!(studio.take_in(&paints, Moment(0)).expect("room").len(), 5000);
        (folder, studio)
    });
}
