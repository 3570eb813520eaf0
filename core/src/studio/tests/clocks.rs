//! Clocks that jump: what was deleted grows older by the days on which the studio was opened, and by nothing else.

use super::*;

/// A studio that was opened at a time.
fn opened_at(folder: &Path, moment: i64) -> Studio {
    let time = if moment < 0 {
        UNIX_EPOCH - Duration::from_millis(moment.unsigned_abs())
    } else {
        at(Moment(moment))
    };
    Studio::open(folder, time).unwrap()
}

#[test]
fn a_clock_at_1970_or_years_ahead_purges_nothing() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, snapshot) = begun(folder.path());
    studio.delete(Kept::Snapshot(snapshot), NOON).unwrap();
    studio.delete(Kept::Session(session), Moment(0)).unwrap();
    drop(studio);
    // A battery that is empty, a date mistyped by decades, and back: as often as you like, each is one day.
    for _ in 0..20 {
        for moment in [0, NOON.0, NOON.0 + 40 * 365 * DAY, -5 * DAY, 3] {
            drop(opened_at(folder.path(), moment));
        }
    }
    let mut studio = opened_at(folder.path(), NOON.0 + 60 * DAY);
    let deleted: Vec<_> = studio.deleted().unwrap().into_iter().map(|it| it.what).collect();
    assert_eq!(deleted, [Kept::Session(session), Kept::Snapshot(snapshot)], "the last deleted first");
    studio.bring_back(Kept::Session(session)).unwrap();
    studio.bring_back(Kept::Snapshot(snapshot)).unwrap();
    assert_eq!(studio.photo(&photo).unwrap(), b"not quite a picture");
}

#[test]
fn it_is_purged_at_thirty_days_on_which_it_was_opened_however_far_apart() {
    let folder = TempDir::new().unwrap();
    let (mut studio, _, photo, snapshot) = begun(folder.path());
    studio.delete(Kept::Snapshot(snapshot), NOON).unwrap();
    drop(studio);
    for day in 1..30 {
        // Several times a day, and not on every day.
        for hour in [0, 3, 5] {
            let studio = opened_at(folder.path(), NOON.0 + 3 * day * DAY + hour * DAY / 24);
            assert_eq!(studio.deleted().unwrap().len(), 1, "opened on {day} days since");
            assert!(photo.path(&studio.photos()).exists());
        }
    }
    let studio = opened_at(folder.path(), NOON.0 + 90 * DAY);
    assert_eq!(studio.deleted().unwrap(), []);
    assert!(!photo.path(&studio.photos()).exists());
}

#[test]
fn a_clock_that_jumps_reorders_nothing() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    let mut deleted = Vec::new();
    for (title, time) in [("first", NOON.0 + 9_000 * DAY), ("second", 0), ("third", NOON.0)] {
        let session = studio.begin_session(&about(title), Moment(time)).unwrap();
        studio.delete(Kept::Session(session), Moment(time)).unwrap();
        deleted.insert(0, title);
    }
    let listed: Vec<_> = studio.deleted().unwrap().into_iter().map(|it| it.title).collect();
    assert_eq!(listed, deleted);
}

/// Before the fifth version, files in the trash were named by the clock.
#[test]
fn a_file_that_was_swept_by_an_older_version_has_thirty_days_more() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    let trash = folder.path().join(TRASH);
    fs::create_dir_all(&trash).unwrap();
    fs::write(trash.join(format!("{}-orphan", NOON.0 - 50 * DAY)), b"swept").unwrap();
    for passed in 0..30 {
        assert!(fs::read_dir(&trash).unwrap().next().is_some(), "after {passed} days");
        days_pass(&mut studio, 1);
    }
    assert!(fs::read_dir(&trash).unwrap().next().is_some(), "thirty from the first day that it was found");
    days_pass(&mut studio, 1);
    assert!(fs::read_dir(&trash).unwrap().next().is_none());
}
