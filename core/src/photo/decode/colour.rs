//! What a file says about its colours, and the encoding that follows from it.

use crate::photo::encoding::Depth;
use crate::photo::stored::Encoding;
use crate::photo::{Noticed, OpenError};

/// What a file says about its colours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Colour {
    /// Nothing: sRGB.
    Untagged,
    /// An ICC profile.
    Icc(Vec<u8>),
    /// A profile is there and cannot be used, for the reason given.
    Unusable(String),
}

/// Channels of a pixel, in the order that they are stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Channels {
    Grey,
    GreyAlpha,
    Rgb,
    RgbAlpha,
}

impl Channels {
    /// Samples a pixel.
    pub(super) const fn count(self) -> usize {
        match self {
            Self::Grey => 1,
            Self::GreyAlpha => 2,
            Self::Rgb => 3,
            Self::RgbAlpha => 4,
        }
    }
}

/// The encoding that holds for samples of `depth`, and what to tell about it.
pub(super) fn encoding(
    colour: Colour,
    _channels: Channels,
    depth: Depth,
) -> Result<(Encoding, Option<Noticed>), OpenError> {
    let noticed = match colour {
        Colour::Untagged | Colour::Icc(_) => None,
        Colour::Unusable(why) => Some(Noticed::ProfileUnusable { why }),
    };
    Ok((Encoding::srgb_encoded(depth), noticed))
}
