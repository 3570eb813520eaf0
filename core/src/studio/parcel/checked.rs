//! A parcel that was looked at, all of it, before anything of it is used.

use super::record::Record;
use super::{PHOTOS, PICTURES, RECORD, SMALL, told};
use crate::studio::StudioError;
use crate::studio::carried::Carried;
use crate::studio::pictures::PhotoHash;
use crate::studio::seen::Seen;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::io::{Read, Seek};
use std::ops::RangeInclusive;
use uuid::Uuid;
use zip::{CompressionMethod, ZipArchive};

/// A parcel whose parts are those that its record tells of, and hold what it says.
pub(super) struct Checked<R> {
    zip: ZipArchive<R>,
    record: Record,
}

/// Longest record in bytes: some hundred thousand snapshots.
const LONGEST_RECORD: u64 = 1 << 28;

/// Milliseconds about 1970 that a date can be made of (ECMA-262, 21.4.1.1).
const TIMES: RangeInclusive<i64> = -8_640_000_000_000_000..=8_640_000_000_000_000;

/// Bytes of a photo: a terabyte, so that a million of them still add up.
const BYTES: RangeInclusive<i64> = 0..=1 << 40;

/// What every version's record says of itself.
#[derive(Deserialize)]
struct Schema {
    schema: String,
    version: u32,
}

impl<R: Read + Seek> Checked<R> {
    /// Looks at all of a parcel; says what share of it was looked at.
    pub(super) fn of(
        parcel: R,
        reached: impl Fn(f32) -> Result<(), StudioError>,
    ) -> Result<Self, StudioError> {
        let mut zip = ZipArchive::new(parcel).map_err(told)?;
        if zip.has_duplicate_names() {
            return refused("two of its parts have one name");
        }
        // In a parcel that was made to swell, parts share their bytes.
        if zip.has_overlapping_entries().map_err(told)? {
            return refused("its parts overlap");
        }
        let mut photos = BTreeSet::new();
        for at in 0..zip.len() {
            let part = zip.by_index_raw(at).map_err(told)?;
            let name = part.name().map_err(told)?.into_owned();
            let is_plain = part.compression() == CompressionMethod::Stored
                && part.size() == part.compressed_size()
                && !part.encrypted();
            if !is_plain {
                return refused("it is packed in another way than it is handed out");
            }
            let is_file = part.unix_mode().is_none_or(|mode| matches!(mode & 0o170_000, 0 | 0o100_000));
            if !is_file || part.is_dir() || part.is_symlink() {
                return refused("something in it is no file");
            }
            if let Some(photo) = name.strip_prefix(PHOTOS).filter(|it| is_file_name(it)) {
                photos.insert(photo.to_owned());
            } else if name != RECORD
                && ![PICTURES, SMALL].iter().any(|it| name.strip_prefix(it).is_some_and(is_picture))
            {
                return refused(&format!("{name:?} does not belong there"));
            }
        }
        let record = read_record(&mut zip)?;
        check(&record, &photos)?;
        let mut checked = Self { zip, record };
        let originals = checked.originals();
        for (at, hash) in originals.iter().enumerate() {
            reached(at as f32 / originals.len() as f32)?;
            if PhotoHash::of(&checked.photo(hash)?) != *hash {
                return refused("a photo in it is damaged");
            }
        }
        Ok(checked)
    }

    pub(super) fn record(&self) -> &Record {
        &self.record
    }

    /// Photos whose bytes it holds.
    pub(super) fn originals(&self) -> Vec<PhotoHash> {
        let held = self.record.photos.iter().filter(|photo| photo.original);
        held.filter_map(|photo| PhotoHash::from_digits(photo.hash.clone()).ok()).collect()
    }

    /// Pictures of the snapshots whose photos are not in it.
    pub(super) fn carried(&mut self) -> Result<Vec<Carried>, StudioError> {
        let names: Vec<String> = self
            .zip
            .file_names()
            .map(|name| name.map(|name| name.to_string()))
            .collect::<Result<_, _>>()
            .map_err(told)?;
        // A drawn picture's name begins with its snapshot's number, counted through all sessions from 1.
        let drawn: BTreeMap<usize, &String> = names
            .iter()
            .filter_map(|name| Some((name.strip_prefix(PICTURES)?.split_once(' ')?.0.parse().ok()?, name)))
            .collect();
        let snapshots = self.record.sessions.iter().flat_map(|session| &session.snapshots);
        let numbers: BTreeMap<String, usize> =
            snapshots.zip(1..).map(|(snapshot, number)| (snapshot.uuid.clone(), number)).collect();
        let mut carried = Vec::new();
        for uuid in self.record.without_photo() {
            let small = format!("{SMALL}{uuid}.png");
            let small = if names.contains(&small) { Some(self.part(&small)?) } else { None };
            let drawn = numbers.get(&uuid).and_then(|number| drawn.get(number));
            let drawn = drawn.map(|name| self.part(name)).transpose()?;
            carried.push(Carried { uuid, small, drawn });
        }
        Ok(carried)
    }

    /// The bytes of a photo: no more than the parcel has itself.
    pub(super) fn photo(&mut self, hash: &PhotoHash) -> Result<Vec<u8>, StudioError> {
        let told_of = self.record.photos.iter().find(|photo| photo.hash == hash.digits());
        let name = format!("{PHOTOS}{}", told_of.ok_or(StudioError::Gone)?.part());
        self.part(&name)
    }

    fn part(&mut self, name: &str) -> Result<Vec<u8>, StudioError> {
        let mut bytes = Vec::new();
        let part = self.zip.by_name(name).map_err(told)?;
        let size = part.size();
        part.take(size).read_to_end(&mut bytes).map_err(|error| because(&error))?;
        Ok(bytes)
    }
}

fn read_record<R: Read + Seek>(zip: &mut ZipArchive<R>) -> Result<Record, StudioError> {
    let part = zip.by_name(RECORD).map_err(told)?;
    if part.size() > LONGEST_RECORD {
        return refused("its record is too long");
    }
    let mut text = String::new();
    part.take(LONGEST_RECORD).read_to_string(&mut text).map_err(|error| because(&error))?;
    let schema: Schema = serde_json::from_str(&text).map_err(|error| because(&error))?;
    if schema.schema != Record::SCHEMA {
        return refused("it is of something else");
    }
    if !(1..=Record::VERSION).contains(&schema.version) {
        return refused(&format!("its version is {}, and {} is known here", schema.version, Record::VERSION));
    }
    serde_json::from_str(&text).map_err(|error| because(&error))
}

/// A record agrees with itself and with the photos that came with it.
fn check(record: &Record, came: &BTreeSet<String>) -> Result<(), StudioError> {
    let mut told_of = BTreeSet::new();
    let mut originals = BTreeSet::new();
    for photo in &record.photos {
        PhotoHash::from_digits(photo.hash.clone()).map_err(|error| because(&error))?;
        if !told_of.insert(photo.hash.as_str())
            || !BYTES.contains(&photo.bytes)
            || !TIMES.contains(&photo.kept)
        {
            return refused("a photo is told of twice, or wrongly");
        }
        if photo.original && !originals.insert(photo.part()) {
            return refused("two of its photos have one name");
        }
    }
    if !came.iter().map(String::as_str).eq(originals) {
        return refused("its photos are not those that it tells of");
    }
    if !record.whole
        && (record.sessions.len() != 1 || !record.settings.is_empty() || !record.paints.is_empty())
    {
        return refused("it is neither one session nor a whole studio");
    }
    let mut uuids = BTreeSet::new();
    for session in &record.sessions {
        let snapshots = session.snapshots.iter().map(|snapshot| &snapshot.uuid);
        for uuid in std::iter::once(&session.uuid).chain(snapshots) {
            if !is_plain(uuid) || !uuids.insert(uuid) {
                return refused("a record in it has no name of its own");
            }
        }
        if session.photos().any(|photo| !told_of.contains(photo)) {
            return refused("it does not tell of a photo that is in a session");
        }
        if session.snapshots.iter().any(|snapshot| snapshot.seen.format > Seen::FORMAT) {
            return refused("a newer version kept what is in it");
        }
        let belongings = session.photos.iter().flat_map(|it| [Some(it.kept), it.deleted]);
        let snapshots = session.snapshots.iter().flat_map(|it| [Some(it.kept), it.deleted]);
        are_times([Some(session.begun), session.deleted].into_iter().chain(belongings).chain(snapshots))?;
        for snapshot in &session.snapshots {
            snapshot.seen.check().map_err(|error| because(&error))?;
        }
    }
    for paint in &record.paints {
        for uuid in std::iter::once(&paint.uuid).chain(paint.strips.iter().map(|strip| &strip.uuid)) {
            if !is_plain(uuid) || !uuids.insert(uuid) {
                return refused("a record in it has no name of its own");
            }
        }
        let strips = paint.strips.iter().flat_map(|it| [Some(it.kept), it.deleted]);
        are_times([Some(paint.begun), paint.deleted].into_iter().chain(strips))?;
        paint.about.check().map_err(|error| because(&error))?;
        for strip in &paint.strips {
            strip.painted.check().map_err(|error| because(&error))?;
            if strip.photo.as_ref().is_some_and(|photo| !told_of.contains(photo.as_str())) {
                return refused("it does not tell of a photo that a strip was read in");
            }
        }
    }
    Ok(())
}

fn are_times(times: impl Iterator<Item = Option<i64>>) -> Result<(), StudioError> {
    if times.flatten().all(|time| TIMES.contains(&time)) { Ok(()) } else { refused("a time in it is none") }
}

/// A UUID as it is written here.
fn is_plain(uuid: &str) -> bool {
    Uuid::parse_str(uuid).is_ok_and(|it| it.to_string() == uuid)
}

/// A name with no folder in it, on any system.
fn is_picture(name: &str) -> bool {
    name.ends_with(".png") && is_file_name(name)
}

/// A name with no folder in it, on any system, and none of its own.
fn is_file_name(name: &str) -> bool {
    !matches!(name, "" | "." | "..") && !name.contains(['/', '\\', ':', '\0'])
}

fn refused<T>(why: &str) -> Result<T, StudioError> {
    Err(StudioError::Refused(why.to_owned()))
}

/// By the parcel's own sums, by its record, or by the disk that it lies on.
fn because(error: &dyn Error) -> StudioError {
    StudioError::Refused(error.to_string())
}
