//! The program was started again: the window that is open comes forward, with what the second was to open.

use crate::drop::Offered;
use crate::state::{Offer, Shell};
use std::path::Path;
use tauri::{AppHandle, Emitter, Manager};

/// Brings the window forward, says so in it, and offers the file that the second start named.
pub(crate) fn on_second_start(app: &AppHandle, arguments: Vec<String>, folder: String) {
    if let Some(window) = app.get_webview_window("main") {
        let forward = window.unminimize().and_then(|()| window.show()).and_then(|()| window.set_focus());
        if let Err(error) = forward {
            tracing::warn!(error = crate::log::names(&error), "the window did not come forward");
        }
    }
    let offered = arguments.get(1).map(|named| {
        let path = Path::new(&folder).join(named);
        let name = crate::photo::name_of(&path);
        Offered::new(app.state::<Shell>().offer(Offer::File(path)), name)
    });
    if let Err(error) = app.emit("again", offered) {
        tracing::error!(error = crate::log::names(&error), "the page was not told of a second start");
    }
}
