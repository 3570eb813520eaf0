use super::faults::{Faulty, Then};
use super::seen::tests::seen;
use super::*;
use std::fs;
use tempfile::TempDir;

const NOON: Moment = Moment(1_790_000_000_000);

fn opened(folder: &Path) -> Studio {
    Studio::open(folder, SystemTime::now()).unwrap()
}

fn about(title: &str) -> SessionAbout {
    SessionAbout { title: title.to_owned(), locality: "the quay".to_owned(), ..SessionAbout::default() }
}

#[test]
fn what_was_kept_is_there_again_to_the_digit() {
    let folder = TempDir::new().unwrap();
    let (session, photo) = {
        let mut studio = opened(folder.path());
        let session = studio.begin_session(&about("Low water"), NOON).unwrap();
        let photo = studio.keep_photo("low-water.jpg", b"not quite a picture", NOON).unwrap();
        studio.keep_snapshot(session, &photo, ("Hull", "too light"), &seen(), NOON).unwrap();
        studio.keep_setting("sun", "true").unwrap();
        (session, photo)
    };
    let studio = opened(folder.path());
    let sessions = studio.sessions().unwrap();
    assert_eq!((sessions.len(), sessions[0].id, sessions[0].snapshots), (1, session, 1));
    assert_eq!(sessions[0].about, about("Low water"));
    let snapshots = studio.snapshots(session).unwrap();
    assert_eq!((snapshots[0].title.as_str(), &snapshots[0].seen), ("Hull", &seen()));
    assert_eq!(studio.photo(&photo).unwrap(), b"not quite a picture");
    assert_eq!(studio.setting("sun").unwrap().as_deref(), Some("true"));
}

#[test]
fn the_same_photo_is_stored_once_and_a_changed_file_is_told() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    let first = studio.keep_photo("a.jpg", b"the same", NOON).unwrap();
    assert_eq!(studio.keep_photo("b.jpg", b"the same", NOON).unwrap(), first);
    let path = first.path(&studio.photos());
    fs::write(&path, b"something else").unwrap();
    assert!(matches!(studio.photo(&first), Err(StudioError::Changed)));
    // Kept again, it is whole again.
    studio.keep_photo("a.jpg", b"the same", NOON).unwrap();
    assert_eq!(studio.photo(&first).unwrap(), b"the same");
}

#[test]
fn a_clock_that_goes_back_disturbs_no_order() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    for (title, time) in [("first", 3_000), ("second", 1_000), ("third", 2_000)] {
        studio.begin_session(&about(title), Moment(time)).unwrap();
    }
    let titles: Vec<String> = studio.sessions().unwrap().into_iter().map(|it| it.about.title).collect();
    assert_eq!(titles, ["third", "second", "first"]);
}

#[test]
fn what_is_deleted_comes_back() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    let session = studio.begin_session(&about("Low water"), NOON).unwrap();
    let photo = studio.keep_photo("a.jpg", b"bytes", NOON).unwrap();
    let snapshot = studio.keep_snapshot(session, &photo, ("A", ""), &seen(), NOON).unwrap();
    studio.delete(Kept::Snapshot(snapshot), NOON).unwrap();
    assert_eq!(studio.snapshots(session).unwrap(), []);
    assert_eq!(studio.sessions().unwrap()[0].snapshots, 0);
    studio.bring_back(Kept::Snapshot(snapshot)).unwrap();
    assert_eq!(studio.snapshots(session).unwrap().len(), 1);
    studio.delete(Kept::Session(session), NOON).unwrap();
    assert_eq!(studio.sessions().unwrap(), []);
    studio.bring_back(Kept::Session(session)).unwrap();
    assert_eq!(studio.sessions().unwrap().len(), 1);
    assert!(matches!(studio.delete(Kept::Session(99), NOON), Err(StudioError::Gone)));
    let nowhere = studio.keep_snapshot(99, &photo, ("", ""), &seen(), NOON);
    assert!(matches!(nowhere, Err(StudioError::Gone)));
}

#[test]
fn two_instances_do_not_share_a_studio() {
    let folder = TempDir::new().unwrap();
    let first = opened(folder.path());
    assert!(matches!(Studio::open(folder.path(), SystemTime::now()), Err(StudioError::InUse)));
    drop(first);
    opened(folder.path());
}

#[test]
fn a_foreign_a_torn_and_a_newer_database_are_told_and_left_as_they_are() {
    for (make, is) in [
        (
            Box::new(|path: &Path| {
                fs::write(path, b"no database at all, but long enough to be looked at").unwrap();
            }) as Box<dyn Fn(&Path)>,
            (|error| matches!(error, StudioError::Damaged { .. })) as fn(&StudioError) -> bool,
        ),
        (
            Box::new(|path| {
                let other = Connection::open(path).unwrap();
                other.execute_batch("CREATE TABLE recipe (name TEXT)").unwrap();
            }),
            |error| matches!(error, StudioError::Damaged { .. }),
        ),
        (
            Box::new(|path| {
                drop(opened(path.parent().unwrap()));
                let ours = Connection::open(path).unwrap();
                ours.pragma_update(None, "user_version", schema::NEWEST + 1).unwrap();
            }),
            |error| matches!(error, StudioError::Newer { .. }),
        ),
    ] {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join(DATABASE);
        make(&path);
        let before = fs::read(&path).unwrap();
        let error = Studio::open(folder.path(), SystemTime::now()).map(|_| ()).unwrap_err();
        assert!(is(&error), "{error}");
        assert_eq!(fs::read(&path).unwrap(), before);
        let aside = Studio::set_aside(folder.path(), NOON).unwrap();
        assert_eq!(fs::read(aside).unwrap(), before);
        assert_eq!(opened(folder.path()).sessions().unwrap(), []);
    }
}

#[test]
fn orphans_are_swept_after_a_day_and_known_photos_stay() {
    let folder = TempDir::new().unwrap();
    let (known, orphan) = {
        let mut studio = opened(folder.path());
        let known = studio.keep_photo("a.jpg", b"known", NOON).unwrap();
        (known, pictures::keep(&Machine, &studio.photos(), b"cut off before its row").unwrap())
    };
    let path = orphan.path(&folder.path().join(PHOTOS));
    drop(opened(folder.path()));
    assert!(path.is_file(), "it may be a save under way");
    let studio = Studio::open(folder.path(), SystemTime::now() + 2 * ORPHAN).unwrap();
    assert!(!path.exists());
    assert!(folder.path().join(TRASH).join(orphan.digits()).is_file());
    assert_eq!(studio.photo(&known).unwrap(), b"known");
}

/// Every operation on files fails in turn, or is the last before the machine is cut: a photo is there whole, or not at
/// all, and can be kept once there is room.
#[test]
fn a_photo_is_kept_whole_or_not_at_all() {
    for then in [Then::Fail, Then::Cut] {
        let mut operations = 0;
        loop {
            let folder = TempDir::new().unwrap();
            drop(opened(folder.path()));
            let kept =
                Studio::open_on(Box::new(Faulty::after(operations, then)), folder.path(), SystemTime::now())
                    .and_then(|mut studio| studio.keep_photo("a.jpg", b"all of it", NOON));
            let mut studio = opened(folder.path());
            let hash = PhotoHash::of(b"all of it");
            let is_known = records::knows(&studio.database, hash.digits()).unwrap();
            assert_eq!(is_known, kept.is_ok(), "{then:?} after {operations}");
            if is_known {
                assert_eq!(studio.photo(&hash).unwrap(), b"all of it", "{then:?} after {operations}");
            } else {
                studio.keep_photo("a.jpg", b"all of it", NOON).unwrap();
            }
            if kept.is_ok() {
                assert!(operations >= 6, "the seam sees every operation");
                break;
            }
            operations += 1;
        }
    }
}

/// The first version's database, as it was on the disk: `tests/version-1.sql` is its dump, and is never changed.
#[test]
fn a_database_of_the_first_version_opens() {
    let folder = TempDir::new().unwrap();
    {
        let old = Connection::open(folder.path().join(DATABASE)).unwrap();
        old.execute_batch(include_str!("tests/version-1.sql")).unwrap();
    }
    let studio = opened(folder.path());
    let sessions = studio.sessions().unwrap();
    assert_eq!(sessions[0].about.title, "Low water");
    let snapshots = studio.snapshots(sessions[0].id).unwrap();
    assert_eq!((snapshots[0].title.as_str(), &snapshots[0].seen), ("Hull", &seen()));
}
