//! Where pictures come from: the platform's picker, and the program's argument.

use crate::error::Error;
use crate::state::{Offer, Shell};
use tauri::{AppHandle, State};
use tauri_plugin_dialog::DialogExt;

/// The longest file that is read: a 16-bit TIFF of 200 million pixels is 1.2 GB.
const LONGEST: u64 = 1_500_000_000;

/// Lets the painter pick a picture; an offer of it, or nothing if she thought better of it.
#[tauri::command]
pub(crate) async fn choose_photo(app: AppHandle, shell: State<'_, Shell>) -> Result<Option<u32>, Error> {
    let (tell, told) = tokio::sync::oneshot::channel();
    app.dialog()
        .file()
        .set_title("Open a picture")
        .add_filter(
            "Pictures",
            &["jpg", "jpeg", "png", "webp", "tif", "tiff", "gif", "bmp", "heic", "heif", "hif"],
        )
        .add_filter("All files", &["*"])
        .pick_file(|file| drop(tell.send(file)));
    let picked = told.await.map_err(|_| Error::Program)?;
    let path =
        picked.map(|file| file.into_path().map_err(|error| Error::Caller(error.to_string()))).transpose()?;
    Ok(path.map(|path| shell.offer(Offer::File(path))))
}

/// The offer of the file that the program was started with.
#[tauri::command]
pub(crate) fn waiting_offer(shell: State<'_, Shell>) -> Option<u32> {
    shell.take_offer_at_start()
}

/// Reads a file whole.
pub(crate) fn read(path: &std::path::Path) -> Result<Vec<u8>, Error> {
    let about = std::fs::metadata(path)?;
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
    Ok(std::fs::read(path)?)
}
