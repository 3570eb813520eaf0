//! What was deleted leaves no trace: neither in what is handed out, nor, after thirty days, on the disk.

use super::*;
use crate::photo::OpenOptions;
use crate::studio::faults::{Faulty, Then};
use crate::{Bands, Originals, Photo, Progress};
use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// A JPEG as a camera writes it: with a place, the camera's serial number and a small copy of the picture in its EXIF.
pub(super) fn camera_jpeg(serial: &str, grey: u8) -> Vec<u8> {
    let jpeg = |side: u16| {
        let (mut jpeg, pixels) = (Vec::new(), vec![grey; 3 * usize::from(side) * usize::from(side)]);
        jpeg_encoder::Encoder::new(&mut jpeg, 95)
            .encode(&pixels, side, side, jpeg_encoder::ColorType::Rgb)
            .unwrap();
        jpeg
    };
    let text = |tag, text: &str| Field {
        tag,
        ifd_num: In::PRIMARY,
        value: Value::Ascii(vec![text.as_bytes().to_vec()]),
    };
    // The place is told by seconds of arc that belong to this photo alone.
    let seconds = Rational { num: 7_000_000 + u32::from(grey), denom: 123_457 };
    let degrees = vec![Rational { num: 47, denom: 1 }, Rational { num: 23, denom: 1 }, seconds];
    let latitude = Field { tag: Tag::GPSLatitude, ifd_num: In::PRIMARY, value: Value::Rational(degrees) };
    let fields = [text(Tag::BodySerialNumber, serial), text(Tag::GPSLatitudeRef, "N"), latitude];
    let thumbnail = [jpeg(8), format!("small copy of {serial}").into_bytes()].concat();
    let mut writer = Writer::new();
    fields.iter().for_each(|field| writer.push_field(field));
    writer.set_jpeg(&thumbnail, In::THUMBNAIL);
    let mut tiff = Cursor::new(Vec::new());
    writer.write(&mut tiff, true).unwrap();
    let block = [&b"Exif\0\0"[..], tiff.get_ref()].concat();
    // ITU-T T.81, B.2.4.6: APP1 stands right after SOI, its length counts itself.
    let length = (block.len() as u16 + 2).to_be_bytes();
    let picture = jpeg(64);
    [&picture[..2], &[0xff, 0xe1], &length, &block, &picture[2..]].concat()
}

/// What of a photo would betray it: its serial number, its place, the small copy in it, its name and its hash.
fn traces(serial: &str, grey: u8, name: &str) -> Vec<(&'static str, Vec<u8>)> {
    let seconds = [(7_000_000 + u32::from(grey)).to_le_bytes(), 123_457_u32.to_le_bytes()].concat();
    vec![
        ("serial number", serial.as_bytes().to_vec()),
        ("place", seconds),
        ("small copy", format!("small copy of {serial}").into_bytes()),
        ("name", name.as_bytes().to_vec()),
        ("hash", PhotoHash::of(&camera_jpeg(serial, grey)).digits().as_bytes().to_vec()),
    ]
}

/// Fails where one of the traces stands in the bytes, or in a part of the .zip that they are.
fn assert_free_of(bytes: &[u8], traces: &[(&'static str, Vec<u8>)], what: &str) {
    let mut all = vec![bytes.to_vec()];
    if let Ok(mut zip) = ZipArchive::new(Cursor::new(bytes)) {
        for at in 0..zip.len() {
            let mut part = Vec::new();
            zip.by_index(at).unwrap().read_to_end(&mut part).unwrap();
            all.push(part);
        }
    }
    for (name, trace) in traces {
        let there = all.iter().any(|bytes| bytes.windows(trace.len()).any(|window| window == trace));
        assert!(!there, "{what} holds the {name} of a deleted photo");
    }
}

/// All files below a folder.
fn all_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { files.extend(all_files(&path)) } else { files.push(path) }
    }
    files
}

fn out(studio: &Studio, session: Option<i64>) -> Vec<u8> {
    let (mut parcel, progress) = (Cursor::new(Vec::new()), Progress::new());
    let missing = match session {
        Some(session) => studio.hand_out(session, Originals::With, &progress, &mut parcel),
        None => studio.back_up(Originals::With, &progress, &mut parcel),
    };
    assert_eq!(missing.unwrap(), []);
    parcel.into_inner()
}

#[test]
fn a_deleted_photo_is_in_nothing_that_leaves_and_after_the_purge_nowhere() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    let session = studio.begin_session(&about("Low water"), NOON).unwrap();
    let [(stays, kept), (goes, deleted)] =
        [("SERIAL-STAYS-17", 90, "stays.jpg"), ("SERIAL-GOES-23", 160, "goes.jpg")].map(
            |(serial, grey, name)| {
                let photo = studio.keep_photo(session, name, &camera_jpeg(serial, grey), NOON).unwrap();
                let snapshot = studio.keep_snapshot(session, &photo, (name, ""), &seen(), NOON).unwrap();
                studio.keep_thumbnail(snapshot, format!("small copy of {serial}").as_bytes()).unwrap();
                (photo, snapshot)
            },
        );
    let goes_traces = traces("SERIAL-GOES-23", 160, "goes.jpg");
    let stays_traces = traces("SERIAL-STAYS-17", 90, "stays.jpg");
    let holds = |bytes: &[u8], trace: &[u8]| bytes.windows(trace.len()).any(|window| window == trace);
    for (name, trace) in &goes_traces {
        assert!(holds(&out(&studio, Some(session)), trace), "the search finds the {name} while it is there");
    }
    studio.delete(Kept::Snapshot(deleted), NOON).unwrap();
    for (what, bytes) in [("the session", out(&studio, Some(session))), ("the backup", out(&studio, None))] {
        assert_free_of(&bytes, &goes_traces, what);
        for (name, trace) in &stays_traces {
            assert!(holds(&bytes, trace), "{what} lacks the {name} of the other photo");
        }
    }
    assert_eq!(studio.photos_of(session).unwrap().iter().map(|it| &it.hash).collect::<Vec<_>>(), [&stays]);
    let bytes = camera_jpeg("SERIAL-GOES-23", 160).len() as u64;
    assert_eq!(studio.deleted_photos().unwrap(), DeletedPhotos { count: 1, bytes });
    days_pass(&mut studio, 29);
    studio.bring_back(Kept::Snapshot(deleted)).unwrap();
    assert_eq!(studio.photo(&goes).unwrap(), camera_jpeg("SERIAL-GOES-23", 160));
    studio.delete(Kept::Snapshot(deleted), NOON).unwrap();
    days_pass(&mut studio, 30);
    assert_eq!(studio.deleted_photos().unwrap(), DeletedPhotos::default());
    assert_eq!(studio.photo(&stays).unwrap(), camera_jpeg("SERIAL-STAYS-17", 90));
    assert!(studio.thumbnail_path(kept).unwrap().exists());
    drop(studio);
    let files = all_files(folder.path());
    assert!(files.len() >= 3, "the database, a photo and a small picture: {files:?}");
    for file in files {
        assert!(!file.to_string_lossy().contains(goes.digits()), "{}", file.display());
        assert_free_of(&fs::read(&file).unwrap(), &goes_traces, &file.display().to_string());
    }
}

/// What is drawn of a snapshot, and all that is handed out without photos, holds nothing of their files but pixels; and
/// it can be looked at, printed and handed on from there.
#[test]
fn without_originals_nothing_of_their_files_leaves_and_all_can_be_seen() {
    let [folder, pictures, other, third] = [(); 4].map(|()| TempDir::new().unwrap());
    let mut studio = opened(folder.path());
    let session = studio.begin_session(&about("Low water"), NOON).unwrap();
    let bytes = camera_jpeg("SERIAL-17", 119);
    let traces = &traces("SERIAL-17", 119, "a.jpg")[..3];
    let photo = Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).unwrap();
    let bands = Bands::even(5).unwrap();
    let seen = Seen::plain(photo.size(), 0, (SeenBands::Even, &bands), vec![0.2; 5]);
    let new = NewSnapshot { photo: ("a.jpg", &bytes), title: "Hull", note: "", seen: &seen, at: NOON };
    let snapshot =
        studio.keep(studio.session(session).map(|it| it.uuid).ok().as_deref(), &about(""), &new).unwrap();
    let drawn = crate::annotated(&photo, &seen, &crate::Captions::default()).unwrap();
    let path = studio.write_png(snapshot, pictures.path(), "Hull", &drawn).unwrap();
    assert_free_of(&fs::read(path).unwrap(), traces, "the drawn picture");
    let small = crate::studio::carried::encoded_anew(&bytes).unwrap();
    studio.keep_thumbnail(snapshot, &small).unwrap();
    assert_free_of(&small, traces, "the small picture");
    let out = |studio: &Studio, session: Option<i64>| {
        let (mut parcel, progress) = (Cursor::new(Vec::new()), Progress::new());
        let missing = match session {
            Some(session) => studio.hand_out(session, Originals::Without, &progress, &mut parcel),
            None => studio.back_up(Originals::Without, &progress, &mut parcel),
        };
        assert_eq!(missing.unwrap(), []);
        parcel.into_inner()
    };
    let mut parcel = out(&studio, Some(session));
    assert_free_of(&parcel, traces, "the session");
    assert_free_of(&out(&studio, None), traces, "the backup");
    for folder in [&other, &third] {
        let mut there = opened(folder.path());
        let session = there.bring_in(&Progress::new(), Cursor::new(&parcel)).unwrap()[0];
        let came = there.snapshots(session).unwrap().remove(0);
        assert!(came.left_out && matches!(there.photo(&came.photo), Err(StudioError::LeftOut)));
        assert_eq!(there.thumbnail(came.id).unwrap().as_ref(), Some(&small));
        let picture = there.drawn(came.id).unwrap().unwrap();
        let picture = Photo::open(&picture, &OpenOptions::default(), &Progress::new()).unwrap();
        let first = Photo::open(&drawn, &OpenOptions::default(), &Progress::new()).unwrap();
        assert_eq!(picture.tonal_map().codes(), first.tonal_map().codes(), "pixel for pixel");
        for layout in [crate::HandoutLayout::Grid, crate::HandoutLayout::OneAPage] {
            let pages = || crate::Handout::new(crate::Paper::A4, layout, "Low water");
            let bare = pages().finish().unwrap();
            let mut pages = pages();
            pages.add_drawn(&picture, &came.seen, &crate::Captions::default()).unwrap();
            let pdf = pages.finish().unwrap();
            assert!(pdf.len() > bare.len() + 2000, "a picture is on the page");
            assert_free_of(&pdf, traces, "the pages");
        }
        // It is handed on, and shows as much elsewhere again.
        parcel = out(&there, Some(session));
        there.delete(Kept::Session(session), NOON).unwrap();
        days_pass(&mut there, 30);
        assert_eq!([THUMBNAILS, DRAWN].map(|it| all_files(&folder.path().join(it)).len()), [0, 0]);
    }
}

/// What lies in a parcel for a picture and is none shows nothing, and keeps nothing from coming in.
#[test]
fn what_is_no_picture_is_left_out() {
    let [folder, pictures, other] = [(); 3].map(|()| TempDir::new().unwrap());
    let (mut studio, session, _, snapshot) = begun(folder.path());
    studio.write_png(snapshot, pictures.path(), "Hull", b"no picture").unwrap();
    let mut parcel = Cursor::new(Vec::new());
    studio.hand_out(session, Originals::Without, &Progress::new(), &mut parcel).unwrap();
    let mut there = opened(other.path());
    let session = there.bring_in(&Progress::new(), parcel).unwrap()[0];
    let came = there.snapshots(session).unwrap()[0].id;
    assert_eq!((there.thumbnail(came).unwrap(), there.drawn(came).unwrap()), (None, None));
}

#[test]
fn a_photo_goes_with_the_last_that_refers_to_it() {
    let folder = TempDir::new().unwrap();
    let (mut studio, session, photo, snapshot) = begun(folder.path());
    let paint =
        studio.begin_paint(&crate::PaintAbout { name: "Clay".to_owned(), ..Default::default() }, NOON);
    let painted = super::paints::painted(&[90.0, 40.0]);
    let read_in = Some(("a.jpg", &b"not quite a picture"[..]));
    let strip = studio.keep_strip(paint.unwrap(), &painted, read_in, NOON).unwrap();
    studio.delete(Kept::Snapshot(snapshot), NOON).unwrap();
    // A session hands out what it refers to itself; a backup, what anything does.
    assert_eq!(studio.photos_of(session).unwrap(), []);
    let photos = |bytes: Vec<u8>| {
        let zip = ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut count = 0;
        zip.file_names().for_each(|name| count += usize::from(name.unwrap().starts_with("photos/")));
        count
    };
    assert_eq!((photos(out(&studio, Some(session))), photos(out(&studio, None))), (0, 1));
    days_pass(&mut studio, 30);
    assert!(matches!(studio.bring_back(Kept::Snapshot(snapshot)), Err(StudioError::Gone)));
    assert_eq!(studio.photo(&photo).unwrap(), b"not quite a picture");
    studio.delete(Kept::Strip(strip), NOON).unwrap();
    assert_eq!(photos(out(&studio, None)), 0);
    days_pass(&mut studio, 30);
    assert!(matches!(studio.photo(&photo), Err(StudioError::Gone)));
    assert!(!photo.path(&studio.photos()).exists());
}

/// Older versions let a photo stay in its session when the last snapshot of it had gone.
#[test]
fn a_photo_that_no_snapshot_is_of_counts_as_deleted_and_comes_back_as_a_plain_one() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    let session = studio.begin_session(&about("Low water"), NOON).unwrap();
    let bytes = camera_jpeg("SERIAL-17", 119);
    let photo = studio.keep_photo(session, "alone.jpg", &bytes, NOON).unwrap();
    let traces = traces("SERIAL-17", 119, "alone.jpg");
    assert_free_of(&out(&studio, Some(session)), &traces, "the session");
    assert_free_of(&out(&studio, None), &traces, "the backup");
    days_pass(&mut studio, 29);
    let deleted = studio.deleted().unwrap();
    let [Deleted { what: what @ Kept::Photo(_), title, .. }] = &deleted[..] else { panic!("{deleted:?}") };
    assert_eq!(title, "alone.jpg");
    assert_eq!(studio.deleted_photos().unwrap().count, 1);
    studio.bring_back(*what).unwrap();
    let snapshots = studio.snapshots(session).unwrap();
    assert_eq!((snapshots.len(), &snapshots[0].photo, snapshots[0].seen.size), (1, &photo, (64, 64)));
    // Five even bands: sRGB 119 is L* 50.0 (IEC 61966-2-1 and CIE 15), in the middle one.
    assert_eq!(snapshots[0].seen.shares, [0.0, 0.0, 1.0, 0.0, 0.0]);
    assert_eq!((studio.deleted().unwrap(), studio.photos_of(session).unwrap().len()), (vec![], 1));
    studio.delete(Kept::Snapshot(snapshots[0].id), NOON).unwrap();
    days_pass(&mut studio, 30);
    assert_eq!(all_files(&studio.photos()), [] as [PathBuf; 0]);
    assert_eq!(studio.deleted().unwrap(), []);
}

#[test]
fn a_purge_that_is_cut_off_ends_the_next_time() {
    for then in Then::ALL {
        for operations in 0.. {
            let folder = TempDir::new().unwrap();
            let (mut studio, _, photo, snapshot) = begun(folder.path());
            studio.keep_thumbnail(snapshot, b"small").unwrap();
            studio.delete(Kept::Snapshot(snapshot), NOON).unwrap();
            count_days(&mut studio, 30);
            studio.disk = std::sync::Arc::new(Faulty::after(operations, then));
            let purged = studio.purge(NOON);
            drop(studio);
            let mut studio = opened(folder.path());
            assert!(matches!(studio.photo(&photo), Err(StudioError::Gone)), "{then:?} after {operations}");
            let left = [PHOTOS, THUMBNAILS].map(|it| all_files(&folder.path().join(it)).len());
            assert_eq!(left, [0, 0], "{then:?} after {operations}");
            // Kept again, it stays.
            let session = studio.sessions(SessionOrder::Newest).unwrap()[0].id;
            studio.keep_photo(session, "a.jpg", b"not quite a picture", NOON).unwrap();
            days_pass(&mut studio, 1);
            assert_eq!(studio.photo(&photo).unwrap(), b"not quite a picture");
            if purged.is_ok() {
                assert!(operations >= 3, "the seam sees every operation");
                break;
            }
        }
    }
}
