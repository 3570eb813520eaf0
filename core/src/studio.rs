//! All that a painter keeps: sessions, photos, snapshots, settings. The one room of core that touches a disk.
//!
//! Records are in SQLite (WAL, synchronous FULL), photos are files beside it, named by what they hold. A file is on the
//! disk before its row is, so that a cut leaves a file too many and never one too few; files that no row knows are
//! swept into the trash when the studio is opened, a day after they were written. What a call has answered is kept.
//!
//! Out of scope: clocks (times come in), pictures of snapshots, and whatever the painter's own folders hold.

#![allow(clippy::disallowed_types, reason = "this is the room that may touch a disk")]

mod disk;
mod error;
#[cfg(test)]
mod faults;
mod pictures;
mod records;
mod schema;
mod seen;
#[cfg(test)]
mod tests;

pub use error::StudioError;
pub use pictures::PhotoHash;
pub use records::{Kept, Session, SessionAbout, Snapshot};
pub use seen::{Seen, SeenLight, SeenPatch, SeenPin};

use disk::{Disk, Machine};
use rusqlite::{Connection, ErrorCode};
use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};
use uuid::{NoContext, Timestamp, Uuid};

/// All that is kept in one folder, held by this instance alone.
pub struct Studio {
    folder: PathBuf,
    database: Connection,
    disk: Box<dyn Disk>,
    /// Held as long as the studio is open; the system lets go of it whatever ends the program.
    _lock: File,
}

/// A time in milliseconds since 1970, UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub i64);

const DATABASE: &str = "studio.sqlite";
const LOCK: &str = "studio.lock";
const PHOTOS: &str = "photos";
const TRASH: &str = "trash";

/// How old a file that no row knows must be before it is swept: no save takes a day.
const ORPHAN: Duration = Duration::from_secs(24 * 60 * 60);

impl Studio {
    /// Opens the studio in a folder, or begins one; `now` is the time by which orphans are judged.
    ///
    /// # Errors
    /// [`StudioError::InUse`], [`StudioError::Newer`], [`StudioError::Damaged`] and others; nothing is overwritten.
    pub fn open(folder: &Path, now: SystemTime) -> Result<Self, StudioError> {
        Self::open_on(Box::new(Machine), folder, now)
    }

    fn open_on(disk: Box<dyn Disk>, folder: &Path, now: SystemTime) -> Result<Self, StudioError> {
        disk.make_folder(folder)?;
        let lock = locked(folder)?;
        let path = folder.join(DATABASE);
        let database = connected(&path)?;
        let studio = Self { folder: folder.to_owned(), database, disk, _lock: lock };
        studio.sweep(now)?;
        Ok(studio)
    }

    /// Sets a database aside that can't be opened, with what belongs to it, under names that say so; answers with the
    /// new name. A new one may then be begun.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn set_aside(folder: &Path, now: Moment) -> Result<PathBuf, StudioError> {
        let _lock = locked(folder)?;
        let aside = |ending: &str| folder.join(format!("{DATABASE}-set-aside-{}{ending}", now.0));
        for ending in ["-wal", "-shm", ""] {
            let path = folder.join(format!("{DATABASE}{ending}"));
            if Machine.has(&path) {
                Machine.rename(&path, &aside(ending))?;
            }
        }
        Machine.sync_folder(folder)?;
        Ok(aside(""))
    }

    fn photos(&self) -> PathBuf {
        self.folder.join(PHOTOS)
    }

    /// Moves files that no row knows into the trash, where they are older than a day.
    fn sweep(&self, now: SystemTime) -> Result<(), StudioError> {
        let trash = self.folder.join(TRASH);
        for first in 0..=u8::MAX {
            for (file, written) in self.disk.files(&self.photos().join(format!("{first:02x}")))? {
                let Some(name) = file.file_name().and_then(|name| name.to_str()) else { continue };
                let is_old = now.duration_since(written).is_ok_and(|age| age > ORPHAN);
                if is_old && !records::knows(&self.database, name)? {
                    self.disk.make_folder(&trash)?;
                    self.disk.rename(&file, &trash.join(name))?;
                }
            }
        }
        Ok(())
    }
}

impl Moment {
    /// A new UUID of version 7 (RFC 9562), which begins with the time.
    fn fresh_uuid(self) -> String {
        let since = Duration::from_millis(self.0.max(0).unsigned_abs());
        Uuid::new_v7(Timestamp::from_unix(NoContext, since.as_secs(), since.subsec_nanos())).to_string()
    }
}

fn locked(folder: &Path) -> Result<File, StudioError> {
    let lock = OpenOptions::new().create(true).truncate(false).write(true).open(folder.join(LOCK))?;
    match lock.try_lock() {
        Ok(()) => Ok(lock),
        Err(TryLockError::WouldBlock) => Err(StudioError::InUse),
        Err(TryLockError::Error(error)) => Err(error.into()),
    }
}

/// Opens the database, sees that it is whole and ours, and brings it up to the newest version.
fn connected(path: &Path) -> Result<Connection, StudioError> {
    let damaged = |detail: String| StudioError::Damaged { path: path.to_owned(), detail };
    let not_ours = |error: rusqlite::Error| match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt) => damaged(error.to_string()),
        _ => error.into(),
    };
    let mut database = Connection::open(path)?;
    let pragma = |database: &Connection, name: &str| {
        database.pragma_query_value(None, name, |row| row.get::<_, i32>(0)).map_err(not_ours)
    };
    let version = pragma(&database, "user_version")?.unsigned_abs();
    let application = pragma(&database, "application_id")?;
    let tables: i64 =
        database.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0)).map_err(not_ours)?;
    if application != schema::APPLICATION && tables > 0 {
        return Err(damaged("it holds something else".to_owned()));
    }
    if version > schema::NEWEST {
        return Err(StudioError::Newer { found: version, known: schema::NEWEST });
    }
    let check: String =
        database.query_row("PRAGMA quick_check(1)", [], |row| row.get(0)).map_err(not_ours)?;
    if check != "ok" {
        return Err(damaged(check));
    }
    database.pragma_update(None, "application_id", schema::APPLICATION)?;
    database.pragma_update(None, "journal_mode", "WAL")?;
    database.pragma_update(None, "synchronous", "FULL")?;
    database.pragma_update(None, "foreign_keys", true)?;
    schema::MIGRATIONS.to_latest(&mut database).map_err(|error| damaged(error.to_string()))?;
    Ok(database)
}
