//! The second place: what still waits when the program ends is written into the system's cache folder, and is taken up at
//! the next start.
//!
//! A record (JSON) holds one thing that waits, numbered in the queue's order; its photo lies beside, named by what it
//! holds. A photo is written before the first record that names it and removed after the last, and each file gets its
//! name once it is whole. Two instances may use the folder at once: each holds its lock while it changes something.

mod damaged;
mod record;

use super::Waiting;
use crate::state::Original;
use record::{Record, Unreadable};
use std::borrow::Cow;
use std::collections::{HashMap, HashSet, VecDeque};
use std::fs::{self, DirBuilder, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tempfile::Builder;
use tonefast_core::PhotoHash;

/// The second place.
pub(crate) struct SecondPlace {
    folder: PathBuf,
    /// How many bytes it may hold.
    room: u64,
}

/// What became of what still waited.
#[derive(Debug, Default)]
pub(crate) struct Written {
    /// How many things are in the second place.
    pub(crate) written: usize,
    /// How many could not be written.
    pub(crate) lost: usize,
    /// Why.
    pub(crate) trouble: Option<io::Error>,
}

/// How many bytes the second place may hold: some fifty photos of a 48-megapixel phone.
const ROOM: u64 = 1 << 30;

const RECORD: &str = "json";
const PHOTO: &str = "photo";
const LOCK: &str = "lock";
/// How the names of files begin that are being written.
const COMING: &str = ".coming-";

impl SecondPlace {
    /// In a folder, which is made when something is written.
    pub(crate) fn at(folder: &Path) -> Self {
        Self { folder: folder.to_owned(), room: ROOM }
    }

    /// Writes all that waits. What can't be written does not hold up the rest.
    pub(crate) fn write(&self, waiting: &mut VecDeque<Waiting>) -> Written {
        let mut answer = Written::default();
        if waiting.is_empty() {
            return answer;
        }
        let done = self.locked().and_then(|_lock| {
            for item in waiting.iter_mut() {
                match self.write_one(item) {
                    // What was taken up from here is here still, if not with what was learned since.
                    Err(error) if item.stored.is_none() => answer.trouble = Some(error),
                    _ => answer.written += 1,
                }
            }
            sync(&self.folder)
        });
        if let Err(error) = done {
            answer = Written { trouble: Some(error), ..Written::default() };
        }
        answer.lost = waiting.len() - answer.written;
        answer
    }

    /// What was written, in its order. What can't be read is set aside and logged.
    pub(crate) fn take_up(&self) -> io::Result<VecDeque<Waiting>> {
        if !self.folder.is_dir() {
            return Ok(VecDeque::new());
        }
        let _lock = self.locked()?;
        let (mut taken, mut photos) = (VecDeque::new(), HashMap::new());
        let mut damaged = false;
        for path in self.files(RECORD)? {
            match self.read(&path, &mut photos) {
                Ok(what) => taken.push_back(Waiting { what, stored: Some(path) }),
                Err(why) => {
                    tracing::error!(%why, "something in the second place can't be taken up, and is set aside");
                    self.set_aside(&path);
                    damaged = true;
                }
            }
        }
        for photo in self.unused_photos()? {
            // It may be the photo of a record that can't be read.
            if damaged { self.set_aside(&photo) } else { fs::remove_file(photo)? }
        }
        Ok(taken)
    }

    /// Forgets something that is kept now, or was given up.
    pub(crate) fn remove(&self, record: &Path) {
        let removed = self.locked().and_then(|_lock| {
            fs::remove_file(record)?;
            self.unused_photos()?.iter().try_for_each(fs::remove_file)
        });
        if let Err(error) = removed {
            tracing::warn!(kind = %error.kind(), "what is kept now was not removed from the second place");
        }
    }

    /// Sets something aside that will never be kept, so that it is not tried at each start.
    pub(crate) fn give_up(&self, record: &Path) {
        if let Ok(_lock) = self.locked() {
            self.set_aside(record);
        }
    }

    /// Makes the folder ready, and holds it as long as the answer lives.
    fn locked(&self) -> io::Result<File> {
        let mut builder = DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        builder.recursive(true).create(&self.folder)?;
        let lock = File::create(self.folder.join(LOCK))?;
        lock.lock()?;
        for left in self.listed()?.iter().filter(|path| name(path).starts_with(COMING)) {
            fs::remove_file(left)?;
        }
        Ok(lock)
    }

    fn write_one(&self, item: &mut Waiting) -> io::Result<()> {
        let (record, photo) = Record::of(&item.what);
        if let (Some(bytes), Some(file)) = (photo, record.photo_file()) {
            let file = self.folder.join(file);
            if fs::metadata(&file).map_or(true, |about| about.len() != bytes.len() as u64) {
                self.put(&file, bytes)?;
            }
        }
        let path = match &item.stored {
            Some(path) => path.clone(),
            None => self.folder.join(format!("{:06}.{RECORD}", self.next_number()?)),
        };
        self.put(&path, &serde_json::to_vec(&record)?)?;
        item.stored = Some(path);
        Ok(())
    }

    /// Writes a file whole, where there is room for it.
    fn put(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        if total(&self.listed()?)? + bytes.len() as u64 > self.room {
            return Err(ErrorKind::QuotaExceeded.into());
        }
        let mut file = Builder::new().prefix(COMING).tempfile_in(&self.folder)?;
        file.write_all(bytes)?;
        file.as_file().sync_all()?;
        file.persist(path)?;
        Ok(())
    }

    fn read(&self, path: &Path, photos: &mut HashMap<String, Original>) -> Result<super::ToKeep, Unreadable> {
        let record = Record::read(&self.contents(path)?)?;
        let Some(file) = record.photo_file() else { return record.restored(None) };
        let photo = match photos.get(&file) {
            Some(photo) => Original::clone(photo),
            None => {
                let bytes = self.contents(&self.folder.join(&file))?;
                if file != photo_file(PhotoHash::of(&bytes).digits()) {
                    return Err(Unreadable::Photo);
                }
                Arc::new(Cow::Owned(bytes))
            }
        };
        photos.insert(file, Original::clone(&photo));
        record.restored(Some(photo))
    }

    /// A file's bytes; of none that is larger than what is written here.
    fn contents(&self, path: &Path) -> io::Result<Vec<u8>> {
        if fs::metadata(path)?.len() > self.room {
            return Err(ErrorKind::FileTooLarge.into());
        }
        fs::read(path)
    }

    /// Photos that no record names; none as long as a record can't be read.
    fn unused_photos(&self) -> io::Result<Vec<PathBuf>> {
        let mut used = HashSet::new();
        for path in self.files(RECORD)? {
            match Record::read(&self.contents(&path)?) {
                Ok(record) => used.extend(record.photo_file()),
                Err(_) => return Ok(Vec::new()),
            }
        }
        Ok(self.files(PHOTO)?.into_iter().filter(|path| !used.contains(&name(path))).collect())
    }

    fn next_number(&self) -> io::Result<u64> {
        let files = self.files(RECORD)?;
        let last = files.iter().filter_map(|path| path.file_stem()?.to_str()?.parse::<u64>().ok()).max();
        Ok(last.unwrap_or(0) + 1)
    }

    /// Files of one ending, by name.
    fn files(&self, ending: &str) -> io::Result<Vec<PathBuf>> {
        let mut files = self.listed()?;
        files.retain(|path| path.extension().is_some_and(|it| it == ending) && !name(path).starts_with('.'));
        files.sort();
        Ok(files)
    }

    fn listed(&self) -> io::Result<Vec<PathBuf>> {
        listed(&self.folder)
    }
}

/// The name of a photo's file.
fn photo_file(digits: &str) -> String {
    format!("{digits}.{PHOTO}")
}

/// The files in a folder; none where there is no such folder.
fn listed(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let mut files = Vec::new();
    for entry in entries {
        let entry = entry?;
        if entry.file_type()?.is_file() {
            files.push(entry.path());
        }
    }
    Ok(files)
}

fn total(files: &[PathBuf]) -> io::Result<u64> {
    files.iter().map(|path| Ok(fs::metadata(path)?.len())).sum()
}

fn name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// Waits until a folder's names are on the disk. Only on Unix can a folder be waited for.
fn sync(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

#[cfg(test)]
mod tests;
