//! Commands about strips in the open photo: finding, marking by hand, keeping, and opening as they were.

mod keeping;
pub(crate) mod wire;

pub(crate) use keeping::{NewStrip, WaitingStrip};

use crate::error::Error;
use crate::photo::wire::PhotoInfo;
use crate::photo::{open, work};
use crate::state::{OpenPhoto, Shell};
use crate::studio::{Door, KeptAnswer, ToKeep, keep, now};
use crate::worker::blocking;
use std::borrow::Cow;
use std::sync::Arc;
use tauri::{AppHandle, State};
use tonefast_core::{KeptPaint, PaintedStrip, Progress, Strip, StudioError, split_swatch, strips, swatch_at};
use wire::{Corners, KeepStripAsk, OpenedStrip, StripInfo, checked, checked_paper};

/// All strips of a photo, against paper of an L*.
#[tauri::command]
pub(crate) async fn find_strips(
    photo: u32,
    paper: f64,
    shell: State<'_, Shell>,
) -> Result<Vec<StripInfo>, Error> {
    let (open, paper) = (shell.photo(photo)?, checked_paper(paper)?);
    blocking(move || Ok(strips(&open.as_seen, paper).iter().map(StripInfo::new).collect())).await
}

/// A strip whose swatches were marked; nothing where they can't be read.
#[tauri::command]
pub(crate) async fn mark_strip(
    photo: u32,
    paper: f64,
    swatches: Vec<Corners>,
    shell: State<'_, Shell>,
) -> Result<Option<StripInfo>, Error> {
    let (open, paper, swatches) = (shell.photo(photo)?, checked_paper(paper)?, checked(&swatches)?);
    blocking(move || Ok(Strip::marked(&open.as_seen, paper, &swatches).as_ref().map(StripInfo::new))).await
}

/// The swatch at a place that was tapped, beside others of its strip.
#[tauri::command]
pub(crate) async fn find_swatch(
    photo: u32,
    at: (f64, f64),
    beside: Vec<Corners>,
    shell: State<'_, Shell>,
) -> Result<Corners, Error> {
    let (open, beside) = (shell.photo(photo)?, checked(&beside)?);
    if !at.0.is_finite() || !at.1.is_finite() {
        return Err(Error::Caller("a swatch lies in the picture".to_owned()));
    }
    blocking(move || Ok(Corners(swatch_at(&open.as_seen, [at.0, at.1], &beside)))).await
}

/// A swatch cut in two, across the strip.
#[tauri::command]
pub(crate) async fn cut_swatch(swatch: Corners, beside: Vec<Corners>) -> Result<[Corners; 2], Error> {
    let [swatch] = checked(&[swatch])?[..] else { return Err(Error::Program) };
    let beside = checked(&beside)?;
    blocking(move || Ok(split_swatch(swatch, &beside).map(Corners))).await
}

/// Keeps a strip of a paint as it reads, with its photo; or that a strip which was read wet reads so now that it is
/// dry. What can't be kept yet waits in memory, and that is told.
#[tauri::command]
pub(crate) async fn keep_strip(
    ask: KeepStripAsk,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<KeptAnswer, Error> {
    let open = shell.photo(ask.photo)?;
    keep(&shell, &app, move || Ok(Some(ToKeep::Strip(NewStrip::new(&open, ask, now())?)))).await
}

/// Opens the photo of a strip that is kept, turned as it was when the strip was read in it.
#[tauri::command]
pub(crate) async fn open_strip(id: i64, job: u32, shell: State<'_, Shell>) -> Result<OpenedStrip, Error> {
    let door = Arc::clone(&shell.studio);
    let (open, name, strip) =
        work(shell.start(job), move |progress| opened_strip(&door, id, progress)).await?;
    let id = shell.keep_restored(open);
    Ok(OpenedStrip::new(PhotoInfo::new(id, &*shell.photo(id)?), name, &strip))
}

/// A strip's photo, the name of its paint, and the strip.
pub(crate) fn opened_strip(
    door: &Door,
    id: i64,
    progress: &Progress,
) -> Result<(OpenPhoto, String, PaintedStrip), Error> {
    let (name, strip, bytes) = door.with(|studio| {
        let of = |paint: KeptPaint| {
            let strip = paint.strips.into_iter().find(|strip| strip.id == id)?;
            Some((paint.about.name, strip))
        };
        let (name, strip) = studio.paints()?.into_iter().find_map(of).ok_or(StudioError::Gone)?;
        let photo = strip.photo.as_ref().ok_or(StudioError::LeftOut)?;
        let bytes = studio.photo(photo)?;
        Ok((name, strip.painted, bytes))
    })?;
    let photo = Arc::new(open(&bytes, progress)?.turned(strip.quarters));
    let (called, original) = (format!("Strip of {name}"), Arc::new(Cow::Owned(bytes)));
    Ok((OpenPhoto::restored(called, original, strip.quarters, Arc::clone(&photo), photo), name, strip))
}
