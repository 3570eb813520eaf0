use std::env;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::Error;

/// The folder for the pictures of one run of that name, made where it isn't there.
///
/// # Errors
/// Where it can't be made.
pub fn pictures(name: &str) -> io::Result<PathBuf> {
    let folder = target()?.join(name);
    fs::create_dir_all(&folder)?;
    Ok(folder)
}

/// A file of the demo.
#[must_use]
pub fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data").join(name)
}

/// The app: what `TONEFAST_APP` names, else what was built for development.
pub(crate) fn app() -> Result<PathBuf, Error> {
    let path = match env::var_os("TONEFAST_APP") {
        Some(path) => PathBuf::from(path),
        None => target()?.join("debug/tonefast"),
    };
    if path.is_file() { Ok(path) } else { Err(Error::NotBuilt(path)) }
}

/// Cargo's target folder, found from where this program lies in it. Cargo marks it with a CACHEDIR.TAG.
fn target() -> io::Result<PathBuf> {
    let program = env::current_exe()?;
    let found =
        program.ancestors().find(|folder| folder.join("CACHEDIR.TAG").is_file()).map(Path::to_path_buf);
    found
        .ok_or_else(|| io::Error::new(io::ErrorKind::NotFound, "this program doesn't lie in a target folder"))
}
