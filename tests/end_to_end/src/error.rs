use std::io;
use std::path::PathBuf;

use fantoccini::error::{CmdError, NewSessionError};

/// Why the app could not be driven, or did not do what was waited for.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The app's binary isn't there.
    #[error("{} isn't built: cargo xtask test end-to-end builds it", .0.display())]
    NotBuilt(PathBuf),
    /// A program that the harness starts isn't installed.
    #[error("{program} isn't installed: apt-get install {package}")]
    Missing {
        /// The program.
        program: &'static str,
        /// The Debian package that brings it.
        package: &'static str,
    },
    /// A program that the harness started doesn't answer.
    #[error("{program} doesn't answer: {log}")]
    Silent {
        /// The program.
        program: &'static str,
        /// What it wrote, as far as it is known.
        log: String,
    },
    /// The window didn't open.
    #[error("the window didn't open: {source}\n{log}")]
    NoWindow {
        /// What the driver says.
        #[source]
        source: Box<NewSessionError>,
        /// What the driver and the app wrote.
        log: String,
    },
    /// The driver refused a command.
    #[error(transparent)]
    Command(#[from] Box<CmdError>),
    /// The page did not come to where it was expected in time.
    #[error("waited in vain for {what}; the page says: {page}")]
    Waited {
        /// What was waited for.
        what: String,
        /// The page's text, or its error box where it shows one.
        page: String,
    },
    /// The page answered, but not with what was asked for.
    #[error("the page's answer about {what} makes no sense: {answer}")]
    Odd {
        /// What was asked for.
        what: String,
        /// What came.
        answer: String,
    },
    /// A file or process of the harness's own.
    #[error(transparent)]
    System(#[from] io::Error),
}

impl From<CmdError> for Error {
    fn from(error: CmdError) -> Self {
        Self::Command(Box::new(error))
    }
}
