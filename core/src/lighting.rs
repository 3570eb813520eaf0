//! The light that a picture was seen in, judged by patches of known tone.
//!
//! A camera's picture is light times surface, with flare added and a tone curve over it all. Patches that the painter
//! tells (paper white, a grey card, a dark patch, a grey scale) undo that, channel by channel, before Y is taken: a
//! scale from one patch, flare from a dark one, a curve from three and more, and falling-off light from paper in three
//! places and more. What they can't undo stays as doubt about every reading.

mod camera;
mod curve;
mod doubt;
mod field;
mod odd;
mod question;
#[cfg(test)]
mod rendering;
#[cfg(test)]
mod scene;
mod seen;
#[cfg(test)]
mod simulation;
mod standing;
#[cfg(test)]
mod tests;

pub use camera::{CameraFamily, CameraModel, LeftOver};
pub use doubt::Doubt;
pub(crate) use question::{MUCH, STEEPEST};
pub use question::{Question, Questioned};
pub use standing::{Against, Evenness, LightNote, Scale};

use crate::photo::Noticed;
use crate::{Photo, Spot, video_tables, y_from_lightness};
use curve::Curve;
use doubt::{Cameras, Level, OfLight, PATCH_SD, SMEARED, Spotted, light_at, together};
use field::Field;
use odd::{Shoulder, doubted};
use question::{darker_than_picture, disagreeing};
use seen::{Evened, Seen, contradiction, flare, levels, look, mean_place};
use std::sync::Arc;

/// A patch of known tone in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// What it is.
    pub kind: PatchKind,
    /// Where it lies.
    pub spot: Spot,
    /// Its L* under D65, as measured or as its maker says.
    pub lightness: f64,
}

/// What a patch of known tone is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PatchKind {
    /// Bare paper; in three places and more it shows how the light falls off.
    White,
    /// A grey card.
    Card,
    /// Something matt and dark: it shows flare.
    Dark,
    /// One step of a grey scale.
    Step,
}

/// What the painter says of how the picture was taken, and no patch can show.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Circumstances {
    /// The patches stand in another light than the subject: paper in the hand before a landscape.
    pub beyond_the_paper: bool,
    /// The phone lifted the shadows by itself, here more and there less.
    pub lifted: bool,
    /// Paint or paper was wet and shone.
    pub wet: bool,
}

/// The light of a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Light {
    curves: [Curve; 3],
    field: Option<Field>,
    against: Against,
    notes: Vec<LightNote>,
    questions: Vec<Question>,
    cameras: Option<Cameras>,
}

/// Why patches tell nothing of the light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LightError {
    /// A patch lies outside the picture.
    #[error("patch {} lies outside the picture", .0 + 1)]
    Outside(usize),
    /// The file is cut off where a patch lies.
    #[error("the file is cut off where patch {} lies", .0 + 1)]
    CutOff(usize),
    /// A known L* is no tone of a surface.
    #[error("the tone of patch {} must lie between L* 1 and 100", .0 + 1)]
    NoTone(usize),
    /// No patch is left that gives a scale.
    #[error("no patch gives a scale: tap paper, a grey card or a grey scale that is not clipped")]
    NoScale,
    /// One patch is told to be darker than another and reads lighter, or as light.
    #[error("patch {} is told to be darker than patch {}, and is not in the picture", .darker + 1, .lighter + 1)]
    Contradiction {
        /// Told to be darker.
        darker: usize,
        /// Told to be lighter.
        lighter: usize,
    },
}

/// The middle of a picture, where paper in it lies within half a side of everything.
const MIDDLE: (f64, f64) = (0.5, 0.5);

/// What local lifting of shadows may be off by in L*, one deviation at black, none at white (assumed).
const LIFTED_SD: f64 = 5.0;

/// What sheen may be off by in L*, likewise (assumed: wet darks commonly read several L* too light).
const WET_SD: f64 = 4.0;

impl PatchKind {
    /// The L* that such a patch has unless measured otherwise: one watercolour paper measured 94.5, a grey card of
    /// 18 % is L* 49.5; the black of a common 24-patch chart is 20.6, and dried black paint lies near it.
    #[must_use]
    pub const fn usual_lightness(self) -> f64 {
        match self {
            Self::White => 94.5,
            Self::Card => 49.5,
            Self::Dark => 20.6,
            Self::Step => 66.9,
        }
    }
}

impl Light {
    /// Judges the light of `photo` (as the camera saw it) by patches, of which none was confirmed.
    ///
    /// # Errors
    /// [`LightError`].
    pub fn judge(photo: &Photo, patches: &[Patch], circumstances: Circumstances) -> Result<Self, LightError> {
        Self::judge_confirmed(photo, patches, &[], circumstances)
    }

    /// Judges the light of `photo` (as the camera saw it) by patches. Those that can hardly be what was stated are
    /// questioned, and don't count, unless they are among the `confirmed`, by their number from 0. Where none is left to
    /// count, the light is as the camera saw it.
    ///
    /// # Errors
    /// [`LightError`].
    pub fn judge_confirmed(
        photo: &Photo,
        patches: &[Patch],
        confirmed: &[usize],
        circumstances: Circumstances,
    ) -> Result<Self, LightError> {
        Self::judge_by(photo, patches, confirmed, circumstances, &CameraModel::measured())
    }

    /// Judges it by another family of cameras: for fitting one, and for judging it on cameras that it was not fitted to.
    ///
    /// # Errors
    /// [`LightError`].
    pub fn judge_by(
        photo: &Photo,
        patches: &[Patch],
        confirmed: &[usize],
        circumstances: Circumstances,
        model: &Arc<CameraModel>,
    ) -> Result<Self, LightError> {
        let gives_scale = |seen: &[Seen]| seen.iter().any(|patch| patch.kind != PatchKind::Dark);
        let (mut seen, mut notes) = look(photo, patches)?;
        if !gives_scale(&seen) {
            return Err(LightError::NoScale);
        }
        let y_row = photo.y_row();
        let histogram = photo.tonal_map().histogram(None);
        let mut questions = darker_than_picture(&histogram, &seen, y_row, confirmed);
        let is_open = |questions: &[Question], seen: &Seen| questions.iter().any(|it| it.patch == seen.index);
        seen.retain(|patch| !is_open(&questions, patch));
        contradiction(&seen)?;
        questions.extend(disagreeing(&seen, y_row, confirmed));
        seen.retain(|patch| !is_open(&questions, patch));
        if !gives_scale(&seen) {
            return Ok(Self { notes, questions, ..Self::scaled([1.0; 3]) });
        }
        let Evened { curves, field, mut evenness, residual } = Evened::of(&seen, y_row);
        let is_of_paper = |it: &Question| patches[it.patch].kind == PatchKind::White;
        if evenness == Evenness::Taken && questions.iter().any(is_of_paper) {
            evenness = Evenness::Questioned;
        }
        notes.extend((evenness == Evenness::ShadowEdge).then_some(LightNote::ShadowEdge));
        let mut levels = levels(&seen, field.as_ref());
        if let Some(share) = flare(&levels, y_row).filter(|&share| share > SMEARED) {
            notes.push(LightNote::WipeLens(share));
        }
        let lifted = circumstances.lifted || photo.noticed().contains(&Noticed::GainMapIgnored);
        notes.extend(lifted.then_some(LightNote::Lifted));
        notes.extend(circumstances.wet.then_some(LightNote::Wet));
        notes.extend(circumstances.beyond_the_paper.then_some(LightNote::Beyond));
        let dark_sd =
            together([if lifted { LIFTED_SD } else { 0.0 }, if circumstances.wet { WET_SD } else { 0.0 }]);
        let beyond = circumstances.beyond_the_paper;
        let shoulder = levels.last().and_then(|lightest| Shoulder::of(lightest.recorded, y_row));
        notes.extend(shoulder.and(levels.last()).map(|lightest| LightNote::Shoulder(lightest.index)));
        let of_light = OfLight {
            place: mean_place(&seen),
            residual,
            dark_sd,
            scale_sd: shoulder.map_or(0.0, Shoulder::scale_sd),
        };
        notes.extend(doubted(model, &mut levels, y_row, of_light).into_iter().map(LightNote::Odd));
        Ok(Self {
            curves,
            field,
            against: Against::Patches { scale: Scale::of(&seen, levels.len()), evenness, beyond },
            notes,
            questions,
            cameras: (!beyond).then(|| Cameras::fitted(model, &levels, y_row, of_light)),
        })
    }

    /// The light that paper of `lightness` tells where a camera's sRGB frame recorded it as `recorded` (linear, per
    /// channel), and nothing else is known: a scale for each channel.
    #[must_use]
    pub fn of_paper(recorded: [f64; 3], lightness: f64) -> Self {
        let levels = [Level { recorded, truth: y_from_lightness(lightness), sd: PATCH_SD, index: 0 }];
        let y_row = video_tables().y_row.map(f64::from);
        let scale_sd = Shoulder::of(recorded, y_row).map_or(0.0, Shoulder::scale_sd);
        let of_light = OfLight { place: MIDDLE, residual: None, dark_sd: 0.0, scale_sd };
        Self {
            against: Against::Patches {
                scale: Scale::Paper(lightness),
                evenness: Evenness::Taken,
                beyond: false,
            },
            cameras: Some(Cameras::fitted(&CameraModel::measured(), &levels, y_row, of_light)),
            ..Self::scaled(recorded.map(|recorded| levels[0].truth / recorded))
        }
    }

    /// A light in which each channel is scaled, and nobody says by what.
    pub(crate) fn scaled(gains: [f64; 3]) -> Self {
        Self {
            curves: gains.map(|gain| Curve::Line { gain, offset: 0.0 }),
            field: None,
            against: Against::Camera,
            notes: Vec::new(),
            questions: Vec::new(),
            cameras: None,
        }
    }

    /// What readings in this light stand on.
    #[must_use]
    pub fn against(&self) -> Against {
        self.against
    }

    /// What the painter should be told.
    #[must_use]
    pub fn notes(&self) -> &[LightNote] {
        &self.notes
    }

    /// What is to be asked of the painter: patches that don't count until they are confirmed.
    #[must_use]
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    /// The least and the most light over the picture, relative to its mean over the papers; 1 and 1 where none was
    /// evened out.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        self.field.as_ref().map_or((1.0, 1.0), Field::range)
    }

    /// Relative light at fractions of the picture.
    #[must_use]
    pub fn at(&self, x: f64, y: f64) -> f64 {
        light_at(self.field.as_ref(), x, y)
    }

    /// The 8-bit sRGB grey that shows relative light at fractions of the picture: the most is white.
    #[must_use]
    pub fn shown_at(&self, x: f64, y: f64) -> u8 {
        crate::lightness::grey_from_y((self.at(x, y) / self.range().1).min(1.0))
    }

    /// Relative light along the row at `y` (a fraction of the picture's height), as a function of x; none where it was
    /// taken as even.
    pub(crate) fn along(&self, y: f64) -> Option<impl Fn(f32) -> f32 + use<>> {
        self.field.as_ref().map(|field| field.along(y))
    }

    /// Light of a surface in even light, from recorded light of one channel.
    pub(crate) fn surface(&self, channel: usize, recorded: f64) -> f64 {
        self.curves[channel].light(recorded)
    }

    /// The doubt about a reading; see [`Cameras::doubt`].
    pub(crate) fn doubt(
        &self,
        recorded: [f64; 3],
        (x, y): (f64, f64),
        size: (u32, u32),
        lightness: f64,
        own_sd: f64,
    ) -> Option<Doubt> {
        let cameras = self.cameras.as_ref()?;
        let light = self.at(x / f64::from(size.0), y / f64::from(size.1));
        let side = f64::from(size.0.max(size.1));
        // In the file's own primaries: chroma only says how much to doubt.
        let surface: [f64; 3] =
            std::array::from_fn(|channel| self.surface(channel, recorded[channel]) / light);
        let [_, a, b] = crate::colour::lab(surface);
        let place = (x / side, y / side);
        Some(cameras.doubt(&Spotted { recorded, place, light, lightness, colour: [a, b], own_sd }))
    }
}
