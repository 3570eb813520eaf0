//! What was deleted: it comes back for thirty days, and is then gone.

use super::disk::{self, Disk, Whose};
use super::{Moment, PHOTOS, Studio, StudioError, TRASH, pictures};
use rusqlite::params;
use std::path::Path;
use std::time::{Duration, SystemTime};

/// What may go into the trash and come back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kept {
    /// A session, with all that is in it.
    Session(i64),
    /// A photo of a session; snapshots of it stay.
    Photo(i64),
    /// A snapshot.
    Snapshot(i64),
    /// A paint, with its strips.
    Paint(i64),
    /// A strip of a paint.
    Strip(i64),
}

/// Something in the trash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Deleted {
    /// What it is.
    pub what: Kept,
    /// Its title, or its name; a strip has its paint's.
    pub title: String,
    /// When it was deleted.
    pub deleted: Moment,
}

/// How long what was deleted can come back, in milliseconds: 30 days.
const KEPT_FOR: i64 = 30 * 24 * 60 * 60 * 1000;

/// How old a file that no row knows must be before it is swept: no save takes a day.
const ORPHAN: Duration = Duration::from_secs(24 * 60 * 60);

impl Kept {
    fn row(self) -> (&'static str, i64) {
        match self {
            Self::Session(id) => ("session", id),
            Self::Photo(id) => ("session_photo", id),
            Self::Snapshot(id) => ("snapshot", id),
            Self::Paint(id) => ("paint", id),
            Self::Strip(id) => ("strip", id),
        }
    }
}

impl Studio {
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

    /// What is in the trash, the last deleted first.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn deleted(&self) -> Result<Vec<Deleted>, StudioError> {
        let mut query = self.database.prepare_cached(
            "SELECT 0, id, title, deleted FROM session WHERE deleted IS NOT NULL
             UNION ALL SELECT 1, id, name, deleted FROM session_photo WHERE deleted IS NOT NULL
             UNION ALL SELECT 2, id, title, deleted FROM snapshot WHERE deleted IS NOT NULL
             UNION ALL SELECT 3, id, about ->> 'name', deleted FROM paint WHERE deleted IS NOT NULL
             UNION ALL SELECT 4, strip.id, paint.about ->> 'name', strip.deleted
                 FROM strip JOIN paint ON paint.id = strip.paint WHERE strip.deleted IS NOT NULL
             ORDER BY 4 DESC, 1, 2",
        )?;
        let rows = query.query_map([], |row| {
            let id = row.get(1)?;
            Ok(Deleted {
                what: match row.get(0)? {
                    0 => Kept::Session(id),
                    1 => Kept::Photo(id),
                    2 => Kept::Snapshot(id),
                    3 => Kept::Paint(id),
                    _ => Kept::Strip(id),
                },
                title: row.get(2)?,
                deleted: Moment(row.get(3)?),
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Empties the trash of what has been in it for thirty days. Done whenever the studio is opened.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn empty_trash(&mut self, now: Moment) -> Result<(), StudioError> {
        let before = now.0 - KEPT_FOR;
        let change = self.change()?;
        for table in ["snapshot", "session_photo"] {
            change.execute(
                &format!(
                    "DELETE FROM {table} WHERE deleted < ?1
                     OR session IN (SELECT id FROM session WHERE deleted < ?1)"
                ),
                params![before],
            )?;
        }
        change.execute("DELETE FROM session WHERE deleted < ?1", params![before])?;
        change.execute(
            "DELETE FROM strip WHERE deleted < ?1 OR paint IN (SELECT id FROM paint WHERE deleted < ?1)",
            params![before],
        )?;
        change.execute("DELETE FROM paint WHERE deleted < ?1", params![before])?;
        // Its file is an orphan from here on.
        change.execute(
            "DELETE FROM photo WHERE hash NOT IN (SELECT photo FROM session_photo)
             AND hash NOT IN (SELECT photo FROM snapshot)
             AND hash NOT IN (SELECT photo FROM strip WHERE photo IS NOT NULL)",
            [],
        )?;
        change.commit()?;
        for (file, _) in self.disk.files(&self.folder.join(TRASH))? {
            if thrown_away(&file).is_some_and(|thrown| thrown < before) {
                self.disk.remove(&file)?;
            }
        }
        Ok(())
    }

    /// Moves files that no row knows into the trash, where they are older than a day; removes temporary files that a
    /// program left behind.
    pub(super) fn sweep(&self, now: SystemTime) -> Result<(), StudioError> {
        for first in 0..=u8::MAX {
            let folder = self.folder.join(PHOTOS).join(format!("{first:02x}"));
            for (file, written) in self.disk.files(&folder)? {
                if disk::is_temporary(&file) {
                    self.disk.remove_leftover(&file)?;
                    continue;
                }
                let Some(name) = file.file_name().and_then(|name| name.to_str()) else { continue };
                let is_old = now.duration_since(written).is_ok_and(|age| age > ORPHAN);
                if is_old && !pictures::knows(&self.database, name)? {
                    throw_away(&*self.disk, &self.folder, &file, Moment::of(now))?;
                    self.disk.sync_folder(&folder)?;
                }
            }
        }
        Ok(())
    }

    fn set_deleted(&mut self, what: Kept, deleted: Option<i64>) -> Result<(), StudioError> {
        let (table, id) = what.row();
        let statement = format!("UPDATE {table} SET deleted = ?1 WHERE id = ?2");
        super::one(self.alter(&statement, params![deleted, id])?)
    }
}

/// Moves a file of the studio's into its trash, under a name that says when.
fn throw_away(disk: &dyn Disk, studio: &Path, file: &Path, now: Moment) -> Result<(), StudioError> {
    let trash = studio.join(TRASH);
    disk.make_folder(&trash, Whose::Studio)?;
    disk.sync_folder(studio)?;
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    disk.rename(file, &trash.join(format!("{}-{name}", now.0)))?;
    disk.sync_folder(&trash)?;
    Ok(())
}

/// When a file was moved into the trash, by its name.
fn thrown_away(file: &Path) -> Option<i64> {
    file.file_name()?.to_str()?.split_once('-')?.0.parse().ok()
}
