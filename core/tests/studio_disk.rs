//! A studio on a disk that is full, and on one that may only be read: a clear error, nothing lost, and kept once there
//! is room. Each runs in a child with mounts of its own, which are gone with it.

#![allow(clippy::unwrap_used, reason = "in a test, what fails fails it")]

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::Command;
use std::time::SystemTime;
use tempfile::TempDir;
use tonefast_core::{
    Bands, Moment, Seen, SeenBands, SessionAbout, SessionOrder, Studio, StudioError, StudioFault,
};

/// Names the child's folder, on a small disk of its own.
const FOLDER: &str = "TONEFAST_SMALL_DISK";

/// What takes room until it is taken away.
const BALLAST: usize = 400_000;

#[test]
fn a_full_disk_is_told_and_nothing_is_lost() {
    on_a_small_disk("full_child");
}

#[test]
fn a_disk_that_may_only_be_read_is_told_and_nothing_is_lost() {
    on_a_small_disk("read_only_child");
}

/// Not a test of its own: the child on the full disk.
#[test]
fn full_child() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    let ballast = folder.join("ballast");
    fs::write(&ballast, vec![1; BALLAST]).unwrap();
    let studio_folder = folder.join("studio");
    let mut studio = Studio::open(&studio_folder, SystemTime::now()).unwrap();
    let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
    let mut kept = 0;
    let error = loop {
        match keep(&mut studio, session, kept) {
            Ok(()) => kept += 1,
            Err(error) => break error,
        }
    };
    assert!(matches!(error, StudioError::Full), "{error}");
    assert_eq!(error.fault(), StudioFault::Disk);
    assert!(kept > 5, "only {kept} had room");
    all_are_there(&studio, session, kept);
    // Still full, by whatever is tried, until not even a row has room.
    let rows = (0..).map(|_| studio.begin_session(&SessionAbout::default(), Moment(0)));
    let error = rows.into_iter().find_map(Result::err).unwrap();
    assert!(matches!(error, StudioError::Full), "{error}");
    all_are_there(&studio, session, kept);
    fs::remove_file(&ballast).unwrap();
    keep(&mut studio, session, kept).unwrap();
    all_are_there(&studio, session, kept + 1);
    drop(studio);
    // Opened on a full disk, it says so, or opens.
    let pages = (0..).map(|number| folder.join(format!("page-{number}")));
    let pages: Vec<_> = pages.take_while(|page| fs::write(page, [1; 4096]).is_ok()).collect();
    match Studio::open(&studio_folder, SystemTime::now()) {
        Ok(studio) => all_are_there(&studio, session, kept + 1),
        Err(error) => assert!(matches!(error, StudioError::Full), "{error}"),
    }
    for page in pages {
        fs::remove_file(page).unwrap();
    }
    let studio = Studio::open(&studio_folder, SystemTime::now()).unwrap();
    all_are_there(&studio, session, kept + 1);
    println!("{kept} kept until the disk was full, and one more once there was room");
}

/// Not a test of its own: the child on the disk that may only be read.
#[test]
fn read_only_child() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    let studio_folder = folder.join("studio");
    let mut studio = Studio::open(&studio_folder, SystemTime::now()).unwrap();
    let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
    keep(&mut studio, session, 0).unwrap();
    drop(studio);
    remount(folder, "ro");
    let error = Studio::open(&studio_folder, SystemTime::now()).map(|_| ()).unwrap_err();
    assert!(matches!(error, StudioError::ReadOnly), "{error}");
    assert_eq!(error.fault(), StudioFault::Disk);
    let error = Studio::open(&folder.join("another"), SystemTime::now()).map(|_| ()).unwrap_err();
    assert!(matches!(error, StudioError::ReadOnly), "{error}");
    remount(folder, "rw");
    let mut studio = Studio::open(&studio_folder, SystemTime::now()).unwrap();
    keep(&mut studio, session, 1).unwrap();
    all_are_there(&studio, session, 2);
}

/// Runs a child in a name space of mounts of its own, on a disk of 1 MB; without the right to that, says so loudly.
fn on_a_small_disk(child: &str) {
    let folder = TempDir::new().unwrap();
    let script =
        "mount -t tmpfs -o size=1200k tonefast \"$1\" || exit 77; exec \"$2\" \"$3\" --exact --nocapture";
    let mut attempts = [&["--mount"][..], &["--mount", "--user", "--map-root-user"]].into_iter();
    let output = loop {
        let Some(flags) = attempts.next() else {
            // Past the test's own capture of what is printed.
            let mut all = std::io::stderr();
            writeln!(all, "SKIPPED {child}: this machine lets nobody mount a small disk (unshare, mount)")
                .unwrap();
            return;
        };
        let tried = Command::new("unshare")
            .args(flags)
            .args(["sh", "-c", script, "sh"])
            .arg(folder.path())
            .arg(std::env::current_exe().unwrap())
            .arg(child)
            .env(FOLDER, folder.path())
            .output();
        // 77 is the script's own; 1 is what unshare ends with where it may not, before any test has run.
        match tried {
            Ok(output) if output.status.code() != Some(77) && !output.stdout.is_empty() => break output,
            _ => {}
        }
    };
    let said =
        String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success() && said.contains("1 passed"), "{said}");
}

fn remount(folder: &Path, how: &str) {
    let options = format!("remount,{how}");
    assert!(Command::new("mount").args(["-o", &options]).arg(folder).status().unwrap().success());
}

fn keep(studio: &mut Studio, session: i64, number: i64) -> Result<(), StudioError> {
    let hash = studio.keep_photo(session, "a.jpg", &photo(number), Moment(number))?;
    studio.keep_snapshot(session, &hash, ("", ""), &seen(), Moment(number)).map(drop)
}

fn all_are_there(studio: &Studio, session: i64, count: i64) {
    assert!(!studio.sessions(SessionOrder::Newest).unwrap().is_empty());
    let snapshots = studio.snapshots(session).unwrap();
    assert_eq!(snapshots.len() as i64, count);
    for snapshot in snapshots {
        assert_eq!(studio.photo(&snapshot.photo).unwrap(), photo(snapshot.kept.0));
    }
}

fn photo(number: i64) -> Vec<u8> {
    (0..20_000).map(|at| (at * 31 + number * 13 + (at % 97) * number) as u8).collect()
}

fn seen() -> Seen {
    Seen::plain((4, 3), 0, (SeenBands::Even, &Bands::even(5).unwrap()), vec![0.2; 5])
}
