//! The database's tables, from the first version on.

use rusqlite_migration::{M, Migrations};

/// What the database is brought up to, one step a version. A step that was ever released is never changed.
pub(super) const MIGRATIONS: Migrations<'static> = Migrations::from_slice(STEPS);

/// The newest version that is known here.
pub(super) const NEWEST: u32 = STEPS.len() as u32;

const STEPS: &[M<'static>] = &[M::up(VERSION_1)];

/// Says that a database is ours ("Tone" as four bytes), in SQLite's own field for that.
pub(super) const APPLICATION: i32 = 0x546f_6e65;

/// Rows are ordered by `place`, which only ever grows, so that a clock that goes back disturbs nothing. Times are
/// milliseconds since 1970, UTC. `deleted` is the time at which a row went into the trash.
const VERSION_1: &str = "
CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    title TEXT NOT NULL,
    locality TEXT NOT NULL,
    day TEXT NOT NULL,
    notes TEXT NOT NULL,
    begun INTEGER NOT NULL,
    deleted INTEGER
) STRICT;
CREATE TABLE photo (
    hash TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    bytes INTEGER NOT NULL,
    kept INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE snapshot (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    session INTEGER NOT NULL REFERENCES session (id),
    photo TEXT NOT NULL REFERENCES photo (hash),
    title TEXT NOT NULL,
    note TEXT NOT NULL,
    kept INTEGER NOT NULL,
    seen TEXT NOT NULL,
    deleted INTEGER
) STRICT;
CREATE INDEX snapshot_of_session ON snapshot (session, place);
CREATE TABLE setting (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_step_goes() {
        MIGRATIONS.validate().unwrap();
    }
}
