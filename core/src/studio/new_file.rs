//! Files in the painter's own folders: whole or not at all, and never in place of another.

#![allow(clippy::disallowed_types, reason = "this is the room that may touch a disk")]

use super::StudioError;
use super::disk::{self, Disk, Machine, Whose};
use super::names::{NAMESAKES, file_stem, numbered};
use std::fs::File;
use std::io::{self, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use tempfile::{NamedTempFile, PersistError};

/// A file that is being written. Dropped before it has its name, nothing of it is left.
#[derive(Debug)]
pub struct NewFile {
    file: NamedTempFile<File>,
    /// Bytes that the disk was not waited for.
    unsynced: usize,
}

/// After so many bytes the disk is waited for: what others wait for at the same time, a snapshot that is kept, then
/// never stands behind more than that.
const SYNC_AFTER: usize = 16 << 20;

impl NewFile {
    /// Begins a file in a folder, which is made where it is missing.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn begin(folder: &Path) -> Result<Self, StudioError> {
        Machine.make_folder(folder, Whose::Painter)?;
        Ok(Self { file: disk::temporary(folder, Whose::Painter)?, unsynced: 0 })
    }

    /// Gives it a name made of a title, with a number where that is taken, and waits until it is on the disk; answers
    /// with its path. Who may read it follows the umask.
    ///
    /// # Errors
    /// [`StudioError`]; nothing is then left of it.
    pub fn finish(self, title: &str, untitled: &str, ending: &str) -> Result<PathBuf, StudioError> {
        let Self { mut file, unsynced: _ } = self;
        file.as_file().sync_all()?;
        let folder = file.path().parent().unwrap_or(file.path()).to_owned();
        let wanted = folder.join(format!("{}.{ending}", file_stem(title, untitled)));
        for path in (1..NAMESAKES).map(|number| numbered(&wanted, number)) {
            match Machine.persist_new(file, &path) {
                Ok(()) => {
                    Machine.sync_folder(&folder)?;
                    return Ok(path);
                }
                Err(PersistError { error, file: again }) if error.kind() == io::ErrorKind::AlreadyExists => {
                    file = again;
                }
                Err(PersistError { error, .. }) => return Err(error.into()),
            }
        }
        Err(StudioError::Odd(format!("{} has too many namesakes", wanted.display())))
    }
}

/// Removes temporary files that a program left in a folder when it was cut off.
///
/// # Errors
/// [`StudioError`].
pub fn sweep_leftovers(folder: &Path) -> Result<(), StudioError> {
    for (file, _) in Machine.files(folder)?.into_iter().filter(|(file, _)| disk::is_temporary(file)) {
        Machine.remove_leftover(&file)?;
    }
    Ok(())
}

impl Write for NewFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.file.write(bytes)?;
        self.unsynced += written;
        if self.unsynced >= SYNC_AFTER {
            self.file.as_file().sync_data()?;
            self.unsynced = 0;
        }
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Seek for NewFile {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use tempfile::TempDir;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn nothing_is_written_over_and_nothing_is_left_of_what_failed() {
        let folder = TempDir::new().unwrap();
        let write = |words: &[u8]| {
            let mut file = NewFile::begin(folder.path()).unwrap();
            file.write_all(words).unwrap();
            file
        };
        // Both are under way at once, and hers is there before either ends.
        let (first, second) = (write(b"first"), write(b"second"));
        fs::write(folder.path().join("Low water.zip"), b"hers").unwrap();
        let first = first.finish("Low/water", "session", "zip").unwrap();
        let second = second.finish("Low/water", "session", "zip").unwrap();
        drop(write(b"half"));
        assert_eq!(names(folder.path()), ["Low water (2).zip", "Low water (3).zip", "Low water.zip"]);
        let read = |path: &Path| fs::read(path).unwrap();
        assert_eq!((read(&first), read(&second)), (b"first".to_vec(), b"second".to_vec()));
        assert_eq!(fs::read(folder.path().join("Low water.zip")).unwrap(), b"hers");
    }

    #[test]
    fn leftovers_are_swept_and_what_is_being_written_stays() {
        let folder = TempDir::new().unwrap();
        fs::write(folder.path().join(".tonefast-abcdef.coming"), b"half").unwrap();
        fs::write(folder.path().join(".hers.coming"), b"hers").unwrap();
        let mut under_way = NewFile::begin(folder.path()).unwrap();
        under_way.write_all(b"whole").unwrap();
        sweep_leftovers(folder.path()).unwrap();
        under_way.finish("", "session", "zip").unwrap();
        assert_eq!(names(folder.path()), [".hers.coming", "session.zip"]);
        sweep_leftovers(&folder.path().join("missing")).unwrap();
    }
}
