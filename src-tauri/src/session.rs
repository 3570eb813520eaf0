//! Commands about sessions: beginning, finding, describing, and the trash.

pub(crate) mod wire;

use crate::drawing;
use crate::error::Error;
use crate::state::Shell;
use crate::studio::{in_studio, now};
use tauri::{AppHandle, State};
use tonefast_core::SessionOrder;
use wire::{About, FoundInfo, KeptThing, OrderName, SessionInfo, TrashInfo};

/// All sessions.
#[tauri::command]
pub(crate) async fn list_sessions(
    order: OrderName,
    shell: State<'_, Shell>,
) -> Result<Vec<SessionInfo>, Error> {
    in_studio(&shell, move |studio| {
        Ok(studio.sessions(SessionOrder::from(order))?.into_iter().map(Into::into).collect())
    })
    .await
}

/// Begins a session.
#[tauri::command]
pub(crate) async fn begin_session(about: About, shell: State<'_, Shell>) -> Result<SessionInfo, Error> {
    in_studio(&shell, move |studio| {
        let id = studio.begin_session(&about.try_into()?, now())?;
        Ok(studio.session(id)?.into())
    })
    .await
}

/// Writes what the painter says of a session anew.
#[tauri::command]
pub(crate) async fn describe_session(
    id: i64,
    about: About,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<SessionInfo, Error> {
    let described = in_studio(&shell, move |studio| {
        studio.describe_session(id, &about.try_into()?)?;
        Ok(studio.session(id)?.into())
    })
    .await?;
    drawing::begin(&app);
    Ok(described)
}

/// Makes a session again.
#[tauri::command]
pub(crate) async fn duplicate_session(
    id: i64,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<SessionInfo, Error> {
    let copy = in_studio(&shell, move |studio| {
        let copy = studio.duplicate_session(id, now())?;
        Ok(studio.session(copy)?.into())
    })
    .await?;
    drawing::begin(&app);
    Ok(copy)
}

/// Sessions and snapshots in which every word begins a word.
#[tauri::command]
pub(crate) async fn search_kept(words: String, shell: State<'_, Shell>) -> Result<FoundInfo, Error> {
    in_studio(&shell, move |studio| Ok(FoundInfo::new(studio.search(&words)?))).await
}

/// Puts something into the trash; takes the pictures of its snapshots away, if asked to.
#[tauri::command]
pub(crate) async fn delete_kept(
    what: KeptThing,
    pictures_too: bool,
    shell: State<'_, Shell>,
) -> Result<(), Error> {
    in_studio(&shell, move |studio| {
        let snapshots = match what {
            KeptThing::Snapshot { id } => vec![id],
            KeptThing::Session { id } => studio.snapshots(id)?.iter().map(|snapshot| snapshot.id).collect(),
            KeptThing::Paint { .. } | KeptThing::Strip { .. } | KeptThing::Photo { .. } => Vec::new(),
        };
        studio.delete(what.into(), now())?;
        for snapshot in snapshots.into_iter().filter(|_| pictures_too) {
            studio.remove_png(snapshot)?;
        }
        Ok(())
    })
    .await
}

/// Takes something out of the trash again.
#[tauri::command]
pub(crate) async fn bring_back(
    what: KeptThing,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<(), Error> {
    in_studio(&shell, move |studio| Ok(studio.bring_back(what.into())?)).await?;
    drawing::begin(&app);
    Ok(())
}

/// What is in the trash.
#[tauri::command]
pub(crate) async fn list_deleted(shell: State<'_, Shell>) -> Result<TrashInfo, Error> {
    in_studio(&shell, |studio| Ok(TrashInfo::of(studio)?)).await
}
