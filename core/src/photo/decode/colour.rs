//! What a file says about its colours, and what its samples then mean.

use super::code_points::CodePoints;
use crate::photo::encoding::Depth;
use crate::photo::profile::{self, Device, Lookup, Way};
use crate::photo::stored::Encoding;
use crate::photo::{Noticed, OpenError};

/// What a file says about its colours.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) enum Colour {
    /// Nothing: sRGB.
    #[default]
    Untagged,
    /// An ICC profile.
    Icc(Vec<u8>),
    /// Code points.
    CodePoints(CodePoints),
    /// A profile is there and cannot be used, for the reason given.
    Unusable(String),
}

impl Colour {
    /// Refuses light for very bright screens: it has no white of its own to measure against.
    ///
    /// # Errors
    /// [`OpenError::Unsupported`] for PQ and HLG, by code points or by a profile that carries them.
    pub(super) fn refuse_high_dynamic_range(&self, format: &'static str) -> Result<(), OpenError> {
        let points = match self {
            Self::CodePoints(points) => Some(*points),
            Self::Icc(icc) => profile::transfer_code_point(icc)
                .map(|transfer| CodePoints { primaries: 2, transfer: transfer.into() }),
            Self::Untagged | Self::Unusable(_) => None,
        };
        points.map_or(Ok(()), |points| points.refuse_high_dynamic_range(format))
    }
}

/// Channels of a pixel, in the order that they are stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Channels {
    Grey,
    GreyAlpha,
    Rgb,
    RgbAlpha,
    /// Amounts of ink: full samples cover the paper.
    Cmyk,
}

impl Channels {
    /// Samples a pixel.
    pub(super) const fn count(self) -> usize {
        match self {
            Self::Grey => 1,
            Self::GreyAlpha => 2,
            Self::Rgb => 3,
            Self::RgbAlpha | Self::Cmyk => 4,
        }
    }

    const fn device(self) -> Device {
        match self {
            Self::Grey | Self::GreyAlpha => Device::Grey,
            Self::Rgb | Self::RgbAlpha => Device::Rgb,
            Self::Cmyk => Device::Cmyk,
        }
    }
}

/// How samples become what is kept.
pub(super) enum Meaning {
    /// They are kept as they are, and mean this.
    Kept(Encoding),
    /// Each pixel goes through a table profile first.
    LookedUp(Box<Lookup>, Encoding),
    /// Inks without a profile become RGB in the simplest way, and mean this.
    Inks(Encoding),
}

impl Meaning {
    /// What samples of `depth` mean, and what to tell about it.
    pub(super) fn of(colour: Colour, channels: Channels, depth: Depth) -> (Self, Option<Noticed>) {
        let why = match colour {
            Colour::Untagged => None,
            Colour::Unusable(why) => Some(why),
            Colour::CodePoints(points) => match points.encoding(depth) {
                Ok((encoding, name)) => {
                    return (Self::Kept(encoding), name.map(|name| Noticed::Profile { name }));
                }
                Err(why) => Some(why),
            },
            Colour::Icc(icc) => match Self::of_profile(&icc, channels, depth) {
                Ok((meaning, name)) => return (meaning, name.map(|name| Noticed::Profile { name })),
                Err(why) => Some(why),
            },
        };
        let unusable = why.map(|why| Noticed::ProfileUnusable { why });
        let srgb = Encoding::srgb_encoded(depth);
        if channels == Channels::Cmyk {
            return (Self::Inks(srgb), unusable.or(Some(Noticed::InksWithoutProfile)));
        }
        (Self::Kept(srgb), unusable)
    }

    fn of_profile(icc: &[u8], channels: Channels, depth: Depth) -> Result<(Self, Option<String>), String> {
        let profile = profile::read(icc, channels.device(), depth)?;
        let meaning = match profile.way {
            Way::Tables(encoding) => Self::Kept(encoding),
            Way::Lookup(lookup) => Self::LookedUp(lookup, Lookup::encoding()?),
        };
        Ok((meaning, profile.name))
    }

    /// What the kept samples mean.
    pub(super) fn encoding(&self) -> &Encoding {
        match self {
            Self::Kept(encoding) | Self::LookedUp(_, encoding) | Self::Inks(encoding) => encoding,
        }
    }
}
