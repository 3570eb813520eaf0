//! A disk that fails or stops after a number of operations, and forgets what was not waited for.

use super::disk::{self, Disk, Machine, Whose};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::SystemTime;
use tempfile::{NamedTempFile, PersistError};
use tonefast_tally::fault;

/// What happens once the operations that were allowed are used up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Then {
    /// This operation fails, and those after it work.
    Fail,
    /// The machine is cut: nothing works any more, and of what was not waited for nothing is there.
    CutAndForget,
    /// Likewise, but all that was done came through: a disk may keep what nobody waited for.
    CutAndKeep,
}

/// Counts operations on the machine's own disk.
pub(super) struct Faulty {
    left: Mutex<(usize, bool)>,
    then: Then,
    /// What no folder was waited for yet.
    unsynced: Mutex<Vec<Change>>,
}

/// How a name was before.
struct Change {
    path: PathBuf,
    before: Before,
}

enum Before {
    Nothing,
    File(Vec<u8>),
    /// A file or folder that has another name now.
    Named(PathBuf),
}

impl Then {
    pub(super) const ALL: [Self; 3] = [Self::Fail, Self::CutAndForget, Self::CutAndKeep];

    /// As the summary of the tests names it. A test that does not survive it fails the run.
    fn name(self) -> &'static str {
        match self {
            Self::Fail => "failed operation of the disk",
            Self::CutAndForget => "power cut that loses what was not synced",
            Self::CutAndKeep => "power cut that keeps what was not synced",
        }
    }
}

impl Faulty {
    pub(super) fn after(operations: usize, then: Then) -> Self {
        Self { left: Mutex::new((operations, false)), then, unsynced: Mutex::default() }
    }

    fn step(&self) -> io::Result<()> {
        let mut left = self.left.lock().unwrap();
        match (*left, self.then) {
            ((_, true), Then::Fail) => Ok(()),
            ((_, true), _) => Err(io::Error::other("the machine was cut")),
            ((0, false), then) => {
                left.1 = true;
                fault(then.name());
                if then == Then::CutAndForget {
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
        let changes: Vec<Change> = self.unsynced.lock().unwrap().drain(..).collect();
        for Change { path, before } in changes.iter().rev() {
            match before {
                Before::Nothing => drop(fs::remove_file(path)),
                Before::File(bytes) => fs::write(path, bytes).unwrap(),
                // Where the new name came through and the old one's going did not, there are both.
                Before::Named(now) if now.is_dir() || changes.iter().any(|it| it.path == *now) => {
                    fs::rename(now, path).unwrap();
                }
                Before::Named(now) => drop(fs::copy(now, path).unwrap()),
            }
        }
    }

    /// Whether the machine was cut, so that nobody tidies up after what failed.
    fn is_cut(&self) -> bool {
        self.then != Then::Fail
    }

    /// Undone from the last: the name moves back, and then what it replaced is there again.
    fn remember_renamed(&self, from: &Path, to: &Path, before: Before) {
        self.remember(to, before);
        self.remember(from, Before::Named(to.to_owned()));
    }

    fn remember(&self, path: &Path, before: Before) {
        self.unsynced.lock().unwrap().push(Change { path: path.to_owned(), before });
    }
}

fn as_it_is(file: &Path) -> Before {
    fs::read(file).map_or(Before::Nothing, Before::File)
}

impl Disk for Faulty {
    fn make_folder(&self, folder: &Path, whose: Whose) -> io::Result<()> {
        self.step()?;
        Machine.make_folder(folder, whose)
    }

    fn close_folder(&self, folder: &Path) -> io::Result<()> {
        Machine.close_folder(folder)
    }

    fn write_temporary(&self, folder: &Path, bytes: &[u8], whose: Whose) -> io::Result<NamedTempFile> {
        if let Err(error) = self.step() {
            // A full disk, and a cut, leave a part.
            let mut part = disk::temporary(folder, whose)?;
            part.write_all(&bytes[..bytes.len() / 2])?;
            part.disable_cleanup(self.is_cut());
            return Err(error);
        }
        let written = Machine.write_temporary(folder, bytes, whose)?;
        self.remember(written.path(), Before::Nothing);
        Ok(written)
    }

    fn persist(&self, mut temporary: NamedTempFile, file: &Path) -> io::Result<()> {
        if let Err(error) = self.step() {
            temporary.disable_cleanup(self.is_cut());
            return Err(error);
        }
        let (from, before) = (temporary.path().to_owned(), as_it_is(file));
        Machine.persist(temporary, file)?;
        self.remember_renamed(&from, file, before);
        Ok(())
    }

    fn persist_new(&self, mut temporary: NamedTempFile, file: &Path) -> Result<(), PersistError> {
        if let Err(error) = self.step() {
            temporary.disable_cleanup(self.is_cut());
            return Err(PersistError { error, file: temporary });
        }
        let from = temporary.path().to_owned();
        Machine.persist_new(temporary, file)?;
        self.remember_renamed(&from, file, Before::Nothing);
        Ok(())
    }

    fn remove_leftover(&self, file: &Path) -> io::Result<()> {
        self.step()?;
        self.remember(file, as_it_is(file));
        Machine.remove_leftover(file)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step()?;
        let before = as_it_is(to);
        Machine.rename(from, to)?;
        self.remember_renamed(from, to, before);
        Ok(())
    }

    fn remove(&self, file: &Path) -> io::Result<()> {
        self.step()?;
        self.remember(file, as_it_is(file));
        Machine.remove(file)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        self.unsynced.lock().unwrap().retain(|change| change.path.parent() != Some(folder));
        Machine.sync_folder(folder)
    }

    fn read(&self, file: &Path) -> io::Result<Vec<u8>> {
        self.step()?;
        Machine.read(file)
    }

    fn files(&self, folder: &Path) -> io::Result<Vec<(PathBuf, SystemTime)>> {
        // Some two hundred folders are looked through at every start: only one that is there counts as an operation.
        if folder.is_dir() {
            self.step()?;
        }
        Machine.files(folder)
    }

    fn folders(&self, folder: &Path) -> io::Result<Vec<PathBuf>> {
        self.step()?;
        Machine.folders(folder)
    }

    fn remove_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        Machine.remove_folder(folder)
    }

    fn has(&self, path: &Path) -> bool {
        Machine.has(path)
    }
}
