//! The window is to be closed: the page sends what was typed last, and asks about what waits.
//!
//! The window can always be closed: a page that does not answer is not waited for, nor is a disk that does not.

use super::{Door, KeptAnswer};
use crate::error::{Error, ErrorInfo};
use crate::state::Shell;
use crate::worker::blocking;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use std::thread;
use std::time::Duration;
use tauri::{AppHandle, Emitter, Manager, State, WebviewWindow, WindowEvent};
use tokio::time::timeout;

/// How often the page was told that the window is to be closed, and how much of that it has heard.
#[derive(Debug, Default)]
pub(crate) struct Closing {
    told: AtomicU32,
    heard: AtomicU32,
}

/// How the page has the window closed.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum CloseHow {
    /// Where nothing waits.
    Ask,
    /// Once what waits is in the second place.
    SetAside,
    /// Whatever is lost.
    Lose,
}

/// Whether the window closes.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum ClosingInfo {
    /// It does.
    Closes,
    /// Something waits.
    Waits { answer: Box<KeptAnswer> },
    /// It is being kept or set aside at this moment, and takes long.
    Busy,
    /// It can't be set aside, and why.
    Lost { why: ErrorInfo },
}

/// How long a page may take to hear that the window is to be closed.
const HEARS: Duration = Duration::from_secs(3);

/// How long keeping what waits may take before the painter is asked.
const KEEPS: Duration = Duration::from_secs(2);

/// How long setting it aside may take before she is asked again.
const SETS_ASIDE: Duration = Duration::from_secs(30);

impl Closing {
    /// The page is told once more; which time that is.
    fn tell(&self) -> u32 {
        self.told.fetch_add(1, Ordering::SeqCst) + 1
    }

    /// The page has heard all that it was told.
    fn hear(&self) {
        self.heard.store(self.told.load(Ordering::SeqCst), Ordering::SeqCst);
    }

    fn has_heard(&self, time: u32) -> bool {
        self.heard.load(Ordering::SeqCst) >= time
    }
}

impl CloseHow {
    pub(super) fn answer(self, door: &Door) -> ClosingInfo {
        match self {
            Self::Ask => {
                let answer = Box::new(door.keep_all());
                if answer.is_all() { ClosingInfo::Closes } else { ClosingInfo::Waits { answer } }
            }
            Self::SetAside => {
                let left = door.leave();
                if left.lost == 0 {
                    return ClosingInfo::Closes;
                }
                let why = left.trouble.map_or(Error::Program, |error| Error::Studio(error.into()));
                ClosingInfo::Lost { why: why.info() }
            }
            Self::Lose => ClosingInfo::Closes,
        }
    }

    /// As [`Self::answer`], away from the window's thread, and never later than that is waited for.
    pub(super) async fn answer_within(self, door: Arc<Door>, longest: Duration) -> ClosingInfo {
        match timeout(longest, blocking(move || Ok(self.answer(&door)))).await {
            Ok(Ok(info)) => info,
            Ok(Err(error)) => ClosingInfo::Lost { why: error.info() },
            Err(_) => ClosingInfo::Busy,
        }
    }
}

/// The window is to be closed: the page is told, and has it closed. Where it can't be told, or does not hear, the window
/// closes once what waits is in the second place.
pub(crate) fn on_window_event(event: &WindowEvent, app: &AppHandle) {
    let WindowEvent::CloseRequested { api, .. } = event else { return };
    let time = app.state::<Closing>().tell();
    let waits_for_page = app.emit("closing", ()).is_ok();
    let handle = app.clone();
    let watch = thread::Builder::new().name("closing".to_owned()).spawn(move || {
        if waits_for_page {
            thread::sleep(HEARS);
        }
        if !handle.state::<Closing>().has_heard(time) {
            close_unasked(&handle);
        }
    });
    if watch.is_ok() {
        api.prevent_close();
    }
}

fn close_unasked(app: &AppHandle) {
    let door = Arc::clone(&app.state::<Shell>().studio);
    tauri::async_runtime::block_on(CloseHow::SetAside.answer_within(door, SETS_ASIDE));
    if let Some(window) = app.get_webview_window("main")
        && let Err(error) = window.destroy()
    {
        tracing::error!(error = crate::log::names(&error), "the window was not closed");
        app.exit(1);
    }
}

/// Closes the window, or answers why not.
#[tauri::command]
pub(crate) async fn close_window(
    how: CloseHow,
    shell: State<'_, Shell>,
    closing: State<'_, Closing>,
    window: WebviewWindow,
) -> Result<ClosingInfo, Error> {
    closing.hear();
    let longest = if matches!(how, CloseHow::Ask) { KEEPS } else { SETS_ASIDE };
    let info = match how {
        CloseHow::Lose => ClosingInfo::Closes,
        _ => how.answer_within(Arc::clone(&shell.studio), longest).await,
    };
    if matches!(info, ClosingInfo::Closes) {
        window.destroy()?;
    }
    Ok(info)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_that_heard_once_must_hear_again() {
        let closing = Closing::default();
        let first = closing.tell();
        assert!(!closing.has_heard(first));
        closing.hear();
        assert!(closing.has_heard(first));
        let second = closing.tell();
        assert!(!closing.has_heard(second), "it may have died since");
    }
}
