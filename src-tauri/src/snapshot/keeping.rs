//! A snapshot on its way into the studio.

use super::wire::{KeepAsk, KeptInfo, PinShown, Shown, SnapshotInfo};
use crate::error::Error;
use crate::reading::wire::BandsSetting;
use crate::session::wire::within_reason;
use crate::state::{OpenPhoto, Original};
use serde::{Deserialize, Serialize};
use tonefast_core::{
    Frame, Moment, Patch, Reading, Seen, SeenBands, SeenLight, SeenPin, SeenUnread, SessionAbout, Spot,
    Studio,
};

/// A snapshot that is to be kept.
pub(crate) struct NewSnapshot {
    /// The uuid of the session that it goes into.
    session: Option<String>,
    name: String,
    original: Original,
    title: String,
    note: String,
    /// The day that a session is of which is begun for it.
    today: String,
    seen: Seen,
    at: Moment,
}

/// A snapshot as it is written while it waits; its photo is written beside it.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(crate) struct WaitingSnapshot {
    session: Option<String>,
    name: String,
    title: String,
    note: String,
    today: String,
    seen: Seen,
    /// Milliseconds since 1970, UTC.
    at: i64,
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
        let Self { session, name, original, title, note, today, seen, at } = self;
        let about = SessionAbout { day: today.clone(), ..SessionAbout::default() };
        let photo = (name.as_str(), &original[..]);
        let new = tonefast_core::NewSnapshot { photo, title, note, seen, at: *at };
        let id = studio.keep(session.as_deref(), &about, &new)?;
        let snapshot = studio.snapshot(id)?;
        let session = studio.session(snapshot.session)?.into();
        Ok(KeptInfo { snapshot: SnapshotInfo::new(snapshot), session })
    }

    /// Goes into the session that was begun for another of its day, which waited before it.
    pub(crate) fn follow(&mut self, other: &Self, session: &str) {
        if self.session.is_none() && other.session.is_none() && self.today == other.today {
            self.session = Some(session.to_owned());
        }
    }

    /// Its photo's bytes.
    pub(crate) fn original(&self) -> &Original {
        &self.original
    }

    /// As it is written while it waits.
    pub(crate) fn waiting(&self) -> WaitingSnapshot {
        let Self { session, name, original: _, title, note, today, seen, at: Moment(at) } = self;
        WaitingSnapshot {
            session: session.clone(),
            name: name.clone(),
            title: title.clone(),
            note: note.clone(),
            today: today.clone(),
            seen: seen.clone(),
            at: *at,
        }
    }

    /// From what was written. Its numbers are checked when it is kept.
    pub(crate) fn restored(waiting: WaitingSnapshot, original: Original) -> Result<Self, Error> {
        let WaitingSnapshot { session, name, title, note, today, seen, at } = waiting;
        within_reason(&[&title, &today], &note)?;
        Ok(Self { session, name, original, title, note, today, seen, at: Moment(at) })
    }
}
