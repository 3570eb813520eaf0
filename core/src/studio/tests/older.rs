//! What comes in from older versions and from hostile hands: rows named by their numbers, photos that nothing refers to,
//! and numbers that no program writes.

use super::parcels::{backed_up, brought_in, full, made};
use super::*;
use std::io::Cursor;
use zip::ZipArchive;

/// A backup as the second version of the record has it: settings name rows by their numbers, what was deleted is there
/// with the time of that, and so is a photo whose snapshots are gone.
#[test]
fn a_backup_of_an_older_version_comes_in_and_points_at_no_other_row() {
    let folder = TempDir::new().unwrap();
    let (mut studio, _) = full(folder.path());
    let clay = crate::PaintAbout { name: "Clay".to_owned(), ..crate::PaintAbout::default() };
    studio.begin_paint(&clay, NOON).unwrap();
    let gone = PhotoHash::of(b"of a snapshot that is gone");
    let parcel = made(&backed_up(&studio), |parts| {
        let at = parts.iter().position(|it| it.0 == "tonefast.json").unwrap();
        let mut old: serde_json::Value = serde_json::from_slice(&parts[at].1).unwrap();
        old["version"] = 2.into();
        // Photos went by their hashes then.
        for photo in old["photos"].as_array_mut().unwrap() {
            let file = photo.as_object_mut().unwrap().remove("file").unwrap();
            let named = format!("photos/{}", file.as_str().unwrap());
            let part = parts.iter_mut().find(|it| it.0 == named).unwrap();
            part.0 = format!("photos/{}", photo["hash"].as_str().unwrap());
        }
        old["settings"] = serde_json::json!({
            "session": "1", "check": r#"{"dab":{"paint":1,"step":3,"wet":false},"sun":true}"#, "sun": "true",
        });
        old["sessions"][0]["snapshots"][0]["deleted"] = (NOON.0 - 29 * DAY).into();
        let about =
            |name: &str| serde_json::json!({ name: gone.digits(), "name": "gone.jpg", "kept": NOON.0 });
        let mut belonging = about("photo");
        belonging["deleted"] = serde_json::Value::Null;
        old["sessions"][0]["photos"].as_array_mut().unwrap().push(belonging);
        let mut photo = about("hash");
        (photo["bytes"], photo["original"]) = (26.into(), true.into());
        old["photos"].as_array_mut().unwrap().push(photo);
        parts[at].1 = old.to_string().into_bytes();
        parts.push((format!("photos/{}", gone.digits()), b"of a snapshot that is gone".to_vec()));
    });
    let other = TempDir::new().unwrap();
    let mut there = opened(other.path());
    let sessions = brought_in(&mut there, &parcel).unwrap();
    assert_eq!(there.setting("session").unwrap().as_deref(), Some(""));
    let page: serde_json::Value = serde_json::from_str(&there.setting("check").unwrap().unwrap()).unwrap();
    assert_eq!(page, serde_json::json!({ "dab": { "paint": null, "step": 3, "wet": false }, "sun": true }));
    // It has its time still, and thirty days from here on.
    let deleted = there.deleted().unwrap();
    assert_eq!((deleted.len(), deleted[0].deleted), (1, Moment(NOON.0 - 29 * DAY)));
    days_pass(&mut there, 29);
    there.bring_back(deleted[0].what).unwrap();
    assert_eq!(there.snapshots(sessions[0]).unwrap().len(), 3);
    assert!(matches!(there.photo(&gone), Err(StudioError::Gone)));
    assert!(!gone.path(&there.photos()).exists());
}

/// What settings name is found again on another machine, where rows have other numbers.
#[test]
fn settings_of_a_backup_point_at_the_same_session_and_paint() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, session) = full(folder.path());
    let clay = crate::PaintAbout { name: "Clay".to_owned(), ..crate::PaintAbout::default() };
    let first = studio.begin_paint(&clay, NOON).unwrap();
    let paint = studio.begin_paint(&crate::PaintAbout { name: "Slate".to_owned(), ..clay }, NOON).unwrap();
    // Rows that are gone: what is left gets other numbers.
    studio.delete(Kept::Paint(first), NOON).unwrap();
    let before = studio.begin_session(&about("Before"), NOON).unwrap();
    let kept_into = studio.duplicate_session(session, NOON).unwrap();
    studio.delete(Kept::Session(before), NOON).unwrap();
    let (session, paint) = (studio.session(kept_into).unwrap().uuid, studio.paint(paint).unwrap().uuid);
    studio.keep_setting("session", &session).unwrap();
    let page = format!(r#"{{"dab":{{"paint":"{paint}","step":3}}}}"#);
    studio.keep_setting("check", &page).unwrap();
    let mut there = opened(other.path());
    brought_in(&mut there, &backed_up(&studio)).unwrap();
    assert_eq!(there.setting("check").unwrap(), Some(page));
    assert_eq!(there.setting("session").unwrap().as_ref(), Some(&session));
    let sessions = there.sessions(SessionOrder::Newest).unwrap();
    let found = sessions.iter().find(|it| it.uuid == session).unwrap();
    assert_ne!(found.id, kept_into);
    assert_eq!(there.paints().unwrap().iter().map(|it| &it.uuid).collect::<Vec<_>>(), [&paint]);
}

/// Every number of a record, in turn, is made one that no program writes: the parcel is refused, or all that came in can
/// be read, listed, added up and handed out again.
#[test]
fn no_number_that_cannot_be_meant_comes_in() {
    const ODD: [&str; 13] = [
        "-1",
        "4",
        "255",
        "256",
        "65536",
        "4294967296",
        "9223372036854775807",
        "-9223372036854775808",
        "8640000000000001",
        "1e308",
        "-1e308",
        "1e-308",
        "0.5",
    ];
    let folder = TempDir::new().unwrap();
    let (mut studio, _) = full(folder.path());
    let clay = crate::PaintAbout { name: "Clay".to_owned(), ..crate::PaintAbout::default() };
    let strip = crate::PaintedStrip { quarters: 1, ..super::paints::painted(&[90.0, 40.0]) };
    studio.begin_paint_with_strip(&clay, &strip, Some(("e", b"of a strip")), NOON).unwrap();
    let good = backed_up(&studio);
    let record = part(&good, "tonefast.json");
    let mut places = Vec::new();
    numbers(&serde_json::from_str(&record).unwrap(), String::new(), &mut places);
    assert!(places.len() > 40, "{places:?}");
    let mut random = crate::random::Random::new(13);
    let (mut refused, mut came) = (0, 0);
    for case in 0..places.len() * 4 {
        let place = &places[case % places.len()];
        let odd = ODD[random.within((0.0, ODD.len() as f64)) as usize % ODD.len()];
        let mut changed: serde_json::Value = serde_json::from_str(&record).unwrap();
        *changed.pointer_mut(place).unwrap() = serde_json::from_str(odd).unwrap();
        let parcel = made(&good, |parts| {
            parts.iter_mut().find(|it| it.0 == "tonefast.json").unwrap().1 = changed.to_string().into_bytes();
        });
        let other = TempDir::new().unwrap();
        let mut there = opened(other.path());
        match brought_in(&mut there, &parcel) {
            Err(error) => {
                assert!(matches!(error, StudioError::Refused(_)), "{place} = {odd}: {error}");
                refused += 1;
            }
            Ok(sessions) => {
                came += 1;
                for session in sessions {
                    for snapshot in there.snapshots(session).unwrap() {
                        assert!(snapshot.seen.quarters < 4, "{place} = {odd}");
                        snapshot.seen.division().unwrap();
                        snapshot.seen.counted().unwrap();
                    }
                }
                assert!(there.paints().unwrap().iter().all(|it| it.strips[0].painted.quarters < 4));
                there.deleted_photos().unwrap();
                there.deleted().unwrap();
                backed_up(&there);
            }
        }
    }
    assert!(refused > 60 && came > 10, "{refused} refused, {came} came in");
}

fn part(parcel: &[u8], name: &str) -> String {
    let mut zip = ZipArchive::new(Cursor::new(parcel)).unwrap();
    std::io::read_to_string(zip.by_name(name).unwrap()).unwrap()
}

/// JSON pointers (RFC 6901) to all numbers of a value.
fn numbers(value: &serde_json::Value, place: String, places: &mut Vec<String>) {
    match value {
        serde_json::Value::Number(_) => places.push(place),
        serde_json::Value::Array(all) => {
            all.iter().enumerate().for_each(|(at, it)| numbers(it, format!("{place}/{at}"), places));
        }
        serde_json::Value::Object(all) => {
            all.iter().for_each(|(name, it)| numbers(it, format!("{place}/{name}"), places));
        }
        _ => {}
    }
}
