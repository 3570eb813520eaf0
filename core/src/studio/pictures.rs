//! Photos as files: stored once, to the byte, named by what they hold.

use super::disk::{Disk, Whose};
use super::references::references;
use super::{Moment, Studio, StudioError, next_place};
use rusqlite::{Connection, Transaction, named_params};
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};

/// SHA-256 of a photo's bytes (FIPS 180-4), 64 hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PhotoHash(String);

/// A photo of a session.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPhoto {
    /// What it is known by here, within its session.
    pub id: i64,
    /// What it holds.
    pub hash: PhotoHash,
    /// Its file's name, as it was opened.
    pub name: String,
    /// Its size in bytes.
    pub bytes: u64,
    /// When it was kept.
    pub kept: Moment,
    /// Whether it came in without its original, so that there is nothing to show.
    pub left_out: bool,
}

impl PhotoHash {
    /// Of bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect())
    }

    /// From its digits, as they were kept.
    pub(super) fn from_digits(digits: String) -> Result<Self, StudioError> {
        let is_digit = |byte: u8| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte);
        if digits.len() == 64 && digits.bytes().all(is_digit) {
            Ok(Self(digits))
        } else {
            Err(StudioError::Odd(format!("{digits} names no photo")))
        }
    }

    /// Its digits.
    #[must_use]
    pub fn digits(&self) -> &str {
        &self.0
    }

    /// Where its file lies: two digits a folder, so that no folder grows large.
    pub(super) fn path(&self, photos: &Path) -> PathBuf {
        photos.join(&self.0[..2]).join(&self.0)
    }
}

impl Studio {
    /// Keeps a photo's bytes, and that it belongs to a session; the same bytes are stored once.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where the session is, and others.
    pub fn keep_photo(
        &mut self,
        session: i64,
        name: &str,
        bytes: &[u8],
        now: Moment,
    ) -> Result<PhotoHash, StudioError> {
        let hash = keep(&*self.disk, &self.photos(), bytes)?;
        let change = self.change()?;
        super::sessions::is_there(&change, session)?;
        know(&change, &hash, name, bytes.len(), now)?;
        belong(&change, session, &hash, name, now)?;
        change.commit()?;
        Ok(hash)
    }

    /// A photo's bytes, as they were kept.
    ///
    /// # Errors
    /// [`StudioError::Changed`] where its file holds something else, [`StudioError::LeftOut`] where it came in without
    /// its original, and others.
    pub fn photo(&self, hash: &PhotoHash) -> Result<Vec<u8>, StudioError> {
        let mut query = self.database.prepare_cached("SELECT left_out FROM photo WHERE hash = ?1")?;
        if query.query_row([hash.digits()], |row| row.get(0))? {
            return Err(StudioError::LeftOut);
        }
        read(&*self.disk, &self.photos(), hash)
    }

    /// The photos of a session that something in it refers to which is not deleted, in the order in which they were
    /// kept.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn photos_of(&self, session: i64) -> Result<Vec<KeptPhoto>, StudioError> {
        let mut query = self.database.prepare_cached(&format!(
            "SELECT session_photo.id, hash, session_photo.name, bytes, session_photo.kept, left_out
             FROM session_photo JOIN photo ON hash = photo
             WHERE session = ?1 AND hash IN (SELECT photo FROM ({}) WHERE session = ?1 AND live) ORDER BY place",
            references()
        ))?;
        let rows = query.query_and_then([session], |row| {
            Ok(KeptPhoto {
                id: row.get(0)?,
                hash: PhotoHash::from_digits(row.get(1)?)?,
                name: row.get(2)?,
                bytes: row.get::<_, i64>(3)?.unsigned_abs(),
                kept: Moment(row.get(4)?),
                left_out: row.get(5)?,
            })
        })?;
        rows.collect()
    }
}

/// Writes a photo's file, unless it is there, and waits until file and name are on the disk.
pub(super) fn keep(disk: &dyn Disk, photos: &Path, bytes: &[u8]) -> Result<PhotoHash, StudioError> {
    let hash = PhotoHash::of(bytes);
    let path = hash.path(photos);
    let folder = photos.join(&hash.0[..2]);
    // A file of that name that holds something else was damaged by other hands: it is written anew.
    if !disk.has(&path) || PhotoHash::of(&disk.read(&path)?) != hash {
        disk.make_folder(&folder, Whose::Studio)?;
        let temporary = disk.write_temporary(&folder, bytes, Whose::Studio)?;
        disk.persist(temporary, &path)?;
    }
    // Also where it was there already: whoever wrote it may have been cut off before this.
    disk.sync_folder(&folder)?;
    disk.sync_folder(photos)?;
    disk.sync_folder(photos.parent().unwrap_or(photos))?;
    Ok(hash)
}

/// Notes a photo whose file is there.
pub(super) fn know(
    change: &Transaction<'_>,
    hash: &PhotoHash,
    name: &str,
    bytes: usize,
    kept: Moment,
) -> Result<(), StudioError> {
    change.execute(
        "INSERT INTO photo (hash, name, bytes, kept) VALUES (:hash, :name, :bytes, :kept)
         ON CONFLICT (hash) DO UPDATE SET left_out = 0",
        named_params! { ":hash": hash.digits(), ":name": name, ":bytes": bytes as i64, ":kept": kept.0 },
    )?;
    stays(change, hash.digits())
}

/// Notes that a photo's file is not to be removed, though its row was gone.
pub(super) fn stays(change: &Transaction<'_>, digits: &str) -> Result<(), StudioError> {
    change.execute("DELETE FROM leaving WHERE hash = ?1", [digits])?;
    Ok(())
}

/// Notes that a photo belongs to a session, once; what was deleted is there again.
pub(super) fn belong(
    change: &Transaction<'_>,
    session: i64,
    hash: &PhotoHash,
    name: &str,
    kept: Moment,
) -> Result<(), StudioError> {
    change.execute(
        "INSERT INTO session_photo (place, session, photo, name, kept)
         VALUES (:place, :session, :photo, :name, :kept)
         ON CONFLICT (session, photo) DO UPDATE SET deleted = NULL",
        named_params! {
            ":place": next_place(change, "session_photo")?, ":session": session, ":photo": hash.digits(),
            ":name": name, ":kept": kept.0,
        },
    )?;
    Ok(())
}

/// Whether a row is the photo's.
pub(super) fn knows(database: &Connection, digits: &str) -> Result<bool, StudioError> {
    Ok(database
        .query_row("SELECT EXISTS (SELECT 1 FROM photo WHERE hash = ?1)", [digits], |row| row.get(0))?)
}

/// A photo's bytes, as they were kept.
pub(super) fn read(disk: &dyn Disk, photos: &Path, hash: &PhotoHash) -> Result<Vec<u8>, StudioError> {
    let bytes = disk.read(&hash.path(photos))?;
    if PhotoHash::of(&bytes) == *hash { Ok(bytes) } else { Err(StudioError::Changed) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4's example messages, as NIST publishes their digests (Secure Hash Standard, examples with intermediate
    /// values): "abc", and the 448-bit one.
    #[test]
    fn names_are_the_standards_digests() {
        assert_eq!(
            PhotoHash::of(b"abc").digits(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert_eq!(
            PhotoHash::of(b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq").digits(),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
        );
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        for odd in ["", "../../etc/passwd", &"G".repeat(64), &"a".repeat(63)] {
            assert!(PhotoHash::from_digits(odd.to_owned()).is_err(), "{odd}");
        }
    }
}
