//! Who may read what the studio writes: its own folders nobody else, files in the painter's folders as her umask says.
//! Each umask is a child's, as it is one for a whole program.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "in a test, what fails fails it")]

use std::fs;
use std::io::Write;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::Command;
use std::time::SystemTime;
use tempfile::TempDir;
use tonefast_core::{Bands, Moment, NewFile, Seen, SeenBands, SessionAbout, Studio};

/// Names the child's folder.
const FOLDER: &str = "TONEFAST_MODES";

/// The child's umask, in octal digits.
const UMASK: &str = "TONEFAST_UMASK";

#[test]
fn files_follow_the_umask_and_the_studio_is_its_owners_alone() {
    for umask in ["022", "027", "077", "002", "000"] {
        let folder = TempDir::new().unwrap();
        let output = Command::new("sh")
            .args(["-c", "umask \"$1\"; exec \"$2\" child --exact --nocapture", "sh", umask])
            .arg(std::env::current_exe().unwrap())
            .env(FOLDER, folder.path())
            .env(UMASK, umask)
            .output()
            .unwrap();
        let said =
            String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success() && said.contains("1 passed"), "umask {umask}: {said}");
    }
}

/// Not a test of its own: the child.
#[test]
fn child() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    let umask = u32::from_str_radix(&std::env::var(UMASK).unwrap(), 8).unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o7777;
    let (studio_folder, hers) = (folder.join("data").join("studio"), folder.join("hers"));
    let mut studio = Studio::open(&studio_folder, SystemTime::now()).unwrap();
    let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
    let photo = studio.keep_photo(session, "a.jpg", b"a photo", Moment(0)).unwrap();
    let seen = Seen::plain((4, 3), 0, (SeenBands::Even, &Bands::even(5).unwrap()), vec![0.2; 5]);
    let snapshot = studio.keep_snapshot(session, &photo, ("", ""), &seen, Moment(0)).unwrap();
    studio.keep_thumbnail(snapshot, b"a small picture").unwrap();
    let mut folders = vec![studio_folder];
    while let Some(own) = folders.pop() {
        assert_eq!(mode(&own), 0o700, "{}", own.display());
        let inside = fs::read_dir(&own).unwrap().map(|entry| entry.unwrap().path());
        folders.extend(inside.filter(|path| path.is_dir()));
    }
    // Written, written anew, and under another title.
    for title in ["Hull", "Hull", "Mast"] {
        let picture = studio.write_png(snapshot, &hers, title, title.as_bytes()).unwrap();
        assert_eq!(mode(&picture), 0o666 & !umask, "{}", picture.display());
    }
    let mut file = NewFile::begin(&hers).unwrap();
    file.write_all(b"a hand-out").unwrap();
    let file = file.finish("Low water", "session", "zip").unwrap();
    assert_eq!((mode(&file), mode(&hers)), (0o666 & !umask, 0o777 & !umask));
}
