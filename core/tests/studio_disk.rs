//! A studio on a disk that is full, and on one that may only be read: a clear error, nothing lost, and kept once there
//! is room. Each runs in a child with mounts of its own, which are gone with it.

#![allow(clippy::disallowed_types, reason = "the disk is filled by a file")]
#![allow(clippy::unwrap_used, reason = "in a test, what fails fails it")]

use rusqlite::Connection;
use std::fs::{self, OpenOptions};
use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::SystemTime;
use tempfile::TempDir;
use tonefast_core::{
    Bands, Moment, NewFile, Originals, Progress, Seen, SeenBands, SessionAbout, SessionOrder, Studio,
    StudioError, StudioFault,
};
use tonefast_tally::{fault, skipped};

/// Names the child's folder, on a small disk of its own.
const FOLDER: &str = "TONEFAST_SMALL_DISK";

/// What takes room until it is taken away.
const BALLAST: usize = 400_000;

#[test]
fn a_full_disk_is_told_and_nothing_is_lost() {
    on_a_small_disk("full_child");
}

#[test]
fn a_database_of_any_version_is_brought_up_or_left_as_it_is_on_a_disk_that_fills() {
    on_a_small_disk("migrating_child");
}

#[test]
fn a_restore_and_a_hand_out_leave_nothing_on_a_disk_that_fills() {
    on_a_small_disk("restoring_child");
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
    fault("full disk during keep");
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

/// Not a test of its own: the child that brings old databases up on a disk with ever more room.
#[test]
fn migrating_child() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    let dumps = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/studio/tests");
    let mut dumps: Vec<PathBuf> = fs::read_dir(dumps).unwrap().map(|entry| entry.unwrap().path()).collect();
    dumps.retain(|path| path.extension().is_some_and(|it| it == "sql"));
    assert!(dumps.len() >= 4, "the frozen dumps");
    for dump in &dumps {
        let (mut failed, mut pages) = (0, 0);
        loop {
            let studio_folder = folder.join(format!("studio-{pages}"));
            fs::create_dir(&studio_folder).unwrap();
            let database = Connection::open(studio_folder.join("studio.sqlite")).unwrap();
            database.execute_batch(&fs::read_to_string(dump).unwrap()).unwrap();
            drop(database);
            let ballast = filled_but_for(folder, pages);
            let opened = Studio::open(&studio_folder, SystemTime::now()).map(drop);
            let is_open = opened.is_ok();
            if let Err(error) = opened {
                assert!(matches!(error, StudioError::Full), "{}, {pages} pages: {error}", dump.display());
                failed += 1;
                fault("full disk during migration");
            }
            fs::remove_file(ballast).unwrap();
            let studio = Studio::open(&studio_folder, SystemTime::now()).unwrap();
            let sessions = studio.sessions(SessionOrder::Newest).unwrap();
            assert_eq!(studio.snapshots(sessions[0].id).unwrap()[0].title, "Hull");
            assert_eq!(studio.search("hull").unwrap().snapshots.len(), 1);
            drop(studio);
            fs::remove_dir_all(&studio_folder).unwrap();
            if is_open {
                break;
            }
            pages += 3;
        }
        assert!(failed >= 3, "{} failed {failed} times only", dump.display());
    }
}

/// Not a test of its own: the child that restores and hands out on a disk with ever more room.
#[test]
fn restoring_child() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    let source = folder.join("source");
    let mut studio = Studio::open(&source, SystemTime::now()).unwrap();
    let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
    for number in 0..4 {
        keep(&mut studio, session, number).unwrap();
    }
    let mut backup = Cursor::new(Vec::new());
    studio.back_up(Originals::With, &Progress::new(), &mut backup).unwrap();
    drop(studio);
    fs::remove_dir_all(source).unwrap();
    let present = folder.join("present");
    let mut studio = Studio::open(&present, SystemTime::now()).unwrap();
    let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
    keep(&mut studio, session, 9).unwrap();
    let hers = folder.join("hers");
    fs::create_dir(&hers).unwrap();
    let before = names(&present);
    let mut failed = 0;
    for pages in (0..).step_by(4) {
        let ballast = filled_but_for(folder, pages);
        let restored = studio.beside(Moment(pages as i64)).and_then(|mut beside| {
            beside.bring_in(&Progress::new(), Cursor::new(backup.get_ref()))?;
            Ok(beside)
        });
        let is_restored = restored.is_ok();
        match restored {
            Ok(beside) => drop(beside),
            Err(error) => assert!(matches!(error, StudioError::Full), "{pages} pages: {error}"),
        }
        let handed_out = NewFile::begin(&hers).and_then(|mut file| {
            studio.hand_out(session, Originals::With, &Progress::new(), &mut file)?;
            file.finish("Low water", "session", "zip")
        });
        if let Err(error) = &handed_out {
            assert!(matches!(error, StudioError::Full), "{pages} pages: {error}");
            assert_eq!(names(&hers), [] as [PathBuf; 0], "{pages} pages");
            fault("full disk during hand-out");
        }
        fs::remove_file(ballast).unwrap();
        assert_eq!(names(&present), before, "{pages} pages");
        assert_eq!(studio.snapshots(session).unwrap().len(), 1);
        if is_restored && handed_out.is_ok() {
            break;
        }
        failed += usize::from(!is_restored);
        if !is_restored {
            fault("full disk during restore");
        }
        for file in names(&hers) {
            fs::remove_file(file).unwrap();
        }
    }
    assert!(failed >= 5, "it failed {failed} times only");
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
    fault("read-only disk during opening");
    let error = Studio::open(&folder.join("another"), SystemTime::now()).map(|_| ()).unwrap_err();
    assert!(matches!(error, StudioError::ReadOnly), "{error}");
    let error = NewFile::begin(&folder.join("hers")).map(drop).unwrap_err();
    assert!(matches!(error, StudioError::ReadOnly), "{error}");
    fault("read-only disk during hand-out");
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
            return skipped(child, "this machine lets nobody mount a small disk (unshare, mount)");
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

/// Fills the disk but for some pages; answers with the file that takes the room.
fn filled_but_for(folder: &Path, pages: u64) -> PathBuf {
    let ballast = folder.join("ballast");
    let mut file = OpenOptions::new().create(true).append(true).open(&ballast).unwrap();
    while file.write_all(&[1; 4096]).is_ok() {}
    let length = file.metadata().unwrap().len();
    file.set_len(length.saturating_sub(4096 * pages)).unwrap();
    ballast
}

/// All files and folders below a folder.
fn names(folder: &Path) -> Vec<PathBuf> {
    let mut names = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path.clone());
            }
            names.push(path);
        }
    }
    names.sort();
    names
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
