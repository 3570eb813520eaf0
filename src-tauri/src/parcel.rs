//! Commands that hand out and bring in: a session or the whole studio as one file, and snapshots on pages.

use crate::drawing;
use crate::error::Error;
use crate::files;
use crate::session::wire::SessionInfo;
use crate::state::{Offer, Shell};
use crate::studio::Door;
use crate::worker::blocking;
use serde::{Deserialize, Serialize};
use std::io::Write;
use std::sync::Arc;
use tauri::{AppHandle, State};
use tauri_plugin_dialog::DialogExt;
use tonefast_core::{HandoutLayout, Originals, Paper, Progress, SessionAbout, StudioError};

/// What was handed out.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct HandedOut {
    /// Where the file lies.
    path: String,
    /// Photos that should have gone along, and whose files are gone or changed.
    missing: usize,
}

/// What became of a file that was to be brought in.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct BroughtIn {
    /// The sessions that are here now.
    sessions: Vec<SessionInfo>,
    /// The file anew, where it is a backup and something is kept here already: see `restore_backup`.
    backup: Option<u32>,
}

/// The paper that a handout is printed on.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum PaperName {
    A4,
    Letter,
}

/// How snapshots stand on its pages.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) enum LayoutName {
    Grid,
    OneAPage,
}

impl From<PaperName> for Paper {
    fn from(name: PaperName) -> Self {
        match name {
            PaperName::A4 => Self::A4,
            PaperName::Letter => Self::Letter,
        }
    }
}

impl From<LayoutName> for HandoutLayout {
    fn from(name: LayoutName) -> Self {
        match name {
            LayoutName::Grid => Self::Grid,
            LayoutName::OneAPage => Self::OneAPage,
        }
    }
}

/// Hands a session out as one file in the painter's own folder.
#[tauri::command]
pub(crate) async fn hand_out(
    session: i64,
    with_originals: bool,
    job: u32,
    shell: State<'_, Shell>,
) -> Result<HandedOut, Error> {
    let (door, job) = (Arc::clone(&shell.studio), shell.start(job));
    let progress = Arc::clone(&job.progress);
    blocking(move || handed_out(&door, session, originals(with_originals), &progress)).await
}

/// Writes all that is kept as one file in the painter's own folder.
#[tauri::command]
pub(crate) async fn back_up(
    today: String,
    with_originals: bool,
    job: u32,
    shell: State<'_, Shell>,
) -> Result<HandedOut, Error> {
    let (door, job) = (Arc::clone(&shell.studio), shell.start(job));
    let progress = Arc::clone(&job.progress);
    blocking(move || backed_up(&door, &today, originals(with_originals), &progress)).await
}

/// Hands a session out as it stands now. What is kept meanwhile does not wait for it.
fn handed_out(
    door: &Door,
    session: i64,
    originals: Originals,
    progress: &Progress,
) -> Result<HandedOut, Error> {
    if originals == Originals::Without {
        drawing::make_ready(door, Some(session))?;
    }
    let (about, reader) = door.with(|studio| Ok((studio.session(session)?.about, studio.reader()?)))?;
    let name = handed_out_name(&about, originals);
    let (path, missing) = files::write_new(&door.places()?.papers, &name, "session", "zip", |file| {
        Ok(reader.hand_out(session, originals, progress, file)?)
    })?;
    Ok(HandedOut { path: path.display().to_string(), missing: missing.len() })
}

/// What a session that is handed out is called: whether its photos are in it can be told from its name.
fn handed_out_name(SessionAbout { title, day, .. }: &SessionAbout, originals: Originals) -> String {
    let name = [title, day].map(|it| it.trim()).into_iter().find(|it| !it.is_empty()).unwrap_or("session");
    match originals {
        // A name that is cut would be cut at its end.
        Originals::With => format!("{} with photos", &name[..name.floor_char_boundary(100)]),
        Originals::Without => name.to_owned(),
    }
}

/// Backs all up as it stands now. What is kept meanwhile does not wait for it.
fn backed_up(
    door: &Door,
    today: &str,
    originals: Originals,
    progress: &Progress,
) -> Result<HandedOut, Error> {
    if originals == Originals::Without {
        drawing::make_ready(door, None)?;
    }
    let reader = door.with(|studio| Ok(studio.reader()?))?;
    let title = format!("Backup {today}");
    let (path, missing) = files::write_new(&door.places()?.papers, &title, "Backup", "zip", |file| {
        Ok(reader.back_up(originals, progress, file)?)
    })?;
    Ok(HandedOut { path: path.display().to_string(), missing: missing.len() })
}

/// Prints snapshots on pages for a class, as a PDF in the painter's own folder.
#[tauri::command]
pub(crate) async fn print_handout(
    snapshots: Vec<i64>,
    paper: PaperName,
    layout: LayoutName,
    job: u32,
    shell: State<'_, Shell>,
) -> Result<HandedOut, Error> {
    let (door, job) = (Arc::clone(&shell.studio), shell.start(job));
    let progress = Arc::clone(&job.progress);
    blocking(move || {
        let (title, pdf) = drawing::handout(&door, &snapshots, (paper.into(), layout.into()), &progress)?;
        let papers = &door.places()?.papers;
        let (path, ()) = files::write_new(papers, &title, "Handout", "pdf", |file| {
            Ok(file.write_all(&pdf).map_err(StudioError::from)?)
        })?;
        Ok(HandedOut { path: path.display().to_string(), missing: 0 })
    })
    .await
}

fn originals(with: bool) -> Originals {
    if with { Originals::With } else { Originals::Without }
}

/// Lets the painter pick a file that was handed out; an offer of it, or nothing if she thought better of it.
#[tauri::command]
pub(crate) async fn choose_parcel(app: AppHandle, shell: State<'_, Shell>) -> Result<Option<u32>, Error> {
    let asked =
        app.dialog().file().set_title("Bring in a session or a backup").add_filter("Sessions", &["zip"]);
    files::picked(asked, &shell).await
}

/// Brings in what was handed out: a session, or a whole studio where nothing is kept yet.
#[tauri::command]
pub(crate) async fn bring_in(
    offer: u32,
    job: u32,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<BroughtIn, Error> {
    let Offer::File(path) = shell.take_offer(offer)? else {
        return Err(StudioError::Refused("it is a picture".to_owned()).into());
    };
    let (door, job) = (Arc::clone(&shell.studio), shell.start(job));
    let (progress, file) = (Arc::clone(&job.progress), path.clone());
    let brought_in: Result<Vec<SessionInfo>, Error> = blocking(move || {
        let parcel = std::io::BufReader::new(std::fs::File::open(file)?);
        door.with(|studio| {
            let sessions = studio.bring_in(&progress, parcel)?;
            sessions.into_iter().map(|id| Ok(studio.session(id)?.into())).collect()
        })
    })
    .await;
    if matches!(brought_in, Err(Error::Studio(StudioError::NotEmpty))) {
        let backup = Some(shell.offer(Offer::File(path)));
        return Ok(BroughtIn { sessions: Vec::new(), backup });
    }
    drawing::begin(&app);
    Ok(BroughtIn { sessions: brought_in?, backup: None })
}

#[cfg(test)]
mod tests;
