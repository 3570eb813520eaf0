//! Opening the database: what is there is looked at before anything is written to it.

use super::disk::{Disk, Whose};
use super::{StudioError, schema};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags};
use rusqlite_migration::Error as MigrationError;
use std::path::Path;

/// The database as it was before it was brought up to the newest version, beside it, until the next good start.
pub(super) const BEFORE: &str = "studio-before.sqlite";

/// Opens the database, sees that it is whole and ours, and brings it up to the newest version. Before that it is copied,
/// and the copy goes once it was opened without having to be brought up.
pub(super) fn connected(disk: &dyn Disk, path: &Path) -> Result<Connection, StudioError> {
    let found = if disk.has(path) { inspect(path)? } else { 0 };
    let mut database = Connection::open(path)?;
    if pragma(&database, "application_id")? != schema::APPLICATION {
        database.pragma_update(None, "application_id", schema::APPLICATION)?;
    }
    database.pragma_update(None, "journal_mode", "WAL")?;
    database.pragma_update(None, "synchronous", "FULL")?;
    database.pragma_update(None, "foreign_keys", true)?;
    // What is deleted for good is written over with zeros, and not left in pages that are free.
    database.pragma_update(None, "secure_delete", true)?;
    if (1..schema::NEWEST).contains(&found) {
        copy(disk, &database, path)?;
    }
    schema::MIGRATIONS.to_latest(&mut database).map_err(|error| match error {
        MigrationError::RusqliteError { err, .. } => told(path, err),
        other => StudioError::Damaged { path: path.to_owned(), detail: other.to_string() },
    })?;
    let before = path.with_file_name(BEFORE);
    if found == schema::NEWEST && disk.has(&before) {
        // A copy too many does no harm.
        if let Err(error) = disk.remove(&before) {
            tracing::warn!("the copy of the former database is still there: {error}");
        }
    }
    Ok(database)
}

/// How many sessions a studio holds that are not deleted, and how much else; it is not written to.
pub(super) fn held(path: &Path) -> Result<(u32, u32), StudioError> {
    let database = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    database.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
    let sessions = "SELECT count(*) FILTER (WHERE deleted IS NULL), count(deleted) FROM session";
    let (sessions, deleted): (u32, u32) =
        database.query_row(sessions, [], |row| Ok((row.get(0)?, row.get(1)?)))?;
    // Paints came with the fourth version.
    let has_paints = database.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'paint'")?.exists([])?;
    let paints =
        if has_paints { database.query_row("SELECT count(*) FROM paint", [], |row| row.get(0))? } else { 0 };
    Ok((sessions, deleted + paints))
}

/// Copies the database as it stands, to be whole before anything is written to it.
fn copy(disk: &dyn Disk, database: &Connection, path: &Path) -> Result<(), StudioError> {
    let folder = path.parent().unwrap_or(path);
    // Empty, it is what SQLite writes into.
    let copy = disk.write_temporary(folder, b"", Whose::Studio)?;
    copy.as_file().unlock()?;
    let name = copy
        .path()
        .to_str()
        .ok_or_else(|| StudioError::Odd(format!("{} is not written in Unicode", copy.path().display())))?;
    database.execute("VACUUM INTO ?1", [name])?;
    copy.as_file().sync_all()?;
    disk.persist(copy, &path.with_file_name(BEFORE))?;
    Ok(disk.sync_folder(folder)?)
}

/// Looks at a database without writing to it, nor merging what its last program left unmerged; answers with its version.
fn inspect(path: &Path) -> Result<u32, StudioError> {
    match look(path, OpenFlags::SQLITE_OPEN_READ_ONLY) {
        // A program that was killed as it began may have left a journal to be rolled back, which is to write.
        Err(StudioError::ReadOnly | StudioError::Database(_)) => {
            look(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
        }
        looked => looked,
    }
}

fn look(path: &Path, flags: OpenFlags) -> Result<u32, StudioError> {
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
    if check == "ok" { Ok(found) } else { Err(StudioError::Damaged { path: path.to_owned(), detail: check }) }
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
