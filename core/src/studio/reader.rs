//! The studio as it stands at one moment, so that it can be handed out while more is kept.

use super::disk::{Disk, Lock};
use super::{DATABASE, PHOTOS, Studio, StudioError};
use rusqlite::{Connection, OpenFlags};
use std::path::PathBuf;
use std::sync::Arc;

/// What is kept at the moment of [`Studio::reader`], whatever is kept, changed or deleted afterwards.
///
/// Rows are those of a read transaction on a connection of its own. Photos are read by their names, whose bytes never
/// change. Photos are removed only when the studio is opened, and as long as this holds the studio's lock nobody can
/// open it: so all photos stay that the rows name.
pub struct StudioReader {
    pub(super) database: Connection,
    pub(super) folder: PathBuf,
    pub(super) photos: PathBuf,
    pub(super) disk: Arc<dyn Disk>,
    _lock: Arc<Lock>,
    _counted: Arc<()>,
}

impl Studio {
    /// The studio as it stands now, to be handed out by another thread.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn reader(&self) -> Result<StudioReader, StudioError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let database = Connection::open_with_flags(self.folder.join(DATABASE), flags)?;
        // A transaction sees the rows of the moment of its first read (SQLite, Isolation).
        database.execute_batch("BEGIN; SELECT count(*) FROM session")?;
        let (folder, photos) = (self.folder.clone(), self.folder.join(PHOTOS));
        let disk = Arc::clone(&self.disk);
        Ok(StudioReader {
            database,
            folder,
            photos,
            disk,
            _lock: Arc::clone(&self.lock),
            _counted: Arc::clone(&self.readers),
        })
    }

    /// Whether a reader of it is at work.
    #[must_use]
    pub fn is_being_read(&self) -> bool {
        Arc::strong_count(&self.readers) > 1
    }
}
