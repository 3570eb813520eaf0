//! The one seam to the disk: all that the studio does to files, and nothing else does.

#![allow(clippy::disallowed_types, reason = "this is the room that may touch a disk")]

use super::StudioError;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What is done to files.
pub(super) trait Disk: Send {
    /// Makes a folder, and those above it.
    fn make_folder(&self, folder: &Path) -> io::Result<()>;
    /// Writes a file whole, and waits until it is on the disk.
    fn write(&self, file: &Path, bytes: &[u8]) -> io::Result<()>;
    /// Makes an empty file where there is nothing yet.
    fn reserve(&self, file: &Path) -> io::Result<()>;
    /// Lets everybody read a file, and its owner write it (mode 0644), whatever the mask says.
    fn let_read(&self, file: &Path) -> io::Result<()>;
    /// Gives a file or folder another name, in place of a file that had it.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Takes a file away.
    fn remove(&self, file: &Path) -> io::Result<()>;
    /// Waits until a folder's names are on the disk.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
    /// A file's bytes.
    fn read(&self, file: &Path) -> io::Result<Vec<u8>>;
    /// Files in a folder, with the time each was written; none where there is no such folder.
    fn files(&self, folder: &Path) -> io::Result<Vec<(PathBuf, SystemTime)>>;
    /// Whether there is anything of that name.
    fn has(&self, path: &Path) -> bool;
}

/// The lock by which one instance alone keeps a studio; the system lets go of it, whatever ends the program.
#[derive(Debug)]
pub(super) struct Lock {
    _held: File,
}

/// The machine's own.
#[derive(Debug, Default)]
pub(super) struct Machine;

impl Disk for Machine {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)
    }

    fn write(&self, file: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut open = File::create(file)?;
        open.write_all(bytes)?;
        open.sync_all()
    }

    fn reserve(&self, file: &Path) -> io::Result<()> {
        OpenOptions::new().write(true).create_new(true).open(file).map(drop)
    }

    #[cfg(unix)]
    fn let_read(&self, file: &Path) -> io::Result<()> {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(file, fs::Permissions::from_mode(0o644))
    }

    #[cfg(not(unix))]
    fn let_read(&self, _: &Path) -> io::Result<()> {
        Ok(())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn remove(&self, file: &Path) -> io::Result<()> {
        fs::remove_file(file)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        // Only on Unix can a folder be waited for; elsewhere the file system sees to it.
        if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
    }

    fn read(&self, file: &Path) -> io::Result<Vec<u8>> {
        fs::read(file)
    }

    fn files(&self, folder: &Path) -> io::Result<Vec<(PathBuf, SystemTime)>> {
        let entries = match fs::read_dir(folder) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            entries => entries?,
        };
        let mut files = Vec::new();
        for entry in entries {
            let entry = entry?;
            let about = entry.metadata()?;
            if about.is_file() {
                files.push((entry.path(), about.modified()?));
            }
        }
        files.sort();
        Ok(files)
    }

    fn has(&self, path: &Path) -> bool {
        fs::symlink_metadata(path).is_ok()
    }
}

impl Lock {
    /// Takes the lock, or says that another instance holds it.
    pub(super) fn take(file: &Path) -> Result<Self, StudioError> {
        let lock = OpenOptions::new().create(true).truncate(false).write(true).open(file)?;
        match lock.try_lock() {
            Ok(()) => Ok(Self { _held: lock }),
            Err(TryLockError::WouldBlock) => Err(StudioError::InUse),
            Err(TryLockError::Error(error)) => Err(error.into()),
        }
    }
}
