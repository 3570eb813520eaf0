//! What waits, on a disk that can't be written to for a while.

mod asked;
mod leaving;

use super::*;
use crate::paint::wire::LaidName;
use crate::photo::open;
use crate::snapshot::described;
use crate::snapshot::wire::KeepAsk;
use crate::state::OpenPhoto;
use crate::strip::opened_strip;
use crate::strip::wire::{Corners, KeepStripAsk};
use crate::studio::{Places, now};
use std::borrow::Cow;
use std::fs;
use std::path::Path;
use tempfile::TempDir;
use tonefast_core::{PaintedStep, PaintedStrip, Progress, SessionOrder, Strip, strips};

/// L* of the demo's paper.
const PAPER: f64 = 94.5;

fn door(folder: &Path) -> Door {
    let door = Door::default();
    door.lies(Places::under(folder));
    door
}

/// The demo's strips, turned by hand, and the second of them.
fn photo(quarters: u8) -> (OpenPhoto, Strip) {
    let turned = Arc::new(open(tonefast_demo::STRIPS_JPEG, &Progress::new()).unwrap().turned(quarters));
    let strip = strips(&turned, PAPER).swap_remove(1);
    let original = Arc::new(Cow::Borrowed(tonefast_demo::STRIPS_JPEG));
    (OpenPhoto::restored("strips.jpg".to_owned(), original, quarters, Arc::clone(&turned), turned), strip)
}

fn ask(strip: &Strip, name: &str, wet: bool) -> KeepStripAsk {
    KeepStripAsk {
        name: name.to_owned(),
        photo: 0,
        swatches: strip.steps.iter().map(|step| Corners(step.quad)).collect(),
        paper: "cold pressed".to_owned(),
        paper_lightness: PAPER,
        laid: LaidName::Washes,
        wet,
        day: "2026-11-26".to_owned(),
    }
}

fn strip(open: &OpenPhoto, strip: &Strip, name: &str, wet: bool) -> Option<ToKeep> {
    Some(ToKeep::Strip(NewStrip::new(open, ask(strip, name, wet), now()).unwrap()))
}

fn snapshot(open: &OpenPhoto) -> Option<ToKeep> {
    let shown = serde_json::json!({
        "view": "bands", "squint": null, "bands": { "kind": "even", "count": 5 }, "frame": null, "pins": [],
        "patches": [], "circumstances": { "beyondThePaper": false, "lifted": false, "wet": false }
    });
    let shown = serde_json::from_value(shown).unwrap();
    let (title, note, today) = (String::new(), String::new(), "2026-11-26".to_owned());
    let ask = KeepAsk { photo: 0, session: None, title, note, today, shown };
    Some(ToKeep::Snapshot(NewSnapshot::new(open, ask, now()).unwrap()))
}

/// Its number and its uuid.
fn begin_paint(door: &Door, about: &PaintAbout) -> (i64, String) {
    let paint = door.with(|studio| {
        let id = studio.begin_paint(about, now())?;
        Ok(studio.paint(id)?)
    });
    let KeptPaint { id, uuid, .. } = paint.unwrap();
    (id, uuid)
}

fn painted(door: &Door, name: &str) -> Vec<PaintedStrip> {
    let paints = door.with(|studio| Ok(studio.paints()?)).unwrap();
    let [paint] = &paints.iter().filter(|paint| paint.about.name == name).collect::<Vec<_>>()[..] else {
        panic!("{name} is there once: {paints:?}")
    };
    paint.painted().cloned().collect()
}

#[test]
fn strips_and_snapshots_wait_in_one_queue_and_are_kept_in_their_order() {
    let folder = TempDir::new().unwrap();
    let door = door(folder.path());
    let (open, read) = photo(0);
    door.with(|_| Ok(())).unwrap();
    // A file where the photos' folder should be: no photo can be written.
    let photos = folder.path().join("studio/photos");
    fs::write(&photos, b"").unwrap();
    for (new, waiting) in [
        (strip(&open, &read, " Quay rose ", true), 1),
        (snapshot(&open), 2),
        (strip(&open, &read, "quay ROSE", false), 3),
        (None, 3),
    ] {
        let answer = door.keep(new);
        assert!(answer.kept.is_none() && answer.strip.is_none(), "{answer:?}");
        assert_eq!((answer.waiting, answer.trouble.is_some()), (waiting, true));
    }
    fs::remove_file(&photos).unwrap();
    let answer = door.keep(None);
    assert_eq!((answer.waiting, answer.trouble.is_none(), answer.kept.is_some()), (0, true, true));
    // The second was of the first, which had dried meanwhile.
    let KeptStripInfo { paint, dried } = answer.strip.unwrap();
    assert_eq!((paint.as_str(), dried), ("Quay rose", true));
    let [kept] = &painted(&door, "Quay rose")[..] else { panic!("one strip is there") };
    let tones: Vec<f64> = read.steps.iter().map(|step| step.lightness).collect();
    assert_eq!((kept.wet, &kept.wet_lightness), (false, &Some(tones)));
    let sessions = door.with(|studio| Ok(studio.sessions(SessionOrder::Newest)?)).unwrap();
    assert_eq!(sessions.iter().map(|session| session.snapshots).collect::<Vec<_>>(), [1]);
}

/// A full disk for an hour, tried every ten seconds.
#[test]
fn an_hour_of_retries_leaves_one_session_and_one_paint_and_none_where_it_was_given_up() {
    let (open, read) = photo(0);
    for given_up in [false, true] {
        let folder = TempDir::new().unwrap();
        let door = door(folder.path());
        door.with(|_| Ok(())).unwrap();
        let photos = folder.path().join("studio/photos");
        fs::write(&photos, b"").unwrap();
        door.keep(snapshot(&open));
        door.keep(strip(&open, &read, "Quay rose", false));
        door.keep(snapshot(&open));
        for _ in 0..360 {
            assert_eq!(door.keep(None).waiting, 3);
        }
        let counts = |door: &Door| {
            door.with(|studio| {
                let sessions = studio.sessions(SessionOrder::Newest)?;
                let snapshots: Vec<u32> = sessions.iter().map(|session| session.snapshots).collect();
                let strips: Vec<usize> = studio.paints()?.iter().map(|paint| paint.strips.len()).collect();
                Ok((snapshots, strips))
            })
            .unwrap()
        };
        assert_eq!(counts(&door), (vec![], vec![]), "nothing is begun for what is not kept");
        if given_up {
            lock(&door.waiting).clear();
        }
        fs::remove_file(&photos).unwrap();
        assert_eq!(door.keep(None).waiting, 0);
        let expected = if given_up { (vec![], vec![]) } else { (vec![2], vec![1]) };
        assert_eq!(counts(&door), expected, "both snapshots of a day go into the one session that is begun");
    }
}

#[test]
fn naming_a_snapshot_keeps_the_note_that_was_written_meanwhile() {
    let folder = TempDir::new().unwrap();
    let door = door(folder.path());
    let (open, _) = photo(0);
    door.keep(snapshot(&open));
    let named = door.with(|studio| {
        let session = studio.sessions(SessionOrder::Newest)?[0].id;
        let id = studio.snapshots(session)?[0].id;
        studio.describe_snapshot(id, "", "low tide")?;
        described(studio, id, Some("Hull".to_owned()), None)?;
        Ok(studio.snapshot(id)?)
    });
    let named = named.unwrap();
    assert_eq!((named.title.as_str(), named.note.as_str()), ("Hull", "low tide"));
}

#[test]
fn of_what_is_said_of_a_paint_the_last_word_is_kept_and_what_is_gone_holds_nothing_up() {
    let folder = TempDir::new().unwrap();
    let door = door(folder.path());
    let about = |notes: &str| PaintAbout {
        name: "Clay".to_owned(),
        notes: notes.to_owned(),
        ..PaintAbout::default()
    };
    let (paint, uuid) = begin_paint(&door, &about(""));
    // Another window has the studio.
    door.close();
    let other = Studio::open(&folder.path().join("studio"), std::time::SystemTime::now()).unwrap();
    for (new, waiting) in [
        (ToKeep::About(uuid.clone(), about("sinks in")), 1),
        (ToKeep::About("of no paint".to_owned(), about("of another")), 2),
        (ToKeep::About(uuid, about("sinks in, and granulates")), 2),
    ] {
        let answer = door.keep(Some(new));
        assert_eq!((answer.waiting, answer.trouble.is_some(), answer.lost.is_some()), (waiting, true, false));
    }
    drop(other);
    assert_eq!(
        door.paints().unwrap()[0].about,
        about("sinks in, and granulates"),
        "it is shown while it waits"
    );
    let answer = door.keep(None);
    assert_eq!((answer.waiting, answer.trouble.is_some(), answer.lost.is_some()), (0, false, true));
    let kept = door.with(|studio| Ok(studio.paint(paint)?)).unwrap();
    assert_eq!(kept.about, about("sinks in, and granulates"));
}

#[test]
fn what_is_no_strip_is_refused_before_a_paint_is_begun_for_it() {
    let folder = TempDir::new().unwrap();
    let door = door(folder.path());
    let (open, read) = photo(0);
    let mut one = ask(&read, "Quay rose", false);
    one.swatches.truncate(1);
    for odd in [one, ask(&read, "  ", false)] {
        assert!(matches!(NewStrip::new(&open, odd, now()), Err(Error::Caller(_))));
    }
    assert_eq!(door.with(|studio| Ok(studio.paints()?)).unwrap(), []);
}

/// Turned by hand before it was read, it is turned again when it is opened, and reads the same to the digit.
#[test]
fn a_strip_is_opened_as_its_photo_stood() {
    let folder = TempDir::new().unwrap();
    let door = door(folder.path());
    let (turned, read) = photo(1);
    door.keep(strip(&turned, &read, "Quay rose", false));
    let [kept] = &painted(&door, "Quay rose")[..] else { panic!("one strip is there") };
    assert_eq!(kept.quarters, 1);
    let id = door.with(|studio| Ok(studio.paints()?[0].strips[0].id)).unwrap();
    let (again, name, strip) = opened_strip(&door, id, &Progress::new()).unwrap();
    assert_eq!((name.as_str(), &strip, again.quarters), ("Quay rose", kept, 1));
    let quads: Vec<_> = strip.steps.iter().filter_map(|step| step.quad).collect();
    let marked = Strip::marked(&again.as_seen, strip.paper_lightness, &quads).unwrap();
    let steps: Vec<PaintedStep> = PaintedStrip::of(&marked, strip.laid, strip.paper_lightness).steps;
    assert_eq!(steps, kept.steps);
    assert!(matches!(opened_strip(&door, id + 1, &Progress::new()), Err(Error::Studio(StudioError::Gone))));
}

#[test]
fn what_panics_while_it_is_kept_is_told_and_the_rest_is_kept() {
    let folder = TempDir::new().unwrap();
    let door = door(folder.path());
    let (open, read) = photo(0);
    let answer = door.keep_by(strip(&open, &read, "Sap green", false), |_, _, _| panic!("as a test"));
    let lost = serde_json::to_value(answer.lost).unwrap();
    assert_eq!((answer.waiting, &lost["code"]), (0, &serde_json::json!("program")));
    let answer = door.keep(snapshot(&open));
    assert!(answer.kept.is_some() && answer.lost.is_none() && answer.trouble.is_none());
}
