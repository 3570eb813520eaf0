//! A pasted picture becomes an offer, where the web view keeps the clipboard's pictures to itself.
//!
//! WebKitGTK tells the page that something was pasted and shows it neither pictures nor files; elsewhere the page gets
//! them with the event, and there is nothing to do here.

use crate::error::Error;
use crate::state::{Offer, Shell};
use tauri::{AppHandle, State};

/// Offers what lies on the clipboard; nothing where that is no picture.
#[tauri::command]
pub(crate) async fn pasted_offer(app: AppHandle, shell: State<'_, Shell>) -> Result<Option<u32>, Error> {
    Ok(on_clipboard(&app).await?.map(|offer| shell.offer(offer)))
}

#[cfg(target_os = "linux")]
async fn on_clipboard(app: &AppHandle) -> Result<Option<Offer>, Error> {
    let (tell, told) = tokio::sync::oneshot::channel();
    app.run_on_main_thread(move || linux::ask(|found| drop(tell.send(found))))?;
    told.await.map_err(|_| Error::Program)
}

#[cfg(not(target_os = "linux"))]
async fn on_clipboard(_: &AppHandle) -> Result<Option<Offer>, Error> {
    Ok(None)
}

#[cfg(target_os = "linux")]
mod linux {
    use super::Offer;
    use gtk::gdk::{Atom, SELECTION_CLIPBOARD};
    use gtk::glib::filename_from_uri;
    use gtk::{Clipboard, SelectionData};

    /// A copied file before copied pixels, and a camera's own file before one that a program made of it.
    const TARGETS: [&str; 8] = [
        "text/uri-list",
        "image/jpeg",
        "image/heic",
        "image/webp",
        "image/tiff",
        "image/png",
        "image/gif",
        "image/bmp",
    ];

    /// Asks the clipboard, on the window's thread, which goes on meanwhile.
    pub(super) fn ask(tell: impl FnOnce(Option<Offer>) + 'static) {
        let clipboard = Clipboard::get(&SELECTION_CLIPBOARD);
        clipboard.request_contents(&Atom::intern("TARGETS"), |clipboard, data| {
            let held = data.targets().unwrap_or_default();
            match TARGETS.iter().map(|name| Atom::intern(name)).find(|target| held.contains(target)) {
                Some(target) => clipboard.request_contents(&target, |_, data| tell(offer(data))),
                None => tell(None),
            }
        });
    }

    fn offer(data: &SelectionData) -> Option<Offer> {
        if let Some(uri) = data.uris().first() {
            return Some(Offer::File(filename_from_uri(uri).ok()?.0));
        }
        let bytes = data.data();
        (!bytes.is_empty()).then(|| Offer::Bytes { name: "Pasted picture".to_owned(), bytes })
    }
}
