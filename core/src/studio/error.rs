//! Why something could not be kept or found again.

use rusqlite::{ErrorCode, ffi};
use std::io;
use std::path::PathBuf;

/// Why something could not be kept or found again, in words for the painter: [`StudioError::hint`] says what to do.
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
    /// The database is torn.
    #[error("{} is damaged: {detail}", path.display())]
    Damaged {
        /// The database.
        path: PathBuf,
        /// What SQLite says.
        detail: String,
    },
    /// The file of the database's name holds something else.
    #[error("{} is none of this program's", path.display())]
    NotOurs {
        /// The file.
        path: PathBuf,
    },
    /// The disk is full.
    #[error("the disk is full")]
    Full,
    /// The disk or the folder may only be read.
    #[error("writing is not allowed there")]
    ReadOnly,
    /// What was asked for is no longer there.
    #[error("it is no longer there")]
    Gone,
    /// A file's bytes are not those that were kept.
    #[error("the photo's file has changed since it was kept")]
    Changed,
    /// A photo came in without its original.
    #[error("the photo was left out when this session was handed over")]
    LeftOut,
    /// A record can't be understood, or not be kept without loss.
    #[error("the record can't be understood: {0}")]
    Odd(String),
    /// A parcel is not brought in; nothing was written.
    #[error("this file can't be brought in: {0}")]
    Refused(String),
    /// What a parcel holds is here already.
    #[error("you already have this session")]
    AlreadyHere,
    /// A backup is brought in where something is kept already.
    #[error("this is a backup of a whole studio, and there is one here already")]
    NotEmpty,
    /// What is handed out or backed up is still being written.
    #[error("a hand-out or a backup is being written")]
    BeingRead,
    /// The caller called it off.
    #[error("it was called off")]
    Cancelled,
    /// The disk failed otherwise.
    #[error("the disk failed: {}", disk_words(.0))]
    Disk(io::Error),
    /// The database failed otherwise.
    #[error("the database failed: {0}")]
    Database(rusqlite::Error),
}

/// Whose fault a [`StudioError`] is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StudioFault {
    /// The disk's: its room, its rights, or itself.
    Disk,
    /// A file's, which is not what it should be.
    File,
    /// Nobody's: another window has it, it was deleted, it is here already, or it was called off.
    Elsewhere,
    /// The program's.
    Program,
}

impl StudioError {
    /// Whose fault it is.
    #[must_use]
    pub fn fault(&self) -> StudioFault {
        match self {
            Self::Full | Self::ReadOnly | Self::Disk(_) => StudioFault::Disk,
            Self::Newer { .. } | Self::Damaged { .. } | Self::NotOurs { .. } => StudioFault::File,
            Self::Changed | Self::Odd(_) | Self::Refused(_) => StudioFault::File,
            Self::InUse
            | Self::Gone
            | Self::LeftOut
            | Self::AlreadyHere
            | Self::NotEmpty
            | Self::BeingRead
            | Self::Cancelled => StudioFault::Elsewhere,
            Self::Database(error) => match error.sqlite_error_code() {
                Some(ErrorCode::CannotOpen | ErrorCode::SystemIoFailure) => StudioFault::Disk,
                _ => StudioFault::Program,
            },
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::InUse => "Go on in that window, or close it first.",
            Self::Newer { .. } => "Update this program. Nothing was changed.",
            Self::Damaged { .. } | Self::NotOurs { .. } => {
                "It can be set aside, so that a new one is begun; nothing is thrown away."
            }
            Self::Full => "Make room on the disk.",
            Self::ReadOnly => {
                "Allow writing there, or keep the studio elsewhere; what was not kept is still in memory."
            }
            Self::Gone => "It may have been deleted: look in what was deleted.",
            Self::Changed => "Something else wrote to the studio's folder. A backup has it as it was.",
            Self::LeftOut => "Ask for the session with its originals, or open the photo again from your own.",
            Self::Odd(_) => "A newer version of this program may know it.",
            Self::Refused(_) => "Have it handed out anew, and don't pack it again on the way.",
            Self::AlreadyHere => "Look among your sessions, and among what was deleted.",
            Self::NotEmpty => "Set this studio aside and restore the backup in its place.",
            Self::BeingRead => "Wait until it is done, or cancel it.",
            Self::Cancelled => "Do it again when you like; nothing was changed.",
            Self::Disk(_) | Self::Database(_) => "Try again.",
        }
    }
}

/// What a disk says, in plain words: no number, and no path.
#[must_use]
pub fn disk_words(error: &io::Error) -> &'static str {
    use io::ErrorKind as Kind;
    match error.kind() {
        Kind::NotFound => "it is no longer there",
        Kind::PermissionDenied => "this is not allowed here",
        Kind::IsADirectory => "it is a folder",
        Kind::NotADirectory => "a file is where a folder should be",
        Kind::StorageFull | Kind::QuotaExceeded => "the disk is full",
        Kind::ReadOnlyFilesystem => "the disk may only be read",
        Kind::FileTooLarge => "the disk takes no file of this size",
        Kind::InvalidFilename => "the disk does not take its name",
        Kind::ResourceBusy | Kind::WouldBlock => "another program holds it",
        Kind::UnexpectedEof => "it ends too soon",
        Kind::TimedOut | Kind::HostUnreachable | Kind::NetworkUnreachable | Kind::StaleNetworkFileHandle => {
            "the disk or the network does not answer"
        }
        Kind::OutOfMemory => "there is too little memory",
        _ => "the disk reports an error",
    }
}

impl From<io::Error> for StudioError {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::Full,
            io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => Self::ReadOnly,
            io::ErrorKind::NotFound => Self::Gone,
            _ => Self::Disk(error),
        }
    }
}

impl From<rusqlite::Error> for StudioError {
    fn from(error: rusqlite::Error) -> Self {
        // The memory that a database shares with others is a file, too, which a full disk cuts short.
        let detail = error.sqlite_error().map(|failure| failure.extended_code);
        match (error.sqlite_error_code(), &error) {
            (Some(ErrorCode::DiskFull), _) => Self::Full,
            (Some(ErrorCode::SystemIoFailure), _) if detail == Some(ffi::SQLITE_IOERR_SHMSIZE) => Self::Full,
            (Some(ErrorCode::ReadOnly), _) => Self::ReadOnly,
            (_, rusqlite::Error::QueryReturnedNoRows) => Self::Gone,
            _ => Self::Database(error),
        }
    }
}
