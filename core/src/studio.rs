//! All that a painter keeps: sessions, photos, snapshots, paints, settings. The one room of core that touches a disk.
//!
//! Records are in SQLite (WAL, synchronous FULL), photos are files beside it, named by what they hold. A file is on the
//! disk before its row is, so that a cut leaves a file too many and never one too few; files that no row knows are
//! swept into the trash when the studio is opened, a day after they were written. What a call has answered is kept.
//!
//! Out of scope: clocks (times come in), and drawing what is kept.

mod carried;
mod changes;
mod coming;
mod days;
mod disk;
mod drawings;
mod error;
#[cfg(test)]
mod faults;
#[cfg(feature = "fuzzing")]
pub mod fuzz;
mod names;
mod new_file;
mod opening;
mod paints;
mod parcel;
mod pictures;
mod present;
mod reader;
mod references;
mod schema;
mod search;
mod seen;
mod sessions;
mod snapshots;
#[cfg(test)]
mod tests;
mod thumbnails;
mod trash;

pub use changes::{Changes, PinChange};
pub use drawings::Undrawn;
pub use error::{StudioError, StudioFault, disk_words};
pub use names::file_stem;
pub use new_file::{NewFile, sweep_leftovers};
pub use paints::{KeptPaint, KeptStrip};
pub use parcel::Originals;
pub use pictures::{KeptPhoto, PhotoHash};
pub use present::{Beside, SetAside};
pub use reader::StudioReader;
pub use search::Found;
pub use seen::{
    Seen, SeenBands, SeenKind, SeenLight, SeenPatch, SeenPin, SeenSpot, SeenSquint, SeenUnread, SeenView,
    SeenWhy,
};
pub use sessions::{Session, SessionAbout, SessionOrder};
pub use snapshots::{NewSnapshot, Snapshot};
pub use trash::{Deleted, DeletedPhotos, Kept};

use disk::{Disk, Lock, Machine, Whose};
use rusqlite::{Connection, OptionalExtension, Params, Transaction, TransactionBehavior};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime, UNIX_EPOCH};
use uuid::{NoContext, Timestamp, Uuid};

/// All that is kept in one folder, held by this instance alone.
pub struct Studio {
    folder: PathBuf,
    /// The folder of all studios, of which this is the present one.
    root: PathBuf,
    database: Connection,
    disk: Arc<dyn Disk>,
    /// Shared with readers: while one is at work, nobody opens the studio anew.
    lock: Arc<Lock>,
    /// Counts its readers.
    readers: Arc<()>,
}

/// A time in milliseconds since 1970, UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub i64);

const DATABASE: &str = "studio.sqlite";
const LOCK: &str = "studio.lock";
const PHOTOS: &str = "photos";
const TRASH: &str = "trash";
const THUMBNAILS: &str = "thumbnails";
const DRAWN: &str = "drawn";

impl Studio {
    /// Opens the studio in a folder, or begins one. The day of `now` is counted, what has been in the trash for thirty
    /// such days is purged, and files that no row knows are swept into it.
    ///
    /// # Errors
    /// [`StudioError::InUse`]; [`StudioError::Newer`], [`StudioError::Damaged`] and [`StudioError::NotOurs`], where
    /// nothing was changed and [`Studio::set_aside`] makes way; and others.
    pub fn open(folder: &Path, now: SystemTime) -> Result<Self, StudioError> {
        Self::open_on(Arc::new(Machine), folder, now)
    }

    fn open_on(disk: Arc<dyn Disk>, root: &Path, now: SystemTime) -> Result<Self, StudioError> {
        let fresh: Vec<&Path> = root.ancestors().take_while(|it| !disk.has(it)).collect();
        disk.make_folder(root, Whose::Studio)?;
        for above in fresh.iter().filter_map(|it| it.parent()).filter(|it| disk.has(it)) {
            disk.sync_folder(above)?;
        }
        let lock = Arc::new(Lock::take(&root.join(LOCK))?);
        let folder = present::finished(&*disk, root)?;
        if folder != root {
            disk.make_folder(&folder, Whose::Studio)?;
        }
        let database = opening::connected(&*disk, &folder.join(DATABASE))?;
        let mut studio =
            Self { folder, root: root.to_owned(), database, disk, lock, readers: Arc::default() };
        // What could not be tidied away lies there until the next time.
        if let Err(error) = studio.tidy(now) {
            tracing::warn!("the studio was not tidied: {error}");
        }
        Ok(studio)
    }

    fn tidy(&mut self, now: SystemTime) -> Result<(), StudioError> {
        self.close_folders()?;
        present::sweep(&*self.disk, &self.root)?;
        self.clear_coming()?;
        self.count_day(Moment::of(now))?;
        self.purge(Moment::of(now))?;
        self.sweep(now)
    }

    /// Keeps a setting.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn keep_setting(&mut self, name: &str, value: &str) -> Result<(), StudioError> {
        self.alter(
            "INSERT INTO setting (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2",
            (name, value),
        )?;
        Ok(())
    }

    /// All settings, by name.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn settings(&self) -> Result<BTreeMap<String, String>, StudioError> {
        let mut query = self.database.prepare_cached("SELECT name, value FROM setting")?;
        let settings = query.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(settings.collect::<Result<_, _>>()?)
    }

    /// A setting, if it was ever kept.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn setting(&self, name: &str) -> Result<Option<String>, StudioError> {
        let value =
            self.database.query_row("SELECT value FROM setting WHERE name = ?1", [name], |row| row.get(0));
        Ok(value.optional()?)
    }

    /// Lets nobody else in, also where an older version did.
    fn close_folders(&self) -> Result<(), StudioError> {
        let inside = [PHOTOS, TRASH, THUMBNAILS, DRAWN].map(|name| self.folder.join(name));
        let own = [self.root.clone(), self.folder.clone()].into_iter().chain(inside);
        let photos = (0..=u8::MAX).map(|first| self.photos().join(format!("{first:02x}")));
        for folder in own.chain(photos).filter(|folder| self.disk.has(folder)) {
            self.disk.close_folder(&folder)?;
        }
        Ok(())
    }

    fn photos(&self) -> PathBuf {
        self.folder.join(PHOTOS)
    }

    /// A change of several rows: all of it, or nothing. It takes the right to write at once, so that nobody else
    /// writes between what it reads and what it writes.
    fn change(&mut self) -> Result<Transaction<'_>, StudioError> {
        // A change that was cut off between its beginning and the answer to it would swallow all later ones.
        if !self.database.is_autocommit() {
            self.database.execute_batch("ROLLBACK")?;
        }
        Ok(self.database.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }

    /// A change by one statement; answers with how many rows it changed.
    fn alter(&mut self, statement: &str, values: impl Params) -> Result<usize, StudioError> {
        let change = self.change()?;
        let changed = change.execute(statement, values)?;
        change.commit()?;
        Ok(changed)
    }
}

impl Moment {
    /// Of a time; before 1970 it is below 0.
    #[must_use]
    pub fn of(time: SystemTime) -> Self {
        match time.duration_since(UNIX_EPOCH) {
            Ok(since) => Self(since.as_millis() as i64),
            Err(before) => Self(-(before.duration().as_millis() as i64)),
        }
    }

    /// A new UUID of version 7 (RFC 9562), which begins with the time.
    fn fresh_uuid(self) -> String {
        let since = Duration::from_millis(self.0.max(0).unsigned_abs());
        Uuid::new_v7(Timestamp::from_unix(NoContext, since.as_secs(), since.subsec_nanos())).to_string()
    }
}

/// The place after the last in a table.
fn next_place(change: &Transaction<'_>, table: &str) -> Result<i64, StudioError> {
    Ok(change.query_row(&format!("SELECT coalesce(max(place), 0) + 1 FROM {table}"), [], |row| row.get(0))?)
}

/// What was to be changed is gone where no row was.
fn one(changed: usize) -> Result<(), StudioError> {
    if changed == 0 { Err(StudioError::Gone) } else { Ok(()) }
}
