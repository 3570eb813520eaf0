//! The one seam to the disk: all that the studio does to files, and nothing else does.

#![allow(clippy::disallowed_types, reason = "this is the room that may touch a disk")]

use super::StudioError;
use std::fs::{self, DirBuilder, File, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;
use tempfile::{Builder, NamedTempFile, PersistError};

/// What is done to files.
pub(super) trait Disk: Send + Sync {
    /// Makes a folder, and those above it.
    fn make_folder(&self, folder: &Path, whose: Whose) -> io::Result<()>;
    /// Lets nobody but its owner into a folder.
    fn close_folder(&self, folder: &Path) -> io::Result<()>;
    /// Writes a temporary file whole, and waits until its bytes are on the disk. It is removed where it is dropped.
    fn write_temporary(&self, folder: &Path, bytes: &[u8], whose: Whose) -> io::Result<NamedTempFile>;
    /// Gives a temporary file its name, in place of a file that had it.
    fn persist(&self, temporary: NamedTempFile, file: &Path) -> io::Result<()>;
    /// Gives a temporary file its name, where there is nothing yet.
    fn persist_new(&self, temporary: NamedTempFile, file: &Path) -> Result<(), PersistError>;
    /// Removes a temporary file that a program left behind; one that a program still writes stays.
    fn remove_leftover(&self, file: &Path) -> io::Result<()>;
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
    /// Folders in a folder.
    fn folders(&self, folder: &Path) -> io::Result<Vec<PathBuf>>;
    /// Takes a folder away, with all that is in it.
    fn remove_folder(&self, folder: &Path) -> io::Result<()>;
    /// Whether there is anything of that name.
    fn has(&self, path: &Path) -> bool;
}

/// Who may read what is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Whose {
    /// The studio's own: its owner alone.
    Studio,
    /// In the painter's own folders: whom her umask lets.
    Painter,
}

/// The lock by which one instance alone keeps a studio; the system lets go of it, whatever ends the program.
#[derive(Debug)]
pub(super) struct Lock {
    _held: File,
}

/// The machine's own.
#[derive(Debug, Default)]
pub(super) struct Machine;

/// The mode of a folder that only its owner may enter.
#[cfg(unix)]
const PRIVATE: u32 = 0o700;

/// How the names of temporary files begin and end.
const TEMPORARY: (&str, &str) = (".tonefast-", ".coming");

/// A new temporary file. It is locked as long as it is open, so that no sweep takes it for a leftover.
pub(super) fn temporary(folder: &Path, whose: Whose) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(TEMPORARY.0).suffix(TEMPORARY.1);
    #[cfg(unix)]
    if whose == Whose::Painter {
        use std::os::unix::fs::PermissionsExt;
        // The system takes the umask from it. Without this it is 0600.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    #[cfg(not(unix))]
    let _ = whose;
    let file = builder.tempfile_in(folder)?;
    // Where files can't be locked, a sweep by another program at this very moment makes the write fail, and no more.
    let _ = file.as_file().try_lock();
    Ok(file)
}

/// Whether a file has a temporary file's name, or is the journal of a database of such a name.
pub(super) fn is_temporary(file: &Path) -> bool {
    let name = file.file_name().and_then(|name| name.to_str());
    name.is_some_and(|name| name.starts_with(TEMPORARY.0) && name.contains(TEMPORARY.1))
}

impl Disk for Machine {
    fn make_folder(&self, folder: &Path, whose: Whose) -> io::Result<()> {
        let mut builder = DirBuilder::new();
        #[cfg(unix)]
        if whose == Whose::Studio {
            use std::os::unix::fs::DirBuilderExt;
            builder.mode(PRIVATE);
        }
        #[cfg(not(unix))]
        let _ = whose;
        builder.recursive(true).create(folder)
    }

    #[cfg(unix)]
    fn close_folder(&self, folder: &Path) -> io::Result<()> {
        use std::os::unix::fs::PermissionsExt;
        let mode = fs::metadata(folder)?.permissions().mode() & 0o777;
        if mode == PRIVATE {
            Ok(())
        } else {
            fs::set_permissions(folder, fs::Permissions::from_mode(PRIVATE))
        }
    }

    #[cfg(not(unix))]
    fn close_folder(&self, _: &Path) -> io::Result<()> {
        Ok(())
    }

    fn write_temporary(&self, folder: &Path, bytes: &[u8], whose: Whose) -> io::Result<NamedTempFile> {
        let mut file = temporary(folder, whose)?;
        file.write_all(bytes)?;
        file.as_file().sync_all()?;
        Ok(file)
    }

    fn persist(&self, temporary: NamedTempFile, file: &Path) -> io::Result<()> {
        temporary.persist(file).map(drop).map_err(|error| error.error)
    }

    fn persist_new(&self, temporary: NamedTempFile, file: &Path) -> Result<(), PersistError> {
        temporary.persist_noclobber(file).map(drop)
    }

    fn remove_leftover(&self, file: &Path) -> io::Result<()> {
        match File::open(file)?.try_lock() {
            Err(TryLockError::WouldBlock) => Ok(()),
            _ => fs::remove_file(file),
        }
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

    fn folders(&self, folder: &Path) -> io::Result<Vec<PathBuf>> {
        let mut folders = Vec::new();
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            if entry.file_type()?.is_dir() {
                folders.push(entry.path());
            }
        }
        folders.sort();
        Ok(folders)
    }

    fn remove_folder(&self, folder: &Path) -> io::Result<()> {
        fs::remove_dir_all(folder)
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
