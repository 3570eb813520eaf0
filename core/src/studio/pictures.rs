//! Photos as files: stored once, to the byte, named by what they hold.

use super::StudioError;
use super::disk::Disk;
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};

/// SHA-256 of a photo's bytes (FIPS 180-4), 64 hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PhotoHash(String);

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

/// Writes a photo's file, unless it is there, and waits until file and name are on the disk.
pub(super) fn keep(disk: &dyn Disk, photos: &Path, bytes: &[u8]) -> Result<PhotoHash, StudioError> {
    let hash = PhotoHash::of(bytes);
    let path = hash.path(photos);
    // A file of that name that holds something else was cut short by other hands: it is written anew.
    if disk.has(&path) && PhotoHash::of(&disk.read(&path)?) == hash {
        return Ok(hash);
    }
    let folder = photos.join(&hash.0[..2]);
    disk.make_folder(&folder)?;
    let coming = path.with_extension("coming");
    disk.write(&coming, bytes)?;
    disk.rename(&coming, &path)?;
    disk.sync_folder(&folder)?;
    disk.sync_folder(photos)?;
    Ok(hash)
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
