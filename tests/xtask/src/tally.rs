//! The summary line of the tests: faults that were injected and survived, and tests that could not run here.

use std::collections::BTreeMap;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::Command;

use tonefast_tally::TALLY;

use crate::command::Failure;
use crate::places;

/// Does the steps with an empty tally, and prints its summary after them, also after a failure.
pub(crate) fn over(steps: impl FnOnce() -> Result<(), Failure>) -> Result<(), Failure> {
    kept_in(&file(), steps)
}

/// Lets the tests that the command runs note what they inject and what they skip.
pub(crate) fn noting(command: &mut Command) -> &mut Command {
    command.env(TALLY, file())
}

fn file() -> PathBuf {
    places::target().join("tally")
}

fn kept_in(file: &Path, steps: impl FnOnce() -> Result<(), Failure>) -> Result<(), Failure> {
    let unwritten = |error| Failure::new(format!("{} can't be written: {error}.", file.display()), "");
    if let Some(folder) = file.parent() {
        fs::create_dir_all(folder).map_err(unwritten)?;
    }
    fs::write(file, "").map_err(unwritten)?;
    let outcome = steps();
    let summary = read(file).and_then(|notes| summary(&notes));
    if let Ok(line) = &summary {
        println!("  {line}");
    }
    outcome.and(summary.map(|_| ()))
}

fn read(file: &Path) -> Result<String, Failure> {
    fs::read_to_string(file).map_err(|error| {
        let remedy = match error.kind() {
            ErrorKind::NotFound => "Did a test remove it?",
            _ => "",
        };
        Failure::new(format!("{} can't be read: {error}.", file.display()), remedy)
    })
}

/// One line: the faults by kind, then each skipped test with the reason.
fn summary(notes: &str) -> Result<String, Failure> {
    let mut faults: BTreeMap<&str, usize> = BTreeMap::new();
    let mut skipped = Vec::new();
    for note in notes.lines() {
        match note.split_once(' ') {
            Some(("fault", what)) => *faults.entry(what).or_default() += 1,
            Some(("skipped", test)) => skipped.push(test),
            _ => return Err(Failure::new(format!("The tally has a line that is no note: `{note}`."), "")),
        }
    }
    let count = faults.values().sum::<usize>();
    let kinds = faults.iter().map(|(what, count)| format!("{count} {what}")).collect::<Vec<_>>().join(", ");
    let kinds = if kinds.is_empty() { kinds } else { format!(" ({kinds})") };
    let skips = match skipped.len() {
        0 => "no test was skipped".to_owned(),
        many => format!("{many} skipped: {}", skipped.join("; ")),
    };
    Ok(format!("{count} faults injected and survived{kinds}; {skips}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_are_counted_by_kind_and_each_skipped_test_is_named() {
        let notes =
            "fault kill -9 during keep\nskipped disk: no mount\nfault full disk\nfault kill -9 during keep\n";
        assert_eq!(
            summary(notes).expect("a summary"),
            "3 faults injected and survived (1 full disk, 2 kill -9 during keep); 1 skipped: disk: no mount"
        );
        assert_eq!(summary("").expect("a summary"), "0 faults injected and survived; no test was skipped");
    }

    #[test]
    fn a_tally_that_is_gone_or_torn_fails_the_run() {
        let file = std::env::temp_dir().join(format!("tonefast-xtask-tally-{}", std::process::id()));
        let gone = kept_in(&file, || {
            fs::remove_file(&file).expect("removed");
            Ok(())
        });
        assert!(gone.expect_err("gone").to_string().contains("can't be read"));
        let torn = kept_in(&file, || {
            fs::write(&file, "faul").expect("written");
            Ok(())
        });
        assert!(torn.expect_err("torn").to_string().contains("`faul`"));
        fs::write(&file, "fault of the run before\n").expect("written");
        kept_in(&file, || {
            assert_eq!(fs::read_to_string(&file).expect("read"), "", "each run begins anew");
            Ok(())
        })
        .expect("a summary");
        fs::remove_file(&file).expect("removed");
    }
}
