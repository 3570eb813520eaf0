//! Core's types as a snapshot holds them, and back.

use super::{
    Seen, SeenBands, SeenKind, SeenLight, SeenPatch, SeenPin, SeenSpot, SeenSquint, SeenUnread, SeenView,
    SeenWhy, StudioError,
};
use crate::{
    Bands, Circumstances, Doubt, Frame, Light, NoReading, Patch, PatchKind, Photo, Reading, Spot, Squint,
    StandardError, View,
};
use std::sync::Arc;

impl Seen {
    /// A record of a photo that is shown as it came, with even bands and nothing told: to be filled in.
    ///
    /// `size` is of the working copy, once turned by `quarters` to the right.
    #[must_use]
    pub fn plain(size: (u32, u32), quarters: u8, bands: (SeenBands, &Bands), shares: Vec<f64>) -> Self {
        Self {
            format: Self::FORMAT,
            core: Self::CORE.to_owned(),
            quarters,
            size,
            view: SeenView::Colour,
            squint: None,
            bands: bands.0,
            edges: bands.1.edges().to_vec(),
            shares,
            frame: None,
            pins: Vec::new(),
            unread: Vec::new(),
            light: SeenLight::default(),
        }
    }

    /// The bands, with the very edges that were kept.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where they make no division.
    pub fn division(&self) -> Result<Bands, StudioError> {
        Bands::by_hand(self.edges.clone()).map_err(|error| StudioError::Odd(error.to_string()))
    }

    /// A photo, as it comes from its file, as it stood when this was kept: turned, and in the light that was told.
    ///
    /// # Errors
    /// As [`Seen::lit`] does.
    pub fn restored(&self, photo: &Photo) -> Result<Photo, StudioError> {
        self.lit(&photo.turned(self.quarters))
    }

    /// A photo that is turned already, in the light that was told.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where it has another size, or the light can't be judged any more.
    pub fn lit(&self, turned: &Photo) -> Result<Photo, StudioError> {
        let odd = |error: &dyn ToString| StudioError::Odd(error.to_string());
        if turned.size() != self.size {
            return Err(odd(&"its photo has another size"));
        }
        let (patches, confirmed, circumstances) = self.light.judged_by();
        if patches.is_empty() {
            return Ok(turned.turned(0));
        }
        let light = Light::judge_confirmed(turned, &patches, &confirmed, circumstances)
            .map_err(|error| odd(&error))?;
        Ok(turned.lit(&Arc::new(light)))
    }

    /// What counted of the picture.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where the corners make no frame.
    pub fn counted(&self) -> Result<Option<Frame>, StudioError> {
        self.frame.map(Frame::new).transpose().map_err(|error| StudioError::Odd(error.to_string()))
    }
}

impl SeenPin {
    /// A pin with what it read; words are the caller's.
    #[must_use]
    pub fn read(
        (letter, name): (&str, &str),
        spot: Spot,
        reading: &Reading,
        against: &str,
        warnings: Vec<String>,
    ) -> Self {
        // What is not kept is either in the words, or follows from what is kept and from the bands.
        let Reading {
            lightness,
            median: _,
            spread,
            error,
            chroma,
            hue,
            hue_name: _,
            intensity: _,
            band,
            nearest_edge: _,
            pixels: _,
            warnings: _,
            look: _,
            against: _,
            doubt,
        } = reading;
        let StandardError { .. } = error;
        Self {
            letter: letter.to_owned(),
            name: name.to_owned(),
            spot: spot.into(),
            lightness: *lightness,
            plus_minus: doubt.as_ref().map(Doubt::plus_minus),
            repeatable: error.half_width(),
            band: *band,
            colour: (*chroma, *hue),
            against: against.to_owned(),
            spread: Some(*spread),
            warnings,
        }
    }
}

impl SeenUnread {
    /// A pin without a reading.
    #[must_use]
    pub fn of((letter, name): (&str, &str), spot: Spot, why: NoReading) -> Self {
        Self { letter: letter.to_owned(), name: name.to_owned(), spot: spot.into(), why: why.into() }
    }
}

impl SeenLight {
    /// Patches, each with what the painter calls it, those among them that she confirmed, by their number from 0, and
    /// circumstances.
    #[must_use]
    pub fn told(patches: &[(&str, Patch)], confirmed: &[usize], circumstances: Circumstances) -> Self {
        let Circumstances { beyond_the_paper, lifted, wet } = circumstances;
        let patches = patches
            .iter()
            .enumerate()
            .map(|(at, &(name, Patch { kind, spot, lightness }))| SeenPatch {
                kind: kind.into(),
                name: name.to_owned(),
                spot: spot.into(),
                lightness,
                confirmed: confirmed.contains(&at),
            })
            .collect();
        Self { patches, beyond_the_paper, lifted, wet }
    }

    /// Patches, those that were confirmed, and circumstances, as a light is judged by them.
    #[must_use]
    pub fn judged_by(&self) -> (Vec<Patch>, Vec<usize>, Circumstances) {
        let &Self { ref patches, beyond_the_paper, lifted, wet } = self;
        let confirmed = (0..patches.len()).filter(|&at| patches[at].confirmed).collect();
        let circumstances = Circumstances { beyond_the_paper, lifted, wet };
        (patches.iter().map(Patch::from).collect(), confirmed, circumstances)
    }
}

impl From<&SeenPatch> for Patch {
    fn from(&SeenPatch { kind, name: _, spot, lightness, confirmed: _ }: &SeenPatch) -> Self {
        Self { kind: kind.into(), spot: spot.into(), lightness }
    }
}

impl From<NoReading> for SeenWhy {
    fn from(why: NoReading) -> Self {
        match why {
            NoReading::LighterThanWhite => Self::LighterThanWhite,
            NoReading::CutOff => Self::CutOff,
            NoReading::Outside => Self::Outside,
            NoReading::TooUncertain => Self::TooUncertain,
        }
    }
}

impl From<Spot> for SeenSpot {
    fn from(Spot { x, y, radius }: Spot) -> Self {
        Self(x, y, radius)
    }
}

impl From<SeenSpot> for Spot {
    fn from(SeenSpot(x, y, radius): SeenSpot) -> Self {
        Self { x, y, radius }
    }
}

impl From<View> for SeenView {
    fn from(it: View) -> Self {
        match it {
            View::Colour => Self::Colour,
            View::Lightness => Self::Lightness,
            View::Bands => Self::Bands,
            View::Outlines => Self::Outlines,
        }
    }
}

impl From<SeenView> for View {
    fn from(it: SeenView) -> Self {
        match it {
            SeenView::Colour => Self::Colour,
            SeenView::Lightness => Self::Lightness,
            SeenView::Bands => Self::Bands,
            SeenView::Outlines => Self::Outlines,
        }
    }
}

impl From<Squint> for SeenSquint {
    fn from(it: Squint) -> Self {
        match it {
            Squint::Slight => Self::Slight,
            Squint::Half => Self::Half,
            Squint::Nearly => Self::Nearly,
        }
    }
}

impl From<SeenSquint> for Squint {
    fn from(it: SeenSquint) -> Self {
        match it {
            SeenSquint::Slight => Self::Slight,
            SeenSquint::Half => Self::Half,
            SeenSquint::Nearly => Self::Nearly,
        }
    }
}

impl From<PatchKind> for SeenKind {
    fn from(it: PatchKind) -> Self {
        match it {
            PatchKind::White => Self::White,
            PatchKind::Card => Self::Card,
            PatchKind::Dark => Self::Dark,
            PatchKind::Step => Self::Step,
        }
    }
}

impl From<SeenKind> for PatchKind {
    fn from(it: SeenKind) -> Self {
        match it {
            SeenKind::White => Self::White,
            SeenKind::Card => Self::Card,
            SeenKind::Dark => Self::Dark,
            SeenKind::Step => Self::Step,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::OpenOptions;
    use crate::random::Random;
    use crate::{Moment, Progress, SessionAbout, Studio};
    use std::time::UNIX_EPOCH;

    /// A noisy picture, as a file.
    fn file(random: &mut Random) -> Vec<u8> {
        let pixels: Vec<u8> = (0..96_u32 * 64)
            .flat_map(|at| {
                let light = random.within((0.0, 30.0)) + f64::from(at % 96) * 2.0;
                [light * 0.9, light, light * 0.8].map(|it| it as u8)
            })
            .collect();
        let mut png = std::io::Cursor::new(Vec::new());
        let picture = image::RgbImage::from_raw(96, 64, pixels).unwrap();
        picture.write_to(&mut png, image::ImageFormat::Png).unwrap();
        png.into_inner()
    }

    fn opened(bytes: &[u8]) -> Photo {
        Photo::open(bytes, &OpenOptions::default(), &Progress::new()).unwrap()
    }

    /// A photo is measured in a light, by fitted bands and in a frame; what the studio gives back measures the same, to
    /// the last bit.
    #[test]
    fn a_snapshot_that_is_opened_gives_the_same_numbers_to_the_digit() {
        let mut random = Random::new(7);
        let bytes = file(&mut random);
        let photo = opened(&bytes);
        let spot = |x, y| Spot { x, y, radius: 5.0 + 1.0 / 3.0 };
        let patches = [
            ("paper", Patch { kind: PatchKind::White, spot: spot(85.3, 30.1), lightness: 94.53 }),
            ("", Patch { kind: PatchKind::Dark, spot: spot(12.7, 40.2), lightness: 20.61 }),
        ];
        let circumstances = Circumstances { wet: true, ..Circumstances::default() };
        let judged = Light::judge(&photo, &patches.map(|it| it.1), circumstances).unwrap();
        let lit = photo.lit(&Arc::new(judged));
        let frame = Frame::new([[0.1, 0.1], [0.9, 0.12], [0.88, 0.9], [1.0 / 7.0, 0.95]]).unwrap();
        let histogram = lit.tonal_map().histogram(Some(&frame));
        let bands = Bands::fitted(5, &histogram).unwrap();
        let shares = histogram.shares(&bands);
        let reading = Reading::take(&lit, spot(48.25, 32.5), &bands).unwrap();
        let kept = Seen {
            view: View::Outlines.into(),
            squint: Some(Squint::Nearly.into()),
            frame: Some(frame.corners()),
            pins: vec![SeenPin::read(
                ("A", "hull"),
                spot(48.25, 32.5),
                &reading,
                "against paper",
                Vec::new(),
            )],
            light: SeenLight::told(&patches, &[], circumstances),
            ..Seen::plain(lit.size(), 0, (SeenBands::Fitted, &bands), shares.clone())
        };

        let folder = tempfile::TempDir::new().unwrap();
        let now = Moment(0);
        let mut studio = Studio::open(folder.path(), UNIX_EPOCH).unwrap();
        let session = studio.begin_session(&SessionAbout::default(), now).unwrap();
        let hash = studio.keep_photo(session, "a.png", &bytes, now).unwrap();
        let id = studio.keep_snapshot(session, &hash, ("", ""), &kept, now).unwrap();
        drop(studio);
        let studio = Studio::open(folder.path(), UNIX_EPOCH).unwrap();
        let snapshot = studio.snapshot(id).unwrap();
        let seen = &snapshot.seen;
        assert_eq!(*seen, kept);

        let again = seen.restored(&opened(&studio.photo(&snapshot.photo).unwrap())).unwrap();
        let frame_again = seen.counted().unwrap();
        assert_eq!((seen.division().unwrap(), frame_again), (bands.clone(), Some(frame)));
        assert_eq!(again.tonal_map().histogram(frame_again.as_ref()).shares(&bands), shares);
        assert_eq!(Reading::take(&again, seen.pins[0].spot.into(), &bands).unwrap(), reading);
        assert_eq!(
            (View::from(seen.view), seen.squint.map(Squint::from)),
            (View::Outlines, Some(Squint::Nearly))
        );
    }

    #[test]
    fn whatever_bands_are_fitted_come_back_as_they_were() {
        let mut random = Random::new(11);
        for count in crate::MIN_BANDS..=crate::MAX_BANDS {
            let photo = opened(&file(&mut random));
            let bands = Bands::fitted(count, &photo.tonal_map().histogram(None)).unwrap();
            let seen = Seen::plain(photo.size(), 0, (SeenBands::Fitted, &bands), Vec::new());
            assert_eq!(Seen::from_json(&seen.to_json().unwrap()).unwrap().division().unwrap(), bands);
        }
    }

    #[test]
    fn what_makes_no_bands_and_no_frame_is_told() {
        let even = Bands::even(5).unwrap();
        let seen = Seen::plain((4, 3), 0, (SeenBands::Even, &even), Vec::new());
        let odd = Seen { edges: vec![10.0, 90.0], frame: Some([[0.0; 2]; 4]), ..seen };
        assert!(matches!(odd.division(), Err(StudioError::Odd(_))));
        assert!(matches!(odd.counted(), Err(StudioError::Odd(_))));
    }
}
