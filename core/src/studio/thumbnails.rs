//! Small pictures of snapshots, to find them by. They are made of what is kept, so that one that is missing or torn is no
//! loss: it is made again.

use super::disk::{self, Disk, Whose};
use super::{DRAWN, Studio, StudioError, THUMBNAILS};
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// How every PNG begins (PNG specification, third edition, 5.2).
const PNG: [u8; 8] = [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a];

/// How every PNG ends: its chunk IEND, which is empty, and that chunk's CRC (5.6 and 11.2.5).
const END: [u8; 8] = [b'I', b'E', b'N', b'D', 0xae, 0x42, 0x60, 0x82];

impl Studio {
    /// Keeps a small picture (a whole PNG) of a snapshot.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn keep_thumbnail(&self, snapshot: i64, png: &[u8]) -> Result<(), StudioError> {
        let path = self.thumbnail_path(snapshot)?;
        let folder = self.folder.join(THUMBNAILS);
        self.disk.make_folder(&folder, Whose::Studio)?;
        let temporary = self.disk.write_temporary(&folder, png, Whose::Studio)?;
        self.disk.persist(temporary, &path)?;
        Ok(self.disk.sync_folder(&folder)?)
    }

    /// The small picture of a snapshot, if it is there and whole.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where the snapshot is, and others.
    pub fn thumbnail(&self, snapshot: i64) -> Result<Option<Vec<u8>>, StudioError> {
        read(&*self.disk, &self.thumbnail_path(snapshot)?)
    }

    /// Takes small pictures away, and drawn ones that came in, whose snapshots are gone.
    pub(super) fn sweep_thumbnails(&self) -> Result<(), StudioError> {
        let mut query = self.database.prepare("SELECT uuid FROM snapshot")?;
        let known: HashSet<String> = query.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        let mut files = self.disk.files(&self.folder.join(THUMBNAILS))?;
        files.extend(self.disk.files(&self.folder.join(DRAWN))?);
        for (file, _) in files {
            if disk::is_temporary(&file) {
                self.disk.remove_leftover(&file)?;
                continue;
            }
            let uuid = file.file_stem().unwrap_or_default().to_string_lossy();
            if !known.contains(&*uuid) {
                self.disk.remove(&file)?;
            }
        }
        Ok(())
    }

    pub(super) fn thumbnail_path(&self, snapshot: i64) -> Result<PathBuf, StudioError> {
        let mut query = self.database.prepare_cached("SELECT uuid FROM snapshot WHERE id = ?1")?;
        let uuid: String = query.query_row([snapshot], |row| row.get(0))?;
        Ok(self.folder.join(THUMBNAILS).join(format!("{uuid}.png")))
    }
}

/// The small picture of the snapshot of a uuid, if it is there and whole.
pub(super) fn of(disk: &dyn Disk, studio: &Path, uuid: &str) -> Result<Option<Vec<u8>>, StudioError> {
    read(disk, &studio.join(THUMBNAILS).join(format!("{uuid}.png")))
}

fn read(disk: &dyn Disk, path: &Path) -> Result<Option<Vec<u8>>, StudioError> {
    if !disk.has(path) {
        return Ok(None);
    }
    Ok(Some(disk.read(path)?).filter(|png| png.starts_with(&PNG) && png.ends_with(&END)))
}
