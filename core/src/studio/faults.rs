//! A disk that fails or stops after a number of operations, and forgets what was not waited for.

use super::disk::{Disk, Machine};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::SystemTime;

/// What happens once the operations that were allowed are used up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Then {
    /// This operation fails, and those after it work.
    Fail,
    /// The machine is cut: nothing works any more, and what was not waited for is gone.
    Cut,
}

/// Counts operations on the machine's own disk.
pub(super) struct Faulty {
    left: Mutex<(usize, bool)>,
    then: Then,
    /// New names that no folder was waited for yet, and what had the name before.
    unsynced: Mutex<Vec<(PathBuf, Option<Vec<u8>>)>>,
}

impl Faulty {
    pub(super) fn after(operations: usize, then: Then) -> Self {
        Self { left: Mutex::new((operations, false)), then, unsynced: Mutex::default() }
    }

    fn step(&self) -> io::Result<()> {
        let mut left = self.left.lock().unwrap();
        match (*left, self.then) {
            ((_, true), Then::Cut) => Err(io::Error::other("the machine was cut")),
            ((_, true), Then::Fail) => Ok(()),
            ((0, false), then) => {
                left.1 = true;
                if then == Then::Cut {
                    self.forget();
                }
                Err(io::Error::new(io::ErrorKind::StorageFull, "no room"))
            }
            ((count, false), _) => {
                left.0 = count - 1;
                Ok(())
            }
        }
    }

    /// Undoes what was not waited for, the last first.
    fn forget(&self) {
        for (path, before) in self.unsynced.lock().unwrap().drain(..).rev() {
            match before {
                Some(bytes) => fs::write(path, bytes).unwrap(),
                None => drop(fs::remove_file(path)),
            }
        }
    }
}

impl Disk for Faulty {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        Machine.make_folder(folder)
    }

    fn write(&self, file: &Path, bytes: &[u8]) -> io::Result<()> {
        if let Err(error) = self.step() {
            // A full disk leaves a part.
            fs::write(file, &bytes[..bytes.len() / 2])?;
            return Err(error);
        }
        self.unsynced.lock().unwrap().push((file.to_owned(), fs::read(file).ok()));
        Machine.write(file, bytes)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step()?;
        self.unsynced.lock().unwrap().push((to.to_owned(), fs::read(to).ok()));
        Machine.rename(from, to)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        self.unsynced.lock().unwrap().retain(|(path, _)| path.parent() != Some(folder));
        Machine.sync_folder(folder)
    }

    fn read(&self, file: &Path) -> io::Result<Vec<u8>> {
        self.step()?;
        Machine.read(file)
    }

    fn files(&self, folder: &Path) -> io::Result<Vec<(PathBuf, SystemTime)>> {
        Machine.files(folder)
    }

    fn has(&self, file: &Path) -> bool {
        Machine.has(file)
    }
}
