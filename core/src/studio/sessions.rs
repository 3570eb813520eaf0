//! Sessions, as they are kept and found again.

use super::references::references;
use super::{Moment, Studio, StudioError, next_place, one};
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
    /// The last kept of them.
    pub cover: Option<i64>,
}

/// What a painter says of a session.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SessionAbout {
    /// Its title.
    pub title: String,
    /// Where it was.
    pub locality: String,
    /// When it was, as year-month-day, so that days sort; or as she writes it.
    pub day: String,
    /// Whatever else.
    pub notes: String,
}

/// How sessions are sorted; the newest first where they are alike.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum SessionOrder {
    /// As they were begun, the newest first. No clock has a say in it.
    #[default]
    Newest,
    /// By title, whatever its case.
    Title,
    /// By place, likewise.
    Locality,
    /// By the day that the painter wrote, the latest first.
    Day,
}

/// Asks for sessions, with the count of their snapshots and the last of them.
pub(super) const SESSIONS: &str = "SELECT session.*, (
    SELECT count(*) FROM snapshot WHERE snapshot.session = session.id AND snapshot.deleted IS NULL
) AS snapshots, (
    SELECT snapshot.id FROM snapshot WHERE snapshot.session = session.id AND snapshot.deleted IS NULL
    ORDER BY snapshot.place DESC LIMIT 1
) AS cover FROM session";

impl Studio {
    /// Begins a session.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn begin_session(&mut self, about: &SessionAbout, now: Moment) -> Result<i64, StudioError> {
        let change = self.change()?;
        let id = insert(&change, about, now)?;
        change.commit()?;
        Ok(id)
    }

    /// Writes what the painter says of a session anew.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn describe_session(&mut self, id: i64, about: &SessionAbout) -> Result<(), StudioError> {
        let SessionAbout { title, locality, day, notes } = about;
        let changed = self.alter(
            "UPDATE session SET title = :title, locality = :locality, day = :day, notes = :notes WHERE id = :id",
            named_params! { ":title": title, ":locality": locality, ":day": day, ":notes": notes, ":id": id },
        )?;
        one(changed)
    }

    /// The sessions that are not deleted.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn sessions(&self, order: SessionOrder) -> Result<Vec<Session>, StudioError> {
        let mut query =
            self.database.prepare_cached(&format!("{SESSIONS} WHERE deleted IS NULL ORDER BY place DESC"))?;
        let rows = query.query_map([], session)?;
        let mut sessions: Vec<Session> = rows.collect::<Result<_, _>>()?;
        match order {
            SessionOrder::Newest => {}
            SessionOrder::Title => sessions.sort_by_cached_key(|it| it.about.title.to_lowercase()),
            SessionOrder::Locality => sessions.sort_by_cached_key(|it| it.about.locality.to_lowercase()),
            SessionOrder::Day => sessions.sort_by(|a, b| b.about.day.cmp(&a.about.day)),
        }
        Ok(sessions)
    }

    /// A session, deleted or not.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn session(&self, id: i64) -> Result<Session, StudioError> {
        let mut query = self.database.prepare_cached(&format!("{SESSIONS} WHERE id = ?1"))?;
        Ok(query.query_row([id], session)?)
    }

    /// Makes a session again, with its snapshots that are not deleted and their photos; answers with the new one.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn duplicate_session(&mut self, id: i64, now: Moment) -> Result<i64, StudioError> {
        let change = self.change()?;
        is_there(&change, id)?;
        change.execute(
            "INSERT INTO session (uuid, place, title, locality, day, notes, begun)
             SELECT :uuid, :place, title, locality, day, notes, :begun FROM session WHERE id = :id",
            named_params! {
                ":uuid": now.fresh_uuid(), ":place": next_place(&change, "session")?, ":begun": now.0, ":id": id,
            },
        )?;
        let copy = change.last_insert_rowid();
        change.execute(
            &format!(
                "INSERT INTO session_photo (place, session, photo, name, kept)
                 SELECT :place + row_number() OVER (ORDER BY place) - 1, :copy, photo, name, kept FROM session_photo
                 WHERE session = :id AND photo IN (SELECT photo FROM ({}) WHERE session = :id AND live)",
                references()
            ),
            named_params! { ":place": next_place(&change, "session_photo")?, ":copy": copy, ":id": id },
        )?;
        let snapshots: Vec<i64> = change
            .prepare("SELECT id FROM snapshot WHERE session = ?1 AND deleted IS NULL ORDER BY place")?
            .query_map([id], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        for snapshot in snapshots {
            super::snapshots::copy(&change, snapshot, copy, now)?;
        }
        change.commit()?;
        Ok(copy)
    }
}

/// Writes a session that is begun.
pub(super) fn insert(
    change: &Transaction<'_>,
    about: &SessionAbout,
    now: Moment,
) -> Result<i64, StudioError> {
    let SessionAbout { title, locality, day, notes } = about;
    change.execute(
        "INSERT INTO session (uuid, place, title, locality, day, notes, begun)
         VALUES (:uuid, :place, :title, :locality, :day, :notes, :begun)",
        named_params! {
            ":uuid": now.fresh_uuid(), ":place": next_place(change, "session")?, ":title": title,
            ":locality": locality, ":day": day, ":notes": notes, ":begun": now.0,
        },
    )?;
    Ok(change.last_insert_rowid())
}

/// The session of a uuid, where it is there and not deleted.
pub(super) fn of_uuid(database: &Connection, uuid: &str) -> Result<Option<i64>, StudioError> {
    let mut query = database.prepare_cached("SELECT id FROM session WHERE uuid = ?1 AND deleted IS NULL")?;
    Ok(query.query_row([uuid], |row| row.get(0)).optional()?)
}

/// Fails where there is no such session, or it is deleted.
pub(super) fn is_there(database: &Connection, id: i64) -> Result<(), StudioError> {
    let mut query = database.prepare_cached("SELECT 1 FROM session WHERE id = ?1 AND deleted IS NULL")?;
    if query.exists([id])? { Ok(()) } else { Err(StudioError::Gone) }
}

/// From a row of what [`SESSIONS`] asks for.
pub(super) fn session(row: &Row<'_>) -> Result<Session, rusqlite::Error> {
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
        cover: row.get("cover")?,
    })
}
