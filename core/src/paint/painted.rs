//! A paint as a painter keeps it, with the strips that she painted of it.
//!
//! These types are the record itself: their JSON is what the studio keeps and what is handed out, so a field that is
//! added has a default, and none changes its meaning. Places in a photo are whole numbers at middles of pixels.

use super::WashColour;
use crate::colour::lab;
use crate::strip::{Strip, StripStep};
use palette::convert::IntoColorUnclamped;
use palette::{Lab, LinSrgb, white_point::D65};
use serde::{Deserialize, Serialize};

/// What a painter says of a paint.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", default, deny_unknown_fields)]
pub struct PaintAbout {
    /// What she calls it.
    pub name: String,
    /// Who made it.
    pub maker: String,
    /// Colour Index names, as she writes them.
    pub pigments: String,
    /// The paints that it was mixed from, as she writes them; empty for a paint of its own.
    pub mixed_of: String,
    /// Whatever else.
    pub notes: String,
    /// It lets the paper through.
    pub transparent: bool,
    /// It settles into the paper's tooth.
    pub granulating: bool,
    /// It can't be lifted off again.
    pub staining: bool,
}

/// A strip as it was painted and read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct PaintedStrip {
    /// What its steps differ in.
    pub laid: Laid,
    /// It was read while it was wet: provisional.
    #[serde(default)]
    pub wet: bool,
    /// The day, as year-month-day.
    #[serde(default)]
    pub day: String,
    /// The paper's name.
    #[serde(default)]
    pub paper: String,
    /// The paper's L*, by which the steps were read.
    pub paper_lightness: f64,
    /// Quarter turns to the right, by hand, from how its photo stands: places are in the picture once turned.
    #[serde(default, skip_serializing_if = "stands")]
    pub quarters: u8,
    /// Its steps in their order along it, the lighter end first.
    pub steps: Vec<PaintedStep>,
    /// L* of each step while it was wet, where it was read then, too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wet_lightness: Option<Vec<f64>>,
}

/// What the steps of a strip differ in.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Laid {
    /// Strength: from a thin wash to the paint at its strongest.
    #[default]
    Washes,
    /// Layers of one wash, each over the one before when that was dry: 1, 2, 3 …
    Layers,
}

/// A step as it was read.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct PaintedStep {
    /// L* under D65, against the paper beside it.
    pub lightness: f64,
    /// Half of its 90 % interval, in L*: what the camera and the light leave open.
    pub plus_minus: f64,
    /// CIELAB a* and b*.
    pub tint: [f64; 2],
    /// Corners of its swatch in the photo's working copy, once turned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quad: Option<[[f64; 2]; 4]>,
}

/// Why a strip can't be kept.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PaintedError {
    /// Too few or too many steps.
    #[error("a strip has {FEWEST_STEPS} to {MOST_STEPS} steps, not {0}")]
    Count(usize),
    /// A number that no reading has.
    #[error("step {0} has a number that no reading can have")]
    Number(usize),
    /// A paper that no paper is.
    #[error("the L* of paper lies between 20 and 100, not at {0}")]
    Paper(f64),
    /// Longer than anybody writes.
    #[error("{0} is longer than {LONGEST} letters")]
    Long(&'static str),
    /// Read wet and dry with another count of steps.
    #[error("{wet} steps were read wet, and {dry} dry")]
    Otherwise {
        /// Read wet.
        wet: usize,
        /// Read dry.
        dry: usize,
    },
    /// Turned further than round.
    #[error("a picture is turned by 0 to 3 quarters, not by {0}")]
    Turned(u8),
    /// A paint needs a name to be found by.
    #[error("a paint without a name")]
    Nameless,
}

/// Two steps make a range of tone; more than 24 can't be told apart, even from white to black.
pub const FEWEST_STEPS: usize = 2;
/// See [`FEWEST_STEPS`].
pub const MOST_STEPS: usize = 24;

/// L* that paper may have: toned paper too, as long as it is lighter than the paint on it.
const PAPERS: std::ops::RangeInclusive<f64> = 20.0..=100.0;

/// Longest text of a paint: a page of notes.
const LONGEST: usize = 4000;

/// L* that a reading may have: a gloss reads lighter than white.
const LIGHTNESS: std::ops::RangeInclusive<f64> = 0.0..=110.0;

/// CIELAB's a* and b* of real surfaces stay within 130 of grey (the optimal colours reach further only in theory); a
/// reading may be off by some.
const TINT: std::ops::RangeInclusive<f64> = -200.0..=200.0;

/// Places of swatches, in pixels: in the picture or about it.
const PLACE: std::ops::RangeInclusive<f64> = -WORKING..=2.0 * WORKING;
const WORKING: f64 = crate::WORKING_SIDE as f64;

impl PaintAbout {
    /// Whether it can be kept.
    ///
    /// # Errors
    /// [`PaintedError::Nameless`] and [`PaintedError::Long`].
    pub fn check(&self) -> Result<(), PaintedError> {
        if self.name.trim().is_empty() {
            return Err(PaintedError::Nameless);
        }
        let texts = [
            (&self.name, "the name"),
            (&self.maker, "the maker's name"),
            (&self.pigments, "the list of pigments"),
            (&self.mixed_of, "what it is mixed of"),
            (&self.notes, "the note"),
        ];
        match texts.into_iter().find(|(text, _)| text.chars().count() > LONGEST) {
            Some((_, which)) => Err(PaintedError::Long(which)),
            None => Ok(()),
        }
    }
}

impl PaintedStrip {
    /// Of a strip that was found in a photo.
    #[must_use]
    pub fn of(strip: &Strip, laid: Laid, paper_lightness: f64) -> Self {
        let steps = strip.steps.iter().map(PaintedStep::of).collect();
        let (day, paper) = (String::new(), String::new());
        Self { laid, wet: false, day, paper, paper_lightness, quarters: 0, steps, wet_lightness: None }
    }

    /// This strip, which was read wet, as it reads now that it is dry; both readings stand in the record. Its places
    /// stay those in the photo that it was kept with.
    ///
    /// # Errors
    /// [`PaintedError::Otherwise`] where the two have not as many steps.
    pub fn dried(&self, dry: &[PaintedStep]) -> Result<Self, PaintedError> {
        if dry.len() != self.steps.len() {
            return Err(PaintedError::Otherwise { wet: self.steps.len(), dry: dry.len() });
        }
        let was = self.steps.iter().map(|step| step.lightness).collect();
        let steps = dry.iter().zip(&self.steps).map(|(dry, wet)| PaintedStep { quad: wet.quad, ..*dry });
        let wet_lightness = if self.wet { Some(was) } else { self.wet_lightness.clone() };
        Ok(Self { wet: false, steps: steps.collect(), wet_lightness, ..self.clone() })
    }

    /// Whether it can be kept.
    ///
    /// # Errors
    /// [`PaintedError`].
    pub fn check(&self) -> Result<(), PaintedError> {
        if !(FEWEST_STEPS..=MOST_STEPS).contains(&self.steps.len()) {
            return Err(PaintedError::Count(self.steps.len()));
        }
        if !PAPERS.contains(&self.paper_lightness) {
            return Err(PaintedError::Paper(self.paper_lightness));
        }
        if [&self.day, &self.paper].into_iter().any(|text| text.chars().count() > LONGEST) {
            return Err(PaintedError::Long("the paper's name"));
        }
        if self.quarters > 3 {
            return Err(PaintedError::Turned(self.quarters));
        }
        if let Some(wet) = &self.wet_lightness {
            if wet.len() != self.steps.len() {
                return Err(PaintedError::Otherwise { wet: wet.len(), dry: self.steps.len() });
            }
            if let Some(at) = wet.iter().position(|it| !LIGHTNESS.contains(it)) {
                return Err(PaintedError::Number(at + 1));
            }
        }
        match self.steps.iter().position(|step| !step.is_a_reading()) {
            Some(at) => Err(PaintedError::Number(at + 1)),
            None => Ok(()),
        }
    }

    /// L* of the lightest and of the darkest step.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        let tones = || self.steps.iter().map(|step| step.lightness);
        (tones().fold(f64::NEG_INFINITY, f64::max), tones().fold(f64::INFINITY, f64::min))
    }

    /// Where a step stands between the ends of its strip, from 0 to 1.
    pub(super) fn place(&self, step: usize) -> f64 {
        step as f64 / (self.steps.len() - 1) as f64
    }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a field over by reference")]
fn stands(quarters: &u8) -> bool {
    *quarters == 0
}

impl PaintedStep {
    fn of(step: &StripStep) -> Self {
        let radians = step.hue.unwrap_or_default().to_radians();
        let chroma = if step.hue.is_some() { step.chroma } else { 0.0 };
        Self {
            lightness: step.lightness,
            plus_minus: step.plus_minus,
            tint: [chroma * libm::cos(radians), chroma * libm::sin(radians)],
            quad: Some(step.quad),
        }
    }

    fn is_a_reading(&self) -> bool {
        let places = self.quad.iter().flatten().flatten();
        LIGHTNESS.contains(&self.lightness)
            && (0.0..=100.0).contains(&self.plus_minus)
            && self.tint.iter().all(|part| TINT.contains(part))
            && places.into_iter().all(|place| PLACE.contains(place))
    }
}

impl WashColour {
    /// Of CIELAB under D65.
    #[must_use]
    pub fn from_lab(lightness: f64, [a, b]: [f64; 2]) -> Self {
        let rgb: LinSrgb<f64> = Lab::<D65, f64>::new(lightness, a, b).into_color_unclamped();
        Self::of([rgb.red, rgb.green, rgb.blue])
    }

    /// The nearest of the same tone and hue that a screen can show: less intense where it must be, never lighter or
    /// darker, so that a grey version stays what it is.
    #[must_use]
    pub fn shown(&self) -> Self {
        let lightness = self.lightness.clamp(0.0, 100.0);
        let [_, a, b] = lab(self.linear_srgb);
        let fits = |part: f64| {
            let colour = Self::from_lab(lightness, [part * a, part * b]);
            colour.linear_srgb.iter().all(|channel| (-IN_GAMUT..=1.0 + IN_GAMUT).contains(channel))
        };
        if fits(1.0) {
            return Self::from_lab(lightness, [a, b]);
        }
        let (mut inside, mut outside) = (0.0, 1.0);
        for _ in 0..30 {
            let middle = (inside + outside) / 2.0;
            if fits(middle) { inside = middle } else { outside = middle }
        }
        Self::from_lab(lightness, [inside * a, inside * b])
    }
}

/// How far a channel of linear light may lie outside 0 to 1 and still round to the code that it is meant for: a tenth
/// of the darkest step of 8-bit sRGB (1 / 255 / 12.92).
const IN_GAMUT: f64 = 3e-5;

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(in crate::paint) fn strip(tones: &[f64]) -> PaintedStrip {
        let steps = tones.iter().map(|&lightness| PaintedStep {
            lightness,
            plus_minus: 2.0,
            tint: [10.0, -30.0],
            quad: None,
        });
        PaintedStrip {
            laid: Laid::Washes,
            wet: false,
            day: "2026-05-02".to_owned(),
            paper: "cold pressed".to_owned(),
            paper_lightness: 94.5,
            quarters: 0,
            steps: steps.collect(),
            wet_lightness: None,
        }
    }

    #[test]
    fn a_strip_that_dries_keeps_both_readings() {
        let wet = PaintedStrip { wet: true, ..strip(&[88.0, 30.0]) };
        let dry = wet.dried(&strip(&[89.0, 32.0]).steps).unwrap();
        assert_eq!(
            (dry.wet, dry.wet_lightness.clone(), dry.range()),
            (false, Some(vec![88.0, 30.0]), (89.0, 32.0))
        );
        assert_eq!(dry.dried(&strip(&[89.5, 32.5]).steps).unwrap().wet_lightness, Some(vec![88.0, 30.0]));
        assert_eq!(wet.dried(&strip(&[1.0; 3]).steps), Err(PaintedError::Otherwise { wet: 2, dry: 3 }));
    }

    #[test]
    fn places_stay_in_the_photo_that_is_kept() {
        let at = |quad: f64, quarters: u8| {
            let strip = strip(&[88.0, 30.0]);
            let steps = strip.steps.iter().map(|step| PaintedStep { quad: Some([[quad; 2]; 4]), ..*step });
            PaintedStrip { quarters, steps: steps.collect(), ..strip.clone() }
        };
        let dry = PaintedStrip { wet: true, ..at(7.0, 3) }.dried(&at(9.0, 0).steps).unwrap();
        assert_eq!((dry.quarters, dry.steps[1].quad), (3, Some([[7.0; 2]; 4])));
    }

    #[test]
    fn what_is_no_strip_is_refused() {
        assert_eq!(strip(&[90.0, 50.0]).check(), Ok(()));
        assert_eq!(strip(&[90.0]).check(), Err(PaintedError::Count(1)));
        assert_eq!(strip(&[50.0; 25]).check(), Err(PaintedError::Count(25)));
        assert_eq!(strip(&[90.0, f64::NAN]).check(), Err(PaintedError::Number(2)));
        assert_eq!(
            PaintedStrip { paper_lightness: 3.0, ..strip(&[90.0, 50.0]) }.check(),
            Err(PaintedError::Paper(3.0))
        );
        let turned = PaintedStrip { quarters: 4, ..strip(&[90.0, 50.0]) };
        assert_eq!(turned.check(), Err(PaintedError::Turned(4)));
        assert_eq!(PaintAbout::default().check(), Err(PaintedError::Nameless));
        let long = PaintAbout { name: "n".to_owned(), notes: "é".repeat(4001), ..PaintAbout::default() };
        assert_eq!(long.check(), Err(PaintedError::Long("the note")));
    }

    #[test]
    fn what_a_newer_version_adds_is_not_dropped_unseen_and_what_an_older_lacks_is_filled_in() {
        let json = r#"{"laid":"washes","paperLightness":94.5,"steps":[]}"#;
        let strip: PaintedStrip = serde_json::from_str(json).unwrap();
        assert!(!strip.wet && strip.paper.is_empty() && strip.quarters == 0);
        assert!(!serde_json::to_string(&strip).unwrap().contains("quarters"), "an older one reads it, too");
        let newer = json.replace("\"steps\"", "\"salt\":1,\"steps\"");
        assert!(serde_json::from_str::<PaintedStrip>(&newer).is_err());
    }

    /// sRGB's blue is L* 32.301 (colour-science 0.4.7); as chroma is taken away to fit, tone and hue stay.
    #[test]
    fn a_colour_that_no_screen_has_keeps_its_tone() {
        let blue = WashColour::from_lab(32.301, [79.19, -107.86]);
        assert_eq!(blue.shown().srgb(), [0, 0, 255]);
        for (lightness, tint) in [(32.0, [120.0, -150.0]), (90.0, [5.0, 120.0]), (60.0, [-120.0, 10.0])] {
            let shown = WashColour::from_lab(lightness, tint).shown();
            assert!(shown.linear_srgb.iter().all(|channel| (-1e-4..=1.0001).contains(channel)), "{shown:?}");
            assert!((shown.lightness - lightness).abs() < 1e-4, "{shown:?}");
            let hue = libm::atan2(tint[1], tint[0]).to_degrees().rem_euclid(360.0);
            assert!((shown.hue.unwrap() - hue).abs() < 1e-3, "{shown:?}");
        }
    }
}
