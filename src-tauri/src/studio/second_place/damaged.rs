//! Files of the second place that can't be taken up: they are set aside, as long as there is room for them.

use super::{SecondPlace, listed, name, total};
use std::fs::{self, DirBuilder};
use std::io;
use std::path::{Path, PathBuf};

const DAMAGED: &str = "damaged";

impl SecondPlace {
    /// Moves a file into the folder of damaged ones, under a number before its name; the oldest there make room.
    pub(super) fn set_aside(&self, path: &Path) {
        if let Err(error) = self.moved_aside(path) {
            tracing::error!(kind = %error.kind(), "a damaged file in the second place was not set aside");
        }
    }

    /// What was set aside, the oldest first.
    pub(super) fn damaged(&self) -> io::Result<Vec<PathBuf>> {
        let mut damaged = listed(&self.folder.join(DAMAGED))?;
        damaged.sort();
        Ok(damaged)
    }

    fn moved_aside(&self, path: &Path) -> io::Result<()> {
        let folder = self.folder.join(DAMAGED);
        let mut builder = DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        builder.recursive(true).create(&folder)?;
        let mut there = self.damaged()?;
        let last = there.last().and_then(|last| name(last).split('-').next()?.parse::<u64>().ok());
        fs::rename(path, folder.join(format!("{:06}-{}", last.unwrap_or(0) + 1, name(path))))?;
        while !there.is_empty() && total(&self.damaged()?)? > self.room {
            fs::remove_file(there.remove(0))?;
        }
        Ok(())
    }
}
