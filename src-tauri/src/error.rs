//! What went wrong, as the page gets it: a code, what happened, what to do.

use crate::log;
use serde::Serialize;
use std::io::ErrorKind;
use tonefast_core::{
    BandError, FrameError, LightError, OpenError, PaintBoxError, StudioError, StudioFault, disk_words,
};

/// What went wrong.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Error {
    /// The picture could not be opened.
    #[error(transparent)]
    Open(#[from] OpenError),
    /// The file could not be read.
    #[error("the file can't be read: {}", disk_words(.0))]
    Read(#[from] std::io::Error),
    /// The patches tell nothing of the light.
    #[error(transparent)]
    Light(#[from] LightError),
    /// Something could not be kept or found again.
    #[error(transparent)]
    Studio(#[from] StudioError),
    /// A file holds no paints that can be taken in.
    #[error("these paints can't be taken in: {0}")]
    Paints(#[from] PaintBoxError),
    /// The photo or offer is no longer there.
    #[error("that picture is no longer open")]
    Gone,
    /// The page asked for something that makes no sense.
    #[error("{0}")]
    Caller(String),
    /// A worker failed.
    #[error("something went wrong inside the program")]
    Program,
}

/// The error as the page gets it.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct ErrorInfo {
    /// Whose fault it is.
    code: ErrorCode,
    /// What happened.
    pub(crate) message: String,
    /// What to do.
    hint: String,
}

/// Whose fault an error is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum ErrorCode {
    /// The file's.
    File,
    /// A limit was met.
    Limit,
    /// The disk's: what was not kept may be kept later.
    Disk,
    /// The painter called it off.
    Cancelled,
    /// What was asked for is no longer there.
    Gone,
    /// The page's.
    Caller,
    /// The program's.
    Program,
}

impl Error {
    /// As the page gets it.
    pub(crate) fn info(&self) -> ErrorInfo {
        ErrorInfo { code: self.code(), message: self.to_string(), hint: self.hint().to_owned() }
    }

    fn code(&self) -> ErrorCode {
        match self {
            Self::Open(OpenError::Cancelled) => ErrorCode::Cancelled,
            Self::Open(OpenError::TooLarge { .. }) => ErrorCode::Limit,
            Self::Open(_) | Self::Read(_) | Self::Paints(_) => ErrorCode::File,
            Self::Studio(StudioError::Cancelled) => ErrorCode::Cancelled,
            Self::Studio(error) => match error.fault() {
                StudioFault::Disk => ErrorCode::Disk,
                StudioFault::File => ErrorCode::File,
                StudioFault::Elsewhere => ErrorCode::Gone,
                StudioFault::Program => ErrorCode::Program,
            },
            Self::Gone => ErrorCode::Gone,
            Self::Caller(_) | Self::Light(_) => ErrorCode::Caller,
            Self::Program => ErrorCode::Program,
        }
    }

    fn hint(&self) -> &'static str {
        match self {
            Self::Open(error) => error.hint(),
            Self::Read(error) => read_hint(error.kind()),
            Self::Light(_) => "Move the patch, give it its right tone, or take it away.",
            Self::Studio(error) => error.hint(),
            Self::Paints(_) => "Fix the line named above, or have the paints handed out anew.",
            Self::Gone => "Open the picture again.",
            Self::Caller(_) => "Try again with another choice.",
            Self::Program => "Try again; what is on the screen is untouched.",
        }
    }
}

/// What to do about a file that can't be read.
fn read_hint(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::NotFound => "Look where it lies now, and open it from there.",
        ErrorKind::PermissionDenied => "Allow reading it, or copy it into a folder of your own.",
        ErrorKind::IsADirectory => "Choose a file inside it.",
        _ => "Copy it to this machine's own disk, and open the copy.",
    }
}

impl Serialize for Error {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        log::note(self);
        self.info().serialize(serializer)
    }
}

impl From<BandError> for Error {
    fn from(error: BandError) -> Self {
        Self::Caller(error.to_string())
    }
}

impl From<FrameError> for Error {
    fn from(error: FrameError) -> Self {
        Self::Caller(error.to_string())
    }
}

impl From<tauri::Error> for Error {
    fn from(error: tauri::Error) -> Self {
        tracing::error!(error = log::names(&error), "the shell failed");
        Self::Program
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_says_whose_fault_and_what_to_do() {
        let error = serde_json::to_value(Error::Open(OpenError::Empty)).unwrap();
        assert_eq!(error["code"], "file");
        assert_eq!(error["message"], "the file is empty");
        assert!(error["hint"].as_str().unwrap().contains("Copy it again"));
    }

    /// Numbers are Linux' own (errno.h, from memory): ENOENT, EIO, EACCES, EISDIR, EFBIG, ENOSPC, EROFS, ENAMETOOLONG, ETIMEDOUT.
    #[cfg(target_os = "linux")]
    #[test]
    fn what_a_disk_says_is_said_in_plain_words() {
        use std::io::Error as IoError;
        for number in [2, 5, 13, 21, 27, 28, 30, 36, 110, 4000] {
            let raw = || IoError::from_raw_os_error(number);
            let with_path = || IoError::new(raw().kind(), "at path \"/home/her/low-water.jpg\"");
            let studio = |error: IoError| Error::Studio(error.into());
            for error in [Error::Read(raw()), Error::Read(with_path()), studio(raw()), studio(with_path())] {
                let ErrorInfo { message, hint, .. } = error.info();
                assert!(message.len() > 10 && hint.ends_with('.'), "{number}: {message} {hint}");
                for raw in ["os error", "/home", "No such file"] {
                    assert!(!message.contains(raw), "{number}: {message}");
                }
            }
        }
    }
}
