//! Strips in a photo as the page knows them.

use crate::error::Error;
use crate::paint::wire::{LaidName, StepInfo};
use crate::photo::wire::PhotoInfo;
use crate::reading::wire::SpotAt;
use serde::{Deserialize, Serialize};
use tonefast_core::{Laid, MOST_STEPS, PaintedStrip, Quad, Spot, Strip, StripWarning};

/// Corners of a swatch, round it, in pixels of the working copy.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct Corners(pub(crate) [[f64; 2]; 4]);

/// A strip.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct StripInfo {
    /// In their order along it, the lighter end first.
    steps: Vec<StepInfo>,
    swatches: Vec<Corners>,
    /// 1 where all gaps are alike in L*, 0 where they are off by a whole even gap in the mean.
    evenness: f64,
    /// How many steps can be told apart.
    distinct: usize,
    warnings: Vec<StripWarningInfo>,
    /// Spots of bare paper beside it, by which the photo's light can be stated.
    papers: Vec<SpotAt>,
}

/// What should be told of a strip. Steps count from 1.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum StripWarningInfo {
    TooClose { steps: (usize, usize) },
    TooFar { steps: (usize, usize) },
    Alike { steps: (usize, usize) },
    TurnsBack { steps: (usize, usize) },
    Glare { step: usize },
    Shadow,
}

/// A strip that is to be kept.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct KeepStripAsk {
    /// Of its paint, which is begun where there is none.
    pub(crate) name: String,
    pub(crate) photo: u32,
    pub(crate) swatches: Vec<Corners>,
    pub(crate) paper: String,
    pub(crate) paper_lightness: f64,
    pub(crate) laid: LaidName,
    pub(crate) wet: bool,
    /// Year-month-day.
    pub(crate) day: String,
}

/// A strip that was kept.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct KeptStripInfo {
    /// The name of its paint.
    pub(crate) paint: String,
    /// Whether it is one that was read wet before.
    pub(crate) dried: bool,
}

/// A strip that is kept, in its photo.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct OpenedStrip {
    photo: PhotoInfo,
    /// The name of its paint.
    name: String,
    swatches: Vec<Corners>,
    paper: String,
    paper_lightness: f64,
    laid: LaidName,
    wet: bool,
}

/// The L* of paper that a strip is read against: core takes no darker, and nothing is lighter than 100.
pub(crate) fn checked_paper(lightness: f64) -> Result<f64, Error> {
    if (20.0..=100.0).contains(&lightness) {
        Ok(lightness)
    } else {
        Err(Error::Caller("paper has an L* of 20 to 100".to_owned()))
    }
}

/// As core takes them.
pub(crate) fn checked(swatches: &[Corners]) -> Result<Vec<Quad>, Error> {
    let finite = |Corners(corners): &Corners| corners.iter().flatten().all(|it| it.is_finite());
    if swatches.len() > MOST_STEPS || !swatches.iter().all(finite) {
        return Err(Error::Caller(format!("a strip has at most {MOST_STEPS} swatches, in the picture")));
    }
    Ok(swatches.iter().map(|Corners(corners)| *corners).collect())
}

impl OpenedStrip {
    pub(crate) fn new(photo: PhotoInfo, name: String, strip: &PaintedStrip) -> Self {
        // Its day and its tones are shown elsewhere; in its photo it is read anew.
        let PaintedStrip { laid, wet, day: _, paper, paper_lightness, quarters: _, steps, wet_lightness: _ } =
            strip;
        let swatches = steps.iter().filter_map(|step| step.quad.map(Corners)).collect();
        let (paper, paper_lightness) = (paper.clone(), *paper_lightness);
        Self { photo, name, swatches, paper, paper_lightness, laid: (*laid).into(), wet: *wet }
    }
}

impl StripInfo {
    pub(crate) fn new(strip: &Strip) -> Self {
        // The paper's L* is not told here.
        let steps = PaintedStrip::of(strip, Laid::Washes, 100.0).steps;
        let Strip { steps: _, evenness, warnings, papers } = strip;
        Self {
            swatches: strip.steps.iter().map(|step| Corners(step.quad)).collect(),
            steps: steps.iter().map(StepInfo::of).collect(),
            evenness: *evenness,
            distinct: strip.distinct(),
            warnings: warnings.iter().map(|&warning| warning.into()).collect(),
            papers: papers.iter().map(|&Spot { x, y, radius }| SpotAt { x, y, radius }).collect(),
        }
    }
}

impl From<StripWarning> for StripWarningInfo {
    fn from(warning: StripWarning) -> Self {
        match warning {
            StripWarning::TooClose(one, other) => Self::TooClose { steps: (one, other) },
            StripWarning::TooFar(one, other) => Self::TooFar { steps: (one, other) },
            StripWarning::Alike(one, other) => Self::Alike { steps: (one, other) },
            StripWarning::TurnsBack(one, other) => Self::TurnsBack { steps: (one, other) },
            StripWarning::Glare(step) => Self::Glare { step },
            StripWarning::Shadow => Self::Shadow,
        }
    }
}
