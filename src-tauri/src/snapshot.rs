//! Commands about snapshots: keeping, finding, opening as they were, and laying two side by side.

mod keeping;
pub(crate) mod wire;

pub(crate) use keeping::{NewSnapshot, WaitingSnapshot};

use crate::drawing;
use crate::error::Error;
use crate::photo::{open, work};
use crate::session::wire::within_reason;
use crate::state::{OpenPhoto, Shell};
use crate::studio::{KeptAnswer, ToKeep, in_studio, keep, now};
use std::borrow::Cow;
use std::sync::Arc;
use tauri::{AppHandle, State};
use tonefast_core::Studio;
use wire::{ChangesInfo, KeepAsk, OpenedSnapshot, SnapshotInfo};

/// Keeps what is on the screen, with its photo. What can't be kept yet waits in memory, and that is told.
#[tauri::command]
pub(crate) async fn keep_snapshot(
    ask: KeepAsk,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<KeptAnswer, Error> {
    let open = shell.photo(ask.photo)?;
    keep(&shell, &app, move || Ok(Some(ToKeep::Snapshot(NewSnapshot::new(&open, ask, now())?)))).await
}

/// A session's snapshots.
#[tauri::command]
pub(crate) async fn list_snapshots(
    session: i64,
    shell: State<'_, Shell>,
) -> Result<Vec<SnapshotInfo>, Error> {
    in_studio(&shell, move |studio| {
        Ok(studio.snapshots(session)?.into_iter().map(SnapshotInfo::new).collect())
    })
    .await
}

/// Gives a snapshot another title or note.
#[tauri::command]
pub(crate) async fn describe_snapshot(
    id: i64,
    title: Option<String>,
    note: Option<String>,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<SnapshotInfo, Error> {
    within_reason(&[title.as_deref().unwrap_or_default()], note.as_deref().unwrap_or_default())?;
    let described = in_studio(&shell, move |studio| described(studio, id, title, note)).await?;
    drawing::begin(&app);
    Ok(described)
}

/// What is not said stays.
pub(crate) fn described(
    studio: &mut Studio,
    id: i64,
    title: Option<String>,
    note: Option<String>,
) -> Result<SnapshotInfo, Error> {
    let was = studio.snapshot(id)?;
    let (title, note) = (title.unwrap_or(was.title), note.unwrap_or(was.note));
    studio.describe_snapshot(id, &title, &note)?;
    Ok(SnapshotInfo::new(studio.snapshot(id)?))
}

/// Moves a snapshot to another session.
#[tauri::command]
pub(crate) async fn move_snapshot(
    id: i64,
    session: i64,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<(), Error> {
    in_studio(&shell, move |studio| Ok(studio.move_snapshot(id, session)?)).await?;
    drawing::begin(&app);
    Ok(())
}

/// Makes a snapshot again.
#[tauri::command]
pub(crate) async fn duplicate_snapshot(
    id: i64,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<SnapshotInfo, Error> {
    let copy = in_studio(&shell, move |studio| {
        let copy = studio.duplicate_snapshot(id, now())?;
        Ok(SnapshotInfo::new(studio.snapshot(copy)?))
    })
    .await?;
    drawing::begin(&app);
    Ok(copy)
}

/// Opens a snapshot's photo as it stood when it was kept.
#[tauri::command]
pub(crate) async fn open_snapshot(
    id: i64,
    job: u32,
    shell: State<'_, Shell>,
) -> Result<OpenedSnapshot, Error> {
    let door = Arc::clone(&shell.studio);
    let (snapshot, name, bytes, turned, lit) = work(shell.start(job), move |progress| {
        let (snapshot, name, bytes) = door.with(|studio| {
            let snapshot = studio.snapshot(id)?;
            let photos = studio.photos_of(snapshot.session)?;
            let name = photos.into_iter().find(|photo| photo.hash == snapshot.photo).map(|photo| photo.name);
            let bytes = studio.photo(&snapshot.photo)?;
            Ok((snapshot, name.unwrap_or_default(), bytes))
        })?;
        let turned = open(&bytes, progress)?.turned(snapshot.seen.quarters);
        let lit = snapshot.seen.lit(&turned)?;
        Ok((snapshot, name, bytes, turned, lit))
    })
    .await?;
    let original = Arc::new(Cow::Owned(bytes));
    let quarters = snapshot.seen.quarters;
    let open = OpenPhoto::restored(name, original, quarters, Arc::new(turned), Arc::new(lit));
    OpenedSnapshot::new(&shell, open, snapshot)
}

/// What changed from one snapshot to another.
#[tauri::command]
pub(crate) async fn compare_snapshots(
    first: i64,
    second: i64,
    shell: State<'_, Shell>,
) -> Result<ChangesInfo, Error> {
    in_studio(&shell, move |studio| Ok(studio.changes(first, second)?.into())).await
}
