//! Every operation on files and every step of a statement fails in turn, or is the last before a cut: what is there
//! afterwards is the old or the new, and never between.

use super::*;
use crate::studio::faults::{Faulty, Then};
use crate::studio::{pictures, present};
use crate::{Originals, Progress};
use std::io::Cursor;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, LazyLock};

/// All rows of all tables but for their UUIDs, by which two states are told apart.
fn state(studio: &Studio) -> String {
    let mut state = String::new();
    for table in ["session", "photo", "session_photo", "snapshot", "paint", "strip", "setting", "drawing"] {
        let mut query = studio.database.prepare(&format!("SELECT * FROM {table} ORDER BY 1")).unwrap();
        let names: Vec<String> = query.column_names().into_iter().map(str::to_owned).collect();
        let mut rows = query.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            let told = names.iter().filter(|name| *name != "uuid");
            let cells: Vec<_> =
                told.map(|name| format!("{:?}", row.get_ref(name.as_str()).unwrap())).collect();
            state += &format!("{table} {}\n", cells.join(" "));
        }
    }
    state
}

#[test]
fn a_photo_is_kept_whole_or_not_at_all() {
    for then in Then::ALL {
        let mut failed = 0;
        // More than there are; what fails as the studio is tidied keeps nothing from being kept.
        for operations in 0..30 {
            let folder = TempDir::new().unwrap();
            let session = opened(folder.path()).begin_session(&about("Low water"), NOON).unwrap();
            let disk = Arc::new(Faulty::after(operations, then));
            let kept = Studio::open_on(disk, folder.path(), at(NOON))
                .and_then(|mut studio| studio.keep_photo(session, "a.jpg", b"all of it", NOON));
            let mut studio = opened(folder.path());
            let hash = PhotoHash::of(b"all of it");
            let is_known = pictures::knows(&studio.database, hash.digits()).unwrap();
            assert_eq!(is_known, kept.is_ok(), "{then:?} after {operations}");
            if is_known {
                assert_eq!(studio.photo(&hash).unwrap(), b"all of it", "{then:?} after {operations}");
            } else {
                studio.keep_photo(session, "a.jpg", b"all of it", NOON).unwrap();
                assert_eq!(studio.photo(&hash).unwrap(), b"all of it", "{then:?} after {operations}");
            }
            failed += usize::from(kept.is_err());
        }
        assert!(failed >= 6, "the seam sees every operation");
    }
}

#[test]
fn a_sweep_loses_nothing_and_never_keeps_a_studio_shut() {
    let later = SystemTime::now() + Duration::from_secs(2 * 24 * 60 * 60);
    for then in Then::ALL {
        for operations in 1..12 {
            let folder = TempDir::new().unwrap();
            let (studio, _, known, _) = begun(folder.path());
            let orphan = pictures::keep(&Machine, &studio.photos(), b"cut off before its row").unwrap();
            drop(studio);
            let disk = Arc::new(Faulty::after(operations, then));
            assert!(Studio::open_on(disk, folder.path(), later).is_ok(), "{then:?} after {operations}");
            let studio = Studio::open(folder.path(), later).unwrap();
            assert_eq!(studio.photo(&known).unwrap(), b"not quite a picture");
            let trashed = format!("2-{}", orphan.digits());
            let trashed = fs::read(folder.path().join(TRASH).join(trashed));
            assert_eq!(trashed.unwrap(), b"cut off before its row", "{then:?} after {operations}");
        }
    }
}

/// The old one or a new one is present, and the old one is whole, wherever it stops.
#[test]
fn setting_aside_leaves_the_old_or_a_new_studio() {
    for then in Then::ALL {
        for operations in 0.. {
            let folder = TempDir::new().unwrap();
            let (studio, ..) = begun(folder.path());
            studio.database.pragma_update(None, "user_version", schema::NEWEST + 1).unwrap();
            drop(studio);
            let before = fs::read(folder.path().join(DATABASE)).unwrap();
            let went = present::set_aside(&Faulty::after(operations, then), folder.path(), NOON);
            assert!(fs::read(folder.path().join(DATABASE)).unwrap() == before, "{then:?} after {operations}");
            match Studio::open(folder.path(), at(NOON)) {
                Err(error) => {
                    assert!(matches!(error, StudioError::Newer { .. }), "{error}");
                    assert!(went.is_err() || then == Then::CutAndForget, "{then:?} after {operations}");
                }
                Ok(new) => assert_eq!(titles(&new, SessionOrder::Newest), [""; 0]),
            }
            if went.is_ok() && operations > 12 {
                break;
            }
        }
    }
}

/// All files below a folder but the databases' own logs, with what they hold.
fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
            } else if !path.to_string_lossy().contains(".sqlite-") {
                files.push((path.clone(), fs::read(path).unwrap()));
            }
        }
    }
    files.sort();
    files
}

/// A backup beside what is there: every operation fails in turn, or is the last. The studio is then as it was, and no
/// file more, or the restored one is present, and the former one is brought back.
#[test]
fn a_restore_beside_takes_place_whole_or_leaves_nothing() {
    let source = TempDir::new().unwrap();
    let (studio, ..) = begun(source.path());
    let mut backup = Cursor::new(Vec::new());
    studio.back_up(Originals::With, &Progress::new(), &mut backup).unwrap();
    for then in Then::ALL {
        for operations in 0.. {
            let folder = TempDir::new().unwrap();
            let mut studio = opened(folder.path());
            studio.begin_session(&about("Here before"), NOON).unwrap();
            drop(studio);
            let before = files(folder.path());
            let mut studio = opened(folder.path());
            studio.disk = Arc::new(Faulty::after(operations, then));
            let restored = studio.beside(NOON).and_then(|mut beside| {
                beside.bring_in(&Progress::new(), Cursor::new(backup.get_ref()))?;
                beside.take_place_of(studio)
            });
            let there = opened(folder.path());
            let present = titles(&there, SessionOrder::Newest);
            drop(there);
            let told = format!("{then:?} after {operations}: {restored:?}");
            if present == ["Here before"] {
                assert!(restored.is_err() || then == Then::CutAndForget, "{told}");
                let names = |files: &[(PathBuf, Vec<u8>)]| -> Vec<PathBuf> {
                    files.iter().map(|it| it.0.clone()).filter(|it| !it.ends_with("present")).collect()
                };
                if restored.is_err() {
                    assert_eq!(names(&files(folder.path())), names(&before), "{told}");
                }
            } else {
                assert_eq!(present, ["Low water"], "{told}");
                Studio::bring_studio_back(folder.path(), "").unwrap();
                assert_eq!(titles(&opened(folder.path()), SessionOrder::Newest), ["Here before"], "{told}");
            }
            if restored.is_ok() && operations > 20 {
                break;
            }
        }
    }
}

type Deed = fn(&mut Studio, i64, i64) -> Result<(), StudioError>;

/// A session of another studio.
static PARCEL: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let folder = TempDir::new().unwrap();
    let (studio, session, ..) = begun(folder.path());
    let mut parcel = Cursor::new(Vec::new());
    studio.hand_out(session, Originals::Without, &Progress::new(), &mut parcel).unwrap();
    parcel.into_inner()
});

/// What a painter does, on a session and a snapshot in it.
const DEEDS: [(&str, Deed); 13] = [
    ("bring in", |studio, _, _| studio.bring_in(&Progress::new(), Cursor::new(&*PARCEL)).map(drop)),
    ("begin", |studio, _, _| studio.begin_session(&about("High water"), NOON).map(drop)),
    ("describe", |studio, session, _| studio.describe_session(session, &about("Ebb"))),
    ("keep in a session of its own", |studio, _, _| {
        let new = NewSnapshot { photo: ("d", b"of another"), title: "", note: "", seen: &seen(), at: NOON };
        studio.keep(None, &about("Slack water"), &new).map(drop)
    }),
    ("begin a paint with its strip", |studio, _, _| {
        let painted = super::paints::painted(&[90.0, 40.0]);
        let clay = crate::PaintAbout { name: "Clay".to_owned(), ..crate::PaintAbout::default() };
        studio.begin_paint_with_strip(&clay, &painted, Some(("e", b"of a strip")), NOON).map(drop)
    }),
    ("keep a photo", |studio, session, _| studio.keep_photo(session, "b", b"more", NOON).map(drop)),
    ("keep a snapshot", |studio, session, _| {
        let photo = PhotoHash::of(b"not quite a picture");
        studio.keep_snapshot(session, &photo, ("Mast", ""), &seen(), NOON).map(drop)
    }),
    ("rename", |studio, _, snapshot| studio.describe_snapshot(snapshot, "Mast", "dark")),
    ("move", |studio, session, snapshot| studio.move_snapshot(snapshot, session)),
    ("make again", |studio, session, _| studio.duplicate_session(session, NOON).map(drop)),
    ("delete", |studio, session, _| studio.delete(Kept::Session(session), NOON)),
    ("purge", |studio, _, _| studio.purge(NOON)),
    ("set", |studio, _, _| studio.keep_setting("sun", "true")),
];

/// SQLite stops at each step of its machine in turn, so that every statement fails at every place that it has. What
/// stops as it ends, once all is written, may have been done.
#[test]
fn a_statement_that_fails_leaves_the_old_or_the_new() {
    let (folder, control_folder) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let [(mut studio, session, snapshot), (mut control, ..)] = [&folder, &control_folder].map(|folder| {
        let (mut studio, session, _, snapshot) = begun(folder.path());
        let old = studio.begin_session(&about("Gone"), NOON).unwrap();
        studio.keep_photo(old, "c", b"gone with it", NOON).unwrap();
        studio.delete(Kept::Session(old), NOON).unwrap();
        (studio, session, snapshot)
    });
    for (name, deed) in DEEDS {
        if name == "purge" {
            count_days(&mut studio, 40);
            count_days(&mut control, 40);
        }
        let before = state(&studio);
        deed(&mut control, session, snapshot).unwrap();
        let after = state(&control);
        assert!(before != after, "{name} does nothing");
        let mut failed = 0;
        while state(&studio) == before {
            failed += 1;
            let left = Arc::new(AtomicU32::new(failed));
            let handler = move || left.fetch_sub(1, Ordering::Relaxed) == 1;
            studio.database.progress_handler(1, Some(handler)).unwrap();
            let done = deed(&mut studio, session, snapshot);
            studio.database.progress_handler(0, None::<fn() -> bool>).unwrap();
            if let Err(error) = done {
                let StudioError::Database(interrupted) = error else { panic!("{name}: {error}") };
                let code = interrupted.sqlite_error_code();
                assert_eq!(code, Some(rusqlite::ErrorCode::OperationInterrupted), "{name}: {interrupted}");
            }
            if !studio.database.is_autocommit() {
                studio.database.execute_batch("ROLLBACK").unwrap();
            }
        }
        assert!(state(&studio) == after, "{name}, stopped at step {failed}");
        assert!(failed >= 20, "{name} has {failed} steps only");
        let check: String =
            studio.database.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
        assert_eq!(check, "ok", "{name}");
    }
}
