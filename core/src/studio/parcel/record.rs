//! `tonefast.json` of a parcel: versions 1 to 3 of the schema `tonefast-studio`. The second has paints, and the third
//! photos under the names of their files, or small pictures; without these, the first is written, which older programs
//! read.
//!
//! Nothing that was deleted is written; older programs did write it, so `deleted` is still read.
//!
//! Times are milliseconds since 1970, UTC. Sessions, photos of sessions and snapshots stand in their order. What a
//! snapshot holds is [`Seen`]. A field that is not known is refused: a newer version says so by its number.

use crate::paint::{PaintAbout, PaintedStrip};
use crate::studio::StudioError;
use crate::studio::paints::from_json;
use crate::studio::references::references;
use crate::studio::seen::Seen;
use rusqlite::{Connection, Params, Row};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What a parcel holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct Record {
    /// [`Record::SCHEMA`].
    pub(super) schema: String,
    /// [`Record::VERSION`].
    pub(super) version: u32,
    /// Version of the core that wrote it.
    pub(super) core: String,
    /// Whether it is all that was kept.
    pub(super) whole: bool,
    pub(super) sessions: Vec<SessionRecord>,
    /// Each photo once.
    pub(super) photos: Vec<PhotoRecord>,
    /// By name; none but in a whole studio.
    pub(super) settings: BTreeMap<String, String>,
    /// None but in a whole studio.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) paints: Vec<KeptPaintRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct KeptPaintRecord {
    pub(super) uuid: String,
    pub(super) about: PaintAbout,
    pub(super) begun: i64,
    pub(super) deleted: Option<i64>,
    pub(super) strips: Vec<KeptStripRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct KeptStripRecord {
    pub(super) uuid: String,
    /// Its photo's SHA-256 in hexadecimal.
    pub(super) photo: Option<String>,
    pub(super) painted: PaintedStrip,
    pub(super) kept: i64,
    pub(super) deleted: Option<i64>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct SessionRecord {
    /// Of version 7 (RFC 9562).
    pub(super) uuid: String,
    pub(super) title: String,
    pub(super) locality: String,
    pub(super) day: String,
    pub(super) notes: String,
    pub(super) begun: i64,
    /// When it went into the trash.
    pub(super) deleted: Option<i64>,
    pub(super) photos: Vec<BelongingRecord>,
    pub(super) snapshots: Vec<SnapshotRecord>,
}

/// That a photo belongs to a session.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct BelongingRecord {
    /// Its SHA-256 in hexadecimal.
    pub(super) photo: String,
    pub(super) name: String,
    pub(super) kept: i64,
    pub(super) deleted: Option<i64>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct SnapshotRecord {
    pub(super) uuid: String,
    /// Its photo's SHA-256 in hexadecimal.
    pub(super) photo: String,
    pub(super) title: String,
    pub(super) note: String,
    pub(super) kept: i64,
    pub(super) deleted: Option<i64>,
    pub(super) seen: Seen,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct PhotoRecord {
    /// SHA-256 of its bytes in hexadecimal.
    pub(super) hash: String,
    pub(super) name: String,
    pub(super) bytes: i64,
    pub(super) kept: i64,
    /// Whether its bytes are in the parcel.
    pub(super) original: bool,
    /// What its file is called there; before version 3 that was its hash.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) file: Option<String>,
}

impl Record {
    pub(super) const SCHEMA: &str = "tonefast-studio";
    /// The newest.
    pub(super) const VERSION: u32 = 3;

    /// A session, without what of it is deleted.
    pub(super) fn of_session(database: &Connection, session: i64) -> Result<Self, StudioError> {
        let photos = photos(database, "session = ?1", [session])?;
        let session = session_record(database, session)?;
        Ok(Self::new(false, vec![session], photos, BTreeMap::new(), Vec::new()))
    }

    /// All that is kept and not deleted: what was deleted is gone from every copy that leaves the machine.
    pub(super) fn of_all(database: &Connection) -> Result<Self, StudioError> {
        let mut query = database.prepare("SELECT id FROM session WHERE deleted IS NULL ORDER BY place")?;
        let ids: Vec<i64> = query.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        let sessions = ids.into_iter().map(|id| session_record(database, id)).collect::<Result<_, _>>()?;
        let mut query = database.prepare("SELECT name, value FROM setting")?;
        let settings =
            query.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        let photos = photos(database, "TRUE", [])?;
        Ok(Self::new(true, sessions, photos, settings, all_paints(database)?))
    }

    /// Photos that a snapshot or a strip in it refers to, deleted or not; there were others in what older programs wrote.
    pub(super) fn referred(&self) -> BTreeSet<&str> {
        let snapshots = self.sessions.iter().flat_map(|session| &session.snapshots);
        let strips = self.paints.iter().flat_map(|paint| &paint.strips);
        let read_in = strips.filter_map(|strip| strip.photo.as_deref());
        snapshots.map(|snapshot| snapshot.photo.as_str()).chain(read_in).collect()
    }

    /// Snapshots whose photos are not in the parcel.
    pub(super) fn without_photo(&self) -> Vec<String> {
        let held: BTreeSet<&str> =
            self.photos.iter().filter(|photo| photo.original).map(|photo| photo.hash.as_str()).collect();
        let snapshots = self.sessions.iter().flat_map(|session| &session.snapshots);
        snapshots.filter(|it| !held.contains(&*it.photo)).map(|it| it.uuid.clone()).collect()
    }

    fn new(
        whole: bool,
        sessions: Vec<SessionRecord>,
        photos: Vec<PhotoRecord>,
        settings: BTreeMap<String, String>,
        paints: Vec<KeptPaintRecord>,
    ) -> Self {
        let (schema, core) = (Self::SCHEMA.to_owned(), Seen::CORE.to_owned());
        let version = if paints.is_empty() { 1 } else { 2 };
        Self { schema, version, core, whole, sessions, photos, settings, paints }
    }
}

impl PhotoRecord {
    /// What its file is called in the parcel, where it is there.
    pub(super) fn part(&self) -> &str {
        self.file.as_deref().unwrap_or(&self.hash)
    }
}

impl SessionRecord {
    /// All that it refers to.
    pub(super) fn photos(&self) -> impl Iterator<Item = &str> {
        let snapshots = self.snapshots.iter().map(|snapshot| snapshot.photo.as_str());
        self.photos.iter().map(|it| it.photo.as_str()).chain(snapshots)
    }
}

/// The photos that something refers to which is not deleted.
fn photos(database: &Connection, which: &str, values: impl Params) -> Result<Vec<PhotoRecord>, StudioError> {
    let mut query = database.prepare(&format!(
        "SELECT hash, name, bytes, kept, NOT left_out FROM photo
         WHERE hash IN (SELECT photo FROM ({}) WHERE live AND {which}) ORDER BY hash",
        references()
    ))?;
    let photos = query.query_map(values, |row| {
        Ok(PhotoRecord {
            hash: row.get(0)?,
            name: row.get(1)?,
            bytes: row.get(2)?,
            kept: row.get(3)?,
            original: row.get(4)?,
            file: None,
        })
    })?;
    Ok(photos.collect::<Result<_, _>>()?)
}

fn all_paints(database: &Connection) -> Result<Vec<KeptPaintRecord>, StudioError> {
    let mut strips =
        database.prepare("SELECT * FROM strip WHERE paint = ?1 AND deleted IS NULL ORDER BY place")?;
    let mut query = database.prepare("SELECT * FROM paint WHERE deleted IS NULL ORDER BY place")?;
    let paints = query.query_and_then([], |row| {
        let strips = strips.query_and_then([row.get::<_, i64>("id")?], strip_record)?;
        Ok(KeptPaintRecord {
            uuid: row.get("uuid")?,
            about: from_json(&row.get::<_, String>("about")?)?,
            begun: row.get("begun")?,
            deleted: None,
            strips: strips.collect::<Result<_, _>>()?,
        })
    })?;
    paints.collect()
}

fn strip_record(row: &Row<'_>) -> Result<KeptStripRecord, StudioError> {
    Ok(KeptStripRecord {
        uuid: row.get("uuid")?,
        photo: row.get("photo")?,
        painted: from_json(&row.get::<_, String>("painted")?)?,
        kept: row.get("kept")?,
        deleted: None,
    })
}

fn session_record(database: &Connection, id: i64) -> Result<SessionRecord, StudioError> {
    let mut query = database.prepare(&format!(
        "SELECT photo, name, kept FROM session_photo WHERE session = ?1
         AND photo IN (SELECT photo FROM ({}) WHERE session = ?1 AND live) ORDER BY place",
        references()
    ))?;
    let photos = query
        .query_map([id], |row| {
            Ok(BelongingRecord { photo: row.get(0)?, name: row.get(1)?, kept: row.get(2)?, deleted: None })
        })?
        .collect::<Result<_, _>>()?;
    let mut query =
        database.prepare("SELECT * FROM snapshot WHERE session = ?1 AND deleted IS NULL ORDER BY place")?;
    let snapshots = query.query_and_then([id], snapshot_record)?.collect::<Result<_, _>>()?;
    let session = database.query_row("SELECT * FROM session WHERE id = ?1", [id], |row| {
        Ok(SessionRecord {
            uuid: row.get("uuid")?,
            title: row.get("title")?,
            locality: row.get("locality")?,
            day: row.get("day")?,
            notes: row.get("notes")?,
            begun: row.get("begun")?,
            deleted: None,
            photos,
            snapshots,
        })
    })?;
    Ok(session)
}

fn snapshot_record(row: &Row<'_>) -> Result<SnapshotRecord, StudioError> {
    Ok(SnapshotRecord {
        uuid: row.get("uuid")?,
        photo: row.get("photo")?,
        title: row.get("title")?,
        note: row.get("note")?,
        kept: row.get("kept")?,
        deleted: None,
        seen: Seen::from_json(&row.get::<_, String>("seen")?)?,
    })
}
