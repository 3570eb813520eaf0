//! What still waits when the program ends is taken up at the next start.

use super::*;
use std::cell::Cell;
use std::collections::BTreeSet;
use std::process::Command;
use std::thread;
use std::time::{Duration, Instant};
use tonefast_core::PhotoHash;

/// Where a child that waits for a signal has its studio.
const CHILD: &str = "TONEFAST_TEST_CHILD";

/// A studio that takes no photo: a file lies where the photos' folder should be.
pub(super) fn refused(folder: &Path) -> Door {
    let door = door(folder);
    door.with(|_| Ok(())).unwrap();
    fs::write(folder.join("studio/photos"), b"").unwrap();
    door
}

fn freed(folder: &Path) {
    fs::remove_file(folder.join("studio/photos")).unwrap();
}

/// A photo that is open; its strips are not looked for.
pub(super) fn opened() -> OpenPhoto {
    let photo = Arc::new(open(tonefast_demo::STRIPS_JPEG, &Progress::new()).unwrap());
    let original = Arc::new(Cow::Borrowed(tonefast_demo::STRIPS_JPEG));
    OpenPhoto::restored("strips.jpg".to_owned(), original, 0, Arc::clone(&photo), photo)
}

/// The files of the second place.
fn files(folder: &Path) -> BTreeSet<String> {
    let Ok(entries) = fs::read_dir(folder.join("cache/waiting")) else { return BTreeSet::new() };
    entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

/// How many snapshots each session has.
fn snapshots(door: &Door) -> Vec<u32> {
    let sessions = door.with(|studio| Ok(studio.sessions(SessionOrder::Newest)?)).unwrap();
    sessions.iter().map(|session| session.snapshots).collect()
}

#[test]
fn what_waits_at_the_end_is_kept_at_the_next_start_in_its_order() {
    let folder = TempDir::new().unwrap();
    let (open, read) = photo(0);
    let clay = PaintAbout { name: "Clay".to_owned(), ..PaintAbout::default() };
    let granulates = PaintAbout { granulating: true, ..clay.clone() };
    let first = refused(folder.path());
    let (_, uuid) = begin_paint(&first, &clay);
    for new in [
        strip(&open, &read, "Quay rose", true),
        snapshot(&open),
        strip(&open, &read, "Quay rose", false),
        snapshot(&open),
        Some(ToKeep::About(uuid, granulates.clone())),
    ] {
        first.keep(new);
    }
    let left = first.leave();
    assert_eq!((left.written, left.lost), (5, 0), "{left:?}");
    first.close();
    let digits = PhotoHash::of(tonefast_demo::STRIPS_JPEG).digits().to_owned();
    let records = (1..=5).map(|number| format!("{number:06}.json"));
    let names: BTreeSet<String> = records.chain([format!("{digits}.photo"), "lock".to_owned()]).collect();
    assert_eq!(files(folder.path()), names, "the photo is there once");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &str| fs::metadata(folder.path().join(path)).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode("cache/waiting"), mode("cache/waiting/000001.json")), (0o700, 0o600));
    }

    // The next start finds the disk as full.
    let second = door(folder.path());
    let answer = second.keep(None);
    assert_eq!((answer.waiting, answer.trouble.is_some(), answer.lost.is_some()), (5, true, false));
    assert_eq!(second.leave().written, 5);
    second.close();
    assert_eq!(files(folder.path()), names, "nothing is there twice");

    freed(folder.path());
    let third = door(folder.path());
    let answer = third.keep(None);
    assert_eq!((answer.waiting, answer.trouble.is_none(), answer.lost.is_none()), (0, true, true));
    assert!(answer.strip.unwrap().dried, "the second strip is of the first");
    let [kept] = &painted(&third, "Quay rose")[..] else { panic!("one strip is there") };
    assert!(!kept.wet && kept.wet_lightness.is_some());
    assert_eq!(snapshots(&third), [2]);
    let about = third.paints().unwrap().into_iter().find(|paint| paint.about.name == "Clay").unwrap().about;
    assert_eq!(about, granulates);
    assert_eq!(files(folder.path()), BTreeSet::from(["lock".to_owned()]), "what is kept is removed");
}

/// A record is written again with what was learned since: the session that the first snapshot of its day began.
#[test]
fn a_session_that_was_begun_meanwhile_is_followed_after_the_next_start() {
    let folder = TempDir::new().unwrap();
    let open = opened();
    let first = refused(folder.path());
    first.keep(snapshot(&open));
    first.keep(snapshot(&open));
    first.leave();
    first.close();
    let second = door(folder.path());
    assert_eq!(second.keep(None).waiting, 2);
    freed(folder.path());
    // The disk has room for the first alone.
    let room = Cell::new(true);
    let answer = second.keep_by(None, |what, studio, answer| {
        if room.replace(false) { what.keep(studio, answer) } else { Err(StudioError::Full.into()) }
    });
    assert_eq!((answer.waiting, answer.kept.is_some()), (1, true));
    let [photos, away] = ["studio/photos", "photos"].map(|it| folder.path().join(it));
    fs::rename(&photos, &away).unwrap();
    fs::write(&photos, b"").unwrap();
    second.leave();
    second.close();
    freed(folder.path());
    fs::rename(&away, &photos).unwrap();
    let third = door(folder.path());
    assert_eq!(third.keep(None).waiting, 0);
    assert_eq!(snapshots(&third), [2]);
}

#[test]
fn a_photo_that_changed_is_set_aside_with_its_snapshot_and_the_rest_is_kept() {
    let folder = TempDir::new().unwrap();
    let open = opened();
    let first = refused(folder.path());
    let clay = PaintAbout { name: "Clay".to_owned(), ..PaintAbout::default() };
    let (_, uuid) = begin_paint(&first, &clay);
    first.keep(snapshot(&open));
    first.keep(Some(ToKeep::About(uuid, PaintAbout { staining: true, ..clay })));
    first.leave();
    first.close();
    freed(folder.path());
    let photo = files(folder.path()).into_iter().find(|name| name.ends_with(".photo")).unwrap();
    let path = folder.path().join("cache/waiting").join(&photo);
    let mut bytes = fs::read(&path).unwrap();
    bytes[1000] ^= 1;
    fs::write(&path, bytes).unwrap();
    let second = door(folder.path());
    assert_eq!(second.keep(None).waiting, 0);
    assert!(second.paints().unwrap()[0].about.staining);
    assert!(snapshots(&second).is_empty());
    for name in ["000001-000001.json".to_owned(), format!("000002-{photo}")] {
        assert!(folder.path().join("cache/waiting/damaged").join(&name).exists(), "{name}");
    }
}

#[test]
fn what_another_instance_leaves_waits_for_whoever_has_the_studio() {
    let folder = TempDir::new().unwrap();
    let open = opened();
    let first = door(folder.path());
    first.keep(None);
    let other = door(folder.path());
    assert_eq!(other.keep(snapshot(&open)).waiting, 1, "the studio is in use");
    assert_eq!(other.leave().written, 1);
    let another = door(folder.path());
    assert_eq!(another.keep(None).waiting, 0, "who has no studio takes nothing up");
    first.close();
    let next = door(folder.path());
    let answer = next.keep(None);
    assert_eq!((answer.waiting, answer.kept.is_some()), (0, true));
}

#[test]
fn what_neither_place_takes_is_said_to_be_lost() {
    let folder = TempDir::new().unwrap();
    let open = opened();
    let door = refused(folder.path());
    door.keep(snapshot(&open));
    fs::write(folder.path().join("cache"), b"").unwrap();
    let left = door.leave();
    assert_eq!((left.written, left.lost, left.trouble.is_some()), (0, 1, true));
    assert_eq!(lock(&door.waiting).len(), 1, "as long as the program runs it waits");
}

#[cfg(unix)]
#[test]
fn a_signal_to_end_writes_what_waits() {
    use std::os::unix::process::ExitStatusExt;
    for (signal, number) in [("-TERM", 15), ("-HUP", 1)] {
        let folder = TempDir::new().unwrap();
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "--ignored", "studio::queue::tests::leaving::child_that_waits_for_a_signal"])
            .env(CHILD, folder.path())
            .spawn()
            .unwrap();
        let begun = Instant::now();
        while !folder.path().join("ready").exists() {
            assert!(begun.elapsed() < Duration::from_secs(300), "the child is not ready");
            thread::sleep(Duration::from_millis(20));
        }
        let id = child.id().to_string();
        assert!(Command::new("kill").args([signal, &id]).status().unwrap().success());
        assert_eq!(child.wait().unwrap().signal(), Some(number), "whoever waits sees what ended it");
        freed(folder.path());
        let answer = door(folder.path()).keep(None);
        assert_eq!((answer.waiting, answer.kept.is_some()), (0, true), "{signal}");
    }
}

/// Run by the test before, as a program of its own.
#[cfg(unix)]
#[test]
#[ignore = "it is run in a process of its own, and waits to be ended"]
fn child_that_waits_for_a_signal() {
    let folder = std::env::var_os(CHILD).expect("it is run by another test");
    let folder = Path::new(&folder);
    let door = Arc::new(refused(folder));
    let leaving = Arc::clone(&door);
    crate::signals::before_end(move || drop(leaving.leave())).unwrap();
    let open = opened();
    assert_eq!(door.keep(snapshot(&open)).waiting, 1);
    fs::write(folder.join("ready"), b"").unwrap();
    thread::sleep(Duration::from_secs(60));
    panic!("no signal came");
}
