//! The age of what was deleted, by the days on which the studio was opened: no clock that jumps makes it older.

use super::{Moment, Studio, StudioError};
use rusqlite::{Connection, Transaction};

/// A day in milliseconds.
const DAY: i64 = 24 * 60 * 60 * 1000;

impl Studio {
    /// Counts a day on which the studio is open. Each date counts once, whatever the clock does in between.
    pub(super) fn count_day(&mut self, now: Moment) -> Result<(), StudioError> {
        self.alter("INSERT OR IGNORE INTO opened_day (day) VALUES (?1)", [now.0.div_euclid(DAY)])?;
        Ok(())
    }
}

/// How many days the studio was opened on.
pub(super) fn opened_days(database: &Connection) -> Result<i64, StudioError> {
    Ok(database.query_row("SELECT count(*) FROM opened_day", [], |row| row.get(0))?)
}

/// Notes a deletion at a time; answers with its number, which rows bear as `deleted`.
pub(super) fn note_deletion(change: &Transaction<'_>, at: Moment) -> Result<i64, StudioError> {
    change.execute("INSERT INTO deletion (at, opened) VALUES (?1, ?2)", (at.0, opened_days(change)?))?;
    Ok(change.last_insert_rowid())
}
