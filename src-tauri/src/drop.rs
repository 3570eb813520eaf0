//! A file dropped on the window becomes an offer.

use crate::state::{Offer, Shell};
use serde::Serialize;
use tauri::{AppHandle, DragDropEvent, Emitter, WindowEvent};

/// A file was dropped, or named: what the page may open, and its name.
#[derive(Clone, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct Offered {
    offer: u32,
    name: String,
}

impl Offered {
    pub(crate) fn new(offer: u32, name: String) -> Self {
        Self { offer, name }
    }
}

/// Offers the first of the files that were dropped.
pub(crate) fn on_window_event(event: &WindowEvent, shell: &Shell, app: &AppHandle) {
    let WindowEvent::DragDrop(DragDropEvent::Drop { paths, .. }) = event else { return };
    let Some(path) = paths.first() else { return };
    let name = crate::photo::name_of(path);
    let offered = Offered::new(shell.offer(Offer::File(path.clone())), name);
    if let Err(error) = app.emit("offered", offered) {
        tracing::error!(error = crate::log::names(&error), "a dropped file could not be offered");
    }
}
