//! Where pictures come from: the platform's picker, and the program's argument.

use crate::drop::Offered;
use crate::error::Error;
use crate::state::{Offer, Shell};
use std::fs;
use std::path::{Path, PathBuf};
use tauri::{AppHandle, State, Wry};
use tauri_plugin_dialog::{DialogExt, FileDialogBuilder};
use tonefast_core::NewFile;

/// The longest file that is read: a 16-bit TIFF of 200 million pixels is 1.2 GB.
const LONGEST: u64 = 1_500_000_000;

/// Lets the painter pick a picture; an offer of it, or nothing if she thought better of it.
#[tauri::command]
pub(crate) async fn choose_photo(app: AppHandle, shell: State<'_, Shell>) -> Result<Option<u32>, Error> {
    let asked = app
        .dialog()
        .file()
        .set_title("Open a picture")
        .add_filter(
            "Pictures",
            &["jpg", "jpeg", "png", "webp", "tif", "tiff", "gif", "bmp", "heic", "heif", "hif"],
        )
        .add_filter("All files", &["*"]);
    picked(asked, &shell).await
}

/// Lets the painter pick by a dialog; an offer of what she picked.
pub(crate) async fn picked(asked: FileDialogBuilder<Wry>, shell: &Shell) -> Result<Option<u32>, Error> {
    let (tell, told) = tokio::sync::oneshot::channel();
    asked.pick_file(|file| drop(tell.send(file)));
    let picked = told.await.map_err(|_| Error::Program)?;
    let path =
        picked.map(|file| file.into_path().map_err(|error| Error::Caller(error.to_string()))).transpose()?;
    Ok(path.map(|path| shell.offer(Offer::File(path))))
}

/// The offer of the file that the program was started with.
#[tauri::command]
pub(crate) fn waiting_offer(shell: State<'_, Shell>) -> Option<Offered> {
    shell.take_offer_at_start().map(|(offer, name)| Offered::new(offer, name))
}

/// Reads a file whole.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Error> {
    let about = fs::metadata(path)?;
    if about.is_dir() {
        return Err(Error::Caller("this is a folder, not a picture".to_owned()));
    }
    if about.len() > LONGEST {
        let what = format!(
            "the file holds {} MB, and the limit is {}",
            about.len() / 1_000_000,
            LONGEST / 1_000_000
        );
        return Err(tonefast_core::OpenError::TooLarge { what }.into());
    }
    Ok(fs::read(path)?)
}

/// Writes a file into one of the painter's own folders, under a name made of a title, and never over anything; answers
/// with its path. It is there whole, or not at all.
pub(crate) fn write_new<T>(
    folder: &Path,
    title: &str,
    untitled: &str,
    ending: &str,
    write: impl FnOnce(&mut NewFile) -> Result<T, Error>,
) -> Result<(PathBuf, T), Error> {
    let mut file = NewFile::begin(folder)?;
    let written = write(&mut file)?;
    Ok((file.finish(title, untitled, ending)?, written))
}
