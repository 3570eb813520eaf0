//! What was deleted: it comes back for thirty days on which the studio was opened, and is then gone, photos too.

use super::days::{note_deletion, opened_days};
use super::disk::{self, Disk, Whose};
use super::references::references;
use super::{Moment, PHOTOS, Studio, StudioError, TRASH, pictures};
use crate::photo::OpenOptions;
use crate::studio::pictures::PhotoHash;
use crate::{Bands, Photo, Progress, Seen, SeenBands};
use rusqlite::Transaction;
use std::path::Path;
use std::time::{Duration, SystemTime};

/// What may go into the trash and come back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kept {
    /// A session, with all that is in it.
    Session(i64),
    /// A photo of a session that no snapshot there is of; it comes back as a plain snapshot.
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

/// Photos that nothing refers to but what was deleted: they go with it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct DeletedPhotos {
    /// How many.
    pub count: u64,
    /// Bytes of their files.
    pub bytes: u64,
}

/// A snapshot of a photo as it came.
struct Plain {
    session: i64,
    photo: PhotoHash,
    seen: Seen,
    kept: Moment,
}

/// How long what was deleted can come back, in days on which the studio was opened.
const KEPT_FOR: i64 = 30;

/// How old a file that no row knows must be before it is swept: no save takes a day.
const ORPHAN: Duration = Duration::from_secs(24 * 60 * 60);

/// Bands of the plain snapshot that a photo comes back as: five, as studies have (common practice).
const PLAIN_BANDS: usize = 5;

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
        let (table, id) = what.row();
        let change = self.change()?;
        let deletion = note_deletion(&change, now)?;
        let statement = format!("UPDATE {table} SET deleted = ?1 WHERE id = ?2");
        super::one(change.execute(&statement, (deletion, id))?)?;
        Ok(change.commit()?)
    }

    /// Takes something out of the trash again.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where it has been emptied, and others.
    pub fn bring_back(&mut self, what: Kept) -> Result<(), StudioError> {
        let plain = if let Kept::Photo(id) = what { self.plain_snapshot(id)? } else { None };
        let (table, id) = what.row();
        let change = self.change()?;
        let statement = format!("UPDATE {table} SET deleted = NULL WHERE id = ?1");
        super::one(change.execute(&statement, [id])?)?;
        if let Some(Plain { session, photo, seen, kept }) = plain {
            super::snapshots::insert(&change, session, &photo, ("", ""), &seen, kept)?;
        }
        Ok(change.commit()?)
    }

    /// What is in the trash, the last deleted first.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn deleted(&self) -> Result<Vec<Deleted>, StudioError> {
        let mut query = self.database.prepare_cached(
            "SELECT kind, id, title, at FROM (
                 SELECT 0 AS kind, id, title, deleted FROM session
                 UNION ALL SELECT 1, id, name, deleted FROM session_photo
                 UNION ALL SELECT 2, id, title, deleted FROM snapshot
                 UNION ALL SELECT 3, id, about ->> 'name', deleted FROM paint
                 UNION ALL SELECT 4, strip.id, paint.about ->> 'name', strip.deleted
                     FROM strip JOIN paint ON paint.id = strip.paint
             ) JOIN deletion ON number = deleted ORDER BY number DESC, kind, id",
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

    /// Photos that go with what is in the trash.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn deleted_photos(&self) -> Result<DeletedPhotos, StudioError> {
        let query = format!(
            "SELECT count(*), coalesce(sum(bytes), 0) FROM photo
             WHERE hash NOT IN (SELECT photo FROM ({}) WHERE live) AND NOT left_out",
            references()
        );
        let photos = self.database.query_row(&query, [], |row| {
            let [count, bytes] = [row.get::<_, i64>(0)?, row.get(1)?].map(i64::unsigned_abs);
            Ok(DeletedPhotos { count, bytes })
        })?;
        Ok(photos)
    }

    /// Takes away for good what has been in the trash for thirty days, with the photos and small pictures that then
    /// nothing refers to. Done whenever the studio is opened.
    pub(super) fn purge(&mut self, now: Moment) -> Result<(), StudioError> {
        let change = self.change()?;
        let opened = opened_days(&change)?;
        purge_rows(&change, opened - KEPT_FOR, now)?;
        change.commit()?;
        self.remove_leaving()?;
        self.sweep_thumbnails()?;
        self.purge_files(opened)
    }

    /// Removes the files of photos whose rows are gone; one that can't be removed is tried again the next time.
    fn remove_leaving(&mut self) -> Result<(), StudioError> {
        let leaving: Vec<String> = self
            .database
            .prepare("SELECT hash FROM leaving")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        for digits in leaving {
            let file = PhotoHash::from_digits(digits.clone())?.path(&self.photos());
            if self.disk.has(&file) {
                self.disk.remove(&file)?;
                self.disk.sync_folder(file.parent().unwrap_or(&file))?;
            }
            self.alter("DELETE FROM leaving WHERE hash = ?1", [digits])?;
        }
        Ok(())
    }

    /// Removes files that were swept into the trash thirty days ago.
    fn purge_files(&self, opened: i64) -> Result<(), StudioError> {
        for (file, _) in self.disk.files(&self.folder.join(TRASH))? {
            match thrown_away(&file) {
                Some(since) if since > opened => {
                    // Older versions named it by a clock: it is as if it had been swept today.
                    let name = file.file_name().unwrap_or_default().to_string_lossy();
                    let name = name.split_once('-').map_or(&*name, |it| it.1);
                    self.disk.rename(&file, &self.folder.join(TRASH).join(format!("{opened}-{name}")))?;
                }
                Some(since) if since <= opened - KEPT_FOR => self.disk.remove(&file)?,
                _ => {}
            }
        }
        Ok(())
    }

    /// What a photo comes back as that no snapshot of its session is of: shown as it came, in even bands.
    fn plain_snapshot(&self, belonging: i64) -> Result<Option<Plain>, StudioError> {
        let (session, photo, kept, is_seen): (i64, String, i64, bool) = self.database.query_row(
            "SELECT session, photo, kept, EXISTS (
                 SELECT 1 FROM snapshot WHERE snapshot.session = it.session AND snapshot.photo = it.photo
             ) FROM session_photo AS it WHERE id = ?1",
            [belonging],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)),
        )?;
        if is_seen {
            return Ok(None);
        }
        let photo = PhotoHash::from_digits(photo)?;
        let odd = |error: &dyn ToString| StudioError::Odd(error.to_string());
        let opened = Photo::open(&self.photo(&photo)?, &OpenOptions::default(), &Progress::new())
            .map_err(|error| odd(&error))?;
        let bands = Bands::even(PLAIN_BANDS).map_err(|error| odd(&error))?;
        let shares = opened.tonal_map().histogram(None).shares(&bands);
        let seen = Seen::plain(opened.size(), 0, (SeenBands::Even, &bands), shares);
        Ok(Some(Plain { session, photo, seen, kept: Moment(kept) }))
    }

    /// Moves files that no row knows into the trash, where they are older than a day; removes temporary files that a
    /// program left behind.
    pub(super) fn sweep(&self, now: SystemTime) -> Result<(), StudioError> {
        let opened = opened_days(&self.database)?;
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
                    throw_away(&*self.disk, &self.folder, &file, opened)?;
                    self.disk.sync_folder(&folder)?;
                }
            }
        }
        Ok(())
    }
}

/// Takes rows away whose deletion is as old as `limit`, a count of opened days, and notes which photos leave with them.
fn purge_rows(change: &Transaction<'_>, limit: i64, now: Moment) -> Result<(), StudioError> {
    // A photo of a session that no snapshot there is of counts as deleted from the time when that is noticed.
    const UNSEEN: &str = "NOT EXISTS (
        SELECT 1 FROM snapshot WHERE snapshot.session = session_photo.session AND snapshot.photo = session_photo.photo
    )";
    const GONE: &str = "SELECT number FROM deletion WHERE opened <= ?1";
    let unnoticed = format!("SELECT 1 FROM session_photo WHERE deleted IS NULL AND {UNSEEN}");
    if change.prepare(&unnoticed)?.exists([])? {
        let deletion = note_deletion(change, now)?;
        change.execute(
            &format!("UPDATE session_photo SET deleted = ?1 WHERE deleted IS NULL AND {UNSEEN}"),
            [deletion],
        )?;
    }
    for (table, owner) in [("snapshot", "session"), ("session_photo", "session"), ("strip", "paint")] {
        // A photo of a session stays with the last snapshot that is of it.
        let alone = if table == "session_photo" { UNSEEN } else { "TRUE" };
        change.execute(
            &format!(
                "DELETE FROM {table} WHERE deleted IN ({GONE}) AND {alone}
                 OR {owner} IN (SELECT id FROM {owner} WHERE deleted IN ({GONE}))"
            ),
            [limit],
        )?;
    }
    change.execute(&format!("DELETE FROM session_photo WHERE deleted IS NULL AND {UNSEEN}"), [])?;
    for table in ["session", "paint"] {
        change.execute(&format!("DELETE FROM {table} WHERE deleted IN ({GONE})"), [limit])?;
    }
    change.execute(&format!("UPDATE session_photo SET deleted = NULL WHERE deleted IN ({GONE})"), [limit])?;
    change.execute("DELETE FROM deletion WHERE opened <= ?1", [limit])?;
    let unreferred = format!(
        "hash NOT IN (SELECT photo FROM ({})) AND hash NOT IN (SELECT photo FROM session_photo)",
        references()
    );
    change.execute(
        &format!("INSERT OR IGNORE INTO leaving (hash) SELECT hash FROM photo WHERE {unreferred}"),
        [],
    )?;
    change.execute(&format!("DELETE FROM photo WHERE {unreferred}"), [])?;
    Ok(())
}

/// Moves a file of the studio's into its trash, under a name that says on which opened day.
fn throw_away(disk: &dyn Disk, studio: &Path, file: &Path, opened: i64) -> Result<(), StudioError> {
    let trash = studio.join(TRASH);
    disk.make_folder(&trash, Whose::Studio)?;
    disk.sync_folder(studio)?;
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    disk.rename(file, &trash.join(format!("{opened}-{name}")))?;
    disk.sync_folder(&trash)?;
    Ok(())
}

/// On which opened day a file was moved into the trash, by its name.
fn thrown_away(file: &Path) -> Option<i64> {
    file.file_name()?.to_str()?.split_once('-')?.0.parse().ok()
}
