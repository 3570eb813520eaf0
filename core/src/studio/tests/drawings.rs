//! Pictures of snapshots in the painter's own folder.

use super::*;
use crate::studio::faults::{Faulty, Then};

/// Names and bytes of all that stands in a folder.
fn all(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), fs::read(path).unwrap()))
        .collect();
    all.sort();
    all
}

fn is(found: &[(String, Vec<u8>)], wanted: &[(&str, &[u8])]) -> bool {
    found.len() == wanted.len() && found.iter().zip(wanted).all(|(a, b)| a.0 == b.0 && a.1 == b.1)
}

#[test]
fn a_picture_is_rewritten_and_follows_its_title() {
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, _, _, snapshot) = begun(folder.path());
    let path = studio.write_png(snapshot, pictures.path(), "Hull", b"first").unwrap();
    assert_eq!(path, pictures.path().join("Hull.png"));
    assert_eq!(studio.write_png(snapshot, pictures.path(), "Hull", b"second").unwrap(), path);
    assert!(is(&all(pictures.path()), &[("Hull.png", b"second")]));
    let moved = studio.write_png(snapshot, pictures.path(), "Mast", b"second").unwrap();
    assert_eq!(studio.png(snapshot).unwrap(), Some(moved));
    assert!(is(&all(pictures.path()), &[("Mast.png", b"second")]));
    assert!(studio.remove_png(snapshot).unwrap());
    assert!(is(&all(pictures.path()), &[]));
    assert_eq!(studio.png(snapshot).unwrap(), None);
}

#[test]
fn all_are_drawn_anew_when_what_they_say_has_changed() {
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, _, _, snapshot) = begun(folder.path());
    studio.write_png(snapshot, pictures.path(), "Hull", b"first").unwrap();
    assert_eq!(studio.undrawn().unwrap(), []);
    studio.draw_anew().unwrap();
    let undrawn = studio.undrawn().unwrap();
    assert_eq!(undrawn.iter().map(|it| (it.snapshot, &it.trouble)).collect::<Vec<_>>(), [(snapshot, &None)]);
    studio.write_png(snapshot, pictures.path(), "Hull", b"second").unwrap();
    assert_eq!(studio.undrawn().unwrap(), []);
    assert!(is(&all(pictures.path()), &[("Hull.png", b"second")]));
}

#[cfg(unix)]
#[test]
fn who_may_read_a_picture_follows_the_umask() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, _, _, snapshot) = begun(folder.path());
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    let plain = pictures.path().join("plain");
    fs::write(&plain, b"as any program writes it").unwrap();
    for title in ["Hull", "Hull", "Mast"] {
        let path = studio.write_png(snapshot, pictures.path(), title, b"a picture").unwrap();
        assert_eq!(mode(&path), mode(&plain), "{title}");
    }
}

/// Written anew by another program at the very moment: the name is taken between the look and the writing.
#[test]
fn a_name_that_is_taken_at_the_last_moment_is_left_alone() {
    let pictures = TempDir::new().unwrap();
    let temporary = Machine.write_temporary(pictures.path(), b"ours", Whose::Painter).unwrap();
    let path = pictures.path().join("Hull.png");
    fs::write(&path, b"hers").unwrap();
    let refused = Machine.persist_new(temporary, &path).unwrap_err();
    assert_eq!(refused.error.kind(), std::io::ErrorKind::AlreadyExists);
    drop(refused);
    assert!(is(&all(pictures.path()), &[("Hull.png", b"hers")]));
}

#[test]
fn nothing_that_is_not_ours_is_written_over_or_taken_away() {
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, _, _, snapshot) = begun(folder.path());
    fs::write(pictures.path().join("Hull.png"), b"hers").unwrap();
    fs::create_dir(pictures.path().join("Hull (2).png")).unwrap();
    let path = studio.write_png(snapshot, pictures.path(), "Hull", b"first").unwrap();
    assert_eq!(path, pictures.path().join("Hull (3).png"));
    // With its number, it is still of that name.
    assert_eq!(studio.write_png(snapshot, pictures.path(), "Hull", b"second").unwrap(), path);
    // Changed by other hands, it is no longer ours.
    fs::write(&path, b"painted over").unwrap();
    let other = studio.write_png(snapshot, pictures.path(), "Hull", b"third").unwrap();
    assert_eq!(other, pictures.path().join("Hull (4).png"));
    assert_eq!(fs::read(&path).unwrap(), b"painted over");
    fs::write(&other, b"painted over, too").unwrap();
    assert!(!studio.remove_png(snapshot).unwrap());
    assert_eq!(fs::read(&other).unwrap(), b"painted over, too");
    assert_eq!(fs::read(pictures.path().join("Hull.png")).unwrap(), b"hers");
}

#[test]
fn one_that_was_taken_away_by_hand_is_written_again() {
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, _, _, snapshot) = begun(folder.path());
    let path = studio.write_png(snapshot, pictures.path(), "Hull", b"first").unwrap();
    fs::remove_file(&path).unwrap();
    assert_eq!(studio.write_png(snapshot, pictures.path(), "Hull", b"second").unwrap(), path);
    assert!(matches!(studio.write_png(99, pictures.path(), "Hull", b""), Err(StudioError::Gone)));
}

#[test]
fn a_picture_that_fails_is_told_and_tried_again() {
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, _, _, snapshot) = begun(folder.path());
    let blocked = pictures.path().join("blocked");
    fs::write(&blocked, b"a file where the folder should be").unwrap();
    assert!(studio.write_png(snapshot, &blocked, "Hull", b"first").is_err());
    let undrawn = studio.undrawn().unwrap();
    assert_eq!((undrawn[0].snapshot, &undrawn[0].path), (snapshot, &Some(blocked.join("Hull.png"))));
    assert!(undrawn[0].trouble.is_some());
    fs::remove_file(&blocked).unwrap();
    studio.write_png(snapshot, &blocked, "Hull", b"first").unwrap();
    assert_eq!(studio.undrawn().unwrap(), []);
}

/// Rewritten under another title, with a foreign file in the way: after every failure and every cut there is the old
/// picture or the new one, whole; the painter's own stays; and the next try leaves the new one alone.
#[test]
fn an_old_picture_or_a_new_one_and_never_between() {
    for then in Then::ALL {
        for retitled in ["Hull", "Mast"] {
            for operations in 0.. {
                let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
                let (mut studio, _, _, snapshot) = begun(folder.path());
                fs::write(pictures.path().join("Mast.png"), b"hers").unwrap();
                studio.write_png(snapshot, pictures.path(), "Hull", b"the old one").unwrap();
                studio.disk = Arc::new(Faulty::after(operations, then));
                let written = studio.write_png(snapshot, pictures.path(), retitled, b"the new one");
                drop(studio);
                let told = format!("{retitled}, {then:?} after {operations}");
                assert_eq!(fs::read(pictures.path().join("Mast.png")).unwrap(), b"hers", "{told}");
                let pngs = all(pictures.path()).into_iter().filter(|it| it.0.ends_with(".png"));
                let whole: Vec<_> = pngs.filter(|it| it.1 != b"hers" && !it.1.is_empty()).collect();
                assert!(!whole.is_empty(), "{told}");
                assert!(whole.iter().all(|it| it.1 == b"the old one" || it.1 == b"the new one"), "{told}");
                let mut studio = opened(folder.path());
                sweep_leftovers(pictures.path()).unwrap();
                assert!(written.is_ok() || studio.undrawn().unwrap().len() <= 1, "{told}");
                studio.write_png(snapshot, pictures.path(), retitled, b"the new one").unwrap();
                let name = if retitled == "Hull" { "Hull.png" } else { "Mast (2).png" };
                let mut wanted: Vec<(&str, &[u8])> = vec![(name, b"the new one"), ("Mast.png", b"hers")];
                wanted.sort_unstable();
                assert!(is(&all(pictures.path()), &wanted), "{told}: {:?}", all(pictures.path()));
                assert_eq!(studio.undrawn().unwrap(), [], "{told}");
                if written.is_ok() {
                    assert!(operations >= 6, "the seam sees every operation");
                    break;
                }
            }
        }
    }
}

#[test]
fn what_is_new_or_says_something_else_is_to_be_drawn() {
    let (folder, pictures) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, session, _, snapshot) = begun(folder.path());
    let undrawn =
        |studio: &Studio| studio.undrawn().unwrap().iter().map(|it| it.snapshot).collect::<Vec<_>>();
    assert_eq!(undrawn(&studio), [snapshot], "it was never drawn");
    let draw = |studio: &mut Studio| {
        studio.write_png(snapshot, pictures.path(), "Hull", b"a picture").unwrap();
        assert_eq!(undrawn(studio), Vec::<i64>::new(), "it is drawn");
    };
    draw(&mut studio);
    studio.describe_snapshot(snapshot, "Mast", "").unwrap();
    assert_eq!(undrawn(&studio), [snapshot], "its title is another");
    draw(&mut studio);
    studio.describe_session(session, &about("High water")).unwrap();
    assert_eq!(undrawn(&studio), [snapshot], "its session's title is another");
    studio.delete(Kept::Snapshot(snapshot), Moment(0)).unwrap();
    assert_eq!(undrawn(&studio), Vec::<i64>::new(), "it is deleted");
    studio.bring_back(Kept::Snapshot(snapshot)).unwrap();
    assert_eq!(undrawn(&studio), [snapshot], "it is there again");
}

#[test]
fn a_small_picture_that_is_torn_or_gone_is_made_again_and_goes_with_its_snapshot() {
    let folder = TempDir::new().unwrap();
    let (mut studio, _, _, snapshot) = begun(folder.path());
    assert_eq!(studio.thumbnail(snapshot).unwrap(), None);
    let mut png = std::io::Cursor::new(Vec::new());
    image::RgbImage::new(2, 2).write_to(&mut png, image::ImageFormat::Png).unwrap();
    let png = png.into_inner();
    studio.keep_thumbnail(snapshot, &png).unwrap();
    assert_eq!(studio.thumbnail(snapshot).unwrap().as_ref(), Some(&png));
    studio.keep_thumbnail(snapshot, &png[..png.len() / 2]).unwrap();
    assert_eq!(studio.thumbnail(snapshot).unwrap(), None);
    assert!(matches!(studio.thumbnail(99), Err(StudioError::Gone)));
    let small = folder.path().join(THUMBNAILS);
    assert_eq!(fs::read_dir(&small).unwrap().count(), 1);
    studio.delete(Kept::Snapshot(snapshot), Moment(0)).unwrap();
    days_pass(&mut studio, 30);
    assert_eq!(fs::read_dir(&small).unwrap().count(), 0);
}
