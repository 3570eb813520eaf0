//! A snapshot on its way into the studio.

use super::wire::{KeepAsk, KeptInfo, PinShown, Shown, SnapshotInfo};
use crate::error::Error;
use crate::reading::wire::BandsSetting;
use crate::session::wire::within_reason;
use crate::state::{OpenPhoto, Original};
use tonefast_core::{
    Frame, Moment, Patch, Reading, Seen, SeenBands, SeenLight, SeenPin, SeenUnread, SessionAbout, Spot,
    Studio, StudioError,
};

/// A snapshot that is to be kept.
pub(crate) struct NewSnapshot {
    session: Option<i64>,
    name: String,
    original: Original,
    title: String,
    note: String,
    /// The day that a session is of which is begun for it.
    today: String,
    seen: Seen,
    at: Moment,
}

impl NewSnapshot {
    /// What is on the screen, measured by core.
    pub(crate) fn new(open: &OpenPhoto, ask: KeepAsk, at: Moment) -> Result<Self, Error> {
        let KeepAsk { photo: _, session, title, note, today, shown } = ask;
        within_reason(&[&title, &today], &note)?;
        let Shown { view, squint, bands: setting, frame, pins, patches, circumstances } = shown;
        let frame = frame.map(Frame::try_from).transpose()?;
        let histogram = open.photo.tonal_map().histogram(frame.as_ref());
        let kind = match setting {
            BandsSetting::Even { .. } => SeenBands::Even,
            BandsSetting::Fitted { .. } => SeenBands::Fitted,
            BandsSetting::ByHand { .. } => SeenBands::ByHand,
        };
        let bands = setting.divide(&histogram)?;
        let (mut read, mut unread) = (Vec::new(), Vec::new());
        for PinShown { letter, name, spot, warnings } in pins {
            let spot = Spot::try_from(spot)?;
            let called = (letter.as_str(), name.as_str());
            match Reading::take(&open.photo, spot, &bands) {
                Ok(it) => read.push(SeenPin::read(called, spot, &it, &it.against.to_string(), warnings)),
                Err(why) => unread.push(SeenUnread::of(called, spot, why)),
            }
        }
        let confirmed: Vec<usize> = (0..patches.len()).filter(|&at| patches[at].patch.confirmed).collect();
        let patches = patches
            .into_iter()
            .map(|told| Ok((told.name, Patch::try_from(told.patch)?)))
            .collect::<Result<Vec<_>, Error>>()?;
        let named: Vec<_> = patches.iter().map(|(name, patch)| (name.as_str(), *patch)).collect();
        let plain = Seen::plain(open.photo.size(), open.quarters, (kind, &bands), histogram.shares(&bands));
        let seen = Seen {
            view: view.into(),
            squint: squint.map(Into::into),
            frame: frame.map(|frame| frame.corners()),
            pins: read,
            unread,
            light: SeenLight::told(&named, &confirmed, circumstances.into()),
            ..plain
        };
        let (name, original) = (open.name.clone(), open.original.clone());
        Ok(Self { session, name, original, title, note, today, seen, at })
    }

    /// Keeps it; in a session of its own where there is none, or it is gone.
    pub(crate) fn keep(&self, studio: &mut Studio) -> Result<KeptInfo, Error> {
        let session = match self.session.map(|id| self.keep_in(studio, id)) {
            Some(Err(StudioError::Gone)) | None => {
                let about = SessionAbout { day: self.today.clone(), ..SessionAbout::default() };
                let id = studio.begin_session(&about, self.at)?;
                self.keep_in(studio, id)?
            }
            Some(kept) => kept?,
        };
        let snapshot = studio.snapshot(session)?;
        let session = studio.session(snapshot.session)?.into();
        Ok(KeptInfo { snapshot: SnapshotInfo::new(snapshot), session })
    }

    fn keep_in(&self, studio: &mut Studio, session: i64) -> Result<i64, StudioError> {
        let photo = studio.keep_photo(session, &self.name, &self.original, self.at)?;
        studio.keep_snapshot(session, &photo, (&self.title, &self.note), &self.seen, self.at)
    }
}
