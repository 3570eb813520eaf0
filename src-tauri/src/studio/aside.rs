//! Studios that are set aside: another takes the present one's place, and the present one can be brought back.

use super::{Door, now};
use crate::drawing;
use crate::error::Error;
use crate::state::{Offer, Shell, lock};
use crate::worker::blocking;
use serde::Serialize;
use std::fs::File;
use std::io::BufReader;
use std::path::Path;
use std::sync::Arc;
use tauri::{AppHandle, State};
use tonefast_core::{Progress, SetAside, Studio, StudioError};

/// A studio that is set aside.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct SetAsideInfo {
    /// What it is known by.
    name: String,
    /// When it was last written to: milliseconds since 1970, UTC.
    used: i64,
    /// How many sessions it has; none where it can't be read.
    sessions: Option<u32>,
}

impl From<SetAside> for SetAsideInfo {
    fn from(SetAside { name, used, sessions }: SetAside) -> Self {
        Self { name, used: used.0, sessions }
    }
}

impl Door {
    /// Has another studio take the present one's place: `deed` gets the present one, where it is open, and the folder of
    /// all. What waits belongs to the present one, and is kept in it before; one that can't be opened is not waited for.
    fn exchange<T>(&self, deed: impl FnOnce(Option<Studio>, &Path) -> Result<T, Error>) -> Result<T, Error> {
        self.keep(None);
        let waiting = lock(&self.waiting);
        let mut open = lock(&self.studio);
        if let Some(studio) = &*open {
            if studio.is_being_read() {
                return Err(StudioError::BeingRead.into());
            }
            if !waiting.is_empty() {
                return Err(Error::Caller("something still waits to be kept in this studio".to_owned()));
            }
        }
        let done = deed(open.take(), &self.places()?.studio)?;
        lock(&self.undrawable).clear();
        Ok(done)
    }

    /// Restores a backup beside the present studio, which is set aside once the backup is whole; answers with how many
    /// sessions it holds.
    fn restore(&self, backup: &Path, progress: &Progress) -> Result<usize, Error> {
        let backup = BufReader::new(File::open(backup)?);
        let mut beside = self.with(|studio| Ok(studio.beside(now())?))?;
        let sessions = beside.bring_in(progress, backup)?;
        self.exchange(|present, _| Ok(beside.take_place_of(present.ok_or(StudioError::Gone)?)?))?;
        Ok(sessions)
    }
}

/// Sets the present studio aside and begins a new one; the folder where the old one lies.
#[tauri::command]
pub(crate) async fn set_studio_aside(shell: State<'_, Shell>) -> Result<String, Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || {
        let aside = door.exchange(|present, all| {
            drop(present);
            Ok(Studio::set_aside(all, now())?)
        })?;
        door.with(|_| Ok(()))?;
        Ok(aside.display().to_string())
    })
    .await
}

/// The studios that are set aside.
#[tauri::command]
pub(crate) async fn list_set_aside(shell: State<'_, Shell>) -> Result<Vec<SetAsideInfo>, Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || {
        let all = Studio::all_set_aside(&door.places()?.studio)?;
        Ok(all.into_iter().map(Into::into).collect())
    })
    .await
}

/// Brings a studio back that was set aside; the present one is set aside.
#[tauri::command]
pub(crate) async fn bring_studio_back(
    name: String,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<(), Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || {
        door.exchange(|present, all| {
            drop(present);
            Ok(Studio::bring_studio_back(all, &name)?)
        })
    })
    .await?;
    drawing::begin(&app);
    Ok(())
}

/// Sets the present studio aside and restores a backup in its place; how many sessions it holds.
#[tauri::command]
pub(crate) async fn restore_backup(
    offer: u32,
    job: u32,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<usize, Error> {
    let Offer::File(path) = shell.take_offer(offer)? else {
        return Err(StudioError::Refused("it is a picture".to_owned()).into());
    };
    let (door, job) = (Arc::clone(&shell.studio), shell.start(job));
    let progress = Arc::clone(&job.progress);
    let sessions = blocking(move || door.restore(&path, &progress)).await?;
    drawing::begin(&app);
    Ok(sessions)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::Places;
    use tempfile::TempDir;
    use tonefast_core::{Originals, SessionAbout, SessionOrder};

    fn door(folder: &Path) -> Door {
        let door = Door::default();
        door.lies(Places::under(folder));
        door
    }

    fn begin(door: &Door, title: &str) {
        let about = SessionAbout { title: title.to_owned(), ..SessionAbout::default() };
        door.with(|studio| Ok(studio.begin_session(&about, now())?)).unwrap();
    }

    fn titles(door: &Door) -> Vec<String> {
        let sessions = door.with(|studio| Ok(studio.sessions(SessionOrder::Newest)?)).unwrap();
        sessions.into_iter().map(|it| it.about.title).collect()
    }

    #[test]
    fn a_backup_is_restored_in_place_of_what_is_there_which_comes_back() {
        let folder = TempDir::new().unwrap();
        let (old, new) = (door(&folder.path().join("old")), door(&folder.path().join("new")));
        begin(&old, "Low water");
        let backup = folder.path().join("backup.zip");
        old.with(|studio| {
            let file = File::create(&backup)?;
            Ok(studio.back_up(Originals::With, &Progress::new(), file)?)
        })
        .unwrap();
        begin(&new, "High water");
        let called_off = Progress::new();
        called_off.cancel();
        assert!(new.restore(&backup, &called_off).is_err());
        assert_eq!(titles(&new), ["High water"]);
        // What is being handed out is of the present one.
        let reader = new.with(|studio| Ok(studio.reader()?)).unwrap();
        let refused = new.restore(&backup, &Progress::new());
        assert!(matches!(refused, Err(Error::Studio(StudioError::BeingRead))), "{refused:?}");
        assert_eq!(titles(&new), ["High water"]);
        drop(reader);
        assert_eq!(new.restore(&backup, &Progress::new()).unwrap(), 1);
        assert_eq!(titles(&new), ["Low water"]);
        let all = Studio::all_set_aside(&new.places().unwrap().studio).unwrap();
        assert_eq!(all.iter().map(|it| it.sessions).collect::<Vec<_>>(), [Some(1)]);
        new.exchange(|present, root| {
            drop(present);
            Ok(Studio::bring_studio_back(root, &all[0].name)?)
        })
        .unwrap();
        assert_eq!(titles(&new), ["High water"]);
    }
}
