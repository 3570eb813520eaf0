//! The database's tables, from the first version on.

use rusqlite_migration::{M, Migrations};

/// What the database is brought up to, one step a version. A step that was ever released is never changed.
pub(super) const MIGRATIONS: Migrations<'static> = Migrations::from_slice(STEPS);

/// The newest version that is known here.
pub(super) const NEWEST: u32 = STEPS.len() as u32;

const STEPS: &[M<'static>] =
    &[M::up(VERSION_1), M::up(VERSION_2), M::up(VERSION_3), M::up(VERSION_4), M::up(VERSION_5)];

/// Says that a database is ours ("Tone" as four bytes), in SQLite's own field for that.
pub(super) const APPLICATION: i32 = 0x546f_6e65;

/// Rows are ordered by `place`, which only ever grows, so that a clock that goes back disturbs nothing. Times are
/// milliseconds since 1970, UTC. `deleted` is the time at which a row went into the trash; since version 5, the number
/// of its deletion.
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

/// Photos belong to sessions, also those that no snapshot is of. `left_out` says that a photo came in without its
/// original, so that there is no file. A `drawing` is a snapshot's picture in the painter's own folder: `held` is the
/// SHA-256 of what was last written there, `coming` of what is about to be, `former` the path that `held` is still at
/// while it moves, `trouble` why it could not be written.
///
/// Words are found by FTS5, since LIKE knows upper and lower case in ASCII only, and no accents. The indices hold
/// no text of their own (`content`), and triggers keep them in step within the same change.
const VERSION_2: &str = "
ALTER TABLE photo ADD COLUMN left_out INTEGER NOT NULL DEFAULT 0;
CREATE TABLE session_photo (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    place INTEGER NOT NULL UNIQUE,
    session INTEGER NOT NULL REFERENCES session (id),
    photo TEXT NOT NULL REFERENCES photo (hash),
    name TEXT NOT NULL,
    kept INTEGER NOT NULL,
    deleted INTEGER,
    UNIQUE (session, photo)
) STRICT;
INSERT INTO session_photo (place, session, photo, name, kept)
    SELECT min(snapshot.place), session, photo, photo.name, photo.kept
    FROM snapshot JOIN photo ON photo.hash = snapshot.photo GROUP BY session, photo;
CREATE INDEX session_photo_of_photo ON session_photo (photo);
CREATE INDEX snapshot_of_photo ON snapshot (photo);
CREATE TABLE drawing (
    snapshot INTEGER PRIMARY KEY REFERENCES snapshot (id) ON DELETE CASCADE,
    path TEXT NOT NULL,
    held TEXT,
    coming TEXT,
    former TEXT,
    trouble TEXT
) STRICT;
CREATE VIRTUAL TABLE session_words USING fts5 (
    title, locality, day, notes, content = 'session', content_rowid = 'id',
    tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);
CREATE TRIGGER session_words_in AFTER INSERT ON session BEGIN
    INSERT INTO session_words (rowid, title, locality, day, notes)
    VALUES (new.id, new.title, new.locality, new.day, new.notes);
END;
CREATE TRIGGER session_words_out AFTER DELETE ON session BEGIN
    INSERT INTO session_words (session_words, rowid, title, locality, day, notes)
    VALUES ('delete', old.id, old.title, old.locality, old.day, old.notes);
END;
CREATE TRIGGER session_words_anew AFTER UPDATE OF title, locality, day, notes ON session BEGIN
    INSERT INTO session_words (session_words, rowid, title, locality, day, notes)
    VALUES ('delete', old.id, old.title, old.locality, old.day, old.notes);
    INSERT INTO session_words (rowid, title, locality, day, notes)
    VALUES (new.id, new.title, new.locality, new.day, new.notes);
END;
INSERT INTO session_words (session_words) VALUES ('rebuild');
CREATE VIRTUAL TABLE snapshot_words USING fts5 (
    title, note, content = 'snapshot', content_rowid = 'id',
    tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);
CREATE TRIGGER snapshot_words_in AFTER INSERT ON snapshot BEGIN
    INSERT INTO snapshot_words (rowid, title, note) VALUES (new.id, new.title, new.note);
END;
CREATE TRIGGER snapshot_words_out AFTER DELETE ON snapshot BEGIN
    INSERT INTO snapshot_words (snapshot_words, rowid, title, note)
    VALUES ('delete', old.id, old.title, old.note);
END;
CREATE TRIGGER snapshot_words_anew AFTER UPDATE OF title, note ON snapshot BEGIN
    INSERT INTO snapshot_words (snapshot_words, rowid, title, note)
    VALUES ('delete', old.id, old.title, old.note);
    INSERT INTO snapshot_words (rowid, title, note) VALUES (new.id, new.title, new.note);
END;
INSERT INTO snapshot_words (snapshot_words) VALUES ('rebuild');
";

/// `stale` says that what a drawing says has changed since it was drawn: the snapshot's words, or its session's.
const VERSION_3: &str = "
ALTER TABLE drawing ADD COLUMN stale INTEGER NOT NULL DEFAULT 0;
CREATE TRIGGER drawing_of_other_words AFTER UPDATE OF title, note, session ON snapshot BEGIN
    UPDATE drawing SET stale = 1 WHERE snapshot = new.id;
END;
CREATE TRIGGER drawing_in_other_session AFTER UPDATE OF title, locality, day ON session BEGIN
    UPDATE drawing SET stale = 1 WHERE snapshot IN (SELECT id FROM snapshot WHERE session = new.id);
END;
";

/// What a painter says of a paint, and what was read of a strip, are JSON: the records that are handed out, too. A
/// strip that came in by itself has no photo.
const VERSION_4: &str = "
CREATE TABLE paint (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    about TEXT NOT NULL,
    begun INTEGER NOT NULL,
    deleted INTEGER
) STRICT;
CREATE TABLE strip (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    paint INTEGER NOT NULL REFERENCES paint (id),
    photo TEXT REFERENCES photo (hash),
    painted TEXT NOT NULL,
    kept INTEGER NOT NULL,
    deleted INTEGER
) STRICT;
CREATE INDEX strip_of_paint ON strip (paint, place);
CREATE INDEX strip_of_photo ON strip (photo);
";

/// `opened_day` holds the days (since 1970) on which the studio was opened, each once: by their count, and by no clock,
/// deleted rows grow older. A `deletion` has a number that only grows, the time to be shown, and the count of opened days
/// then; several rows may share one. `leaving` names photos whose rows are gone and whose files are still to be removed.
/// Indices forget words at once, as the rows do.
///
/// Settings name a session and a paint by uuid, since numbers of rows mean something else on another machine.
const VERSION_5: &str = "
CREATE TABLE opened_day (
    day INTEGER PRIMARY KEY
) STRICT;
CREATE TABLE deletion (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    at INTEGER NOT NULL,
    opened INTEGER NOT NULL
) STRICT;
INSERT INTO deletion (at, opened)
    SELECT DISTINCT deleted, 0 FROM (
        SELECT deleted FROM session UNION ALL SELECT deleted FROM session_photo
        UNION ALL SELECT deleted FROM snapshot UNION ALL SELECT deleted FROM paint
        UNION ALL SELECT deleted FROM strip
    ) WHERE deleted IS NOT NULL ORDER BY deleted;
UPDATE session SET deleted = (SELECT number FROM deletion WHERE at = deleted) WHERE deleted IS NOT NULL;
UPDATE session_photo SET deleted = (SELECT number FROM deletion WHERE at = deleted) WHERE deleted IS NOT NULL;
UPDATE snapshot SET deleted = (SELECT number FROM deletion WHERE at = deleted) WHERE deleted IS NOT NULL;
UPDATE paint SET deleted = (SELECT number FROM deletion WHERE at = deleted) WHERE deleted IS NOT NULL;
UPDATE strip SET deleted = (SELECT number FROM deletion WHERE at = deleted) WHERE deleted IS NOT NULL;
CREATE TABLE leaving (
    hash TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;
INSERT INTO session_words (session_words, rank) VALUES ('secure-delete', 1);
INSERT INTO snapshot_words (snapshot_words, rank) VALUES ('secure-delete', 1);
UPDATE setting SET value = coalesce(
    (SELECT uuid FROM session WHERE id = CAST(setting.value AS INTEGER)), ''
) WHERE name = 'session';
UPDATE setting SET value = json_set(
    value, '$.dab.paint', (SELECT uuid FROM paint WHERE id = setting.value ->> '$.dab.paint')
) WHERE name = 'check' AND json_valid(value) AND json_type(value, '$.dab.paint') = 'integer';
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_step_goes() {
        MIGRATIONS.validate().unwrap();
    }
}
