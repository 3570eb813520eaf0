//! Sessions and snapshots, as they are kept and found again.

use super::pictures::{self, PhotoHash};
use super::seen::Seen;
use super::{Moment, Studio, StudioError};
use rusqlite::{Connection, OptionalExtension, Row, Transaction, named_params};

/// A painting day, or a subject.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// What it is known by here.
    pub id: i64,
    /// What it is known by everywhere.
    pub uuid: String,
    /// What the painter says of it.
    pub about: SessionAbout,
    /// When it was begun.
    pub begun: Moment,
    /// Snapshots in it that are not deleted.
    pub snapshots: u32,
}

/// What a painter says of a session.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SessionAbout {
    /// Its title.
    pub title: String,
    /// Where it was.
    pub locality: String,
    /// When it was, as she writes it.
    pub day: String,
    /// Whatever else.
    pub notes: String,
}

/// What was seen at the easel.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapshot {
    /// What it is known by here.
    pub id: i64,
    /// What it is known by everywhere.
    pub uuid: String,
    /// The session that it is in.
    pub session: i64,
    /// The photo.
    pub photo: PhotoHash,
    /// Its title.
    pub title: String,
    /// A note.
    pub note: String,
    /// When it was kept.
    pub kept: Moment,
    /// How the photo was looked at, and what was read.
    pub seen: Seen,
}

/// What may go into the trash and come back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// A session, with all that is in it.
    Session(i64),
    /// A snapshot.
    Snapshot(i64),
}

impl Studio {
    /// Begins a session.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn begin_session(&mut self, about: &SessionAbout, now: Moment) -> Result<i64, StudioError> {
        let change = self.database.transaction()?;
        let SessionAbout { title, locality, day, notes } = about;
        change.execute(
            "INSERT INTO session (uuid, place, title, locality, day, notes, begun)
             VALUES (:uuid, :place, :title, :locality, :day, :notes, :begun)",
            named_params! {
                ":uuid": now.fresh_uuid(), ":place": next_place(&change, "session")?, ":title": title,
                ":locality": locality, ":day": day, ":notes": notes, ":begun": now.0,
            },
        )?;
        let id = change.last_insert_rowid();
        change.commit()?;
        Ok(id)
    }

    /// Writes what the painter says of a session anew.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn describe_session(&mut self, id: i64, about: &SessionAbout) -> Result<(), StudioError> {
        let SessionAbout { title, locality, day, notes } = about;
        let changed = self.database.execute(
            "UPDATE session SET title = :title, locality = :locality, day = :day, notes = :notes WHERE id = :id",
            named_params! { ":title": title, ":locality": locality, ":day": day, ":notes": notes, ":id": id },
        )?;
        one(changed)
    }

    /// The sessions that are not deleted, the newest first.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn sessions(&self) -> Result<Vec<Session>, StudioError> {
        let mut query = self.database.prepare_cached(
            "SELECT session.*, count(snapshot.id) AS snapshots FROM session
             LEFT JOIN snapshot ON snapshot.session = session.id AND snapshot.deleted IS NULL
             WHERE session.deleted IS NULL GROUP BY session.id ORDER BY session.place DESC",
        )?;
        let rows = query.query_map([], session)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Keeps a photo's bytes; the same bytes are stored once.
    ///
    /// The file is on the disk before its row is, so that a cut leaves a file too many and never one too few.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn keep_photo(&mut self, name: &str, bytes: &[u8], now: Moment) -> Result<PhotoHash, StudioError> {
        let hash = pictures::keep(&*self.disk, &self.photos(), bytes)?;
        self.database.execute(
            "INSERT INTO photo (hash, name, bytes, kept) VALUES (:hash, :name, :bytes, :kept)
             ON CONFLICT (hash) DO NOTHING",
            named_params! { ":hash": hash.digits(), ":name": name, ":bytes": bytes.len() as i64, ":kept": now.0 },
        )?;
        Ok(hash)
    }

    /// A photo's bytes, as they were kept.
    ///
    /// # Errors
    /// [`StudioError::Changed`] where its file holds something else, and others.
    pub fn photo(&self, hash: &PhotoHash) -> Result<Vec<u8>, StudioError> {
        pictures::read(&*self.disk, &self.photos(), hash)
    }

    /// Keeps a snapshot of a photo that is kept already.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where session or photo is not there, and others.
    pub fn keep_snapshot(
        &mut self,
        session: i64,
        photo: &PhotoHash,
        (title, note): (&str, &str),
        seen: &Seen,
        now: Moment,
    ) -> Result<i64, StudioError> {
        let seen = seen.to_json()?;
        let change = self.database.transaction()?;
        let there: bool = change.query_row(
            "SELECT EXISTS (SELECT 1 FROM session WHERE id = ?1) AND EXISTS (SELECT 1 FROM photo WHERE hash = ?2)",
            (session, photo.digits()),
            |row| row.get(0),
        )?;
        if !there {
            return Err(StudioError::Gone);
        }
        change.execute(
            "INSERT INTO snapshot (uuid, place, session, photo, title, note, kept, seen)
             VALUES (:uuid, :place, :session, :photo, :title, :note, :kept, :seen)",
            named_params! {
                ":uuid": now.fresh_uuid(), ":place": next_place(&change, "snapshot")?, ":session": session,
                ":photo": photo.digits(), ":title": title, ":note": note, ":kept": now.0, ":seen": seen,
            },
        )?;
        let id = change.last_insert_rowid();
        change.commit()?;
        Ok(id)
    }

    /// A session's snapshots that are not deleted, in the order in which they were kept.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn snapshots(&self, session: i64) -> Result<Vec<Snapshot>, StudioError> {
        let mut query = self
            .database
            .prepare_cached("SELECT * FROM snapshot WHERE session = ?1 AND deleted IS NULL ORDER BY place")?;
        let rows = query.query_and_then([session], snapshot)?;
        rows.collect()
    }

    /// A snapshot, deleted or not.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn snapshot(&self, id: i64) -> Result<Snapshot, StudioError> {
        let mut query = self.database.prepare_cached("SELECT * FROM snapshot WHERE id = ?1")?;
        let mut rows = query.query_and_then([id], snapshot)?;
        rows.next().ok_or(StudioError::Gone)?
    }

    /// Puts something into the trash.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn delete(&mut self, what: Kept, now: Moment) -> Result<(), StudioError> {
        self.set_deleted(what, Some(now.0))
    }

    /// Takes something out of the trash again.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where it has been emptied, and others.
    pub fn bring_back(&mut self, what: Kept) -> Result<(), StudioError> {
        self.set_deleted(what, None)
    }

    fn set_deleted(&mut self, what: Kept, deleted: Option<i64>) -> Result<(), StudioError> {
        let (statement, id) = match what {
            Kept::Session(id) => ("UPDATE session SET deleted = ?1 WHERE id = ?2", id),
            Kept::Snapshot(id) => ("UPDATE snapshot SET deleted = ?1 WHERE id = ?2", id),
        };
        one(self.database.execute(statement, (deleted, id))?)
    }

    /// Keeps a setting.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn keep_setting(&mut self, name: &str, value: &str) -> Result<(), StudioError> {
        self.database.execute(
            "INSERT INTO setting (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2",
            (name, value),
        )?;
        Ok(())
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
}

/// Whether a row is the photo's.
pub(super) fn knows(database: &Connection, digits: &str) -> Result<bool, StudioError> {
    Ok(database
        .query_row("SELECT EXISTS (SELECT 1 FROM photo WHERE hash = ?1)", [digits], |row| row.get(0))?)
}

fn next_place(change: &Transaction<'_>, table: &str) -> Result<i64, StudioError> {
    Ok(change.query_row(&format!("SELECT coalesce(max(place), 0) + 1 FROM {table}"), [], |row| row.get(0))?)
}

fn one(changed: usize) -> Result<(), StudioError> {
    if changed == 0 { Err(StudioError::Gone) } else { Ok(()) }
}

fn session(row: &Row<'_>) -> Result<Session, rusqlite::Error> {
    Ok(Session {
        id: row.get("id")?,
        uuid: row.get("uuid")?,
        about: SessionAbout {
            title: row.get("title")?,
            locality: row.get("locality")?,
            day: row.get("day")?,
            notes: row.get("notes")?,
        },
        begun: Moment(row.get("begun")?),
        snapshots: row.get("snapshots")?,
    })
}

fn snapshot(row: &Row<'_>) -> Result<Snapshot, StudioError> {
    Ok(Snapshot {
        id: row.get("id")?,
        uuid: row.get("uuid")?,
        session: row.get("session")?,
        photo: PhotoHash::from_digits(row.get("photo")?)?,
        title: row.get("title")?,
        note: row.get("note")?,
        kept: Moment(row.get("kept")?),
        seen: Seen::from_json(&row.get::<_, String>("seen")?)?,
    })
}
