//! What was noticed while a picture was opened.

use std::fmt;

/// Something about a picture that bears on its readings; `Display` says it in plain words.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Noticed {
    /// It was turned or mirrored to stand upright.
    Turned {
        /// How, in words: "a quarter turn to the right".
        how: &'static str,
    },
    /// An embedded profile was honoured.
    Profile {
        /// The profile's own name.
        name: String,
    },
    /// A profile was found that could not be used; the picture was read as sRGB.
    ProfileUnusable {
        /// Why not.
        why: String,
    },
    /// Four inks without a profile: tones are approximate.
    InksWithoutProfile,
    /// It was reduced to the working size.
    Reduced {
        /// Upright width and height in the file.
        from: (u32, u32),
        /// Width and height of the working copy.
        to: (u32, u32),
    },
    /// A gain map for bright displays was left out; the base picture is measured.
    GainMapIgnored,
    /// Transparent parts stand on paper white.
    OverPaperWhite,
    /// More than one frame or page: the first is shown.
    FirstOfSeveral,
    /// Part of the file is missing or damaged; what could be read is shown.
    Incomplete,
}

impl Noticed {
    /// Whether it makes the tones themselves doubtful, so that it stands beside whatever is read.
    #[must_use]
    pub fn bears_on_tones(&self) -> bool {
        match self {
            Self::Incomplete | Self::InksWithoutProfile | Self::ProfileUnusable { .. } => true,
            Self::Turned { .. }
            | Self::Profile { .. }
            | Self::Reduced { .. }
            | Self::GainMapIgnored
            | Self::OverPaperWhite
            | Self::FirstOfSeveral => false,
        }
    }
}

impl fmt::Display for Noticed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Turned { how } => write!(f, "set upright: {how}"),
            Self::Profile { name } => write!(f, "colour profile honoured: {name}"),
            Self::ProfileUnusable { why } => write!(f, "colour profile not usable ({why}); read as sRGB"),
            Self::InksWithoutProfile => write!(f, "four inks without a profile: tones are approximate"),
            Self::Reduced { from, to } => {
                write!(f, "reduced from {} x {} to {} x {} for working", from.0, from.1, to.0, to.1)
            }
            Self::GainMapIgnored => write!(f, "the extra layer for bright screens is left out"),
            Self::OverPaperWhite => write!(f, "transparent parts stand on paper white"),
            Self::FirstOfSeveral => write!(f, "the first of several pictures in the file"),
            Self::Incomplete => write!(f, "part of the file is missing; what could be read is shown"),
        }
    }
}
