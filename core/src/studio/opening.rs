//! Opening the database: what is there is looked at before anything is written to it.

use super::disk::{Disk, Lock, Whose};
use super::{DATABASE, LOCK, Moment, PHOTOS, StudioError, schema};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags};
use rusqlite_migration::Error as MigrationError;
use std::path::{Path, PathBuf};

/// Opens the database, sees that it is whole and ours, and brings it up to the newest version.
pub(super) fn connected(disk: &dyn Disk, path: &Path) -> Result<Connection, StudioError> {
    if disk.has(path) {
        inspect(path)?;
    }
    let mut database = Connection::open(path)?;
    if pragma(&database, "application_id")? != schema::APPLICATION {
        database.pragma_update(None, "application_id", schema::APPLICATION)?;
    }
    database.pragma_update(None, "journal_mode", "WAL")?;
    database.pragma_update(None, "synchronous", "FULL")?;
    database.pragma_update(None, "foreign_keys", true)?;
    schema::MIGRATIONS.to_latest(&mut database).map_err(|error| match error {
        MigrationError::RusqliteError { err, .. } => told(path, err),
        other => StudioError::Damaged { path: path.to_owned(), detail: other.to_string() },
    })?;
    Ok(database)
}

/// Moves a database with all that belongs to it, photos too, into a folder of its own beside it.
///
/// The database goes last: as long as it stands there, nothing new is begun, whatever cuts this short.
pub(super) fn set_aside(disk: &dyn Disk, folder: &Path, now: Moment) -> Result<PathBuf, StudioError> {
    let _lock = Lock::take(&folder.join(LOCK))?;
    let aside = (now.0..)
        .map(|number| folder.join(format!("set-aside-{number}")))
        .find(|aside| !disk.has(aside))
        .ok_or(StudioError::Gone)?;
    disk.make_folder(&aside, Whose::Studio)?;
    disk.sync_folder(folder)?;
    let parts =
        [PHOTOS.to_owned(), format!("{DATABASE}-wal"), format!("{DATABASE}-shm"), DATABASE.to_owned()];
    for name in parts {
        if disk.has(&folder.join(&name)) {
            disk.rename(&folder.join(&name), &aside.join(&name))?;
            disk.sync_folder(&aside)?;
            disk.sync_folder(folder)?;
        }
    }
    Ok(aside)
}

/// Looks at a database without writing to it, nor merging what its last program left unmerged.
fn inspect(path: &Path) -> Result<(), StudioError> {
    match look(path, OpenFlags::SQLITE_OPEN_READ_ONLY) {
        // A program that was killed as it began may have left a journal to be rolled back, which is to write.
        Err(StudioError::ReadOnly | StudioError::Database(_)) => {
            look(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
        }
        looked => looked,
    }
}

fn look(path: &Path, flags: OpenFlags) -> Result<(), StudioError> {
    let database = Connection::open_with_flags(path, flags)?;
    database.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
    let version = pragma(&database, "user_version").map_err(|error| told(path, error))?;
    let application = pragma(&database, "application_id").map_err(|error| told(path, error))?;
    let tables: i64 = database
        .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
        .map_err(|error| told(path, error))?;
    if application != schema::APPLICATION && tables > 0 {
        return Err(StudioError::NotOurs { path: path.to_owned() });
    }
    let found = version.unsigned_abs();
    if found > schema::NEWEST {
        return Err(StudioError::Newer { found, known: schema::NEWEST });
    }
    let check: String = database
        .query_row("PRAGMA quick_check(1)", [], |row| row.get(0))
        .map_err(|error| told(path, error))?;
    if check == "ok" { Ok(()) } else { Err(StudioError::Damaged { path: path.to_owned(), detail: check }) }
}

fn pragma(database: &Connection, name: &str) -> Result<i32, rusqlite::Error> {
    database.pragma_query_value(None, name, |row| row.get(0))
}

fn told(path: &Path, error: rusqlite::Error) -> StudioError {
    match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => StudioError::NotOurs { path: path.to_owned() },
        Some(ErrorCode::DatabaseCorrupt) => {
            StudioError::Damaged { path: path.to_owned(), detail: error.to_string() }
        }
        _ => error.into(),
    }
}
