//! A file that is turned when it is full: what was written last is in one file, what was written before in another, and
//! what was written before that is gone. It never panics, as panics are written into it.

use crate::state::lock;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use tracing_subscriber::fmt::MakeWriter;

/// What one file holds at most; two are 5 MB.
const MOST: u64 = 2_500_000;

/// The two files of a log.
#[derive(Clone)]
pub(super) struct TurningFile(Arc<Mutex<Files>>);

struct Files {
    now: PathBuf,
    before: PathBuf,
    open: File,
    length: u64,
}

impl TurningFile {
    /// In a folder, which is made where it is not there; what is in it already is gone on with.
    pub(super) fn begin(folder: &Path) -> io::Result<Self> {
        fs::create_dir_all(folder)?;
        let [now, before] = ["tonefast.log", "tonefast-before.log"].map(|name| folder.join(name));
        let open = OpenOptions::new().create(true).append(true).open(&now)?;
        let length = open.metadata()?.len();
        Ok(Self(Arc::new(Mutex::new(Files { now, before, open, length }))))
    }
}

impl Write for &TurningFile {
    fn write(&mut self, line: &[u8]) -> io::Result<usize> {
        lock(&self.0).write(line)
    }

    fn flush(&mut self) -> io::Result<()> {
        lock(&self.0).open.flush()
    }
}

impl<'a> MakeWriter<'a> for TurningFile {
    type Writer = &'a Self;

    fn make_writer(&'a self) -> Self::Writer {
        self
    }
}

impl Files {
    fn write(&mut self, line: &[u8]) -> io::Result<usize> {
        // A line that is longer than a file goes on in the next.
        let line = &line[..line.len().min(usize::try_from(MOST).unwrap_or(usize::MAX))];
        if self.length + line.len() as u64 > MOST {
            fs::rename(&self.now, &self.before)?;
            self.open = OpenOptions::new().create(true).append(true).open(&self.now)?;
            self.length = 0;
        }
        let written = self.open.write(line)?;
        self.length += written as u64;
        Ok(written)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lengths(folder: &Path) -> Vec<u64> {
        fs::read_dir(folder).unwrap().map(|file| file.unwrap().metadata().unwrap().len()).collect()
    }

    #[test]
    fn a_log_never_holds_more_than_five_megabytes_and_always_the_last_line() {
        let folder = tempfile::TempDir::new().unwrap();
        let line = [b'x'; 9_973];
        for start in 0..4 {
            let log = TurningFile::begin(folder.path()).unwrap();
            for _ in 0..300 {
                (&log).write_all(&line).unwrap();
                let all: u64 = lengths(folder.path()).iter().sum();
                assert!(all <= 5_000_000, "{all} bytes in start {start}");
            }
        }
        (&TurningFile::begin(folder.path()).unwrap()).write_all(b"the last line\n").unwrap();
        let now = fs::read(folder.path().join("tonefast.log")).unwrap();
        assert!(now.ends_with(b"the last line\n"));
        let all: u64 = lengths(folder.path()).iter().sum();
        assert!(all > MOST, "what was before is still there: {all} bytes");
    }

    #[test]
    fn a_line_of_any_length_and_a_folder_that_is_gone_do_no_harm() {
        let folder = tempfile::TempDir::new().unwrap();
        let log = TurningFile::begin(folder.path()).unwrap();
        (&log).write_all(&vec![b'x'; 6_000_000]).unwrap();
        assert!(lengths(folder.path()).iter().sum::<u64>() <= 5_000_000);
        fs::remove_dir_all(folder.path()).unwrap();
        assert!((&log).write_all(&vec![b'x'; 2_000_000]).is_err(), "it has nowhere to turn to");
    }
}
