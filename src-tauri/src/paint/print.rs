//! The command that prints paints: their ranges on one ladder, or rows of one tone.

use super::{all_painted, named};
use crate::error::Error;
use crate::files;
use crate::parcel::PaperName;
use crate::state::Shell;
use crate::worker::blocking;
use serde::Deserialize;
use std::io::Write;
use std::sync::Arc;
use tauri::State;
use tonefast_core::{Bands, Curve, Sheet, SheetForm, StudioError, paint_bars, tone_card};

/// What is printed.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum PrintName {
    /// Each paint's range as a bar, at true scale.
    Ranges,
    /// Rows of one tone across the paints.
    Card,
    /// The same in greys.
    GreyCard,
}

/// The kind of file.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum FormName {
    Pdf,
    Svg,
}

/// What is to be printed, and how.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PrintAsk {
    pub(super) what: PrintName,
    pub(super) form: FormName,
    pub(super) paper: PaperName,
    /// In their order.
    pub(super) paints: Vec<i64>,
    /// L* of the bands' edges, from light to dark, whose middles are a card's rows; but where one tone is asked for.
    pub(super) edges: Vec<f32>,
    pub(super) tone: Option<f64>,
    /// Whether band 1 is the darkest.
    pub(super) turned: bool,
    /// In words.
    pub(super) day: String,
}

/// Prints paints as a file in the painter's own folder; where it lies.
#[tauri::command]
pub(crate) async fn print_paints(ask: PrintAsk, shell: State<'_, Shell>) -> Result<String, Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || {
        let painted = door.with(|studio| named(studio, all_painted(studio)?, &ask.paints))?;
        let title = match ask.what {
            PrintName::Ranges => "Ranges of tone",
            PrintName::Card => "Paints by tone",
            PrintName::GreyCard => "Paints by tone, grey",
        };
        let ending = match ask.form {
            FormName::Pdf => "pdf",
            FormName::Svg => "svg",
        };
        let printed = printed(&ask, &painted, title)?;
        let (path, ()) = files::write_new(&door.places()?.papers, title, "Paints", ending, |file| {
            Ok(file.write_all(&printed).map_err(StudioError::from)?)
        })?;
        Ok(path.display().to_string())
    })
    .await
}

/// The file's bytes.
pub(super) fn printed(ask: &PrintAsk, painted: &[(String, Curve)], title: &str) -> Result<Vec<u8>, Error> {
    let bands = Bands::by_hand(ask.edges.clone())?;
    let form = match ask.form {
        FormName::Pdf => SheetForm::Pdf,
        FormName::Svg => SheetForm::Svg,
    };
    let sheet = Sheet { paper: ask.paper.into(), form, turned: ask.turned };
    let rows = rows(&bands, ask.tone, ask.turned);
    Ok(match ask.what {
        PrintName::Ranges => paint_bars(painted, &bands, title, &ask.day, sheet),
        PrintName::Card => tone_card(&rows, painted, title, &ask.day, sheet, false),
        PrintName::GreyCard => tone_card(&rows, painted, title, &ask.day, sheet, true),
    }?)
}

/// The tone that is asked for, or each band's middle, lightest first.
fn rows(bands: &Bands, tone: Option<f64>, turned: bool) -> Vec<(String, f64)> {
    if let Some(tone) = tone {
        return vec![(format!("L* {tone:.0}"), tone)];
    }
    let row = |band: usize| {
        let middle = bands.middle(band);
        let number = if turned { bands.count() + 1 - band } else { band };
        (format!("Band {number}, L* {middle:.0}"), middle)
    };
    (1..=bands.count()).map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_the_bands_in_either_count_or_the_one_tone() {
        let bands = Bands::even(5).unwrap();
        let told = |turned| rows(&bands, None, turned).into_iter().map(|row| row.0).collect::<Vec<_>>();
        assert_eq!(told(false)[0], "Band 1, L* 90");
        assert_eq!(told(true)[0], "Band 5, L* 90");
        assert_eq!(rows(&bands, Some(33.3), false), [("L* 33".to_owned(), 33.3)]);
    }
}
