//! Several studios in one folder, of which one is present: it is opened, and the others are set aside.
//!
//! The first lies in the folder itself, others in folders of their own within it. A small file names the present one, and
//! replacing that file is the only step by which another takes its place: no photo moves, and a cut leaves the one or the
//! other. A studio that a backup is brought into is marked unfinished until it is present; one that is unfinished and not
//! present is what a cut left, and is removed at the next start.

use super::disk::{self, Disk, Lock, Machine, Whose};
use super::{DATABASE, LOCK, Moment, PHOTOS, Studio, StudioError, opening};
use crate::Progress;
use std::io::{Read, Seek};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A studio that is set aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetAside {
    /// What it is known by here: the name of its folder, or nothing for the first.
    pub name: String,
    /// When it was last written to.
    pub used: Moment,
    /// How many sessions it has that are not deleted; none where it can't be read.
    pub sessions: Option<u32>,
}

/// A studio that a backup is brought into, beside the present one. Dropped before it took the present one's place,
/// nothing of it is left.
pub struct Beside {
    /// None until it is opened, and once it is closed.
    studio: Option<Studio>,
    disk: Arc<dyn Disk>,
    root: PathBuf,
    name: String,
    /// Whether it took the present one's place.
    is_present: bool,
}

/// Names the present one, within the folder of all.
const PRESENT: &str = "present";

/// Marks a studio that is not finished, within its own folder.
const UNFINISHED: &str = "unfinished";

/// How the names of folders begin: those made here, and those to which older versions moved a studio.
const NAMES: [&str; 2] = ["studio-", "set-aside-"];

impl Studio {
    /// Sets the present studio aside, whether it can be opened or not; the next that is opened is a new one. Answers
    /// with the folder where the old one lies, which is not touched.
    ///
    /// # Errors
    /// [`StudioError::InUse`] and others; the present studio is then the present one still.
    pub fn set_aside(root: &Path, now: Moment) -> Result<PathBuf, StudioError> {
        let _lock = Lock::take(&root.join(LOCK))?;
        set_aside(&Machine, root, now)
    }

    /// Brings back a studio that was set aside, in the place of the present one, which is set aside.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where there is none of that name, [`StudioError::InUse`] and others; the present studio is
    /// then the present one still.
    pub fn bring_studio_back(root: &Path, name: &str) -> Result<(), StudioError> {
        let _lock = Lock::take(&root.join(LOCK))?;
        bring_back(&Machine, root, name)
    }

    /// The studios that are set aside and hold something, the last used first.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn all_set_aside(root: &Path) -> Result<Vec<SetAside>, StudioError> {
        all_set_aside(&Machine, root)
    }

    /// Begins a studio beside this one, for a backup to be brought into. This one can be kept into meanwhile.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn beside(&self, now: Moment) -> Result<Beside, StudioError> {
        let name = begin(&*self.disk, &self.root, now)?;
        let (disk, root) = (Arc::clone(&self.disk), self.root.clone());
        let mut beside = Beside { studio: None, disk, root, name, is_present: false };
        let folder = self.root.join(&beside.name);
        let database = opening::connected(&*self.disk, &folder.join(DATABASE))?;
        beside.studio = Some(Studio {
            folder,
            root: self.root.clone(),
            database,
            disk: Arc::clone(&self.disk),
            lock: Arc::clone(&self.lock),
            readers: Arc::default(),
        });
        Ok(beside)
    }
}

impl Beside {
    /// Brings a backup in; answers with how many sessions it holds.
    ///
    /// # Errors
    /// Those of [`Studio::bring_in`].
    pub fn bring_in(&mut self, progress: &Progress, parcel: impl Read + Seek) -> Result<usize, StudioError> {
        let studio = self.studio.as_mut().ok_or(StudioError::Gone)?;
        Ok(studio.bring_in(progress, parcel)?.len())
    }

    /// Takes the place of the present studio, which is closed and set aside.
    ///
    /// # Errors
    /// [`StudioError`]; the present studio is then the present one still.
    pub fn take_place_of(mut self, present: Studio) -> Result<(), StudioError> {
        // Held to the end, so that nobody opens either in between.
        let _lock = Arc::clone(&present.lock);
        drop(present);
        self.studio = None;
        set_present(&*self.disk, &self.root, &self.name)?;
        self.is_present = true;
        finish_later(&*self.disk, &self.root.join(&self.name));
        Ok(())
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        self.studio = None;
        let folder = self.root.join(&self.name);
        if self.is_present {
            return;
        }
        if let Err(error) = remove_unless_present(&*self.disk, &self.root, &folder) {
            tracing::warn!("{} is left until the next start: {error}", folder.display());
        }
    }
}

/// The folder of the present studio, which is finished once it is present.
pub(super) fn finished(disk: &dyn Disk, root: &Path) -> Result<PathBuf, StudioError> {
    let present = folder(disk, root)?;
    finish(disk, &present)?;
    Ok(present)
}

/// Removes what a cut left: studios that were not finished, and temporary files beside the present one's database.
pub(super) fn sweep(disk: &dyn Disk, root: &Path) -> Result<(), StudioError> {
    for other in others(disk, root)? {
        // Cut off before it was even marked, there is nothing in it yet.
        let is_begun = other != root && [DATABASE, PHOTOS].iter().all(|name| !disk.has(&other.join(name)));
        if is_begun || disk.has(&other.join(UNFINISHED)) {
            disk.remove_folder(&other)?;
            disk.sync_folder(root)?;
        }
    }
    for folder in [root.to_owned(), folder(disk, root)?] {
        for (file, _) in disk.files(&folder)?.into_iter().filter(|(file, _)| disk::is_temporary(file)) {
            disk.remove_leftover(&file)?;
        }
    }
    Ok(())
}

pub(super) fn set_aside(disk: &dyn Disk, root: &Path, now: Moment) -> Result<PathBuf, StudioError> {
    let present = finished(disk, root)?;
    let name = begin(disk, root, now)?;
    set_present(disk, root, &name)?;
    finish_later(disk, &root.join(name));
    Ok(present)
}

pub(super) fn bring_back(disk: &dyn Disk, root: &Path, name: &str) -> Result<(), StudioError> {
    let wanted = if name.is_empty() { root.to_owned() } else { root.join(name) };
    if !is_name(name) || !disk.has(&wanted.join(DATABASE)) || disk.has(&wanted.join(UNFINISHED)) {
        return Err(StudioError::Gone);
    }
    finished(disk, root)?;
    set_present(disk, root, name)
}

fn all_set_aside(disk: &dyn Disk, root: &Path) -> Result<Vec<SetAside>, StudioError> {
    let mut all = Vec::new();
    for folder in others(disk, root)? {
        let files = disk.files(&folder)?;
        let Some((_, written)) = files.iter().rev().find(|(file, _)| file.ends_with(DATABASE)) else {
            continue;
        };
        let held = opening::held(&folder.join(DATABASE)).ok();
        if disk.has(&folder.join(UNFINISHED)) || held.is_some_and(|(sessions, others)| sessions + others == 0)
        {
            continue;
        }
        let name = folder.strip_prefix(root).unwrap_or(&folder).to_string_lossy().into_owned();
        all.push(SetAside { name, used: Moment::of(*written), sessions: held.map(|(sessions, _)| sessions) });
    }
    all.sort_by_key(|it| std::cmp::Reverse(it.used));
    Ok(all)
}

/// The folder of the present studio.
fn folder(disk: &dyn Disk, root: &Path) -> Result<PathBuf, StudioError> {
    let file = root.join(PRESENT);
    if !disk.has(&file) {
        return Ok(root.to_owned());
    }
    let name = String::from_utf8(disk.read(&file)?).ok().filter(|name| is_name(name));
    match name.as_deref() {
        Some("") => Ok(root.to_owned()),
        Some(name) => Ok(root.join(name)),
        None => Err(StudioError::Odd(format!("{} names no studio", file.display()))),
    }
}

/// The folders of all studios but the present one.
fn others(disk: &dyn Disk, root: &Path) -> Result<Vec<PathBuf>, StudioError> {
    let present = folder(disk, root)?;
    let mut folders = disk.folders(root)?;
    folders.retain(|folder| folder.file_name().and_then(|name| name.to_str()).is_some_and(is_name));
    folders.push(root.to_owned());
    folders.retain(|folder| *folder != present);
    Ok(folders)
}

/// Makes a folder for a studio, marked unfinished; answers with its name.
fn begin(disk: &dyn Disk, root: &Path, now: Moment) -> Result<String, StudioError> {
    let name = (now.0.max(0)..)
        .map(|number| format!("{}{number}", NAMES[0]))
        .find(|name| !disk.has(&root.join(name)))
        .ok_or(StudioError::Gone)?;
    let folder = root.join(&name);
    disk.make_folder(&folder, Whose::Studio)?;
    let marked = disk
        .write_temporary(&folder, b"", Whose::Studio)
        .and_then(|mark| disk.persist(mark, &folder.join(UNFINISHED)))
        .and_then(|()| disk.sync_folder(&folder))
        .and_then(|()| disk.sync_folder(root));
    if let Err(error) = marked {
        // Where this fails, too, an empty folder is left, in which there is no studio.
        let _ = disk.remove_folder(&folder);
        return Err(error.into());
    }
    Ok(name)
}

fn finish(disk: &dyn Disk, folder: &Path) -> Result<(), StudioError> {
    if disk.has(&folder.join(UNFINISHED)) {
        disk.remove(&folder.join(UNFINISHED))?;
        disk.sync_folder(folder)?;
    }
    Ok(())
}

/// As [`finish`], and where it fails, the next start does it: it is the present one already.
fn finish_later(disk: &dyn Disk, folder: &Path) {
    if let Err(error) = finish(disk, folder) {
        tracing::warn!("a studio that is finished is still marked: {error}");
    }
}

fn set_present(disk: &dyn Disk, root: &Path, name: &str) -> Result<(), StudioError> {
    let named = disk.write_temporary(root, name.as_bytes(), Whose::Studio)?;
    disk.persist(named, &root.join(PRESENT))?;
    // From here on it is done. A machine that is cut may find the former one present, which is whole.
    if let Err(error) = disk.sync_folder(root) {
        tracing::warn!("the disk was not waited for: {error}");
    }
    Ok(())
}

/// Where it is not known whether it is the present one, it stays.
fn remove_unless_present(disk: &dyn Disk, root: &Path, this: &Path) -> Result<(), StudioError> {
    if folder(disk, root)? != this {
        disk.remove_folder(this)?;
        disk.sync_folder(root)?;
    }
    Ok(())
}

/// Nothing, for the first; else a folder of ours, and no path that leads elsewhere.
fn is_name(name: &str) -> bool {
    let number = NAMES.iter().find_map(|start| name.strip_prefix(start));
    name.is_empty() || number.is_some_and(|it| !it.is_empty() && it.bytes().all(|byte| byte.is_ascii_digit()))
}
