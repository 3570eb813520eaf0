//! Out and in: a session, or the whole studio, as one file.
//!
//! A parcel is a .zip in which nothing is packed: `tonefast.json` (see `record.rs`), originals as `photos/` under the
//! names of their files (their SHA-256 in older versions), and pictures of snapshots as `pictures/`, to be looked at by
//! whoever unpacks it by hand. Where photos stay, small pictures of their snapshots go along as `small/`, and what comes
//! in shows and prints these. As
//! nothing is packed, nothing swells as it is unpacked: a parcel takes no more room than its own size.

mod checked;
#[cfg(feature = "fuzzing")]
pub(super) mod doors;
mod record;
mod settings;

use super::days::note_deletion;
use super::drawings::standing_png;
use super::names::{file_stem, numbered};
use super::paints::{StripRow, insert_paint, insert_strip};
use super::pictures::{self, PhotoHash};
use super::{Moment, Studio, StudioError, StudioReader, carried, next_place, thumbnails};
use crate::Progress;
use checked::Checked;
use record::{KeptStripRecord, Record};
use rusqlite::{Transaction, named_params};
use std::collections::HashMap;
use std::io::{self, Read, Seek, Write};
use std::path::PathBuf;
use zip::result::ZipError;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// Whether originals go along. They may hold the place where they were taken; without them a session can be read, and
/// not be measured again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Originals {
    /// They do.
    With,
    /// They stay.
    Without,
}

const RECORD: &str = "tonefast.json";
const PHOTOS: &str = "photos/";
const PICTURES: &str = "pictures/";
const SMALL: &str = "small/";

impl Studio {
    /// Writes a session as it stands now: [`StudioReader::hand_out`].
    ///
    /// # Errors
    /// [`StudioError::Gone`] where there is no such session, and others.
    pub fn hand_out(
        &self,
        session: i64,
        originals: Originals,
        progress: &Progress,
        out: impl Write + Seek,
    ) -> Result<Vec<PhotoHash>, StudioError> {
        self.reader()?.hand_out(session, originals, progress, out)
    }

    /// Writes all as it stands now: [`StudioReader::back_up`].
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn back_up(
        &self,
        originals: Originals,
        progress: &Progress,
        out: impl Write + Seek,
    ) -> Result<Vec<PhotoHash>, StudioError> {
        self.reader()?.back_up(originals, progress, out)
    }

    /// Brings in what a parcel holds, a session or a whole studio, as it was; answers with the sessions.
    ///
    /// All of it is looked at before anything is written. Where it fails, is called off or cut off, what was written is
    /// removed, at once or when the studio is opened the next time.
    ///
    /// # Errors
    /// [`StudioError::Refused`], [`StudioError::AlreadyHere`], [`StudioError::NotEmpty`] and others; nothing is then
    /// here that was not before.
    pub fn bring_in(
        &mut self,
        progress: &Progress,
        parcel: impl Read + Seek,
    ) -> Result<Vec<i64>, StudioError> {
        let mut parcel = Checked::of(parcel, |share| reached(progress, share / 2.0))?;
        self.has_room_for(parcel.record())?;
        let mut originals = parcel.originals();
        let referred = parcel.record().referred();
        originals.retain(|hash| referred.contains(hash.digits()));
        self.note_coming(&originals)?;
        let brought = self.bring_checked(progress, &mut parcel, &originals);
        if let Err(error) = self.clear_coming() {
            tracing::warn!("photos that did not come in are left until the next start: {error}");
        }
        brought
    }

    fn bring_checked(
        &mut self,
        progress: &Progress,
        parcel: &mut Checked<impl Read + Seek>,
        originals: &[PhotoHash],
    ) -> Result<Vec<i64>, StudioError> {
        for (at, hash) in originals.iter().enumerate() {
            reached(progress, 0.5 + at as f32 / originals.len() as f32 / 2.0)?;
            let bytes = parcel.photo(hash)?;
            if pictures::keep(&*self.disk, &self.photos(), &bytes)? != *hash {
                return Err(StudioError::Refused("it changed while it was read".to_owned()));
            }
        }
        for carried in parcel.carried()? {
            self.keep_carried(&carried)?;
        }
        // The last moment at which it can be called off.
        reached(progress, 1.0)?;
        let change = self.change()?;
        let sessions = bring(&change, parcel.record())?;
        change.commit()?;
        Ok(sessions)
    }

    fn has_room_for(&self, record: &Record) -> Result<(), StudioError> {
        let holds = "SELECT 1 FROM session UNION ALL SELECT 1 FROM paint";
        if record.whole && self.database.prepare(holds)?.exists([])? {
            return Err(StudioError::NotEmpty);
        }
        let mut session_here = self.database.prepare("SELECT 1 FROM session WHERE uuid = ?1")?;
        let mut snapshot_here = self.database.prepare("SELECT 1 FROM snapshot WHERE uuid = ?1")?;
        for session in &record.sessions {
            let mut is_here = session_here.exists([&session.uuid])?;
            for snapshot in &session.snapshots {
                is_here = is_here || snapshot_here.exists([&snapshot.uuid])?;
            }
            if is_here {
                return Err(StudioError::AlreadyHere);
            }
        }
        Ok(())
    }
}

impl StudioReader {
    /// Writes a session as a parcel; answers with photos that should have gone along and whose files are gone or
    /// changed. The caller waits until it is on the disk.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where there is no such session, and others.
    pub fn hand_out(
        &self,
        session: i64,
        originals: Originals,
        progress: &Progress,
        out: impl Write + Seek,
    ) -> Result<Vec<PhotoHash>, StudioError> {
        super::sessions::is_there(&self.database, session)?;
        self.write(Record::of_session(&self.database, session)?, originals, progress, out)
    }

    /// Writes all that is kept and not deleted as one parcel; answers as [`StudioReader::hand_out`] does. Only with
    /// originals does it come back as it was.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn back_up(
        &self,
        originals: Originals,
        progress: &Progress,
        out: impl Write + Seek,
    ) -> Result<Vec<PhotoHash>, StudioError> {
        self.write(Record::of_all(&self.database)?, originals, progress, out)
    }

    fn write(
        &self,
        mut record: Record,
        originals: Originals,
        progress: &Progress,
        out: impl Write + Seek,
    ) -> Result<Vec<PhotoHash>, StudioError> {
        let mut zip = ZipWriter::new(out);
        // One time for all, so that the same record makes the same file.
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Stored)
            .last_modified_time(DateTime::default())
            .unix_permissions(0o644);
        let (mut missing, mut taken) = (Vec::new(), HashMap::new());
        let count = record.photos.len() as f32;
        for (at, photo) in record.photos.iter_mut().enumerate() {
            reached(progress, at as f32 / count)?;
            photo.original &= originals == Originals::With;
            if !photo.original {
                continue;
            }
            let hash = PhotoHash::from_digits(photo.hash.clone())?;
            match pictures::read(&*self.disk, &self.photos, &hash) {
                Ok(bytes) => {
                    let file = part_name(&photo.name, &bytes, &mut taken);
                    zip.start_file(format!("{PHOTOS}{file}"), options).map_err(told)?;
                    zip.write_all(&bytes)?;
                    photo.file = Some(file);
                    record.version = Record::VERSION;
                }
                Err(StudioError::Gone | StudioError::Changed) => {
                    photo.original = false;
                    missing.push(hash);
                }
                Err(error) => return Err(error),
            }
        }
        for (number, snapshot) in record.sessions.iter().flat_map(|it| &it.snapshots).enumerate() {
            let carried = carried::drawing(&*self.disk, &self.folder, &snapshot.uuid)?;
            let carried = carried.map(|png| ("snapshot.png".to_owned(), png));
            let standing = standing_png(&self.database, &*self.disk, &snapshot.uuid)?;
            if let Some((name, png)) = standing.or(carried) {
                zip.start_file(format!("{PICTURES}{:04} {name}", number + 1), options).map_err(told)?;
                zip.write_all(&png)?;
            }
        }
        for uuid in record.without_photo() {
            if let Some(png) = thumbnails::of(&*self.disk, &self.folder, &uuid)? {
                record.version = Record::VERSION;
                zip.start_file(format!("{SMALL}{uuid}.png"), options).map_err(told)?;
                zip.write_all(&png)?;
            }
        }
        zip.start_file(RECORD, options).map_err(told)?;
        serde_json::to_writer_pretty(&mut zip, &record).map_err(io::Error::from)?;
        zip.finish().map_err(told)?.flush()?;
        Ok(missing)
    }
}

/// What a photo's file is called in a parcel: as the file that was opened, by a name that any system takes, with an
/// ending that says what it is, and a number where another has that name. `taken` says up to which number each name is
/// taken, so that the thousandth of a name is not tried a thousand times.
fn part_name(name: &str, bytes: &[u8], taken: &mut HashMap<String, u32>) -> String {
    let is_ending =
        |it: &&str| (2..=5).contains(&it.len()) && it.bytes().all(|byte| byte.is_ascii_alphanumeric());
    let (stem, ending) = match name.rsplit_once('.').filter(|(_, ending)| is_ending(ending)) {
        Some((stem, ending)) => (stem, ending),
        None => (name, crate::photo::usual_ending(bytes)),
    };
    let wanted = PathBuf::from(format!("{}.{ending}", file_stem(stem, "photo")));
    // Some systems take upper and lower case for the same.
    let key = wanted.to_string_lossy().to_lowercase();
    let mut number = taken.get(&key).map_or(1, |last| last + 1);
    let name = loop {
        let name = numbered(&wanted, number).to_string_lossy().into_owned();
        if !taken.contains_key(&name.to_lowercase()) {
            break name;
        }
        number += 1;
    };
    taken.insert(name.to_lowercase(), 1);
    taken.insert(key, number);
    name
}

/// Writes the rows of a record that was checked.
fn bring(change: &Transaction<'_>, record: &Record) -> Result<Vec<i64>, StudioError> {
    let deletion = |at: Option<i64>| at.map(|at| note_deletion(change, Moment(at))).transpose();
    let referred = record.referred();
    for photo in record.photos.iter().filter(|photo| referred.contains(&*photo.hash)) {
        pictures::stays(change, &photo.hash)?;
        change.execute(
            "INSERT INTO photo (hash, name, bytes, kept, left_out) VALUES (:hash, :name, :bytes, :kept, :left_out)
             ON CONFLICT (hash) DO UPDATE SET left_out = min(left_out, excluded.left_out)",
            named_params! {
                ":hash": photo.hash, ":name": photo.name, ":bytes": photo.bytes, ":kept": photo.kept,
                ":left_out": !photo.original,
            },
        )?;
    }
    for (name, value) in &record.settings {
        change.execute(
            "INSERT INTO setting (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2",
            (name, settings::taken_over(name, value)),
        )?;
    }
    let mut sessions = Vec::new();
    for session in &record.sessions {
        change.execute(
            "INSERT INTO session (uuid, place, title, locality, day, notes, begun, deleted)
             VALUES (:uuid, :place, :title, :locality, :day, :notes, :begun, :deleted)",
            named_params! {
                ":uuid": session.uuid, ":place": next_place(change, "session")?, ":title": session.title,
                ":locality": session.locality, ":day": session.day, ":notes": session.notes,
                ":begun": session.begun, ":deleted": deletion(session.deleted)?,
            },
        )?;
        let id = change.last_insert_rowid();
        // Older programs named photos whose snapshots are gone, too.
        let is_seen = |photo: &str| session.snapshots.iter().any(|snapshot| snapshot.photo == photo);
        for photo in session.photos.iter().filter(|it| is_seen(&it.photo)) {
            let hash = PhotoHash::from_digits(photo.photo.clone())?;
            pictures::belong(change, id, &hash, &photo.name, Moment(photo.kept))?;
        }
        for snapshot in &session.snapshots {
            change.execute(
                "INSERT INTO snapshot (uuid, place, session, photo, title, note, kept, seen, deleted)
                 VALUES (:uuid, :place, :session, :photo, :title, :note, :kept, :seen, :deleted)",
                named_params! {
                    ":uuid": snapshot.uuid, ":place": next_place(change, "snapshot")?, ":session": id,
                    ":photo": snapshot.photo, ":title": snapshot.title, ":note": snapshot.note,
                    ":kept": snapshot.kept, ":seen": snapshot.seen.to_json()?, ":deleted": deletion(snapshot.deleted)?,
                },
            )?;
        }
        sessions.push(id);
    }
    for paint in &record.paints {
        let id =
            insert_paint(change, &paint.uuid, &paint.about, Moment(paint.begun), deletion(paint.deleted)?)?;
        for KeptStripRecord { uuid, photo, painted, kept, deleted } in &paint.strips {
            let photo = photo.clone().map(PhotoHash::from_digits).transpose()?;
            let kept = Moment(*kept);
            let strip = StripRow { uuid, photo: photo.as_ref(), painted, kept, deleted: deletion(*deleted)? };
            insert_strip(change, id, &strip)?;
        }
    }
    Ok(sessions)
}

/// Says how far it is, and stops where it was called off.
fn reached(progress: &Progress, share: f32) -> Result<(), StudioError> {
    progress.reach(share).map_err(|_| StudioError::Cancelled)
}

fn told(error: ZipError) -> StudioError {
    match error {
        ZipError::Io(error) => error.into(),
        ZipError::InvalidArchive(_) => StudioError::Refused("it is no .zip, or a damaged one".to_owned()),
        other => StudioError::Refused(other.to_string()),
    }
}
