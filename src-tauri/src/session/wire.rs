//! Sessions as the page knows them.

use crate::error::Error;
use crate::snapshot::wire::SnapshotInfo;
use serde::{Deserialize, Serialize};
use tonefast_core::{
    Deleted, DeletedPhotos, Found, Kept, Moment, Session, SessionAbout, SessionOrder, Studio, StudioError,
};

/// A session.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct SessionInfo {
    id: i64,
    /// What settings, and what waits, call it.
    pub(crate) uuid: String,
    about: About,
    /// Milliseconds since 1970, UTC.
    begun: i64,
    /// How many there are in it.
    snapshots: u32,
    /// The last kept of them.
    cover: Option<i64>,
}

/// What the painter says of a session.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct About {
    title: String,
    place: String,
    /// Year-month-day, or as she writes it.
    day: String,
    notes: String,
}

/// How sessions are sorted.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum OrderName {
    Newest,
    Title,
    Place,
    Day,
}

/// What may go into the trash and come back.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum KeptThing {
    Session {
        id: i64,
    },
    Snapshot {
        id: i64,
    },
    Paint {
        id: i64,
    },
    Strip {
        id: i64,
    },
    /// A photo that no snapshot of its session is of.
    Photo {
        id: i64,
    },
}

/// Something in the trash.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct DeletedInfo {
    what: KeptThing,
    title: String,
    /// Milliseconds since 1970, UTC.
    deleted: i64,
}

/// The trash.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct TrashInfo {
    /// What is in it, the last deleted first.
    things: Vec<DeletedInfo>,
    /// How many photos go with it, and their bytes.
    photos: u64,
    bytes: u64,
}

/// What was found.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct FoundInfo {
    sessions: Vec<SessionInfo>,
    snapshots: Vec<SnapshotInfo>,
}

/// Longest title, place or day, and longest note, in bytes: a sheet of paper.
const LONGEST: (usize, usize) = (4_000, 100_000);

/// Refuses what nobody writes by hand.
pub(crate) fn within_reason(lines: &[&str], note: &str) -> Result<(), Error> {
    let reasonable = lines.iter().all(|line| line.len() <= LONGEST.0) && note.len() <= LONGEST.1;
    if reasonable { Ok(()) } else { Err(Error::Caller("that is too long to be kept".to_owned())) }
}

impl TryFrom<About> for SessionAbout {
    type Error = Error;

    fn try_from(About { title, place, day, notes }: About) -> Result<Self, Error> {
        within_reason(&[&title, &place, &day], &notes)?;
        Ok(Self { title, locality: place, day, notes })
    }
}

impl From<SessionAbout> for About {
    fn from(SessionAbout { title, locality, day, notes }: SessionAbout) -> Self {
        Self { title, place: locality, day, notes }
    }
}

impl From<Session> for SessionInfo {
    fn from(Session { id, uuid, about, begun: Moment(begun), snapshots, cover }: Session) -> Self {
        Self { id, uuid, about: about.into(), begun, snapshots, cover }
    }
}

impl From<OrderName> for SessionOrder {
    fn from(name: OrderName) -> Self {
        match name {
            OrderName::Newest => Self::Newest,
            OrderName::Title => Self::Title,
            OrderName::Place => Self::Locality,
            OrderName::Day => Self::Day,
        }
    }
}

impl From<KeptThing> for Kept {
    fn from(what: KeptThing) -> Self {
        match what {
            KeptThing::Session { id } => Self::Session(id),
            KeptThing::Snapshot { id } => Self::Snapshot(id),
            KeptThing::Paint { id } => Self::Paint(id),
            KeptThing::Strip { id } => Self::Strip(id),
            KeptThing::Photo { id } => Self::Photo(id),
        }
    }
}

impl From<Deleted> for DeletedInfo {
    fn from(Deleted { what, title, deleted: Moment(deleted) }: Deleted) -> Self {
        let what = match what {
            Kept::Session(id) => KeptThing::Session { id },
            Kept::Snapshot(id) => KeptThing::Snapshot { id },
            Kept::Paint(id) => KeptThing::Paint { id },
            Kept::Strip(id) => KeptThing::Strip { id },
            Kept::Photo(id) => KeptThing::Photo { id },
        };
        Self { what, title, deleted }
    }
}

impl TrashInfo {
    /// All that is in the trash.
    pub(crate) fn of(studio: &Studio) -> Result<Self, StudioError> {
        let DeletedPhotos { count, bytes } = studio.deleted_photos()?;
        let things = studio.deleted()?.into_iter().map(Into::into).collect();
        Ok(Self { things, photos: count, bytes })
    }
}

impl FoundInfo {
    pub(crate) fn new(Found { sessions, snapshots }: Found) -> Self {
        Self {
            sessions: sessions.into_iter().map(Into::into).collect(),
            snapshots: snapshots.into_iter().map(SnapshotInfo::new).collect(),
        }
    }
}
