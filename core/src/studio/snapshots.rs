//! Snapshots, as they are kept and found again.

use super::pictures::{self, PhotoHash};
use super::seen::Seen;
use super::{Moment, SessionAbout, Studio, StudioError, next_place, one, sessions};
use rusqlite::{Row, Transaction, named_params};

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
    /// Whether its photo was left out as it came in, so that it can't be measured again.
    pub left_out: bool,
    /// How the photo was looked at, and what was read.
    pub seen: Seen,
}

/// Asks for snapshots, and whether their photos were left out.
pub(super) const SNAPSHOTS: &str =
    "SELECT snapshot.*, (SELECT left_out FROM photo WHERE hash = snapshot.photo) AS left_out FROM snapshot";

/// A snapshot that is to be kept, with its photo.
#[derive(Debug, Clone, Copy)]
pub struct NewSnapshot<'a> {
    /// The photo's file name, as it was opened, and its bytes.
    pub photo: (&'a str, &'a [u8]),
    /// Its title.
    pub title: &'a str,
    /// A note.
    pub note: &'a str,
    /// How the photo was looked at, and what was read.
    pub seen: &'a Seen,
    /// When it was asked for.
    pub at: Moment,
}

impl Studio {
    /// Keeps a snapshot with its photo in the session of a uuid; where there is none of it, or it is deleted, in one that
    /// is begun as `otherwise` says. All of this is kept, or nothing. Answers with the snapshot's number.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where a number is none, and others.
    pub fn keep(
        &mut self,
        session: Option<&str>,
        otherwise: &SessionAbout,
        new: &NewSnapshot<'_>,
    ) -> Result<i64, StudioError> {
        let &NewSnapshot { photo: (name, bytes), title, note, seen, at } = new;
        let photo = pictures::keep(&*self.disk, &self.photos(), bytes)?;
        let change = self.change()?;
        let there = session.map(|uuid| sessions::of_uuid(&change, uuid)).transpose()?.flatten();
        let session = match there {
            Some(session) => session,
            None => sessions::insert(&change, otherwise, at)?,
        };
        pictures::know(&change, &photo, name, bytes.len(), at)?;
        // What it is called in this session is what it was opened as now.
        pictures::belong(&change, session, &photo, name, at)?;
        let id = insert(&change, session, &photo, (title, note), seen, at)?;
        change.commit()?;
        Ok(id)
    }

    /// Keeps a snapshot of a photo that is kept already; answers with its number.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where session or photo is not there, [`StudioError::Odd`] where a number is none, and
    /// others.
    pub fn keep_snapshot(
        &mut self,
        session: i64,
        photo: &PhotoHash,
        (title, note): (&str, &str),
        seen: &Seen,
        now: Moment,
    ) -> Result<i64, StudioError> {
        let change = self.change()?;
        sessions::is_there(&change, session)?;
        if !pictures::knows(&change, photo.digits())? {
            return Err(StudioError::Gone);
        }
        let id = insert(&change, session, photo, (title, note), seen, now)?;
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
            .prepare_cached(&format!("{SNAPSHOTS} WHERE session = ?1 AND deleted IS NULL ORDER BY place"))?;
        let rows = query.query_and_then([session], snapshot)?;
        rows.collect()
    }

    /// A snapshot, deleted or not.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn snapshot(&self, id: i64) -> Result<Snapshot, StudioError> {
        let mut query = self.database.prepare_cached(&format!("{SNAPSHOTS} WHERE id = ?1"))?;
        let mut rows = query.query_and_then([id], snapshot)?;
        rows.next().ok_or(StudioError::Gone)?
    }

    /// Gives a snapshot another title and note.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn describe_snapshot(&mut self, id: i64, title: &str, note: &str) -> Result<(), StudioError> {
        one(self.alter("UPDATE snapshot SET title = ?1, note = ?2 WHERE id = ?3", (title, note, id))?)
    }

    /// Moves a snapshot to the end of another session, or of its own; its photo then belongs there, too.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where either is not there, and others.
    pub fn move_snapshot(&mut self, id: i64, session: i64) -> Result<(), StudioError> {
        let change = self.change()?;
        sessions::is_there(&change, session)?;
        let place = next_place(&change, "snapshot")?;
        one(change
            .execute("UPDATE snapshot SET session = ?1, place = ?2 WHERE id = ?3", (session, place, id))?)?;
        bring_photo(&change, id)?;
        Ok(change.commit()?)
    }

    /// Makes a snapshot again, at the end of its session; answers with the new one's number.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn duplicate_snapshot(&mut self, id: i64, now: Moment) -> Result<i64, StudioError> {
        let change = self.change()?;
        let session =
            change.query_row("SELECT session FROM snapshot WHERE id = ?1", [id], |row| row.get(0))?;
        let copy = copy(&change, id, session, now)?;
        change.commit()?;
        Ok(copy)
    }
}

/// Writes a snapshot of a photo that is known; its photo belongs to its session.
pub(super) fn insert(
    change: &Transaction<'_>,
    session: i64,
    photo: &PhotoHash,
    (title, note): (&str, &str),
    seen: &Seen,
    now: Moment,
) -> Result<i64, StudioError> {
    change.execute(
        "INSERT INTO snapshot (uuid, place, session, photo, title, note, kept, seen)
         VALUES (:uuid, :place, :session, :photo, :title, :note, :kept, :seen)",
        named_params! {
            ":uuid": now.fresh_uuid(), ":place": next_place(change, "snapshot")?, ":session": session,
            ":photo": photo.digits(), ":title": title, ":note": note, ":kept": now.0, ":seen": seen.to_json()?,
        },
    )?;
    let id = change.last_insert_rowid();
    bring_photo(change, id)?;
    Ok(id)
}

/// Makes a snapshot again in a session.
pub(super) fn copy(change: &Transaction<'_>, id: i64, session: i64, now: Moment) -> Result<i64, StudioError> {
    change.execute(
        "INSERT INTO snapshot (uuid, place, session, photo, title, note, kept, seen)
         SELECT :uuid, :place, :session, photo, title, note, kept, seen FROM snapshot WHERE id = :id",
        named_params! {
            ":uuid": now.fresh_uuid(), ":place": next_place(change, "snapshot")?, ":session": session, ":id": id,
        },
    )?;
    Ok(change.last_insert_rowid())
}

/// Notes that a snapshot's photo belongs to its session.
fn bring_photo(change: &Transaction<'_>, id: i64) -> Result<(), StudioError> {
    let (session, photo, name, kept) = change.query_row(
        "SELECT session, hash, photo.name, photo.kept FROM snapshot JOIN photo ON hash = photo WHERE id = ?1",
        [id],
        |row| Ok((row.get(0)?, row.get(1)?, row.get::<_, String>(2)?, Moment(row.get(3)?))),
    )?;
    pictures::belong(change, session, &PhotoHash::from_digits(photo)?, &name, kept)
}

/// From a row of the table.
pub(super) fn snapshot(row: &Row<'_>) -> Result<Snapshot, StudioError> {
    Ok(Snapshot {
        id: row.get("id")?,
        uuid: row.get("uuid")?,
        session: row.get("session")?,
        photo: PhotoHash::from_digits(row.get("photo")?)?,
        title: row.get("title")?,
        note: row.get("note")?,
        kept: Moment(row.get("kept")?),
        left_out: row.get("left_out")?,
        seen: Seen::from_json(&row.get::<_, String>("seen")?)?,
    })
}
