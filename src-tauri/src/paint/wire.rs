//! Paints as the page knows them.

mod together;

#[cfg(test)]
pub(crate) use together::{GlazeInfo, OutcomeName, WashInfo};
pub(crate) use together::{PassageInfo, RunTogetherInfo};

use crate::error::Error;
use crate::reading::wire::HueName;
use serde::{Deserialize, Serialize};
use tonefast_core::{
    AtTone, Caution, Curve, Dab, DabReading, DabSays, Drying, KeptPaint, KeptStrip, Laid, Moment, PaintAbout,
    PaintedStep, PaintedStrip, Pigment, PigmentList, PigmentRecord, SAFETY_SHEET, Stranger, USUAL_CARE, Wash,
    WashColour,
};

/// What the painter says of a paint.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PaintAboutInfo {
    name: String,
    maker: String,
    /// Colour Index names, as she writes them.
    pigments: String,
    /// The paints that it was mixed from, as she writes them.
    mixed_of: String,
    notes: String,
    transparent: bool,
    granulating: bool,
    staining: bool,
}

/// A paint.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PaintInfo {
    id: i64,
    /// What settings call it.
    uuid: String,
    about: PaintAboutInfo,
    /// Milliseconds since 1970, UTC.
    begun: i64,
    /// Its tone over strength; none before a strip of it was measured.
    curve: Option<CurveInfo>,
    /// Pigments that were read, and what of the list is no name of one.
    pigments: Vec<String>,
    unread: Vec<String>,
    caution: CautionInfo,
    drying: DryingInfo,
    /// The oldest first.
    strips: Vec<StripKept>,
}

/// A paint's tone over strength.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct CurveInfo {
    /// L* of its lightest and its darkest.
    light: f64,
    dark: f64,
    /// Half of its 90 % interval in the middle of it, in L*.
    plus_minus: f64,
    /// On how many strips it stands, and whether those are wet.
    strips: usize,
    wet: bool,
    /// The steps of her last strip.
    steps: Vec<StepInfo>,
    /// Its colours from the lightest down, at equal distances in L*.
    slices: Vec<[u8; 3]>,
    /// The step from which it gets lighter again.
    turns_at: Option<f64>,
    /// CIELAB hue angle and chroma where it is most intense.
    hue: Option<f64>,
    chroma: f64,
}

/// A step of a strip.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct StepInfo {
    lightness: f64,
    plus_minus: f64,
    srgb: [u8; 3],
}

/// What is known to be harmful in it.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct CautionInfo {
    /// Whether something is.
    harmful: bool,
    says: String,
    /// The usual care, a sentence each.
    care: Vec<String>,
    sheet: String,
    /// Where that was read, a line for each pigment.
    sources: Vec<String>,
}

/// By how much it dries lighter.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct DryingInfo {
    /// From so many strips that were read wet and dry; with 0, what is common.
    learned_from: usize,
    /// L*, at its strongest.
    masstone: f64,
}

/// A strip, as it is kept.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct StripKept {
    id: i64,
    laid: LaidName,
    wet: bool,
    /// Whether it was read wet, too.
    dried: bool,
    day: String,
    paper: String,
    paper_lightness: f64,
    steps: Vec<StepInfo>,
    /// Milliseconds since 1970, UTC.
    kept: i64,
    /// Whether it was read in a photo that it can be shown in.
    pictured: bool,
    /// Whether that photo was left out as it came in.
    left_out: bool,
}

/// What the steps of a strip differ in.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum LaidName {
    Washes,
    Layers,
}

/// A step of a paint, from 1; a part of one lies between two.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct AtPaint {
    pub(crate) paint: i64,
    pub(crate) step: f64,
}

/// What a paint does at a tone.
#[derive(Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase", rename_all_fields = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum AtToneInfo {
    Reaches { step: f64, plus_minus: f64, lightness: f64, srgb: [u8; 3] },
    StaysLighter { by: f64 },
    StaysDarker { by: f64 },
}

/// What one paint does at a tone.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct StandInInfo {
    pub(super) paint: i64,
    pub(super) at: AtToneInfo,
}

/// What a test dab says.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct DabInfo {
    lightness: f64,
    meant: f64,
    /// Steps by which it is too pale; below 0, too strong.
    pale_by: f64,
    plus_minus: f64,
    says: DabWord,
    /// What colour it is, where that is not the paint's.
    stranger: Option<StrangerInfo>,
}

/// A test dab as it reads.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct DabAsk {
    lightness: f64,
    plus_minus: Option<f64>,
    chroma: f64,
    /// CIELAB hue angle in degrees.
    hue: Option<f64>,
}

/// A colour that a paint does not have.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase", rename_all_fields = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum StrangerInfo {
    Hue { hue_name: HueName },
    Grey,
}

/// A dab in a word.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum DabWord {
    Right,
    LittleMorePaint,
    MorePaint,
    LittleMoreWater,
    MoreWater,
}

/// A paint that was painted: what it can do.
pub(crate) struct Painted {
    pub(crate) curve: Curve,
    transparent: bool,
    pigments: Vec<Pigment>,
}

/// C*ab that no reading exceeds: no real colour comes near it (sRGB's bluest has 133.8).
const MOST_CHROMA: f64 = 300.0;

/// How many slices a bar of a paint's colours has: thinner ones can't be told apart on a screen.
const SLICES: usize = 32;

impl Painted {
    /// None before a strip was measured.
    pub(crate) fn of(kept: &KeptPaint) -> Option<Self> {
        let pigments = PigmentList::read(&kept.about.pigments).pigments;
        Some(Self { curve: Curve::through(kept.painted())?, transparent: kept.about.transparent, pigments })
    }

    /// The wash at a step.
    pub(crate) fn wash(&self, step: f64) -> Result<Wash, Error> {
        let colour = self.curve.at(self.curve.of_step(step)).colour;
        Wash::measured(colour.linear_srgb).map_err(|error| Error::Caller(error.to_string()))
    }
}

impl PaintInfo {
    pub(crate) fn new(kept: KeptPaint) -> Self {
        let curve = Curve::through(kept.painted()).map(|curve| CurveInfo::new(&curve));
        let drying = Drying::learned(kept.painted());
        let KeptPaint { id, uuid, about, begun: Moment(begun), strips } = kept;
        let PigmentList { pigments, unread } = PigmentList::read(&about.pigments);
        Self {
            id,
            uuid,
            begun,
            curve,
            caution: CautionInfo::of(&pigments),
            drying: DryingInfo { learned_from: drying.strips(), masstone: drying.lighter_by(1.0) },
            pigments: pigments.iter().map(ToString::to_string).collect(),
            unread: unread.iter().map(ToString::to_string).collect(),
            about: about.into(),
            strips: strips.into_iter().map(StripKept::new).collect(),
        }
    }
}

#[cfg(test)]
impl PaintInfo {
    pub(super) fn id(&self) -> i64 {
        self.id
    }

    /// Whether its bar, as the page draws it, holds a tone.
    pub(super) fn spans(&self, tone: f64) -> bool {
        self.curve.as_ref().is_some_and(|curve| (curve.dark..=curve.light).contains(&tone))
    }
}

impl CurveInfo {
    fn new(curve: &Curve) -> Self {
        let (light, dark) = curve.range();
        let at = |lightness: f64| curve.at(curve.strength(lightness).unwrap_or(1.0)).colour;
        let slice = |at_slice: usize| light + (dark - light) * (at_slice as f64 + 0.5) / SLICES as f64;
        let colours: Vec<WashColour> = (0..SLICES).map(|number| at(slice(number))).collect();
        let most = colours.iter().max_by(|a, b| a.chroma.total_cmp(&b.chroma));
        let steps = (1..=curve.steps()).map(|step| {
            let tone = curve.at(curve.of_step(step as f64));
            StepInfo {
                lightness: tone.lightness,
                plus_minus: tone.plus_minus,
                srgb: tone.colour.shown().srgb(),
            }
        });
        Self {
            light,
            dark,
            plus_minus: curve.at(curve.strength((light + dark) / 2.0).unwrap_or(0.5)).plus_minus,
            strips: curve.strips(),
            wet: curve.is_wet(),
            steps: steps.collect(),
            turns_at: curve.turns_at(),
            hue: most.and_then(|colour| colour.hue),
            chroma: most.map_or(0.0, |colour| colour.chroma),
            slices: colours.iter().map(|colour| colour.shown().srgb()).collect(),
        }
    }
}

impl CautionInfo {
    fn of(pigments: &[Pigment]) -> Self {
        let caution = Caution::of(pigments);
        let source = |pigment: &Pigment| {
            PigmentRecord::of(*pigment).map(|record| format!("{pigment}: {}", record.sources.join("; ")))
        };
        Self {
            harmful: matches!(caution, Caution::Toxic { .. }),
            says: caution.says(),
            care: USUAL_CARE.map(str::to_owned).to_vec(),
            sheet: SAFETY_SHEET.to_owned(),
            sources: pigments.iter().filter_map(source).collect(),
        }
    }
}

impl StripKept {
    fn new(KeptStrip { id, uuid: _, photo, left_out, kept: Moment(kept), painted }: KeptStrip) -> Self {
        let has_places = painted.steps.iter().all(|step| step.quad.is_some());
        let PaintedStrip { laid, wet, day, paper, paper_lightness, quarters: _, steps, wet_lightness } =
            painted;
        let steps = steps.iter().map(StepInfo::of).collect();
        Self {
            id,
            laid: laid.into(),
            wet,
            dried: wet_lightness.is_some(),
            day,
            paper,
            paper_lightness,
            steps,
            kept,
            pictured: photo.is_some() && has_places,
            left_out,
        }
    }
}

impl StepInfo {
    pub(crate) fn of(step: &PaintedStep) -> Self {
        let PaintedStep { lightness, plus_minus, tint, quad: _ } = *step;
        Self { lightness, plus_minus, srgb: WashColour::from_lab(lightness, tint).shown().srgb() }
    }
}

impl StandInInfo {
    pub(crate) fn new(paint: i64, at: AtTone) -> Self {
        Self { paint, at: at.into() }
    }
}

impl From<AtTone> for AtToneInfo {
    fn from(at: AtTone) -> Self {
        match at {
            AtTone::Reaches { step, plus_minus, tone } => {
                let srgb = tone.colour.shown().srgb();
                Self::Reaches { step, plus_minus, lightness: tone.lightness, srgb }
            }
            AtTone::StaysLighter(by) => Self::StaysLighter { by },
            AtTone::StaysDarker(by) => Self::StaysDarker { by },
        }
    }
}

impl From<Dab> for DabInfo {
    fn from(Dab { lightness, meant, pale_by, plus_minus, says, stranger }: Dab) -> Self {
        let says = match says {
            DabSays::Right => DabWord::Right,
            DabSays::LittleMorePaint => DabWord::LittleMorePaint,
            DabSays::MorePaint => DabWord::MorePaint,
            DabSays::LittleMoreWater => DabWord::LittleMoreWater,
            DabSays::MoreWater => DabWord::MoreWater,
        };
        let stranger = stranger.map(|it| match it {
            Stranger::Hue(hue) => StrangerInfo::Hue { hue_name: hue.into() },
            Stranger::Grey => StrangerInfo::Grey,
        });
        Self { lightness, meant, pale_by, plus_minus, says, stranger }
    }
}

impl TryFrom<DabAsk> for DabReading {
    type Error = Error;

    fn try_from(DabAsk { lightness, plus_minus, chroma, hue }: DabAsk) -> Result<Self, Error> {
        let is_reading = (0.0..=100.0).contains(&lightness)
            && plus_minus.is_none_or(|it| (0.0..=100.0).contains(&it))
            && (0.0..=MOST_CHROMA).contains(&chroma)
            && hue.is_none_or(|it| (0.0..=360.0).contains(&it));
        if !is_reading {
            return Err(Error::Caller("a dab is judged by a reading".to_owned()));
        }
        Ok(Self { lightness, plus_minus, chroma, hue })
    }
}

impl From<PaintAbout> for PaintAboutInfo {
    fn from(about: PaintAbout) -> Self {
        let PaintAbout { name, maker, pigments, mixed_of, notes, transparent, granulating, staining } = about;
        Self { name, maker, pigments, mixed_of, notes, transparent, granulating, staining }
    }
}

/// Core checks it, as it does what comes in by a file.
impl From<PaintAboutInfo> for PaintAbout {
    fn from(about: PaintAboutInfo) -> Self {
        let PaintAboutInfo { name, maker, pigments, mixed_of, notes, transparent, granulating, staining } =
            about;
        Self { name, maker, pigments, mixed_of, notes, transparent, granulating, staining }
    }
}

impl From<Laid> for LaidName {
    fn from(laid: Laid) -> Self {
        match laid {
            Laid::Washes => Self::Washes,
            Laid::Layers => Self::Layers,
        }
    }
}

impl From<LaidName> for Laid {
    fn from(name: LaidName) -> Self {
        match name {
            LaidName::Washes => Self::Washes,
            LaidName::Layers => Self::Layers,
        }
    }
}
