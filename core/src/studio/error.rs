//! Why something could not be kept or found again.

use std::io;
use std::path::PathBuf;

/// Why something could not be kept or found again.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StudioError {
    /// Another instance keeps this studio.
    #[error("another window of this program has the studio open")]
    InUse,
    /// The database is from a newer version.
    #[error(
        "the studio was written by a newer version of this program (its schema is {found}, and {known} is known here)"
    )]
    Newer {
        /// Its schema's version.
        found: u32,
        /// The newest that is known.
        known: u32,
    },
    /// The database is torn, or none of ours.
    #[error("{} is damaged, or none of this program's: {detail}", path.display())]
    Damaged {
        /// The database.
        path: PathBuf,
        /// What SQLite says.
        detail: String,
    },
    /// The disk is full.
    #[error("the disk is full")]
    Full,
    /// The disk may only be read.
    #[error("the disk may only be read")]
    ReadOnly,
    /// What was asked for is no longer there.
    #[error("it is no longer there")]
    Gone,
    /// A file's bytes are not those that were kept.
    #[error("the photo's file has changed since it was kept")]
    Changed,
    /// What was kept can't be understood.
    #[error("what was kept can't be understood: {0}")]
    Odd(String),
    /// The disk failed otherwise.
    #[error("the disk failed: {0}")]
    Disk(io::Error),
    /// The database failed otherwise.
    #[error("the database failed: {0}")]
    Database(rusqlite::Error),
}

impl StudioError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::InUse => "Go on in that window, or close it first.",
            Self::Newer { .. } => "Update this program. Nothing was changed.",
            Self::Damaged { .. } => {
                "It can be set aside, so that a new one is begun; nothing is thrown away."
            }
            Self::Full => "Make room and keep it again; it is still in memory.",
            Self::ReadOnly => {
                "Allow writing there, or keep the studio elsewhere; what was not kept is still in memory."
            }
            Self::Gone => "It may have been deleted: look in what was deleted.",
            Self::Changed => "Something else wrote to the studio's folder. A backup has it as it was.",
            Self::Odd(_) => "A newer version of this program may know it.",
            Self::Disk(_) | Self::Database(_) => "Try again; what was not kept is still in memory.",
        }
    }
}

impl From<io::Error> for StudioError {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::Full,
            io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly,
            io::ErrorKind::NotFound => Self::Gone,
            _ => Self::Disk(error),
        }
    }
}

impl From<rusqlite::Error> for StudioError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        match (error.sqlite_error_code(), &error) {
            (Some(ErrorCode::DiskFull), _) => Self::Full,
            (Some(ErrorCode::ReadOnly), _) => Self::ReadOnly,
            (_, rusqlite::Error::QueryReturnedNoRows) => Self::Gone,
            _ => Self::Database(error),
        }
    }
}
