//! What is met when a studio is opened.

use super::*;
use crate::studio::{opening, pictures};

/// A database with what belongs to it, as a program leaves it that was killed: its last changes are in the log alone.
fn killed(from: &Path, to: &Path) {
    for name in [DATABASE.to_owned(), format!("{DATABASE}-wal")] {
        fs::copy(from.join(&name), to.join(&name)).unwrap();
    }
}

fn refused(folder: &Path) -> StudioError {
    Studio::open(folder, at(NOON)).map(|_| ()).unwrap_err()
}

#[test]
fn two_instances_do_not_share_a_studio() {
    let folder = TempDir::new().unwrap();
    let first = opened(folder.path());
    assert!(matches!(refused(folder.path()), StudioError::InUse));
    assert!(matches!(Studio::set_aside(folder.path(), NOON), Err(StudioError::InUse)));
    drop(first);
    opened(folder.path());
}

#[test]
fn the_database_waits_for_the_disk() {
    let folder = TempDir::new().unwrap();
    let studio = opened(folder.path());
    let pragma = |name: &str| -> String {
        studio
            .database
            .pragma_query_value(None, name, |row| row.get_ref(0).map(|value| format!("{value:?}")))
            .unwrap()
    };
    assert!(pragma("journal_mode").contains("Text"));
    assert_eq!(
        ["synchronous", "foreign_keys", "user_version"].map(pragma),
        ["Integer(2)".to_owned(), "Integer(1)".to_owned(), format!("Integer({})", schema::NEWEST)]
    );
    let mode: String = studio.database.pragma_query_value(None, "journal_mode", |row| row.get(0)).unwrap();
    assert_eq!(mode, "wal");
}

#[test]
fn a_foreign_a_torn_and_a_newer_database_are_told_and_left_as_they_are() {
    type Make = fn(&Path);
    type Is = fn(&StudioError) -> bool;
    let cases: [(Make, Is); 5] = [
        (
            |folder| {
                fs::write(folder.join(DATABASE), b"a shopping list, and no database".repeat(40)).unwrap();
            },
            |error| matches!(error, StudioError::NotOurs { .. }),
        ),
        (
            |folder| {
                let other = Connection::open(folder.join(DATABASE)).unwrap();
                other.execute_batch("CREATE TABLE recipe (name TEXT)").unwrap();
            },
            |error| matches!(error, StudioError::NotOurs { .. }),
        ),
        (
            |folder| {
                drop(begun(folder));
                let ours = Connection::open(folder.join(DATABASE)).unwrap();
                ours.pragma_update(None, "user_version", schema::NEWEST + 1).unwrap();
            },
            |error| matches!(error, StudioError::Newer { .. }),
        ),
        // Newer by what stands in its log alone.
        (
            |folder| {
                let live = TempDir::new().unwrap();
                let (studio, ..) = begun(live.path());
                studio.database.pragma_update(None, "user_version", schema::NEWEST + 1).unwrap();
                killed(live.path(), folder);
            },
            |error| matches!(error, StudioError::Newer { .. }),
        ),
        (
            |folder| {
                drop(begun(folder));
                let whole = fs::read(folder.join(DATABASE)).unwrap();
                fs::write(folder.join(DATABASE), &whole[..whole.len() / 2]).unwrap();
            },
            |error| matches!(error, StudioError::Damaged { .. }),
        ),
    ];
    for (make, is) in cases {
        let folder = TempDir::new().unwrap();
        make(folder.path());
        let parts = [DATABASE.to_owned(), format!("{DATABASE}-wal")];
        // An empty log is none: to look at one, SQLite makes one.
        let read = |folder: &Path| {
            parts.each_ref().map(|name| fs::read(folder.join(name)).ok().filter(|bytes| !bytes.is_empty()))
        };
        let before = read(folder.path());
        let error = refused(folder.path());
        assert!(is(&error), "{error}");
        assert_eq!(error.fault(), StudioFault::File);
        assert!(read(folder.path()) == before, "{error}");
        let aside = Studio::set_aside(folder.path(), NOON).unwrap();
        assert!(read(&aside) == before, "{error}");
        assert_eq!(titles(&opened(folder.path()), SessionOrder::Newest), [""; 0]);
        // Set aside twice in one moment, neither is overwritten.
        let again = Studio::set_aside(folder.path(), NOON).unwrap();
        assert_ne!(aside, again);
        assert!(read(&aside) == before, "{error}");
    }
}

#[test]
fn what_was_set_aside_is_brought_back_with_its_photos() {
    let folder = TempDir::new().unwrap();
    let (mut studio, _, photo, _) = begun(folder.path());
    studio.keep_setting("sun", "true").unwrap();
    drop(studio);
    assert_eq!(Studio::set_aside(folder.path(), NOON).unwrap(), folder.path());
    let mut second = opened(folder.path());
    assert_eq!((second.setting("sun").unwrap(), titles(&second, SessionOrder::Newest)), (None, vec![]));
    // With nothing in it, the second would not be offered.
    second.begin_session(&about("High water"), NOON).unwrap();
    drop(second);
    let all = || {
        let all = Studio::all_set_aside(folder.path()).unwrap();
        all.into_iter().map(|it| (it.name, it.sessions)).collect::<Vec<_>>()
    };
    assert_eq!(all(), [(String::new(), Some(1))]);
    Studio::bring_studio_back(folder.path(), "").unwrap();
    let first = opened(folder.path());
    assert_eq!(titles(&first, SessionOrder::Newest), ["Low water"]);
    assert_eq!(first.photo(&photo).unwrap(), b"not quite a picture");
    assert!(matches!(Studio::bring_studio_back(folder.path(), ""), Err(StudioError::InUse)));
    drop(first);
    let name = format!("studio-{}", NOON.0);
    assert_eq!(all(), [(name.clone(), Some(1))]);
    Studio::bring_studio_back(folder.path(), &name).unwrap();
    assert_eq!(titles(&opened(folder.path()), SessionOrder::Newest), ["High water"]);
    for nowhere in ["studio-1", "studio-", "../studio", "/tmp", "photos", "studio-1/../photos"] {
        let back = Studio::bring_studio_back(folder.path(), nowhere);
        assert!(matches!(back, Err(StudioError::Gone)), "{nowhere}");
    }
}

/// Older versions moved what they set aside into a folder of its own.
#[test]
fn what_an_older_version_set_aside_is_brought_back() {
    let folder = TempDir::new().unwrap();
    let aside = folder.path().join("set-aside-1790000000000");
    drop(begun(&aside));
    drop(opened(folder.path()));
    let all = Studio::all_set_aside(folder.path()).unwrap();
    assert_eq!((all.len(), all[0].sessions), (1, Some(1)));
    Studio::bring_studio_back(folder.path(), &all[0].name).unwrap();
    assert_eq!(titles(&opened(folder.path()), SessionOrder::Newest), ["Low water"]);
}

#[test]
fn what_a_killed_program_left_in_its_log_is_there() {
    let (live, folder) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (_studio, session, ..) = begun(live.path());
    killed(live.path(), folder.path());
    assert_eq!(opened(folder.path()).snapshots(session).unwrap()[0].seen, seen());
}

#[test]
fn orphans_are_swept_after_a_day_and_known_photos_stay() {
    let folder = TempDir::new().unwrap();
    let (studio, _, known, _) = begun(folder.path());
    let orphan = pictures::keep(&Machine, &studio.photos(), b"cut off before its row").unwrap();
    drop(studio);
    let path = orphan.path(&folder.path().join(PHOTOS));
    let written = SystemTime::now();
    drop(Studio::open(folder.path(), written).unwrap());
    assert!(path.is_file(), "it may be a save under way");
    let later = written + Duration::from_secs(2 * 24 * 60 * 60);
    let studio = Studio::open(folder.path(), later).unwrap();
    assert!(!path.exists());
    // It was opened on two days by the machine's clock, and on one by the test's.
    let trashed = format!("3-{}", orphan.digits());
    assert!(folder.path().join(TRASH).join(trashed).is_file());
    assert_eq!(studio.photo(&known).unwrap(), b"not quite a picture");
}

#[cfg(unix)]
#[test]
fn nobody_else_may_enter_the_studios_folders_new_or_old() {
    use std::os::unix::fs::PermissionsExt;
    let above = TempDir::new().unwrap();
    let folder = above.path().join("studio");
    let (studio, _, photo, snapshot) = begun(&folder);
    studio.keep_thumbnail(snapshot, b"a small picture").unwrap();
    let photos = studio.photos();
    drop(studio);
    let folders = [
        folder.clone(),
        photos.clone(),
        photo.path(&photos).parent().unwrap().to_owned(),
        folder.join(THUMBNAILS),
    ];
    let all_are_private = || {
        for folder in &folders {
            assert_eq!(fs::metadata(folder).unwrap().permissions().mode() & 0o7777, 0o700, "{folder:?}");
        }
    };
    all_are_private();
    for folder in &folders {
        fs::set_permissions(folder, fs::Permissions::from_mode(0o755)).unwrap();
    }
    drop(opened(&folder));
    all_are_private();
}

#[test]
fn temporary_files_that_were_left_behind_are_swept_at_once() {
    let folder = TempDir::new().unwrap();
    let (studio, _, photo, snapshot) = begun(folder.path());
    studio.keep_thumbnail(snapshot, b"a small picture").unwrap();
    let (beside, small) = (photo.path(&studio.photos()), studio.folder.join(THUMBNAILS).join("x"));
    drop(studio);
    let left = [beside, small].map(|file| file.with_file_name(".tonefast-abcdef.coming"));
    for file in &left {
        fs::write(file, b"half").unwrap();
    }
    let being_written = Machine.write_temporary(left[0].parent().unwrap(), b"whole", Whose::Studio).unwrap();
    drop(opened(folder.path()));
    assert!(left.iter().all(|file| !file.exists()));
    assert!(being_written.path().exists(), "another program writes it");
}

/// The databases of released versions, as they were on the disk: dumps that are never changed.
const VERSIONS: &[&str] = &[
    include_str!("version-1.sql"),
    include_str!("version-2.sql"),
    include_str!("version-3.sql"),
    include_str!("version-4.sql"),
    include_str!("version-5.sql"),
];

/// As it was, to be looked at by any program that knows SQLite.
#[test]
fn an_old_database_is_copied_before_its_step_and_the_copy_goes_at_the_next_good_start() {
    for (at, dump) in VERSIONS.iter().enumerate() {
        let folder = TempDir::new().unwrap();
        Connection::open(folder.path().join(DATABASE)).unwrap().execute_batch(dump).unwrap();
        let before = folder.path().join(opening::BEFORE);
        drop(opened(folder.path()));
        let is_old = (at as u32) + 1 < schema::NEWEST;
        assert_eq!(before.exists(), is_old, "version {}", at + 1);
        if is_old {
            let copy = Connection::open(&before).unwrap();
            let version: u32 = copy.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
            let title: String = copy.query_row("SELECT title FROM snapshot", [], |row| row.get(0)).unwrap();
            assert_eq!((version as usize, title.as_str()), (at + 1, "Hull"));
            drop(copy);
            drop(opened(folder.path()));
            assert!(!before.exists(), "version {}", at + 1);
        }
        let left = fs::read_dir(folder.path()).unwrap().map(|it| it.unwrap().file_name()).collect::<Vec<_>>();
        assert!(!left.iter().any(|name| name.to_string_lossy().contains("coming")), "{left:?}");
    }
}

#[test]
fn a_database_of_any_version_opens() {
    assert_eq!(VERSIONS.len() as u32, schema::NEWEST, "each version has its dump");
    for (before, dump) in VERSIONS.iter().enumerate() {
        let folder = TempDir::new().unwrap();
        Connection::open(folder.path().join(DATABASE)).unwrap().execute_batch(dump).unwrap();
        let studio = opened(folder.path());
        let sessions = studio.sessions(SessionOrder::Newest).unwrap();
        assert_eq!(sessions[0].about.title, "Low water");
        let snapshots = studio.snapshots(sessions[0].id).unwrap();
        // What these dumps hold was kept before pins without a reading were.
        let kept = Seen { unread: Vec::new(), ..seen() };
        assert_eq!((snapshots[0].title.as_str(), &snapshots[0].seen), ("Hull", &kept));
        let photos = studio.photos_of(sessions[0].id).unwrap();
        assert_eq!((photos.len(), photos[0].name.as_str()), (1, "low-water.jpg"));
        let found = studio.search("low").unwrap().sessions.len();
        assert_eq!((found, studio.search("hull").unwrap().snapshots.len()), (1, 1));
        let paints = studio.paints().unwrap();
        // Paints came with the fourth.
        if before < 3 {
            assert_eq!(paints, []);
        } else {
            assert_eq!((paints[0].about.name.as_str(), paints[0].strips.len()), ("Clay", 1));
            assert_eq!(paints[0].strips[0].painted, super::paints::painted(&[90.1, 60.0, 30.7]));
        }
        // What was deleted keeps its time, and has thirty days from here on.
        let deleted = studio.deleted().unwrap();
        let listed: Vec<_> = deleted.iter().map(|it| (it.title.as_str(), it.deleted)).collect();
        assert_eq!(listed, if before == 0 { vec![] } else { vec![("Mast", NOON)] }, "version {}", before + 1);
    }
}

/// Row numbers mean something else on another machine: since the fifth version, settings name rows by their uuid.
#[test]
fn settings_of_older_versions_name_rows_by_uuid_from_now_on() {
    let page = |paint: &str| {
        format!(r#"{{"sun":true,"dab":{{"paint":{paint},"step":5,"wet":false}},"turned":true}}"#)
    };
    for (dump, has_paints) in [(VERSIONS[2], false), (VERSIONS[3], true)] {
        for (session, paint) in [("1", "1"), ("7", "7"), ("", "null")] {
            let folder = TempDir::new().unwrap();
            let database = Connection::open(folder.path().join(DATABASE)).unwrap();
            database.execute_batch(dump).unwrap();
            let settings = [("session", session), ("check", &page(paint))];
            for (name, value) in settings {
                database.execute("INSERT INTO setting (name, value) VALUES (?1, ?2)", (name, value)).unwrap();
            }
            drop(database);
            let studio = opened(folder.path());
            let is_there = session == "1";
            let uuid = &studio.sessions(SessionOrder::Newest).unwrap()[0].uuid;
            let named = if is_there { uuid } else { "" };
            assert_eq!(studio.setting("session").unwrap().as_deref(), Some(named), "session {session}");
            let named = if is_there && has_paints {
                format!("\"{}\"", studio.paints().unwrap()[0].uuid)
            } else {
                "null".to_owned()
            };
            assert_eq!(studio.setting("check").unwrap(), Some(page(&named)), "paint {paint}");
        }
    }
}
