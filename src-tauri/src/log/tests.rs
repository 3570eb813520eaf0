//! What is written, and what never is.

use super::*;
use std::{fs, io};
use tempfile::TempDir;

/// What stands for all that may not be in a log: a name, a place as EXIF has it, a camera's serial number.
const PRIVATE: [&str; 4] = ["/home/her/Hulls at low water.jpg", "48.5234", "N 48 31 24", "SN-0713"];

/// What is written while `deed` runs.
fn written(deed: impl FnOnce()) -> String {
    let folder = TempDir::new().unwrap();
    let log = TurningFile::begin(folder.path()).unwrap();
    tracing::subscriber::with_default(subscriber(log, Versions::found()), deed);
    fs::read_to_string(folder.path().join("tonefast.log")).unwrap()
}

/// Runs a panic with the hook that writes; the usual hook is back after it.
fn panicking(panic: impl FnOnce() + std::panic::UnwindSafe) {
    // Hooks are the process's; other tests of this one panic on purpose, too.
    static ONE: std::sync::Mutex<()> = std::sync::Mutex::new(());
    let one = crate::state::lock(&ONE);
    std::panic::set_hook(Box::new(write_panic));
    assert!(std::panic::catch_unwind(panic).is_err());
    drop(std::panic::take_hook());
    drop(one);
}

#[test]
fn a_panic_is_written_with_its_place_and_all_versions() {
    let log = written(|| panicking(|| panic!("as a test")));
    let Versions { app, system, web_view } = Versions::found();
    let line = log.lines().find(|line| line.contains("as a test")).unwrap();
    for part in ["ERROR", "tests.rs:", &format!("tonefast {app}"), &system, &format!("web view {web_view}")] {
        assert!(line.contains(part), "{part} is not in {line}");
    }
}

#[test]
fn an_error_that_the_page_is_told_is_written_by_its_kind() {
    let log = written(|| {
        for error in [
            Error::Open(OpenError::Empty),
            Error::Studio(StudioError::Full),
            Error::Read(io::ErrorKind::NotFound.into()),
        ] {
            serde_json::to_value(&error).unwrap();
        }
        serde_json::to_value(Error::Open(OpenError::Cancelled)).unwrap();
    });
    let kinds: Vec<_> = log.lines().filter_map(|line| line.split("kind=").nth(1)).collect();
    assert_eq!(kinds, [r#""Open Empty""#, r#""Studio Full""#, r#""Read NotFound""#]);
}

#[test]
fn nothing_of_a_picture_a_place_or_a_name_is_written() {
    let private = || PRIVATE.join(" ");
    let log = written(|| {
        panicking(|| panic!("{}", private()));
        panicking(|| assert_eq!(private(), ""));
        let io = || io::Error::other(private());
        for error in [
            Error::Caller(private()),
            Error::Read(io()),
            Error::Studio(StudioError::Disk(io())),
            Error::Studio(StudioError::Odd(private())),
            Error::Studio(StudioError::Refused(private())),
            Error::Studio(StudioError::Damaged { path: PRIVATE[0].into(), detail: private() }),
            Error::Open(OpenError::TooLarge { what: private() }),
        ] {
            serde_json::to_value(&error).unwrap();
        }
        // What core and libraries say of what they read.
        tracing::error!(target: "tonefast_core::studio", "{}", private());
        tracing::error!(target: "zip::read", "{}", private());
    });
    assert_eq!(log.lines().count(), 9, "{log}");
    for word in PRIVATE {
        assert!(!log.contains(word), "{word} is in {log}");
    }
}
