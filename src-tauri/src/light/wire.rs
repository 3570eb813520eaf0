//! The light as the page knows it.

use crate::error::Error;
use serde::{Deserialize, Serialize};
use tonefast_core::{Against, Circumstances, Evenness, Light, Patch, PatchKind, Question, Questioned, Spot};

/// A patch of known tone.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PatchAt {
    pub(crate) kind: PatchName,
    /// Pixels of the working copy.
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) radius: f64,
    /// Its known L*.
    pub(crate) lightness: f64,
    /// It was questioned, and the painter said that it is what she stated.
    pub(crate) confirmed: bool,
}

/// What a patch is.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum PatchName {
    White,
    Card,
    Dark,
    Step,
}

/// What the painter says of how the picture was taken.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct CircumstancesTold {
    pub(crate) beyond_the_paper: bool,
    pub(crate) lifted: bool,
    pub(crate) wet: bool,
}

/// The light of a photo.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct LightInfo {
    /// What readings stand on, in words.
    against: String,
    /// What should be told, in words.
    notes: Vec<String>,
    /// What is asked about patches, which don't count meanwhile.
    questions: Vec<QuestionInfo>,
    /// Light that was evened out; none where it was taken as even.
    field: Option<FieldInfo>,
}

/// A question about a patch.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct QuestionInfo {
    /// The patch, counted from 0.
    patch: usize,
    /// What speaks against it.
    why: QuestionedInfo,
}

/// What speaks against a patch.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum QuestionedInfo {
    /// By it alone, this share of the picture would be lighter than a perfect white.
    DarkerThanPicture { share: f64 },
    /// It and another, counted from 0, differ by more than light explains.
    Disagrees { with: usize },
}

/// Light that was evened out, over the picture.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct FieldInfo {
    columns: usize,
    rows: usize,
    /// Relative light at the middle of each cell, row by row, as the 8-bit sRGB grey that shows it.
    greys: Vec<u8>,
    /// The least and the most light, relative to its mean over the papers.
    least: f64,
    most: f64,
}

/// Cells along a picture's longer side, to look at the light: it is smooth.
const CELLS: usize = 24;

impl TryFrom<PatchAt> for Patch {
    type Error = Error;

    fn try_from(PatchAt { kind, x, y, radius, lightness, confirmed: _ }: PatchAt) -> Result<Self, Error> {
        let known = [x, y, radius, lightness].iter().all(|value| value.is_finite());
        if known && (0.0..=f64::from(tonefast_core::WORKING_SIDE)).contains(&radius) {
            Ok(Self { kind: kind.into(), spot: Spot { x, y, radius }, lightness })
        } else {
            Err(Error::Caller("a patch needs a place, a size and a tone".to_owned()))
        }
    }
}

impl From<PatchName> for PatchKind {
    fn from(name: PatchName) -> Self {
        match name {
            PatchName::White => Self::White,
            PatchName::Card => Self::Card,
            PatchName::Dark => Self::Dark,
            PatchName::Step => Self::Step,
        }
    }
}

impl From<CircumstancesTold> for Circumstances {
    fn from(CircumstancesTold { beyond_the_paper, lifted, wet }: CircumstancesTold) -> Self {
        Self { beyond_the_paper, lifted, wet }
    }
}

impl LightInfo {
    pub(crate) fn new(light: &Light, size: (u32, u32)) -> Self {
        let evened = matches!(light.against(), Against::Patches { evenness: Evenness::EvenedOut(_), .. });
        Self {
            against: light.against().to_string(),
            notes: light.notes().iter().map(ToString::to_string).collect(),
            questions: light.questions().iter().map(|&question| question.into()).collect(),
            field: evened.then(|| FieldInfo::new(light, size)),
        }
    }
}

impl From<Question> for QuestionInfo {
    fn from(Question { patch, why }: Question) -> Self {
        let why = match why {
            Questioned::DarkerThanPicture(share) => QuestionedInfo::DarkerThanPicture { share },
            Questioned::Disagrees(with) => QuestionedInfo::Disagrees { with },
        };
        Self { patch, why }
    }
}

impl FieldInfo {
    fn new(light: &Light, (width, height): (u32, u32)) -> Self {
        let cells = |side: u32| (CELLS * side as usize).div_ceil(width.max(height) as usize);
        let (columns, rows) = (cells(width), cells(height));
        let greys = (0..columns * rows).map(|at| {
            let middle = |at: usize, count: usize| (at as f64 + 0.5) / count as f64;
            light.shown_at(middle(at % columns, columns), middle(at / columns, rows))
        });
        let (least, most) = light.range();
        Self { columns, rows, greys: greys.collect(), least, most }
    }
}
