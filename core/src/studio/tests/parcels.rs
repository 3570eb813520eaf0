//! Sessions and studios that go out and come in.

use super::*;
use crate::Progress;
use crate::studio::faults::{Faulty, Then};
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

fn handed_out(studio: &Studio, session: i64, originals: Originals) -> Vec<u8> {
    let mut parcel = Cursor::new(Vec::new());
    assert_eq!(studio.hand_out(session, originals, &Progress::new(), &mut parcel).unwrap(), []);
    parcel.into_inner()
}

pub(super) fn backed_up(studio: &Studio) -> Vec<u8> {
    let mut parcel = Cursor::new(Vec::new());
    assert_eq!(studio.back_up(Originals::With, &Progress::new(), &mut parcel).unwrap(), []);
    parcel.into_inner()
}

pub(super) fn brought_in(studio: &mut Studio, parcel: &[u8]) -> Result<Vec<i64>, StudioError> {
    studio.bring_in(&Progress::new(), Cursor::new(parcel))
}

/// Two sessions with photos of their own and one of both, things in the trash, and a setting.
pub(super) fn full(folder: &Path) -> (Studio, i64) {
    let (mut studio, session, photo, snapshot) = begun(folder);
    studio.duplicate_snapshot(snapshot, Moment(NOON.0 - DAY)).unwrap();
    let gone = studio.keep_snapshot(session, &photo, ("Gone", ""), &seen(), NOON).unwrap();
    studio.delete(Kept::Snapshot(gone), NOON).unwrap();
    let mast = studio.keep_photo(session, "mast.jpg", b"of another", NOON).unwrap();
    studio.keep_snapshot(session, &mast, ("Mast", ""), &seen(), NOON).unwrap();
    let other = studio.begin_session(&about("Σκιά 🌊 / ..\\"), NOON).unwrap();
    studio.keep_photo(other, "again.jpg", b"not quite a picture", NOON).unwrap();
    studio.delete(Kept::Session(other), NOON).unwrap();
    studio.keep_setting("sun", "true").unwrap();
    (studio, session)
}

/// All files below a folder but the database's own, and all rows that a backup holds.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.to_string_lossy().contains("studio.") {
                files.push(path);
            }
        }
    }
    files
}

#[test]
fn a_session_comes_in_on_another_machine_as_it_was() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, session) = full(folder.path());
    let parcel = handed_out(&studio, session, Originals::With);
    let mut there = opened(other.path());
    let sessions = brought_in(&mut there, &parcel).unwrap();
    let (mut before, mut after) = (studio.snapshots(session).unwrap(), there.snapshots(sessions[0]).unwrap());
    for snapshot in before.iter_mut().chain(&mut after) {
        // What they are known by here differs.
        (snapshot.id, snapshot.session) = (0, 0);
    }
    assert_eq!(before, after);
    assert_eq!(handed_out(&there, sessions[0], Originals::With), parcel);
    for photo in there.photos_of(sessions[0]).unwrap() {
        assert_eq!(there.photo(&photo.hash).unwrap(), studio.photo(&photo.hash).unwrap());
    }
    assert_eq!(there.search("hull").unwrap().snapshots.len(), 2);
    assert!(matches!(brought_in(&mut there, &parcel), Err(StudioError::AlreadyHere)));
    // A handed out session is no backup: the sender's settings and trash stay hers.
    assert_eq!((there.setting("sun").unwrap(), there.deleted().unwrap()), (None, vec![]));
}

#[test]
fn a_whole_studio_comes_back_as_it_was() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, _) = full(folder.path());
    let parcel = backed_up(&studio);
    let mut there = opened(other.path());
    brought_in(&mut there, &parcel).unwrap();
    assert_eq!(backed_up(&there), parcel);
    assert_eq!(there.setting("sun").unwrap().as_deref(), Some("true"));
    assert_eq!(there.deleted().unwrap(), [], "what was deleted does not leave the machine");
    assert_eq!(titles(&there, SessionOrder::Newest), titles(&studio, SessionOrder::Newest));
    assert!(matches!(brought_in(&mut there, &parcel), Err(StudioError::NotEmpty)));
}

#[test]
fn without_originals_nothing_of_them_leaves_and_that_is_told() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, session) = full(folder.path());
    let parcel = handed_out(&studio, session, Originals::Without);
    assert!(!parcel.windows(9).any(|bytes| bytes == b"not quite"));
    let mut there = opened(other.path());
    let session = brought_in(&mut there, &parcel).unwrap()[0];
    let snapshots = there.snapshots(session).unwrap();
    assert_eq!(snapshots[0].seen, seen());
    assert!(there.photos_of(session).unwrap().iter().all(|photo| photo.left_out));
    assert!(matches!(there.photo(&snapshots[0].photo), Err(StudioError::LeftOut)));
    // Opened from elsewhere, it is there.
    there.keep_photo(session, "a.jpg", b"not quite a picture", NOON).unwrap();
    assert_eq!(there.photo(&snapshots[0].photo).unwrap(), b"not quite a picture");
}

#[test]
fn a_photo_that_is_gone_keeps_no_backup_from_being_made() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, session) = full(folder.path());
    let lost = PhotoHash::of(b"not quite a picture");
    fs::write(lost.path(&studio.photos()), b"damaged").unwrap();
    let mut parcel = Cursor::new(Vec::new());
    assert_eq!(
        studio.back_up(Originals::With, &Progress::new(), &mut parcel).unwrap(),
        std::slice::from_ref(&lost)
    );
    let mut there = opened(other.path());
    brought_in(&mut there, parcel.get_ref()).unwrap();
    assert!(matches!(there.photo(&lost), Err(StudioError::LeftOut)));
    assert_eq!(there.sessions(SessionOrder::Newest).unwrap()[0].snapshots, 3);
    assert!(matches!(
        studio.hand_out(99, Originals::With, &Progress::new(), Cursor::new(Vec::new())),
        Err(StudioError::Gone)
    ));
    assert_eq!(
        studio.hand_out(session, Originals::With, &Progress::new(), Cursor::new(Vec::new())).unwrap(),
        [lost]
    );
}

/// As any program sees it: the zip crate's own reader, whose sums are checked as it reads.
#[test]
fn a_parcel_is_a_zip_with_pictures_in_it() {
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, session, _, snapshot) = begun(folder.path());
    studio.write_png(snapshot, pictures.path(), "Hull", b"a drawing").unwrap();
    let parcel = handed_out(&studio, session, Originals::With);
    let mut zip = ZipArchive::new(Cursor::new(&parcel)).unwrap();
    let mut read = |name: &str| std::io::read_to_string(zip.by_name(name).unwrap()).unwrap();
    assert_eq!(read("photos/low-water.jpg"), "not quite a picture");
    assert_eq!(read("pictures/0001 Hull.png"), "a drawing");
    let record: serde_json::Value = serde_json::from_str(&read("tonefast.json")).unwrap();
    assert_eq!((&record["schema"], &record["version"]), (&"tonefast-studio".into(), &3.into()));
    assert_eq!(record["sessions"][0]["snapshots"][0]["seen"]["edges"][1], 60.000_004_f32 as f64 as f32);
    let other = TempDir::new().unwrap();
    brought_in(&mut opened(other.path()), &parcel).unwrap();
}

/// Another parcel out of a good one: its parts, and what is made of them.
pub(super) fn made(good: &[u8], change: impl Fn(&mut Vec<(String, Vec<u8>)>)) -> Vec<u8> {
    let mut zip = ZipArchive::new(Cursor::new(good)).unwrap();
    let mut parts: Vec<(String, Vec<u8>)> = (0..zip.len())
        .map(|at| {
            let mut part = zip.by_index(at).unwrap();
            let mut bytes = Vec::new();
            std::io::copy(&mut part, &mut bytes).unwrap();
            (part.name().unwrap().into_owned(), bytes)
        })
        .collect();
    change(&mut parts);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        match name.strip_prefix("link:") {
            Some(name) => zip.add_symlink(name, "/etc/passwd", options).unwrap(),
            None => {
                zip.start_file(name, options).unwrap();
                zip.write_all(&bytes).unwrap();
            }
        }
    }
    zip.finish().unwrap().into_inner()
}

/// Bytes in place of others, wherever they stand.
fn replaced(bytes: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut bytes = bytes.to_vec();
    let mut found = 0;
    for at in 0..=bytes.len() - from.len() {
        if &bytes[at..at + from.len()] == from {
            bytes[at..at + from.len()].copy_from_slice(to);
            found += 1;
        }
    }
    assert!(found > 0);
    bytes
}

fn record_changed(good: &[u8], from: &str, to: &str) -> Vec<u8> {
    made(good, |parts| {
        let record = parts.iter_mut().find(|part| part.0 == "tonefast.json").unwrap();
        let text = String::from_utf8(record.1.clone()).unwrap();
        assert!(text.contains(from), "{from}");
        record.1 = text.replacen(from, to, 1).into_bytes();
    })
}

/// All photos under one name, by the record.
fn one_name(good: &[u8]) -> Vec<u8> {
    made(good, |parts| {
        let record = parts.iter_mut().find(|part| part.0 == "tonefast.json").unwrap();
        let mut told: serde_json::Value = serde_json::from_slice(&record.1).unwrap();
        for photo in told["photos"].as_array_mut().unwrap() {
            photo["file"] = "low-water.jpg".into();
        }
        record.1 = serde_json::to_vec(&told).unwrap();
    })
}

/// A part that says it unpacks to 4 GB: 4 MB of noughts, deflated, with its sizes written over.
fn bomb(good: &[u8]) -> Vec<u8> {
    let packed = miniz_oxide::deflate::compress_to_vec(&vec![0; 4 << 20], 9);
    let made = made(good, |parts| parts.push((format!("photos/{}", "b".repeat(64)), packed.clone())));
    let name = format!("photos/{}", "b".repeat(64)).into_bytes();
    let mut bytes = made.clone();
    for at in 0..made.len() - name.len() {
        if made[at..at + name.len()] != name {
            continue;
        }
        // PKWARE's APPNOTE 4.3.7 and 4.3.12: names follow 30 bytes of a local header, and 46 of a central one.
        for (header, length, method, size) in [(b"PK\x03\x04", 30, 8, 22), (b"PK\x01\x02", 46, 10, 24)] {
            if at >= length && &made[at - length..at - length + 4] == header {
                bytes[at - length + method] = 8;
                bytes[at - length + size..at - length + size + 4]
                    .copy_from_slice(&0xffff_fff0_u32.to_le_bytes());
            }
        }
    }
    assert_ne!(bytes, made);
    bytes
}

#[test]
fn what_is_no_parcel_of_ours_is_refused_and_nothing_is_written() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, session) = full(folder.path());
    let good = handed_out(&studio, session, Originals::With);
    let photo = PhotoHash::of(b"not quite a picture");
    let digits = photo.digits();
    let add = |name: &str| made(&good, |parts| parts.push((name.to_owned(), b"x".to_vec())));
    let twice = made(&good, |parts| {
        parts.push(("pictures/a.png".to_owned(), b"1".to_vec()));
        parts.push(("pictures/b.png".to_owned(), b"2".to_vec()));
    });
    // Where a central header says its part begins: the same place for two.
    let overlapping = {
        let name = |name: &[u8]| twice.windows(14).rposition(|at| at == name).unwrap();
        let (a, b) = (name(b"pictures/a.png"), name(b"pictures/b.png"));
        let mut bytes = twice.clone();
        bytes.copy_within(a - 4..a, b - 4);
        bytes
    };
    let hostile: Vec<(&str, Vec<u8>)> = vec![
        ("a folder above", add("../outside.png")),
        ("a folder above, of pictures", add("pictures/../../outside.png")),
        ("a folder above, by the other stroke", add("pictures/..\\outside.png")),
        ("a place of its own", add("/tmp/outside.png")),
        ("a drive", add("pictures/c:outside.png")),
        ("a folder above, of small pictures", add("small/../outside.png")),
        ("a stranger", add("run.sh")),
        ("a folder", add("photos/")),
        ("a photo with a bad name", add("photos/../../x")),
        ("a photo that is not told of", add(&format!("photos/{}", "a".repeat(64)))),
        ("a link", add("link:pictures/a.png")),
        ("two of one name", replaced(&twice, b"pictures/b.png", b"pictures/a.png")),
        ("two in one place", overlapping),
        ("a bomb", bomb(&good)),
        ("a damaged photo", replaced(&good, b"not quite a picture", b"not quite a pigture")),
        ("no record", made(&good, |parts| parts.retain(|part| part.0 != "tonefast.json"))),
        ("no photo", made(&good, |parts| parts.retain(|part| !part.0.contains("low-water")))),
        (
            "another photo under its name",
            made(&good, |parts| parts.iter_mut().find(|it| it.0.contains("low-water")).unwrap().1.push(1)),
        ),
        ("two photos under one name", one_name(&good)),
        ("another schema", record_changed(&good, "tonefast-studio", "something-else")),
        ("a newer version", record_changed(&good, "\"version\": 3", "\"version\": 4")),
        ("a newer snapshot", record_changed(&good, "\"format\": 1", "\"format\": 2")),
        ("a field that nobody knows", record_changed(&good, "\"whole\"", "\"extra\": 1, \"whole\"")),
        ("a bad hash", record_changed(&good, digits, "../../../etc/passwd")),
        (
            "a photo that is nowhere",
            record_changed(
                &good,
                &format!("\"photo\": \"{digits}\""),
                &format!("\"photo\": \"{}\"", "a".repeat(64)),
            ),
        ),
        ("no UUID", record_changed(&good, "\"uuid\": \"", "\"uuid\": \"x")),
        ("half of it", good[..good.len() / 2].to_vec()),
        ("nothing", Vec::new()),
        ("a picture", b"\x89PNG\r\n\x1a\n".repeat(40)),
    ];
    let mut there = opened(other.path());
    for (name, parcel) in &hostile {
        let error = brought_in(&mut there, parcel).expect_err(name);
        assert!(matches!(error, StudioError::Refused(_)), "{name}: {error}");
        assert_eq!(error.fault(), StudioFault::File);
        assert_eq!(there.sessions(SessionOrder::Newest).unwrap(), [], "{name}");
        assert_eq!(files(other.path()), [] as [PathBuf; 0], "{name}");
    }
    // Made over without a change, it comes in: each was refused for what was changed in it.
    brought_in(&mut there, &made(&good, |_| {})).unwrap();
    brought_in(&mut opened(TempDir::new().unwrap().path()), &twice).unwrap();
}

/// Any byte that is damaged, and any place where it is cut, is told or changes nothing; it never panics.
#[test]
fn a_damaged_parcel_never_comes_in_as_another() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, session, ..) = begun(folder.path());
    let good = handed_out(&studio, session, Originals::With);
    let mut there = opened(other.path());
    let mut came = 0;
    for at in 0..good.len() {
        let mut bad = good.clone();
        bad[at] ^= 0x15;
        if let Ok(sessions) = brought_in(&mut there, &bad) {
            // Where a byte means nothing to us, as a time does.
            assert_eq!(handed_out(&there, sessions[0], Originals::With), good, "byte {at}");
            there.delete(Kept::Session(sessions[0]), NOON).unwrap();
            days_pass(&mut there, 30);
            came += 1;
        }
        assert!(brought_in(&mut there, &good[..at]).is_err(), "cut at {at}");
    }
    assert!(came < good.len() / 10, "{came} of {}", good.len());
}

#[test]
fn it_can_be_called_off_and_nothing_is_written() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, session) = full(folder.path());
    let parcel = handed_out(&studio, session, Originals::With);
    let called_off = Progress::new();
    called_off.cancel();
    let out = studio.hand_out(session, Originals::With, &called_off, Cursor::new(Vec::new()));
    assert!(matches!(out, Err(StudioError::Cancelled)));
    let mut there = opened(other.path());
    let came = there.bring_in(&called_off, Cursor::new(parcel));
    assert!(matches!(came, Err(StudioError::Cancelled)));
    assert_eq!(files(other.path()), [] as [PathBuf; 0]);
}

#[test]
fn a_parcel_comes_in_whole_or_not_at_all() {
    let folder = TempDir::new().unwrap();
    let (studio, _) = full(folder.path());
    let parcel = backed_up(&studio);
    for then in Then::ALL {
        for operations in 0.. {
            let other = TempDir::new().unwrap();
            let mut there = opened(other.path());
            there.disk = Arc::new(Faulty::after(operations, then));
            let came = brought_in(&mut there, &parcel);
            drop(there);
            let mut there = opened(other.path());
            if came.is_err() {
                assert_eq!(files(other.path()), [] as [PathBuf; 0], "{then:?} after {operations}");
                assert_eq!(there.photos_of(1).unwrap(), []);
                assert_eq!(there.deleted().unwrap(), []);
                brought_in(&mut there, &parcel).unwrap();
            }
            assert_eq!(backed_up(&there), parcel, "{then:?} after {operations}");
            if came.is_ok() {
                assert!(operations >= 12, "the seam sees every operation");
                break;
            }
        }
    }
}

/// Session and photos as they stood when it began, though both are changed, deleted and purged meanwhile.
#[test]
fn what_is_handed_out_is_of_one_moment() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, session, photo, snapshot) = begun(folder.path());
    let reader = studio.reader().unwrap();
    studio.describe_snapshot(snapshot, "Mast", "").unwrap();
    let late = studio.keep_photo(session, "late.jpg", b"kept meanwhile", NOON).unwrap();
    studio.keep_snapshot(session, &late, ("Late", ""), &seen(), NOON).unwrap();
    studio.delete(Kept::Session(session), NOON).unwrap();
    count_days(&mut studio, 40);
    drop(studio);
    // Only an opening purges, and none succeeds as long as it is read.
    let later = || Studio::open(folder.path(), at(Moment(NOON.0 + 40 * DAY)));
    assert!(matches!(later(), Err(StudioError::InUse)));
    let mut parcel = Cursor::new(Vec::new());
    assert_eq!(reader.hand_out(session, Originals::With, &Progress::new(), &mut parcel).unwrap(), []);
    drop(reader);
    later().unwrap();
    let mut there = opened(other.path());
    let session = brought_in(&mut there, parcel.get_ref()).unwrap()[0];
    let titles: Vec<String> = there.snapshots(session).unwrap().into_iter().map(|it| it.title).collect();
    assert_eq!(titles, ["Hull"]);
    assert_eq!(there.photo(&photo).unwrap(), b"not quite a picture");
    assert!(there.photo(&late).is_err());
}

/// By the names that their files had, with endings; twice one name, no ending, or none that a system takes.
#[test]
fn photos_in_a_parcel_have_the_names_of_their_files() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let mut studio = opened(folder.path());
    let session = studio.begin_session(&about("Low water"), NOON).unwrap();
    let png = b"\x89PNG\r\n\x1a\nand so on".to_vec();
    let names = ["IMG 1.JPG", "img 1.jpg", "Pasted picture", "../a:b.tiff", "v1.2 of it", ""];
    for (number, name) in names.iter().enumerate() {
        let photo = [&png[..], &[number as u8]].concat();
        let photo = studio.keep_photo(session, name, &photo, NOON).unwrap();
        studio.keep_snapshot(session, &photo, ("", ""), &seen(), NOON).unwrap();
    }
    let parcel = handed_out(&studio, session, Originals::With);
    let zip = ZipArchive::new(Cursor::new(&parcel)).unwrap();
    let mut parts = Vec::new();
    zip.file_names().for_each(|name| parts.push(name.unwrap().to_lowercase()));
    parts.retain(|name| name.starts_with("photos/"));
    parts.sort();
    let wanted =
        ["a b.tiff", "img 1 (2).jpg", "img 1.jpg", "pasted picture.png", "photo.png", "v1.2 of it.png"];
    assert_eq!(parts, wanted.map(|name| format!("photos/{name}")));
    let mut there = opened(other.path());
    let session = brought_in(&mut there, &parcel).unwrap()[0];
    assert_eq!(there.photos_of(session).unwrap().len(), names.len());
    assert_eq!(handed_out(&there, session, Originals::With), parcel);
}

/// As versions 1 and 2 wrote it: photos under their hashes.
#[test]
fn an_older_parcel_comes_in() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, session, photo, _) = begun(folder.path());
    let new = handed_out(&studio, session, Originals::With);
    let old = record_changed(&new, ",\n      \"file\": \"low-water.jpg\"", "");
    let old = record_changed(&old, "\"version\": 3", "\"version\": 1");
    let old = made(&old, |parts| {
        let part = parts.iter_mut().find(|part| part.0 == "photos/low-water.jpg").unwrap();
        part.0 = format!("photos/{}", photo.digits());
    });
    let mut there = opened(other.path());
    let session = brought_in(&mut there, &old).unwrap()[0];
    assert_eq!(there.photo(&photo).unwrap(), b"not quite a picture");
    assert_eq!(handed_out(&there, session, Originals::With), new);
}

/// Calls the work off once so much of a parcel was read.
struct CalledOff<'a> {
    parcel: Cursor<&'a [u8]>,
    reads: usize,
    progress: &'a Progress,
}

impl std::io::Read for CalledOff<'_> {
    fn read(&mut self, bytes: &mut [u8]) -> std::io::Result<usize> {
        match self.reads.checked_sub(1) {
            Some(left) => self.reads = left,
            None => self.progress.cancel(),
        }
        self.parcel.read(bytes)
    }
}

impl std::io::Seek for CalledOff<'_> {
    fn seek(&mut self, to: std::io::SeekFrom) -> std::io::Result<u64> {
        self.parcel.seek(to)
    }
}

#[test]
fn called_off_at_any_moment_it_leaves_no_file() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, _) = full(folder.path());
    let parcel = backed_up(&studio);
    let mut there = opened(other.path());
    let mut called_off = 0;
    for reads in 0.. {
        let progress = Progress::new();
        let reader = CalledOff { parcel: Cursor::new(&parcel), reads, progress: &progress };
        match there.bring_in(&progress, reader) {
            Err(StudioError::Cancelled) => called_off += 1,
            Err(error) => panic!("{error}"),
            Ok(_) => break,
        }
        assert_eq!(files(other.path()), [] as [PathBuf; 0], "after {reads}");
        assert_eq!(there.sessions(SessionOrder::Newest).unwrap(), [], "after {reads}");
    }
    assert!(called_off > 20, "it was called off {called_off} times only");
    assert_eq!(backed_up(&there), parcel);
}
