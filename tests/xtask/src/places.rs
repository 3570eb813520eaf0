use std::env;
use std::path::{Path, PathBuf};

/// The checkout's top folder.
pub(crate) fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// Cargo's target folder: wherever this program was built to.
pub(crate) fn target() -> PathBuf {
    let built_to = env::current_exe().ok().and_then(|exe| exe.ancestors().nth(2).map(Path::to_path_buf));
    built_to.unwrap_or_else(|| root().join("target"))
}

/// The page's folder.
pub(crate) fn page() -> PathBuf {
    root().join("ui")
}

/// A binary of this workspace, as built for development.
pub(crate) fn binary(name: &str) -> PathBuf {
    target().join("debug").join(name)
}

/// The picture that the app opens when none is named.
pub(crate) fn demo() -> PathBuf {
    root().join("demo-data/low-water.jpg")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_root_holds_the_workspace() {
        let manifest = std::fs::read_to_string(root().join("Cargo.toml")).expect("a manifest");
        assert!(manifest.contains("[workspace]"));
    }
}
