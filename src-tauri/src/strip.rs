//! Commands about strips in the open photo: finding, marking by hand, keeping.

pub(crate) mod wire;

use crate::error::Error;
use crate::paint::wire::PaintInfo;
use crate::photo::blocking;
use crate::state::Shell;
use crate::studio::now;
use std::sync::Arc;
use tauri::State;
use tonefast_core::{PaintedStrip, Strip, split_swatch, strips, swatch_at};
use wire::{Corners, KeepStripAsk, StripInfo, checked, checked_paper};

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
pub(crate) fn cut_swatch(swatch: Corners, beside: Vec<Corners>) -> Result<[Corners; 2], Error> {
    let [swatch] = checked(&[swatch])?[..] else { return Err(Error::Program) };
    Ok(split_swatch(swatch, &checked(&beside)?).map(Corners))
}

/// Keeps a strip of a paint as it reads, with its photo; or that a strip which was read wet reads so now that it is dry.
#[tauri::command]
pub(crate) async fn keep_strip(ask: KeepStripAsk, shell: State<'_, Shell>) -> Result<PaintInfo, Error> {
    let KeepStripAsk { paint, photo, swatches, paper, paper_lightness, laid, wet, day, dries } = ask;
    let (open, door) = (shell.photo(photo)?, Arc::clone(&shell.studio));
    let (swatches, paper_lightness) = (checked(&swatches)?, checked_paper(paper_lightness)?);
    blocking(move || {
        let strip = Strip::marked(&open.as_seen, paper_lightness, &swatches)
            .ok_or_else(|| Error::Caller("a swatch has no paper beside it".to_owned()))?;
        let read = PaintedStrip::of(&strip, laid.into(), paper_lightness);
        door.with(|studio| {
            let before = studio.paint(paint)?.strips.into_iter().find(|it| Some(it.id) == dries);
            if let Some(before) = before {
                let dried =
                    before.painted.dried(&read.steps).map_err(|why| Error::Caller(why.to_string()))?;
                studio.change_strip(before.id, &dried)?;
            } else {
                let painted = PaintedStrip { wet, day, paper, ..read };
                let photo = Some((open.name.as_str(), &open.original[..]));
                studio.keep_strip(paint, &painted, photo, now())?;
            }
            Ok(PaintInfo::new(studio.paint(paint)?))
        })
    })
    .await
}
