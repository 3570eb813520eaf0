//! A strip on its way into the studio.

use super::wire::{KeepStripAsk, KeptStripInfo, checked, checked_paper};
use crate::error::Error;
use crate::state::{OpenPhoto, Original};
use serde::{Deserialize, Serialize};
use tonefast_core::{KeptPaint, Moment, PaintAbout, PaintedStrip, Strip, Studio};

/// A strip that is to be kept, as one of the paint that bears a name.
pub(crate) struct NewStrip {
    about: PaintAbout,
    /// The photo that it was read in, and what that is called.
    photo: (String, Original),
    painted: PaintedStrip,
    at: Moment,
}

/// A strip as it is written while it waits; its photo is written beside it.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(crate) struct WaitingStrip {
    about: PaintAbout,
    /// What its photo is called.
    photo: String,
    painted: PaintedStrip,
    /// Milliseconds since 1970, UTC.
    at: i64,
}

impl NewStrip {
    /// What is marked in a photo, measured by core.
    pub(crate) fn new(open: &OpenPhoto, ask: KeepStripAsk, at: Moment) -> Result<Self, Error> {
        let KeepStripAsk { name, photo: _, swatches, paper, paper_lightness, laid, wet, day } = ask;
        let (swatches, paper_lightness) = (checked(&swatches)?, checked_paper(paper_lightness)?);
        let strip = Strip::marked(&open.as_seen, paper_lightness, &swatches)
            .ok_or_else(|| Error::Caller("a swatch has no paper beside it".to_owned()))?;
        let read = PaintedStrip::of(&strip, laid.into(), paper_lightness);
        let painted = PaintedStrip { wet, day, paper, quarters: open.quarters, ..read };
        let about = PaintAbout { name: name.trim().to_owned(), ..PaintAbout::default() };
        Self::checked(about, (open.name.clone(), Original::clone(&open.original)), painted, at)
    }

    /// What makes no sense is refused before a paint is begun for it.
    fn checked(
        about: PaintAbout,
        photo: (String, Original),
        painted: PaintedStrip,
        at: Moment,
    ) -> Result<Self, Error> {
        about
            .check()
            .and_then(|()| painted.check())
            .map_err(|why| Error::Caller(format!("it can't be kept: {why}")))?;
        Ok(Self { about, photo, painted, at })
    }

    /// Its photo's bytes.
    pub(crate) fn original(&self) -> &Original {
        &self.photo.1
    }

    /// As it is written while it waits.
    pub(crate) fn waiting(&self) -> WaitingStrip {
        let Self { about, photo: (name, _), painted, at: Moment(at) } = self;
        WaitingStrip { about: about.clone(), photo: name.clone(), painted: painted.clone(), at: *at }
    }

    /// From what was written.
    pub(crate) fn restored(waiting: WaitingStrip, original: Original) -> Result<Self, Error> {
        let WaitingStrip { about, photo, painted, at } = waiting;
        Self::checked(about, (photo, original), painted, Moment(at))
    }

    /// Keeps it, of a paint that is begun where there is none of the name; or that a strip which was read wet reads so
    /// now that it is dry.
    pub(crate) fn keep(&self, studio: &mut Studio) -> Result<KeptStripInfo, Error> {
        let (name, bytes) = &self.photo;
        let photo = Some((name.as_str(), &bytes[..]));
        let Some(paint) = self.paint(studio)? else {
            studio.begin_paint_with_strip(&self.about, &self.painted, photo, self.at)?;
            return Ok(KeptStripInfo { paint: self.about.name.clone(), dried: false });
        };
        let dried = self.dried(&paint);
        let is_dried = dried.is_some();
        match dried {
            Some((id, dried)) => studio.change_strip(id, &dried)?,
            None => drop(studio.keep_strip(paint.id, &self.painted, photo, self.at)?),
        }
        Ok(KeptStripInfo { paint: paint.about.name, dried: is_dried })
    }

    /// The paint that bears its name.
    fn paint(&self, studio: &Studio) -> Result<Option<KeptPaint>, Error> {
        let name = self.about.name.to_lowercase();
        let same = |paint: &KeptPaint| paint.about.name.trim().to_lowercase() == name;
        Ok(studio.paints()?.into_iter().find(same))
    }

    /// The last strip that was read wet, if this is of it: the two are laid alike and have as many steps.
    fn dried(&self, paint: &KeptPaint) -> Option<(i64, PaintedStrip)> {
        if self.painted.wet {
            return None;
        }
        let is_it = |it: &PaintedStrip| it.wet && it.laid == self.painted.laid;
        paint
            .strips
            .iter()
            .rev()
            .filter(|strip| is_it(&strip.painted))
            .find_map(|strip| Some((strip.id, strip.painted.dried(&self.painted.steps).ok()?)))
    }
}
