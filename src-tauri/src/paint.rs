//! Commands about paints: keeping them, what stands in for what, and what happens when two run together.

mod out;
mod print;
pub(crate) mod wire;

pub(crate) use out::*;
pub(crate) use print::*;

use crate::error::Error;
use crate::state::Shell;
use crate::studio::{KeptAnswer, ToKeep, in_studio, keep};
use crate::worker::blocking;
use std::collections::HashMap;
use std::sync::Arc;
use tauri::{AppHandle, State};
use tonefast_core::{Bands, Curve, DabReading, Drying, PaintAbout, Studio};
use wire::{
    AtPaint, AtToneInfo, DabAsk, DabInfo, PaintAboutInfo, PaintInfo, Painted, PassageInfo, RunTogetherInfo,
    StandInInfo,
};

/// All paints, in the order in which they were begun.
#[tauri::command]
pub(crate) async fn list_paints(shell: State<'_, Shell>) -> Result<Vec<PaintInfo>, Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || Ok(door.paints()?.into_iter().map(PaintInfo::new).collect())).await
}

/// Writes what she says of a paint anew. What can't be kept yet waits in memory, and that is told.
#[tauri::command]
pub(crate) async fn describe_paint(
    uuid: String,
    about: PaintAboutInfo,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<KeptAnswer, Error> {
    let about = PaintAbout::from(about);
    about.check().map_err(|why| Error::Caller(format!("it can't be kept: {why}")))?;
    keep(&shell, &app, move || Ok(Some(ToKeep::About(uuid, about)))).await
}

/// What each paint does at an L*.
#[tauri::command]
pub(crate) async fn stand_ins(lightness: f64, shell: State<'_, Shell>) -> Result<Vec<StandInInfo>, Error> {
    if !(0.0..=100.0).contains(&lightness) {
        return Err(Error::Caller("a tone lies between 0 and 100".to_owned()));
    }
    in_studio(&shell, move |studio| Ok(at_tone(&all_painted(studio)?, lightness))).await
}

/// What each paint does at the middle of each band, lightest first.
#[tauri::command]
pub(crate) async fn paints_in_bands(
    edges: Vec<f32>,
    shell: State<'_, Shell>,
) -> Result<Vec<(i64, Vec<AtToneInfo>)>, Error> {
    let bands = Bands::by_hand(edges)?;
    in_studio(&shell, move |studio| Ok(in_bands(&all_painted(studio)?, &bands))).await
}

/// The way from one wash to another, and one over the other.
#[tauri::command]
pub(crate) async fn run_together(
    first: AtPaint,
    second: AtPaint,
    shell: State<'_, Shell>,
) -> Result<PassageInfo, Error> {
    in_studio(&shell, move |studio| {
        PassageInfo::new(&painted(studio, first.paint)?, first, &painted(studio, second.paint)?, second)
    })
    .await
}

/// Each pair of washes run together, half and half: row by row, each with those after it.
#[tauri::command]
pub(crate) async fn pair_grid(
    washes: Vec<AtPaint>,
    shell: State<'_, Shell>,
) -> Result<Vec<Vec<RunTogetherInfo>>, Error> {
    if washes.len() > MOST_WASHES {
        return Err(Error::Caller(format!("no more than {MOST_WASHES} paints fit a grid")));
    }
    in_studio(&shell, move |studio| {
        let washes = washes
            .into_iter()
            .map(|at| painted(studio, at.paint)?.wash(at.step))
            .collect::<Result<Vec<_>, _>>()?;
        let row = |first: usize| {
            washes[first + 1..]
                .iter()
                .map(|second| RunTogetherInfo::between(&washes[first], second, 0.5))
                .collect()
        };
        (0..washes.len()).map(row).collect()
    })
    .await
}

/// A test dab, as a spot of it reads, against the step of a paint that it was meant for.
#[tauri::command]
pub(crate) async fn judge_dab(
    meant: AtPaint,
    dab: DabAsk,
    wet: bool,
    shell: State<'_, Shell>,
) -> Result<DabInfo, Error> {
    let dab = DabReading::try_from(dab)?;
    in_studio(&shell, move |studio| {
        let drying = match wet {
            true => Some(Drying::learned(studio.paint(meant.paint)?.painted())),
            false => None,
        };
        let painted = painted(studio, meant.paint)?;
        Ok(painted.curve.dab(meant.step, dab, drying.as_ref()).into())
    })
    .await
}

/// A grid of more is no longer seen at once.
const MOST_WASHES: usize = 60;

fn at_tone(paints: &[(i64, Painted)], lightness: f64) -> Vec<StandInInfo> {
    paints.iter().map(|(id, painted)| StandInInfo::new(*id, painted.curve.at_tone(lightness))).collect()
}

fn in_bands(paints: &[(i64, Painted)], bands: &Bands) -> Vec<(i64, Vec<AtToneInfo>)> {
    let row = |(id, painted): &(i64, Painted)| {
        let at = |band| painted.curve.at_tone(bands.middle(band)).into();
        (*id, (1..=bands.count()).map(at).collect())
    };
    paints.iter().map(row).collect()
}

/// Paints that have a curve.
fn all_painted(studio: &Studio) -> Result<Vec<(i64, Painted)>, Error> {
    Ok(studio.paints()?.into_iter().filter_map(|kept| Some((kept.id, Painted::of(&kept)?))).collect())
}

/// Curves of these paints with their names, in this order; one without a curve is left out.
fn named(
    studio: &Studio,
    painted: Vec<(i64, Painted)>,
    wanted: &[i64],
) -> Result<Vec<(String, Curve)>, Error> {
    let mut painted: HashMap<i64, Painted> = painted.into_iter().collect();
    let found = wanted.iter().filter_map(|&id| Some((id, painted.remove(&id)?)));
    found.map(|(id, painted)| Ok((studio.paint(id)?.about.name, painted.curve))).collect()
}

fn painted(studio: &Studio, id: i64) -> Result<Painted, Error> {
    let kept = studio.paint(id)?;
    Painted::of(&kept)
        .ok_or_else(|| Error::Caller(format!("no strip of {} was measured yet", kept.about.name)))
}

#[cfg(test)]
mod tests;
