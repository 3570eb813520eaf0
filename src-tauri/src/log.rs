//! The log: errors and panics, each with the versions of the program, the system and the web view. It holds nothing of a
//! picture, no place and no name of a file: of an error its kind, of a panic its place in the program.

mod turning;

use crate::error::Error;
use crate::worker::blocking;
use serde::Serialize;
use std::any::Any;
use std::fmt;
use std::panic::PanicHookInfo;
use std::path::Path;
use tauri::{AppHandle, Manager};
use tonefast_core::{OpenError, StudioError};
use tracing::Level;
use tracing::subscriber::set_global_default;
use tracing_subscriber::filter::Targets;
use tracing_subscriber::fmt::MakeWriter;
use tracing_subscriber::fmt::format::Writer;
use tracing_subscriber::fmt::time::{FormatTime, SystemTime};
use tracing_subscriber::layer::SubscriberExt;
use turning::TurningFile;

/// What runs here.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct Versions {
    /// This program.
    app: String,
    /// The system.
    system: String,
    /// What shows the page.
    web_view: String,
}

impl Versions {
    fn found() -> Self {
        let system = os_info::get();
        Self {
            app: env!("CARGO_PKG_VERSION").to_owned(),
            system: format!("{} {} {}", system.os_type(), system.version(), std::env::consts::ARCH),
            web_view: tauri::webview_version().unwrap_or_else(|_| "unknown".to_owned()),
        }
    }
}

impl fmt::Display for Versions {
    fn fmt(&self, into: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { app, system, web_view } = self;
        write!(into, "tonefast {app}, {system}, web view {web_view}")
    }
}

/// Begins the log in a folder. Without one the program runs all the same, and tells nobody.
pub(crate) fn begin(folder: &Path) {
    let begun = TurningFile::begin(folder).map_err(|error| error.kind().to_string()).and_then(|file| {
        set_global_default(subscriber(file, Versions::found())).map_err(|error| error.to_string())
    });
    match begun {
        Ok(()) => write_panics(),
        Err(why) => eprintln!("there is no log: {why}"),
    }
}

/// Notes an error that is told to the page: its kind, and nothing that it says.
pub(crate) fn note(error: &Error) {
    if !matches!(error, Error::Open(OpenError::Cancelled) | Error::Studio(StudioError::Cancelled)) {
        tracing::error!(kind = kind_of(error), "an error was told");
    }
}

/// What runs here, for the page.
#[tauri::command]
pub(crate) async fn versions() -> Result<Versions, Error> {
    blocking(|| Ok(Versions::found())).await
}

/// Shows the log's folder in the system's file manager.
#[tauri::command]
pub(crate) async fn show_log(app: AppHandle) -> Result<(), Error> {
    let folder = app.path().app_log_dir()?;
    blocking(move || {
        std::fs::create_dir_all(&folder)?;
        Ok(open::that_detached(folder)?)
    })
    .await
}

/// Writes the shell's own warnings and errors into a log: what core and libraries say may hold a path, or anything.
fn subscriber<W>(log: W, versions: Versions) -> impl tracing::Subscriber + Send + Sync
where
    W: for<'a> MakeWriter<'a> + Send + Sync + 'static,
{
    let lines = tracing_subscriber::fmt::layer().with_ansi(false).with_timer(Head(versions)).with_writer(log);
    let own = Targets::new().with_target("tonefast_app", Level::WARN);
    tracing_subscriber::registry().with(own).with(lines)
}

/// How each line begins: when it was, and what ran.
struct Head(Versions);

impl FormatTime for Head {
    fn format_time(&self, into: &mut Writer<'_>) -> fmt::Result {
        SystemTime.format_time(into)?;
        write!(into, " [{}]", self.0)
    }
}

/// Has every panic written, whoever catches it then.
fn write_panics() {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        write_panic(panic);
        before(panic);
    }));
}

fn write_panic(panic: &PanicHookInfo<'_>) {
    let place = panic.location().map(ToString::to_string).unwrap_or_default();
    tracing::error!(place, said = said(panic.payload()), "panic");
}

/// What a panic says, where it is written so in the program. What was put together as it ran may hold what stood in a
/// file.
fn said(payload: &(dyn Any + Send)) -> &'static str {
    payload.downcast_ref::<&'static str>().copied().unwrap_or("(left out)")
}

/// The names of an error's kinds, from outside in: the beginning of how it is debugged, up to what it holds.
pub(crate) fn names(error: &impl fmt::Debug) -> String {
    let debugged = format!("{error:?}");
    let names = debugged.split(|letter: char| !letter.is_ascii_alphabetic() && letter != '(').next();
    names.unwrap_or_default().trim_end_matches('(').replace('(', " ")
}

fn kind_of(error: &Error) -> String {
    match error {
        Error::Read(error) => format!("Read {:?}", error.kind()),
        Error::Studio(StudioError::Disk(error)) => format!("Studio Disk {:?}", error.kind()),
        _ => names(error),
    }
}

#[cfg(test)]
mod tests;
