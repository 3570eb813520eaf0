//! Keeping goes on while a large backup or hand-out is written.

use super::*;
use crate::studio::{Places, now};
use std::fs::File;
use std::thread;
use std::time::{Duration, Instant};
use tempfile::TempDir;
use tonefast_core::{Bands, PhotoHash, Seen, SeenBands, SessionOrder, Studio};

/// How many megabytes are handed out, unless the variable of this name says otherwise.
const MEGABYTES: (&str, usize) = ("TONEFAST_HAND_OUT_MB", 200);

/// Of a photo, as a 48-megapixel phone writes them (from memory).
const PHOTO: usize = 20_000_000;

/// How long keeping may take: what feels like one act still.
const AT_MOST: Duration = Duration::from_secs(1);

#[test]
fn keeping_is_answered_within_a_second_while_a_large_file_is_written() {
    let folder = TempDir::new().unwrap();
    let door = Door::default();
    door.lies(Places::under(folder.path()));
    let session = door.with(|studio| Ok(studio.begin_session(&SessionAbout::default(), now())?)).unwrap();
    let megabytes = std::env::var(MEGABYTES.0).ok().map_or(MEGABYTES.1, |text| text.parse().unwrap());
    let photos = (megabytes * 1_000_000).div_ceil(PHOTO);
    for number in 0..photos {
        keep(&door, session, &noise(PHOTO, number as u64));
    }
    let progress = Progress::new();
    let backup = || backed_up(&door, "2026-05-02", Originals::With, &progress);
    let hand_out = || handed_out(&door, session, Originals::With, &progress);
    let (first, kept_meanwhile) = kept_while(&door, session, backup);
    let (_, kept_then) = kept_while(&door, session, hand_out);
    println!("{photos} photos; {kept_meanwhile} and {kept_then} snapshots were kept meanwhile");
    let kept = door.with(|studio| Ok(studio.snapshots(session)?.len())).unwrap();
    assert_eq!(kept, photos + kept_meanwhile + kept_then);
    // The backup is whole, and of a moment soon after it began.
    let other = TempDir::new().unwrap();
    let mut there = Studio::open(other.path(), std::time::SystemTime::now()).unwrap();
    there.bring_in(&Progress::new(), File::open(&first.path).unwrap()).unwrap();
    let session = there.sessions(SessionOrder::Newest).unwrap()[0].id;
    let snapshots = there.snapshots(session).unwrap();
    assert!((photos..photos + kept_meanwhile).contains(&snapshots.len()), "{}", snapshots.len());
    assert_eq!(there.photo(&snapshots[0].photo).unwrap().len(), PHOTO);
}

/// Keeps snapshots as long as a file is being written; answers with it, and with how many there were.
fn kept_while(
    door: &Door,
    session: i64,
    write: impl FnOnce() -> Result<HandedOut, Error> + Send,
) -> (HandedOut, usize) {
    thread::scope(|scope| {
        let written = scope.spawn(write);
        let mut waited = Vec::new();
        loop {
            let begun = Instant::now();
            keep(door, session, &noise(20_000, (1 << 32) + waited.len() as u64));
            if written.is_finished() {
                // The last may have been kept after it, and counts as a snapshot only.
                waited.push(Duration::ZERO);
                break;
            }
            waited.push(begun.elapsed());
            // Somebody paints meanwhile: the disk is not kept busy by keeping alone.
            thread::sleep(Duration::from_millis(20));
        }
        let longest = waited.iter().max().copied().unwrap_or_default();
        println!("the longest of {} took {longest:?}", waited.len());
        assert!(longest < AT_MOST, "one took {longest:?}");
        assert!(waited.len() > 3, "keeping waited for the end");
        (written.join().unwrap().unwrap(), waited.len())
    })
}

/// What the queue does with a snapshot.
fn keep(door: &Door, session: i64, photo: &[u8]) {
    let seen = Seen::plain((4, 3), 0, (SeenBands::Even, &Bands::even(5).unwrap()), vec![0.2; 5]);
    door.with(|studio| {
        let hash: PhotoHash = studio.keep_photo(session, "a.jpg", photo, now())?;
        Ok(studio.keep_snapshot(session, &hash, ("", ""), &seen, now())?)
    })
    .unwrap();
}

/// Bytes that differ for each seed (SplitMix64, Steele, Lea and Flood 2014).
fn noise(length: usize, seed: u64) -> Vec<u8> {
    let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let mut next = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)).to_le_bytes()
    };
    let mut bytes: Vec<u8> = (0..length.div_ceil(8)).flat_map(|_| next()).collect();
    bytes.truncate(length);
    bytes
}

#[test]
fn a_hand_outs_name_says_whose_it_is_and_whether_photos_are_in_it() {
    let name = |title: &str, day: &str, originals| {
        let (title, day) = (title.to_owned(), day.to_owned());
        handed_out_name(&SessionAbout { title, day, ..SessionAbout::default() }, originals)
    };
    assert_eq!(name("Low water", "2026-05-02", Originals::With), "Low water with photos");
    assert_eq!(name("Low water", "2026-05-02", Originals::Without), "Low water");
    assert_eq!(name(" ", "2026-05-02", Originals::With), "2026-05-02 with photos");
    assert_eq!(name("", "", Originals::Without), "session");
    let long = name(&"水".repeat(200), "", Originals::With);
    assert!(tonefast_core::file_stem(&long, "session").ends_with("水 with photos"), "{long}");
}
