//! What is written into the second place, file by file.

use super::*;
use crate::studio::ToKeep;
use tempfile::TempDir;
use tonefast_core::PaintAbout;

fn abouts(notes: &[&str]) -> VecDeque<Waiting> {
    let waiting = |notes: &&str| {
        let about =
            PaintAbout { name: "Clay".to_owned(), notes: (*notes).to_owned(), ..PaintAbout::default() };
        Waiting { what: ToKeep::About("a-paint".to_owned(), about), stored: None }
    };
    notes.iter().map(waiting).collect()
}

fn notes(taken: &VecDeque<Waiting>) -> Vec<&str> {
    let mut notes = Vec::new();
    for item in taken {
        let ToKeep::About(_, about) = &item.what else { panic!("only paints were written") };
        notes.push(about.notes.as_str());
    }
    notes
}

#[test]
fn a_later_run_writes_after_what_is_there_and_each_goes_by_itself() {
    let folder = TempDir::new().unwrap();
    let place = SecondPlace::at(&folder.path().join("cache/waiting"));
    assert!(place.take_up().unwrap().is_empty(), "nothing is there yet");
    place.write(&mut abouts(&["one", "two"]));
    // What another instance writes comes after.
    let written = place.write(&mut abouts(&["three"]));
    assert_eq!((written.written, written.lost), (1, 0));
    let mut taken = place.take_up().unwrap();
    assert_eq!(notes(&taken), ["one", "two", "three"]);
    // Written again, it is not there twice.
    place.write(&mut taken);
    place.remove(taken[1].stored.as_ref().unwrap());
    assert_eq!(notes(&place.take_up().unwrap()), ["one", "three"]);
    place.give_up(taken[0].stored.as_ref().unwrap());
    assert_eq!(notes(&place.take_up().unwrap()), ["three"]);
    assert!(place.folder.join("damaged/000001-000001.json").exists());
}

#[test]
fn its_size_is_bounded_and_damaged_files_are_bounded_too() {
    let folder = TempDir::new().unwrap();
    let place = SecondPlace { folder: folder.path().to_owned(), room: 3_000 };
    let long = "n".repeat(2_000);
    let written = place.write(&mut abouts(&[&long, &long, "short"]));
    assert_eq!((written.written, written.lost), (2, 1));
    assert_eq!(written.trouble.unwrap().kind(), ErrorKind::QuotaExceeded);
    assert_eq!(notes(&place.take_up().unwrap()), [long.as_str(), "short"], "the rest is not held up");
    for number in 10..20 {
        fs::write(folder.path().join(format!("{number:06}.json")), "x".repeat(900)).unwrap();
    }
    assert_eq!(place.take_up().unwrap().len(), 2);
    let damaged: Vec<String> = place.damaged().unwrap().iter().map(|path| name(path)).collect();
    let newest = ["000008-000017.json", "000009-000018.json", "000010-000019.json"];
    assert_eq!(damaged, newest, "the oldest made room");
}

#[test]
fn what_was_being_written_when_the_program_was_killed_is_swept() {
    let folder = TempDir::new().unwrap();
    let place = SecondPlace::at(folder.path());
    fs::write(folder.path().join(".coming-abcdef"), b"half").unwrap();
    fs::write(folder.path().join(photo_file(&"0".repeat(64))), b"its record was not written").unwrap();
    assert!(place.take_up().unwrap().is_empty());
    let left: Vec<String> = place.listed().unwrap().iter().map(|path| name(path)).collect();
    assert_eq!(left, [LOCK]);
}

/// A record of a newer version, one that is torn, one that names a file elsewhere, one of a strange kind.
#[test]
fn a_record_that_cant_be_read_holds_nothing_up() {
    let folder = TempDir::new().unwrap();
    let place = SecondPlace::at(folder.path());
    place.write(&mut abouts(&["one", "two", "three", "four", "five", "six"]));
    let text = |number: u32| fs::read_to_string(folder.path().join(format!("{number:06}.json"))).unwrap();
    let write = |number: u32, text: &str| {
        fs::write(folder.path().join(format!("{number:06}.json")), text).unwrap();
    };
    write(1, &text(1).replacen("\"format\":1", "\"format\":2", 1));
    write(2, &text(2)[..40]);
    write(3, &text(3).replacen("\"photo\":null", "\"photo\":\"../../studio.sqlite\"", 1));
    write(4, &text(4).replacen("\"about\"", "\"elsewhere\"", 1));
    write(5, &text(5).replacen("\"Clay\"", "\"\"", 1));
    assert_eq!(notes(&place.take_up().unwrap()), ["six"]);
    assert_eq!(place.damaged().unwrap().len(), 5);
    assert_eq!(notes(&place.take_up().unwrap()), ["six"], "they are set aside once");
}
