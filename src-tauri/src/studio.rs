//! The studio as the shell holds it: opened when it is first needed, and again while it could not be.

mod aside;
mod closing;
mod queue;
mod second_place;

pub(crate) use aside::*;
pub(crate) use closing::*;
pub(crate) use queue::*;
pub(crate) use second_place::{SecondPlace, Written};

use crate::drawing;
use crate::error::{Error, ErrorInfo};
use crate::log;
use crate::state::{Shell, lock};
use crate::worker::blocking;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, HashMap, VecDeque};
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicUsize};
use std::sync::{Arc, Mutex, OnceLock};
use std::time::SystemTime;
use tauri::{AppHandle, State};
use tonefast_core::{Moment, Studio, StudioError, sweep_leftovers};

/// The studio, where it lies, and what waits to be kept in it.
#[derive(Default)]
pub(crate) struct Door {
    places: OnceLock<Places>,
    studio: Mutex<Option<Studio>>,
    /// What could not be kept yet, in its order.
    pub(crate) waiting: Mutex<VecDeque<Waiting>>,
    /// How many things are being made ready to be kept.
    coming: AtomicUsize,
    /// Whether what an earlier run wrote into the second place was taken up.
    taken_up: AtomicBool,
    /// How often drawing was asked for since its run began; none where none is under way.
    pub(crate) drawing: AtomicUsize,
    /// Why a snapshot could not be drawn, where its photo was the trouble.
    pub(crate) undrawable: Mutex<HashMap<i64, String>>,
}

/// Where things lie.
#[derive(Debug, Clone)]
pub(crate) struct Places {
    /// The studio's own folder.
    pub(crate) studio: PathBuf,
    /// The painter's folder for pictures of snapshots.
    pub(crate) pictures: PathBuf,
    /// The painter's folder for what is handed out.
    pub(crate) papers: PathBuf,
    /// Where what still waits is written when the program ends: in the system's folder for caches.
    pub(crate) waiting: PathBuf,
}

#[cfg(test)]
impl Places {
    /// All in one folder.
    pub(crate) fn under(folder: &std::path::Path) -> Self {
        let [studio, pictures, papers, waiting] =
            ["studio", "pictures", "papers", "cache/waiting"].map(|it| folder.join(it));
        Self { studio, pictures, papers, waiting }
    }
}

/// How the studio stands.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct StudioInfo {
    /// Why it is not open.
    trouble: Option<ErrorInfo>,
    /// Whether it may be set aside, so that a new one is begun.
    can_be_set_aside: bool,
    /// Where pictures of snapshots go.
    pictures: String,
    /// Where it lies itself.
    folder: String,
}

impl Door {
    /// Says where things lie; the first word counts.
    pub(crate) fn lies(&self, places: Places) {
        drop(self.places.set(places));
    }

    pub(crate) fn places(&self) -> Result<&Places, Error> {
        self.places.get().ok_or(Error::Program)
    }

    /// Does something in the studio, which is opened where it is not.
    pub(crate) fn with<T>(&self, deed: impl FnOnce(&mut Studio) -> Result<T, Error>) -> Result<T, Error> {
        let mut open = lock(&self.studio);
        let studio = match &mut *open {
            Some(studio) => studio,
            closed => closed.insert(self.opened()?),
        };
        deed(studio)
    }

    /// Opens the studio, and removes what a program that was cut off left in the painter's own folders.
    fn opened(&self) -> Result<Studio, Error> {
        let Places { studio, pictures, papers, waiting: _ } = self.places()?;
        let opened = Studio::open(studio, SystemTime::now())?;
        for folder in [pictures, papers] {
            if let Err(error) = sweep_leftovers(folder) {
                let error = log::names(&error);
                tracing::warn!(error, "what was left in the painter's folders was not removed");
            }
        }
        Ok(opened)
    }
}

#[cfg(test)]
impl Door {
    /// As when its window closes.
    pub(crate) fn close(&self) {
        *lock(&self.studio) = None;
    }
}

/// Now, by the machine's clock.
pub(crate) fn now() -> Moment {
    Moment::of(SystemTime::now())
}

/// Does something in the studio, away from the window's thread.
pub(crate) async fn in_studio<T: Send + 'static>(
    shell: &Shell,
    deed: impl FnOnce(&mut Studio) -> Result<T, Error> + Send + 'static,
) -> Result<T, Error> {
    let door = Arc::clone(&shell.studio);
    blocking(move || door.with(deed)).await
}

/// How the studio stands.
#[tauri::command]
pub(crate) async fn studio_state(shell: State<'_, Shell>) -> Result<StudioInfo, Error> {
    let Places { studio, pictures, papers: _, waiting: _ } = shell.studio.places()?.clone();
    let trouble = in_studio(&shell, |_| Ok(())).await.err();
    let can_be_set_aside = matches!(
        trouble,
        Some(Error::Studio(
            StudioError::Damaged { .. } | StudioError::NotOurs { .. } | StudioError::Newer { .. }
        ))
    );
    let (pictures, folder) = (pictures.display().to_string(), studio.display().to_string());
    Ok(StudioInfo { trouble: trouble.map(|it| it.info()), can_be_set_aside, pictures, folder })
}

/// All settings, by name.
#[tauri::command]
pub(crate) async fn settings(shell: State<'_, Shell>) -> Result<BTreeMap<String, String>, Error> {
    in_studio(&shell, |studio| Ok(studio.settings()?)).await
}

/// Keeps a setting. What is drawn follows the one that says from which end bands are counted.
#[tauri::command]
pub(crate) async fn keep_setting(
    name: String,
    value: String,
    shell: State<'_, Shell>,
    app: AppHandle,
) -> Result<(), Error> {
    if in_studio(&shell, move |studio| Ok(change_setting(studio, &name, &value)?)).await? {
        drawing::begin(&app);
    }
    Ok(())
}

/// Keeps a setting; answers whether bands are counted otherwise now, so that pictures are to be drawn anew.
pub(crate) fn change_setting(studio: &mut Studio, name: &str, value: &str) -> Result<bool, StudioError> {
    let otherwise = name == OF_THE_PAGE && says_darkest(value) != counts_from_darkest(studio)?;
    // In this order: cut off in between, they are drawn anew as they were.
    if otherwise {
        studio.draw_anew()?;
    }
    studio.keep_setting(name, value)?;
    Ok(otherwise)
}

/// What the page calls its settings, which are JSON.
const OF_THE_PAGE: &str = "check";

/// Whether the painter counts bands from the darkest.
pub(crate) fn counts_from_darkest(studio: &Studio) -> Result<bool, StudioError> {
    Ok(studio.setting(OF_THE_PAGE)?.is_some_and(|settings| says_darkest(&settings)))
}

/// As the page writes it (`turned` in ui/src/state/settings.svelte.ts); not, where that can't be read.
fn says_darkest(settings: &str) -> bool {
    #[derive(Deserialize)]
    struct OfThePage {
        #[serde(default)]
        turned: bool,
    }
    serde_json::from_str(settings).is_ok_and(|OfThePage { turned }| turned)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the page writes: see ui/src/state/settings.test.ts.
    #[test]
    fn the_pages_setting_says_from_which_end_bands_are_counted() {
        let folder = tempfile::TempDir::new().unwrap();
        let mut studio = Studio::open(folder.path(), SystemTime::now()).unwrap();
        assert!(!counts_from_darkest(&studio).unwrap());
        let (lightest, darkest) =
            (r#"{"sun":true,"turned":false}"#, r#"{"sun":true,"turned":true,"dab":{}}"#);
        for (value, otherwise, from_darkest) in
            [(lightest, false, false), (darkest, true, true), (darkest, false, true), ("{}", true, false)]
        {
            assert_eq!(change_setting(&mut studio, "check", value).unwrap(), otherwise, "{value}");
            assert_eq!(counts_from_darkest(&studio).unwrap(), from_darkest, "{value}");
        }
        assert!(!change_setting(&mut studio, "session", darkest).unwrap());
        assert!(!says_darkest("no JSON") && !says_darkest(r#"{"turned":"yes"}"#));
    }
}
