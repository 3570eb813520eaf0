//! Notes for the summary line of the tests: faults that were injected and survived, and tests that could not run here.
//! Without the variable [`TALLY`] nothing is noted. Tests of all packages use it, so it depends on none of them.

use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::Path;

/// Names the file that notes are appended to, a line each.
pub const TALLY: &str = "TONEFAST_TALLY";

/// Notes that a fault was injected and survived: `fault <what>`.
///
/// # Panics
/// If it can't be noted: the summary would be wrong.
pub fn fault(what: &str) {
    note(&format!("fault {what}"));
}

/// Notes that a test could not run here: `skipped <test>: <why>`. It is also told on the spot, past the test's own
/// capture of what is printed.
///
/// # Panics
/// If it can't be noted: the test would have passed silently.
pub fn skipped(test: &str, why: &str) {
    let line = format!("skipped {test}: {why}");
    // A terminal that is gone has nobody to tell; the file below counts.
    let _ = writeln!(io::stderr(), "{line}");
    note(&line);
}

fn note(line: &str) {
    let Some(file) = std::env::var_os(TALLY) else { return };
    append(Path::new(&file), line).expect("the tally can be written");
}

/// In one write, so that lines of several tests at once do not mix.
fn append(file: &Path, line: &str) -> io::Result<()> {
    let line = format!("{}\n", line.replace('\n', " "));
    OpenOptions::new().create(true).append(true).open(file)?.write_all(line.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_are_appended_a_line_each() {
        let file = std::env::temp_dir().join(format!("tonefast-tally-{}", std::process::id()));
        for line in ["fault kill during keep", "skipped a test: no\nmount"] {
            append(&file, line).unwrap();
        }
        let noted = std::fs::read_to_string(&file).unwrap();
        std::fs::remove_file(&file).unwrap();
        assert_eq!(noted, "fault kill during keep\nskipped a test: no mount\n");
    }
}
