//! Records of what waits, as they are written. Types are the record's own, but for those that are records already.

use super::super::ToKeep;
use super::photo_file;
use crate::error::Error;
use crate::snapshot::{NewSnapshot, WaitingSnapshot};
use crate::state::Original;
use crate::strip::{NewStrip, WaitingStrip};
use serde::{Deserialize, Serialize};
use std::io;
use tonefast_core::{PaintAbout, PhotoHash};

/// Something that waits; its photo lies beside.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(super) struct Record {
    /// Of this record: [`FORMAT`].
    format: u32,
    /// SHA-256 of its photo, in hexadecimal digits.
    photo: Option<String>,
    what: What,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
enum What {
    Snapshot(WaitingSnapshot),
    Strip(WaitingStrip),
    /// A paint's uuid, and what is said of it.
    About(String, PaintAbout),
}

/// Why something can't be taken up. Nothing of the painter's is in it: it is logged.
#[derive(Debug, thiserror::Error)]
pub(super) enum Unreadable {
    #[error("a file can't be read: {}", .0.kind())]
    Read(#[from] io::Error),
    #[error("a record is malformed")]
    Malformed,
    #[error("a record is of a format that is not known here")]
    Format,
    #[error("a record's photo has changed, or none is named")]
    Photo,
    #[error("a record holds what can't be kept")]
    Refused,
}

/// Grows when a field changes its meaning.
const FORMAT: u32 = 1;

impl Record {
    /// Of something that waits, and the photo that goes with it.
    pub(super) fn of(what: &ToKeep) -> (Self, Option<&[u8]>) {
        let (what, photo) = match what {
            ToKeep::Snapshot(new) => (What::Snapshot(new.waiting()), Some(new.original())),
            ToKeep::Strip(new) => (What::Strip(new.waiting()), Some(new.original())),
            ToKeep::About(paint, about) => (What::About(paint.clone(), about.clone()), None),
        };
        let photo: Option<&[u8]> = photo.map(|original| &original[..]);
        let digits = photo.map(|bytes| PhotoHash::of(bytes).digits().to_owned());
        (Self { format: FORMAT, photo: digits, what }, photo)
    }

    pub(super) fn read(json: &[u8]) -> Result<Self, Unreadable> {
        #[derive(Deserialize)]
        struct Format {
            format: u32,
        }
        let Format { format } = serde_json::from_slice(json).map_err(|_| Unreadable::Malformed)?;
        if format != FORMAT {
            return Err(Unreadable::Format);
        }
        let record: Self = serde_json::from_slice(json).map_err(|_| Unreadable::Malformed)?;
        let is_digit = |byte: u8| byte.is_ascii_hexdigit();
        // It becomes a file's name.
        if record.photo.as_ref().is_some_and(|digits| digits.len() != 64 || !digits.bytes().all(is_digit)) {
            return Err(Unreadable::Malformed);
        }
        Ok(record)
    }

    /// The name of its photo's file.
    pub(super) fn photo_file(&self) -> Option<String> {
        self.photo.as_deref().map(photo_file)
    }

    /// What waits, with its photo.
    pub(super) fn restored(self, photo: Option<Original>) -> Result<ToKeep, Unreadable> {
        let restored = match (self.what, photo) {
            (What::Snapshot(waiting), Some(photo)) => {
                NewSnapshot::restored(waiting, photo).map(ToKeep::Snapshot)
            }
            (What::Strip(waiting), Some(photo)) => NewStrip::restored(waiting, photo).map(ToKeep::Strip),
            (What::About(paint, about), None) => described(paint, about),
            _ => return Err(Unreadable::Photo),
        };
        restored.map_err(|_| Unreadable::Refused)
    }
}

fn described(paint: String, about: PaintAbout) -> Result<ToKeep, Error> {
    about.check().map_err(|why| Error::Caller(why.to_string()))?;
    Ok(ToKeep::About(paint, about))
}
