//! What a snapshot holds: how a photo was looked at, and what was read.
//!
//! Kept as JSON, whose numbers come back to the last bit. `format` grows when a field changes its meaning; a field that
//! is added has a default, so that what an older version kept can still be read.

use super::StudioError;
use serde::{Deserialize, Serialize};

/// How a photo was looked at, and what was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Seen {
    /// Of this record: [`Seen::FORMAT`].
    pub format: u32,
    /// Core's version that the readings are of.
    pub core: String,
    /// Quarter turns to the right, by hand.
    pub quarters: u8,
    /// Columns and rows of the working copy that places are in, once turned.
    pub size: (u32, u32),
    /// `colour`, `lightness`, `bands` or `outlines`.
    pub view: String,
    /// `slight`, `half` or `nearly`; none where it was sharp.
    pub squint: Option<String>,
    /// How bands were set: `even`, `fitted` or `byHand`.
    pub bands: String,
    /// L* of their edges, from light to dark.
    pub edges: Vec<f32>,
    /// The share of each band, lightest first.
    pub shares: Vec<f64>,
    /// Corners of the frame in fractions of the picture.
    pub frame: Option<[[f64; 2]; 4]>,
    /// Pins, and what they read.
    pub pins: Vec<SeenPin>,
    /// The light that was told.
    pub light: SeenLight,
}

/// A pin, and what it read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SeenPin {
    /// Its letter.
    pub letter: String,
    /// What the painter calls it.
    pub name: String,
    /// Place and radius in pixels of the working copy.
    pub spot: (f64, f64, f64),
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
    /// `white`, `card`, `dark` or `step`.
    pub kind: String,
    /// What the painter calls it.
    pub name: String,
    /// Place and radius in pixels of the working copy.
    pub spot: (f64, f64, f64),
    /// Its known L*.
    pub lightness: f64,
}

impl Seen {
    /// What is written here.
    pub const FORMAT: u32 = 1;

    pub(super) fn to_json(&self) -> Result<String, StudioError> {
        serde_json::to_string(self).map_err(|error| StudioError::Odd(error.to_string()))
    }

    pub(super) fn from_json(text: &str) -> Result<Self, StudioError> {
        let seen: Self = serde_json::from_str(text).map_err(|error| StudioError::Odd(error.to_string()))?;
        if seen.format > Self::FORMAT {
            return Err(StudioError::Odd(format!("its format is {}", seen.format)));
        }
        Ok(seen)
    }
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
            view: "bands".to_owned(),
            squint: Some("half".to_owned()),
            bands: "byHand".to_owned(),
            edges: vec![80.1, 60.000_004, 33.3],
            shares: vec![0.1 + 0.2, 1.0 / 3.0, f64::MIN_POSITIVE, 0.25],
            frame: Some([[0.1, 0.1], [0.9, 0.12], [0.88, 0.9], [1.0 / 7.0, 0.95]]),
            pins: vec![SeenPin {
                letter: "A".to_owned(),
                name: "hull".to_owned(),
                spot: (1200.0, 900.0, 12.5),
                lightness: 18.285_926_998_976_407,
                plus_minus: Some(std::f64::consts::E),
                repeatable: 0.3,
                band: 5,
                colour: (3.678_217_747_159_607, None),
                against: "against paper 94.5, light taken as even".to_owned(),
            }],
            light: SeenLight {
                patches: vec![SeenPatch {
                    kind: "white".to_owned(),
                    name: String::new(),
                    spot: (10.0, 20.0, 30.0),
                    lightness: 94.53,
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
    fn what_a_newer_version_kept_is_told_and_not_guessed_at() {
        let newer = Seen { format: Seen::FORMAT + 1, ..seen() };
        assert!(matches!(Seen::from_json(&newer.to_json().unwrap()), Err(StudioError::Odd(_))));
        assert!(Seen::from_json("{}").is_err());
    }
}
