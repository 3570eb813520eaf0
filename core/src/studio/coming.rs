//! Photos that are being brought in are noted before their files are written, so that a parcel that does not come in leaves
//! no file: neither when it fails, nor when the program is cut off.

use super::disk::Whose;
use super::pictures::{self, PhotoHash};
use super::{Studio, StudioError};

/// The note, in the studio's folder: a photo's hash in each line.
const COMING: &str = "coming";

impl Studio {
    /// Notes those of the photos whose files are not there yet.
    pub(super) fn note_coming(&self, photos: &[PhotoHash]) -> Result<(), StudioError> {
        self.clear_coming()?;
        let new = photos.iter().filter(|hash| !self.disk.has(&hash.path(&self.photos())));
        let note = new.map(PhotoHash::digits).collect::<Vec<_>>().join("\n");
        let temporary = self.disk.write_temporary(&self.folder, note.as_bytes(), Whose::Studio)?;
        self.disk.persist(temporary, &self.folder.join(COMING))?;
        Ok(self.disk.sync_folder(&self.folder)?)
    }

    /// Removes the files of photos that were noted and that no row knows, and the note.
    pub(super) fn clear_coming(&self) -> Result<(), StudioError> {
        let note = self.folder.join(COMING);
        if !self.disk.has(&note) {
            return Ok(());
        }
        for digits in String::from_utf8_lossy(&self.disk.read(&note)?).lines() {
            let hash = PhotoHash::from_digits(digits.to_owned())?;
            let file = hash.path(&self.photos());
            if self.disk.has(&file) && !pictures::knows(&self.database, hash.digits())? {
                self.disk.remove(&file)?;
                self.disk.sync_folder(file.parent().unwrap_or(&file))?;
            }
        }
        self.disk.remove(&note)?;
        Ok(self.disk.sync_folder(&self.folder)?)
    }
}
