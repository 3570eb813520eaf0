//! What readings in a light stand on, and what of it should be told, in words.

use super::seen::Seen;
use crate::PatchKind;

/// What a reading stands on.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Against {
    /// Nothing: as the camera saw it.
    #[default]
    Camera,
    /// Patches of known tone.
    Patches {
        /// Which they are.
        scale: Scale,
        /// How even the light was.
        evenness: Evenness,
        /// Whether they stood in another light than the subject.
        beyond: bool,
    },
}

/// Patches that the scale of tones was taken from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// Paper of this L*.
    Paper(f64),
    /// A grey card of this L*.
    Card(f64),
    /// Paper of this L*, and a dark patch for flare.
    PaperAndDark(f64),
    /// Two patches of other kinds.
    TwoPatches,
    /// Three patches and more, and a curve through them.
    GreyScale(usize),
}

/// How even the light was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evenness {
    /// It was not told, and is taken to be even.
    Taken,
    /// Paper in so many places was evened out.
    EvenedOut(usize),
    /// The papers differ as by the edge of a shadow, which is not smoothed over.
    ShadowEdge,
    /// Paper in another place is questioned, so that nobody can say.
    Questioned,
}

/// What the painter should be told of the light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LightNote {
    /// The papers differ as by the edge of a shadow.
    ShadowEdge,
    /// The dark patch reads too high, by this share of white's light: wipe the lens.
    WipeLens(f64),
    /// This patch (counted from 0) is as light as the file can say, and tells nothing.
    Clipped(usize),
    /// This patch is as dark as the file can say, and tells nothing.
    Black(usize),
    /// This patch, the lightest, lies where cameras compress the lights, or a channel of it is at the file's end.
    Shoulder(usize),
    /// This patch does not look like what was stated of it.
    Odd(usize),
    /// The phone may have lifted the shadows.
    Lifted,
    /// Wet paint shines.
    Wet,
    /// The patches stood in another light than the subject.
    Beyond,
}

impl Scale {
    pub(super) fn of(seen: &[Seen], levels: usize) -> Self {
        let known = |kind| seen.iter().find(|patch| patch.kind == kind).map(|patch| patch.lightness);
        match (levels, known(PatchKind::White), known(PatchKind::Card), known(PatchKind::Dark)) {
            (1, Some(paper), _, _) => Self::Paper(paper),
            (1, _, card, _) => Self::Card(card.unwrap_or(seen[0].lightness)),
            (2, Some(paper), _, Some(_)) => Self::PaperAndDark(paper),
            (2, ..) => Self::TwoPatches,
            (count, ..) => Self::GreyScale(count),
        }
    }
}

impl std::fmt::Display for Against {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self::Patches { scale, evenness, beyond } = self else {
            return to.write_str("as the camera saw it");
        };
        to.write_str(if *beyond { "relative to " } else { "against " })?;
        match scale {
            Scale::Paper(lightness) => write!(to, "paper {lightness:.1}")?,
            Scale::Card(lightness) => write!(to, "a grey card of {lightness:.1}")?,
            Scale::PaperAndDark(lightness) => write!(to, "paper {lightness:.1} and a dark patch")?,
            Scale::TwoPatches => to.write_str("two patches")?,
            Scale::GreyScale(steps) => write!(to, "a grey scale of {steps}")?,
        }
        match evenness {
            _ if *beyond => to.write_str(" in another light"),
            Evenness::Taken => to.write_str(", light taken as even"),
            Evenness::EvenedOut(places) => write!(to, ", light evened out by {places} papers"),
            Evenness::ShadowEdge => to.write_str(", across a shadow's edge"),
            Evenness::Questioned => to.write_str(", paper in another place is in question"),
        }
    }
}

impl std::fmt::Display for LightNote {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::ShadowEdge => to.write_str(
                "The papers differ as by the edge of a shadow (or one is no paper), which is not evened out. Bring all of the picture into one light.",
            ),
            Self::WipeLens(share) => write!(
                to,
                "The dark patch reads too high: {:.0} % of white's light strays into it. Wipe the lens, keep bright light off it.",
                share * 100.0
            ),
            Self::Clipped(at) => write!(
                to,
                "Patch {} is as light as the file can say, and tells nothing. Take the picture a little darker.",
                at + 1
            ),
            Self::Black(at) => write!(
                to,
                "Patch {} is as dark as the file can say, and tells nothing. Take the picture a little lighter.",
                at + 1
            ),
            Self::Shoulder(at) => write!(
                to,
                "Patch {} is close to the lightest that the file can hold, where cameras compress tones: readings are less sure. Expose a little darker: tap the paper and take it again.",
                at + 1
            ),
            Self::Odd(at) => write!(
                to,
                "Patch {} does not look as stated: it may be tinted, in a shadow, or of another tone. Check it, or leave it out. Readings are less sure.",
                at + 1
            ),
            Self::Lifted => to.write_str(
                "The phone may have lifted shadows here and there, which no patch undoes. Its plain mode, without night or HDR, helps.",
            ),
            Self::Wet => to.write_str(
                "Wet paint shines and reads too light, and it dries lighter. Another angle, or another time, tells more.",
            ),
            Self::Beyond => to.write_str(
                "The paper shares your light and not the subject's: tones beyond it are relative to it.",
            ),
        }
    }
}
