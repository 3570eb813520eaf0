//! Commands that hand paints out and take them in.

use super::wire::PaintInfo;
use crate::error::Error;
use crate::files;
use crate::state::{Offer, Shell};
use crate::studio::{Door, now};
use crate::worker::blocking;
use serde::Deserialize;
use std::io::Write;
use std::sync::Arc;
use tauri::{AppHandle, State};
use tauri_plugin_dialog::DialogExt;
use tonefast_core::{PaintBox, StudioError};

/// In which form paints are handed out.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum PaintsForm {
    /// All of it.
    Json,
    /// A table, for a spreadsheet.
    Csv,
}

/// Writes all paints as one file in the painter's own folder; where it lies.
#[tauri::command]
pub(crate) async fn hand_out_paints(form: PaintsForm, shell: State<'_, Shell>) -> Result<String, Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || {
        let paints = door.with(|studio| Ok(studio.paint_box()?))?;
        let (text, ending) = match form {
            PaintsForm::Json => (paints.json(), "json"),
            PaintsForm::Csv => (paints.csv(), "csv"),
        };
        let (path, ()) = files::write_new(&door.places()?.papers, "Paints", "Paints", ending, |file| {
            Ok(file.write_all(text.as_bytes()).map_err(StudioError::from)?)
        })?;
        Ok(path.display().to_string())
    })
    .await
}

/// Lets the painter pick a file of paints; an offer of it, or nothing if she thought better of it.
#[tauri::command]
pub(crate) async fn choose_paints(app: AppHandle, shell: State<'_, Shell>) -> Result<Option<u32>, Error> {
    let asked = app.dialog().file().set_title("Take paints in").add_filter("Paints", &["json", "csv"]);
    files::picked(asked, &shell).await
}

/// Takes in the paints of a file, beside those that are there; answers with those that are new.
#[tauri::command]
pub(crate) async fn take_in_paints(offer: u32, shell: State<'_, Shell>) -> Result<Vec<PaintInfo>, Error> {
    let Offer::File(path) = shell.take_offer(offer)? else {
        return Err(StudioError::Refused("it is a picture".to_owned()).into());
    };
    let bytes = blocking(move || files::read(&path)).await?;
    take_in(&shell, bytes).await
}

/// Takes in the starter box of invented paints, once.
#[tauri::command]
pub(crate) async fn take_starter_paints(shell: State<'_, Shell>) -> Result<Vec<PaintInfo>, Error> {
    take_in(&shell, tonefast_demo::STARTER_PAINTS.to_vec()).await
}

async fn take_in(shell: &Shell, bytes: Vec<u8>) -> Result<Vec<PaintInfo>, Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || taken_in(&door, &bytes)).await
}

/// Reads before the studio is entered, so that keeping need not wait for a long table.
fn taken_in(door: &Door, bytes: &[u8]) -> Result<Vec<PaintInfo>, Error> {
    let paints = PaintBox::read(bytes)?;
    door.with(|studio| {
        let new = studio.take_in(&paints, now())?;
        new.into_iter().map(|id| Ok(PaintInfo::new(studio.paint(id)?))).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::Places;
    use std::sync::mpsc;
    use std::thread;
    use std::time::Duration;

    #[test]
    fn paints_are_read_while_the_studio_is_in_use() {
        let folder = tempfile::TempDir::new().unwrap();
        let door = Arc::new(Door::default());
        door.lies(Places::under(folder.path()));
        let (answer, answered) = mpsc::channel();
        let other = Arc::clone(&door);
        door.with(|_| {
            thread::spawn(move || answer.send(taken_in(&other, b"paint,lightness\nClay,ninety\n").is_err()));
            // Long enough for any machine: before, it never answered.
            assert_eq!(answered.recv_timeout(Duration::from_secs(20)), Ok(true));
            Ok(())
        })
        .unwrap();
        assert_eq!(taken_in(&door, b"paint,lightness\nClay,90\nClay,50\n").unwrap().len(), 1);
    }
}
