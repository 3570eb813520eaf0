//! Why a picture could not be opened.

/// Why a picture could not be opened, in words for the painter: [`OpenError::hint`] says what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum OpenError {
    /// No bytes at all.
    #[error("the file is empty")]
    Empty,
    /// The content is no picture that we know.
    #[error("this is not a picture that can be read here{}", found.map(|it| format!(": it looks like {it}")).unwrap_or_default())]
    Unrecognised {
        /// What the content looks like, where that is plain.
        found: Option<&'static str>,
    },
    /// The file is of a known kind but damaged or cut short.
    #[error("the {format} file is damaged: {detail}")]
    Broken {
        /// The format's name.
        format: &'static str,
        /// What the decoder said.
        detail: String,
    },
    /// The file is sound but uses something that is not supported.
    #[error("this {format} file uses {what}, which cannot be read yet")]
    Unsupported {
        /// The format's name.
        format: &'static str,
        /// What it uses.
        what: String,
    },
    /// More pixels, bytes or profile than the limits allow.
    #[error("the picture is too large: {what}")]
    TooLarge {
        /// What is too large, with the limit.
        what: String,
    },
    /// The caller called it off.
    #[error("opening was called off")]
    Cancelled,
    /// We failed on a picture that was decoded.
    #[error("the picture was read, but could not be measured")]
    Failed,
    /// A decoder panicked: our fault or a library's, never the painter's.
    #[error("the {format} decoder failed on this file")]
    DecoderFailed {
        /// The format's name.
        format: &'static str,
    },
}

impl OpenError {
    /// What the painter can do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Empty => "Copy it again from where it came; the copy may have been cut off.",
            Self::Unrecognised { .. } => "Open a JPEG, PNG, WebP, TIFF, GIF, BMP or HEIC picture.",
            Self::Broken { .. } => {
                "Copy it again from where it came, or save it anew as JPEG or PNG in another program."
            }
            Self::Unsupported { .. } => "Save it as JPEG or PNG in another program and open that.",
            Self::TooLarge { .. } => "Save a smaller copy, and open that.",
            Self::Cancelled => "Open it again when you like.",
            Self::Failed => "Save a smaller copy and open that; the one on screen is untouched.",
            Self::DecoderFailed { .. } => {
                "Save it as JPEG or PNG in another program and open that; the one on screen is untouched."
            }
        }
    }
}
