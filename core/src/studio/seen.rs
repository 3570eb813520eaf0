//! What a snapshot holds: how a photo was looked at, and what was read.
//!
//! Kept as JSON, whose numbers come back to the last bit. `format` grows when a field changes its meaning; a field that
//! is added has a default, so that what an older version kept can still be read. Types are the record's own, and are
//! turned into core's and back field by field: nothing that core changes changes what is on a disk.

mod range;
mod told;

use super::StudioError;
use crate::reading::allowed;
use serde::{Deserialize, Serialize};

/// How a photo was looked at, and what was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Seen {
    /// Of this record: [`Seen::FORMAT`].
    pub format: u32,
    /// Core's version that the readings are of: [`Seen::CORE`].
    pub core: String,
    /// Quarter turns to the right, by hand.
    pub quarters: u8,
    /// Columns and rows of the working copy that places are in, once turned.
    pub size: (u32, u32),
    /// What was shown.
    pub view: SeenView,
    /// How far the eyes were closed; none where it was sharp.
    pub squint: Option<SeenSquint>,
    /// How bands were set.
    pub bands: SeenBands,
    /// L* of their edges, from light to dark.
    pub edges: Vec<f32>,
    /// The share of each band, lightest first.
    pub shares: Vec<f64>,
    /// Corners of the frame in fractions of the picture.
    pub frame: Option<[[f64; 2]; 4]>,
    /// Pins, and what they read.
    pub pins: Vec<SeenPin>,
    /// Pins that have no reading, and why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unread: Vec<SeenUnread>,
    /// The light that was told.
    pub light: SeenLight,
}

/// What was shown: [`crate::View`] as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum SeenView {
    /// Colours.
    Colour,
    /// Lightness.
    Lightness,
    /// Bands.
    Bands,
    /// Outlines of bands on colours.
    Outlines,
}

/// How far the eyes were closed: [`crate::Squint`] as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum SeenSquint {
    /// .5 % of the long side.
    Slight,
    /// 1 %.
    Half,
    /// 2 %.
    Nearly,
}

/// How bands were set. Their edges are kept whichever it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum SeenBands {
    /// Of equal width.
    Even,
    /// Fitted to the picture.
    Fitted,
    /// By hand.
    ByHand,
}

/// Place (from the left, from the top) and radius in pixels of the working copy: [`crate::Spot`] as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SeenSpot(pub f64, pub f64, pub f64);

/// A pin, and what it read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SeenPin {
    /// Its letter.
    pub letter: String,
    /// What the painter calls it.
    pub name: String,
    /// Where it stands.
    pub spot: SeenSpot,
    /// L*.
    pub lightness: f64,
    /// Half of its 90 % interval; none where no light was told.
    pub plus_minus: Option<f64>,
    /// Half of the 95 % interval of how repeatable it was.
    pub repeatable: f64,
    /// Band, 1 = lightest.
    pub band: usize,
    /// Chroma and hue angle (CIELAB); no hue where it is near grey.
    pub colour: (f64, Option<f64>),
    /// What it stood on, in words.
    pub against: String,
    /// Texture: standard deviation of its pixels' L*; none in what the first version kept.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spread: Option<f64>,
    /// What cast doubt on it, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<String>,
}

/// A pin that has no reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SeenUnread {
    /// Its letter.
    pub letter: String,
    /// What the painter calls it.
    pub name: String,
    /// Where it stands.
    pub spot: SeenSpot,
    /// Why.
    pub why: SeenWhy,
}

/// Why a pin has no reading: [`crate::NoReading`] as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum SeenWhy {
    /// It came out lighter than a perfect white.
    LighterThanWhite,
    /// The file is cut off there.
    CutOff,
    /// It lies outside the picture.
    Outside,
    /// The light that was stated leaves too much doubt.
    TooUncertain,
}

/// The light that was told.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SeenLight {
    /// Patches of known tone.
    pub patches: Vec<SeenPatch>,
    /// The subject lay beyond the paper.
    pub beyond_the_paper: bool,
    /// The phone may have lifted shadows.
    pub lifted: bool,
    /// Paint was wet.
    pub wet: bool,
}

/// A patch of known tone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SeenPatch {
    /// What it is.
    pub kind: SeenKind,
    /// What the painter calls it.
    pub name: String,
    /// Where it lies.
    pub spot: SeenSpot,
    /// Its known L*.
    pub lightness: f64,
    /// It was questioned, and the painter said that it is what she stated.
    #[serde(default, skip_serializing_if = "is_false")]
    pub confirmed: bool,
}

/// What a patch is: [`crate::PatchKind`] as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum SeenKind {
    /// Bare paper.
    White,
    /// A grey card.
    Card,
    /// Something matt and dark.
    Dark,
    /// One step of a grey scale.
    Step,
}

impl Seen {
    /// What is written here.
    pub const FORMAT: u32 = 1;

    /// Core's version, by which it will be known what a reading was made by.
    pub const CORE: &'static str = env!("CARGO_PKG_VERSION");

    /// As it is written; refused where a number cannot be meant, or would not come back to the last bit.
    pub(super) fn to_json(&self) -> Result<String, StudioError> {
        let sound = self.clone().sound();
        sound.check()?;
        let text = serde_json::to_string(&sound).map_err(|error| StudioError::Odd(error.to_string()))?;
        // What is no number is written as null, which is read as none, or not at all.
        match serde_json::from_str::<Self>(&text) {
            Ok(seen) if seen == sound => Ok(text),
            _ => Err(StudioError::Odd("a number in it is none".to_owned())),
        }
    }

    pub(super) fn from_json(text: &str) -> Result<Self, StudioError> {
        let mut seen: Self =
            serde_json::from_str(text).map_err(|error| StudioError::Odd(error.to_string()))?;
        if seen.format > Self::FORMAT {
            return Err(StudioError::Odd(format!("its format is {}", seen.format)));
        }
        // A parcel may have brought in any number while that was not checked; a full turn is none.
        seen.quarters %= 4;
        Ok(seen.sound())
    }

    /// Without figures that no pin may have: an older version kept such as L* 433 ±100.
    fn sound(mut self) -> Self {
        let (sound, odd): (Vec<_>, Vec<_>) = self.pins.into_iter().partition(|pin| pin.why().is_none());
        self.pins = sound;
        self.unread.extend(odd.iter().filter_map(|pin| {
            let SeenPin { letter, name, spot, .. } = pin;
            Some(SeenUnread { letter: letter.clone(), name: name.clone(), spot: *spot, why: pin.why()? })
        }));
        self
    }
}

impl SeenPin {
    /// Why its figure may not be said; none where it may. What is no number at all is refused elsewhere.
    fn why(&self) -> Option<SeenWhy> {
        let Self { lightness, repeatable, plus_minus, .. } = self;
        let are_numbers =
            [Some(*lightness), Some(*repeatable), *plus_minus].iter().flatten().all(|it| it.is_finite());
        allowed(*lightness, *repeatable, *plus_minus).err().filter(|_| are_numbers).map(SeenWhy::from)
    }
}

fn is_false(it: &bool) -> bool {
    !it
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// Numbers that no short decimal is, and a hundredth of a step apart.
    pub(in crate::studio) fn seen() -> Seen {
        Seen {
            format: Seen::FORMAT,
            core: "0.1.0".to_owned(),
            quarters: 1,
            size: (3000, 4000),
            view: SeenView::Bands,
            squint: Some(SeenSquint::Half),
            bands: SeenBands::ByHand,
            edges: vec![80.1, 60.000_004, 33.3],
            shares: vec![0.1 + 0.2, 1.0 / 3.0, f64::MIN_POSITIVE, 0.25],
            frame: Some([[0.1, 0.1], [0.9, 0.12], [0.88, 0.9], [1.0 / 7.0, 0.95]]),
            pins: vec![SeenPin {
                letter: "A".to_owned(),
                name: "hull".to_owned(),
                spot: SeenSpot(1200.0, 900.0, 12.5),
                lightness: 18.285_926_998_976_407,
                plus_minus: Some(std::f64::consts::E),
                repeatable: 0.3,
                band: 5,
                colour: (3.678_217_747_159_607, None),
                against: "against paper 94.5, light taken as even".to_owned(),
                spread: None,
                warnings: Vec::new(),
            }],
            unread: vec![SeenUnread {
                letter: "B".to_owned(),
                name: "lamp".to_owned(),
                spot: SeenSpot(1.0, 2.0, 3.5),
                why: SeenWhy::LighterThanWhite,
            }],
            light: SeenLight {
                patches: vec![SeenPatch {
                    kind: SeenKind::White,
                    name: String::new(),
                    spot: SeenSpot(10.0, 20.0, 30.0),
                    lightness: 94.53,
                    confirmed: false,
                }],
                ..SeenLight::default()
            },
        }
    }

    #[test]
    fn every_number_comes_back_to_the_last_bit() {
        assert_eq!(Seen::from_json(&seen().to_json().unwrap()).unwrap(), seen());
    }

    #[test]
    fn what_is_no_number_is_refused_and_not_kept_as_another() {
        for odd in [f64::NAN, f64::INFINITY] {
            let mut seen = seen();
            seen.pins[0].lightness = odd;
            assert!(matches!(seen.to_json(), Err(StudioError::Odd(_))));
        }
    }

    #[test]
    fn a_figure_outside_the_scale_is_not_kept_and_one_that_was_kept_is_not_shown() {
        let mut older = seen();
        older.pins.push(SeenPin {
            letter: "C".to_owned(),
            name: "gate".to_owned(),
            lightness: 433.0,
            plus_minus: Some(100.0),
            ..older.pins[0].clone()
        });
        let as_it_was = serde_json::to_string(&older).unwrap();
        let written = older.to_json().unwrap();
        assert!(as_it_was.contains("433") && !written.contains("433"), "{written}");
        for text in [as_it_was, written] {
            let read = Seen::from_json(&text).unwrap();
            assert_eq!(read.pins, seen().pins);
            let [_, gate] = read.unread.as_slice() else { panic!("{:?}", read.unread) };
            assert_eq!(
                (gate.letter.as_str(), gate.name.as_str(), gate.why),
                ("C", "gate", SeenWhy::LighterThanWhite)
            );
        }
    }

    #[test]
    fn what_a_newer_version_kept_is_told_and_not_guessed_at() {
        let newer = Seen { format: Seen::FORMAT + 1, ..seen() };
        assert!(matches!(Seen::from_json(&newer.to_json().unwrap()), Err(StudioError::Odd(_))));
        assert!(Seen::from_json("{}").is_err());
    }
}
