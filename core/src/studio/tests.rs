mod clocks;
mod cuts;
mod drawings;
mod gone;
mod older;
mod opening;
mod paints;
mod parcels;

use super::seen::tests::seen;
use super::*;
use std::fs;
use tempfile::TempDir;

const NOON: Moment = Moment(1_790_000_000_000);

const DAY: i64 = 24 * 60 * 60 * 1000;

fn opened(folder: &Path) -> Studio {
    Studio::open(folder, at(NOON)).unwrap()
}

fn at(moment: Moment) -> SystemTime {
    UNIX_EPOCH + Duration::from_millis(moment.0.unsigned_abs())
}

fn about(title: &str) -> SessionAbout {
    SessionAbout { title: title.to_owned(), locality: "the quay".to_owned(), ..SessionAbout::default() }
}

/// The studio is opened on so many more days, each a date that it was not opened on before; what is due is purged.
fn days_pass(studio: &mut Studio, days: i64) {
    count_days(studio, days);
    studio.purge(NOON).unwrap();
}

fn count_days(studio: &mut Studio, days: i64) {
    let statement = "WITH RECURSIVE more (day) AS (
         SELECT coalesce(max(day), 0) + 1 FROM opened_day UNION ALL SELECT day + 1 FROM more LIMIT ?1
     ) INSERT INTO opened_day (day) SELECT day FROM more";
    studio.alter(statement, [days]).unwrap();
}

/// A studio with a session, a photo and a snapshot.
fn begun(folder: &Path) -> (Studio, i64, PhotoHash, i64) {
    let mut studio = opened(folder);
    let session = studio.begin_session(&about("Low water"), NOON).unwrap();
    let photo = studio.keep_photo(session, "low-water.jpg", b"not quite a picture", NOON).unwrap();
    let snapshot = studio.keep_snapshot(session, &photo, ("Hull", "too light"), &seen(), NOON).unwrap();
    (studio, session, photo, snapshot)
}

fn titles(studio: &Studio, order: SessionOrder) -> Vec<String> {
    studio.sessions(order).unwrap().into_iter().map(|it| it.about.title).collect()
}

#[test]
fn what_was_kept_is_there_again_to_the_digit() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, _) = begun(folder.path());
    studio.keep_setting("sun", "true").unwrap();
    drop(studio);
    let studio = opened(folder.path());
    let sessions = studio.sessions(SessionOrder::Newest).unwrap();
    assert_eq!((sessions.len(), sessions[0].id, sessions[0].snapshots), (1, session, 1));
    assert_eq!(sessions[0].about, about("Low water"));
    let snapshots = studio.snapshots(session).unwrap();
    assert_eq!((snapshots[0].title.as_str(), &snapshots[0].seen), ("Hull", &seen()));
    let photos = studio.photos_of(session).unwrap();
    assert_eq!((photos[0].name.as_str(), photos[0].bytes, photos[0].left_out), ("low-water.jpg", 19, false));
    assert_eq!(studio.photo(&photo).unwrap(), b"not quite a picture");
    assert_eq!(studio.setting("sun").unwrap().as_deref(), Some("true"));
}

#[test]
fn a_snapshot_goes_into_the_session_of_its_uuid_or_into_one_that_is_begun() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, ..) = begun(folder.path());
    let uuid = studio.session(session).unwrap().uuid;
    let new =
        NewSnapshot { photo: ("b.jpg", b"of another"), title: "Mast", note: "", seen: &seen(), at: NOON };
    let keep = |studio: &mut Studio, uuid: Option<&str>| {
        let id = studio.keep(uuid, &about("High water"), &new).unwrap();
        studio.snapshot(id).unwrap().session
    };
    assert_eq!(keep(&mut studio, Some(&uuid)), session);
    assert_eq!(studio.photos_of(session).unwrap()[1].name, "b.jpg");
    studio.delete(Kept::Session(session), NOON).unwrap();
    let other = keep(&mut studio, Some(&uuid));
    assert_ne!(other, session, "it is deleted");
    assert_eq!(studio.session(other).unwrap().about, about("High water"));
    let third = keep(&mut studio, None);
    assert_eq!(titles(&studio, SessionOrder::Newest).len(), 2);
    assert_ne!(third, other);
}

#[test]
fn the_same_photo_is_stored_once_and_a_changed_file_is_told() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, _) = begun(folder.path());
    let other = studio.begin_session(&about("High water"), NOON).unwrap();
    assert_eq!(studio.keep_photo(other, "b.jpg", b"not quite a picture", NOON).unwrap(), photo);
    studio.keep_snapshot(other, &photo, ("", ""), &seen(), NOON).unwrap();
    assert_eq!(studio.photos_of(other).unwrap()[0].name, "b.jpg");
    let path = photo.path(&studio.photos());
    assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
    fs::write(&path, b"something else").unwrap();
    assert!(matches!(studio.photo(&photo), Err(StudioError::Changed)));
    // Kept again, it is whole again.
    studio.keep_photo(session, "a.jpg", b"not quite a picture", NOON).unwrap();
    assert_eq!(studio.photo(&photo).unwrap(), b"not quite a picture");
}

#[test]
fn a_clock_that_goes_back_disturbs_no_order() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    for (title, time) in [("first", 3_000), ("second", 1_000), ("third", 2_000)] {
        studio.begin_session(&about(title), Moment(time)).unwrap();
    }
    assert_eq!(titles(&studio, SessionOrder::Newest), ["third", "second", "first"]);
}

#[test]
fn sessions_are_sorted_and_described_anew() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    for (title, locality, day) in
        [("élan", "Quay", "2026-05-01"), ("Boat", "barn", "2026-06-01"), ("ÉTUDE", "attic", "")]
    {
        let (title, locality, day) = (title.to_owned(), locality.to_owned(), day.to_owned());
        studio.begin_session(&SessionAbout { title, locality, day, notes: String::new() }, NOON).unwrap();
    }
    assert_eq!(titles(&studio, SessionOrder::Title), ["Boat", "élan", "ÉTUDE"]);
    assert_eq!(titles(&studio, SessionOrder::Locality), ["ÉTUDE", "Boat", "élan"]);
    assert_eq!(titles(&studio, SessionOrder::Day), ["Boat", "élan", "ÉTUDE"]);
    let first = studio.sessions(SessionOrder::Title).unwrap()[0].id;
    studio.describe_session(first, &about("Zinc")).unwrap();
    assert_eq!(titles(&studio, SessionOrder::Title), ["Zinc", "élan", "ÉTUDE"]);
    assert!(matches!(studio.describe_session(99, &about("")), Err(StudioError::Gone)));
}

#[test]
fn snapshots_are_renamed_moved_and_made_again() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, snapshot) = begun(folder.path());
    studio.describe_snapshot(snapshot, "Mast", "").unwrap();
    let copy = studio.duplicate_snapshot(snapshot, NOON).unwrap();
    let (first, second) = (studio.snapshot(snapshot).unwrap(), studio.snapshot(copy).unwrap());
    assert_ne!(first.uuid, second.uuid);
    assert_eq!(("Mast", &first.seen), (second.title.as_str(), &second.seen));
    let other = studio.begin_session(&about("High water"), NOON).unwrap();
    studio.move_snapshot(snapshot, other).unwrap();
    assert_eq!(studio.snapshots(other).unwrap()[0].id, snapshot);
    assert_eq!(studio.photos_of(other).unwrap()[0].hash, photo);
    studio.move_snapshot(snapshot, session).unwrap();
    let order: Vec<i64> = studio.snapshots(session).unwrap().iter().map(|it| it.id).collect();
    assert_eq!(order, [copy, snapshot]);
    let again = studio.duplicate_session(session, NOON).unwrap();
    let copied = studio.snapshots(again).unwrap();
    assert_eq!(copied.iter().map(|it| &it.title).collect::<Vec<_>>(), ["Mast", "Mast"]);
    assert_eq!(studio.photos_of(again).unwrap().len(), 1);
    assert!(matches!(studio.move_snapshot(snapshot, 99), Err(StudioError::Gone)));
    assert!(matches!(studio.duplicate_snapshot(99, NOON), Err(StudioError::Gone)));
    assert!(matches!(studio.duplicate_session(99, NOON), Err(StudioError::Gone)));
}

#[test]
fn what_is_deleted_comes_back_for_thirty_days() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, snapshot) = begun(folder.path());
    let shown = studio.photos_of(session).unwrap()[0].id;
    for what in [Kept::Snapshot(snapshot), Kept::Photo(shown), Kept::Session(session)] {
        studio.delete(what, NOON).unwrap();
    }
    assert_eq!(studio.sessions(SessionOrder::Newest).unwrap(), []);
    assert_eq!((studio.snapshots(session).unwrap(), studio.photos_of(session).unwrap()), (vec![], vec![]));
    let deleted: Vec<Kept> = studio.deleted().unwrap().iter().map(|it| it.what).collect();
    assert_eq!(deleted, [Kept::Session(session), Kept::Photo(shown), Kept::Snapshot(snapshot)]);
    let late = studio.keep_snapshot(session, &photo, ("", ""), &seen(), NOON);
    assert!(matches!(late, Err(StudioError::Gone)));
    days_pass(&mut studio, 29);
    for what in deleted {
        studio.bring_back(what).unwrap();
    }
    assert_eq!(studio.sessions(SessionOrder::Newest).unwrap()[0].snapshots, 1);
    assert_eq!(studio.photos_of(session).unwrap().len(), 1);
    assert!(matches!(studio.delete(Kept::Session(99), NOON), Err(StudioError::Gone)));
}

#[test]
fn after_thirty_days_it_is_gone_and_its_photo_with_it() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, snapshot) = begun(folder.path());
    studio.keep_thumbnail(snapshot, b"small").unwrap();
    let thumbnail = studio.thumbnail_path(snapshot).unwrap();
    let path = photo.path(&studio.photos());
    studio.delete(Kept::Session(session), NOON).unwrap();
    days_pass(&mut studio, 29);
    assert_eq!(studio.deleted_photos().unwrap(), DeletedPhotos { count: 1, bytes: 19 });
    assert_eq!((path.exists(), thumbnail.exists()), (true, true));
    days_pass(&mut studio, 1);
    assert!(matches!(studio.bring_back(Kept::Session(session)), Err(StudioError::Gone)));
    assert_eq!(studio.search("water").unwrap(), Found::default());
    assert_eq!((path.exists(), thumbnail.exists()), (false, false));
    assert!(!folder.path().join(TRASH).exists(), "it does not lie elsewhere for another thirty days");
    assert_eq!(studio.deleted_photos().unwrap(), DeletedPhotos::default());
}

#[test]
fn words_are_found_whatever_their_case_and_accents() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, snapshot) = begun(folder.path());
    let other = SessionAbout { notes: "Étude à marée basse, 水辺".to_owned(), ..about("Σκιά") };
    let other = studio.begin_session(&other, NOON).unwrap();
    let found = |studio: &Studio, words: &str| {
        let found = studio.search(words).unwrap();
        let ids = |ids: Vec<i64>| ids;
        (
            ids(found.sessions.iter().map(|it| it.id).collect()),
            ids(found.snapshots.iter().map(|it| it.id).collect()),
        )
    };
    assert_eq!(found(&studio, "ETUDE mar"), (vec![other], vec![]));
    assert_eq!(found(&studio, "ΣΚΙΆ"), (vec![other], vec![]));
    assert_eq!(found(&studio, "水"), (vec![other], vec![]));
    assert_eq!(found(&studio, "quay"), (vec![other, session], vec![]));
    assert_eq!(found(&studio, "too LIGHT"), (vec![], vec![snapshot]));
    assert_eq!(found(&studio, "water hull"), (vec![], vec![]));
    for nothing in ["", "\"", "*", "NEAR(", "a AND", "title:"] {
        assert_eq!(found(&studio, nothing), (vec![], vec![]), "{nothing}");
    }
    studio.describe_snapshot(snapshot, "Mast", "").unwrap();
    assert_eq!(found(&studio, "hull"), (vec![], vec![]));
    studio.delete(Kept::Session(session), NOON).unwrap();
    assert_eq!(found(&studio, "mast"), (vec![], vec![]));
    studio.bring_back(Kept::Session(session)).unwrap();
    studio.keep_snapshot(session, &photo, ("Mast again", ""), &seen(), NOON).unwrap();
    assert_eq!(found(&studio, "mast").1.len(), 2);
    // FTS5's own check, against the rows that the indices are of.
    for index in ["session_words", "snapshot_words"] {
        let check = format!("INSERT INTO {index} ({index}, rank) VALUES ('integrity-check', 1)");
        studio.database.execute(&check, []).unwrap();
    }
}

/// RFC 9562, section 5.7, as the uuid crate reads it: version 7, which begins with the time.
#[test]
fn records_are_known_by_uuids_that_tell_their_time() {
    let folder = TempDir::new().unwrap();
    let (studio, _, _, snapshot) = begun(folder.path());
    let uuid = Uuid::parse_str(&studio.snapshot(snapshot).unwrap().uuid).unwrap();
    assert_eq!(uuid.get_version_num(), 7);
    let (seconds, nanos) = uuid.get_timestamp().unwrap().to_unix();
    assert_eq!((seconds as i64, nanos), (NOON.0 / 1000, 0));
}
