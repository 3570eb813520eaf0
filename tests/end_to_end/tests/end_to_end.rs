//! The app in its real window: one module for each screen, all in one binary, since each binary is linked anew.

mod access;
mod camera;
mod check;
mod light;
mod offline;
mod paints;
mod pictures;
mod screen;
mod sessions;

use std::fs;
use std::path::Path;

/// A module file that nobody declares is never compiled, and its tests pass by not being there.
#[test]
fn every_module_file_is_declared() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let root = fs::read_to_string(folder.join("end_to_end.rs")).expect("this file");
    for entry in fs::read_dir(&folder).expect("this folder") {
        let path = entry.expect("an entry").path();
        let name = path.file_stem().and_then(|stem| stem.to_str()).expect("a plain name");
        // The other binary, and its folder, are declared in Cargo.toml.
        let declared = ["end_to_end", "browser"].contains(&name)
            || root.lines().any(|line| line == format!("mod {name};"));
        assert!(declared, "{} is not declared in end_to_end.rs: add `mod {name};`", path.display());
    }
}
