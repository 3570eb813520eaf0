//! The full licence texts of everything in the package: crates with what they carry (typefaces, colour profiles, C
//! code), the standard library, and npm's packages of which the page is made.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::command::{Failure, ask};
use crate::places;

/// The texts as one file, package by package.
pub(super) fn texts() -> Result<String, Failure> {
    let mut packages = crates()?;
    packages.extend(of_npm()?);
    stand_in(&mut packages)?;
    let lacking: Vec<String> = packages.iter().flat_map(lacking).collect();
    if !lacking.is_empty() {
        let what = format!("No licence text is there for: {}.", lacking.join(", "));
        return Err(Failure::new(what, "Add it to STAND_INS in bundle/licences.rs, once you know it."));
    }
    Ok(packages.iter().map(written).collect())
}

/// What is in the package, and where its files are.
struct Package {
    name: String,
    /// By SPDX, where the registry says it.
    licence: String,
    folder: PathBuf,
    texts: Vec<(PathBuf, String)>,
}

/// Packages that carry no licence text, with one that carries the text of the same licence: of the same project, or
/// Apache-2.0 and MPL-2.0, whose texts name nobody.
const STAND_INS: &[(&str, &str, &str)] = &[
    ("alloc-stdlib", "alloc-no-stdlib", "LICENSE"),
    ("heifer", "serde", "LICENSE-APACHE"),
    ("heifer-hevc-dec", "serde", "LICENSE-APACHE"),
    ("heifer-hevc-enc", "serde", "LICENSE-APACHE"),
    ("heifer-isobmff", "serde", "LICENSE-APACHE"),
    ("krilla", "serde", "LICENSE-APACHE"),
    ("krilla-svg", "serde", "LICENSE-APACHE"),
    ("rusqlite_migration", "serde", "LICENSE-APACHE"),
    ("selectors", "cssparser", "LICENSE"),
    // MIT names the authors: the package's own manifest does.
    ("dlopen2", "dlopen2", "Cargo.toml"),
    ("dlopen2", "serde", "LICENSE-MIT"),
    ("dlopen2_derive", "dlopen2_derive", "Cargo.toml"),
    ("dlopen2_derive", "serde", "LICENSE-MIT"),
    ("is-reference", "is-reference", "package.json"),
    ("is-reference", "svelte", "LICENSE.md"),
    ("locate-character", "locate-character", "package.json"),
    ("locate-character", "svelte", "LICENSE.md"),
    // It is linked into every binary; installed without its documents, it brings no text.
    ("the Rust standard library", "serde", "LICENSE-APACHE"),
];

/// How files with licence texts are called, in lower case; `readme.ijg` holds that of the JPEG library's C code.
const TEXTS: &[&str] = &["license", "licence", "copying", "copyright", "unlicense", "notice", "readme.ijg"];

/// Files that have a licence of their own within a package.
const ASSETS: &[&str] = &["ttf", "otf", "woff", "woff2", "icc", "icm"];

/// Folders that are not built in.
const NOT_BUILT_IN: &[&str] = &["tests", "test", "examples", "benches", "fuzz", "scripts", "node_modules"];

/// The crates that are linked in on this machine.
fn crates() -> Result<Vec<Package>, Failure> {
    let listed = super::libraries()?;
    if listed.is_empty() {
        return Err(Failure::new(
            "cargo tree names no crate.",
            "cargo tree --locked --package tonefast says why",
        ));
    }
    let mut packages = Vec::new();
    for line in listed.lines() {
        let (name, licence) = line.split_once('\t').unwrap_or((line, ""));
        let mut words = name.split_whitespace();
        let (Some(crate_name), Some(version)) = (words.next(), words.next()) else {
            return Err(Failure::new(format!("cargo tree has a line that is no crate: `{line}`."), ""));
        };
        let folder = source(&format!("{crate_name}-{}", version.trim_start_matches('v')))?;
        packages.push(Package {
            name: crate_name.to_owned(),
            licence: licence.to_owned(),
            texts: found(&folder)?,
            folder,
        });
    }
    packages.push(Package {
        name: "the Rust standard library".to_owned(),
        licence: "MIT OR Apache-2.0".to_owned(),
        folder: PathBuf::new(),
        texts: Vec::new(),
    });
    Ok(packages)
}

/// Gives packages without a text that of their stand-in.
fn stand_in(packages: &mut [Package]) -> Result<(), Failure> {
    for (name, other, file) in STAND_INS {
        let folder = packages.iter().find(|it| it.name == *other).map(|it| it.folder.clone());
        let (Some(folder), Some(at)) = (folder, packages.iter().position(|it| it.name == *name)) else {
            continue;
        };
        let path = folder.join(file);
        let text = fs::read_to_string(&path).map_err(|error| unread(&path, &error))?;
        packages[at].texts.push((path, text));
    }
    Ok(())
}

/// The packages of which the page is made: what it depends on, and the runtime of its components.
fn of_npm() -> Result<Vec<Package>, Failure> {
    let mut query = Command::new("npm");
    let listed = ask(query.current_dir(places::page()).args(["query", ".prod, #svelte, #svelte *"]))?;
    let folders: Vec<&str> = listed.lines().filter_map(|line| value(line, "path")).collect();
    let mut packages = Vec::new();
    for folder in folders.into_iter().map(PathBuf::from).filter(|it| *it != places::page()) {
        let manifest = folder.join("package.json");
        let text = fs::read_to_string(&manifest).map_err(|error| unread(&manifest, &error))?;
        let said = |key| text.lines().find_map(|line| value(line, key)).unwrap_or_default().to_owned();
        packages.push(Package {
            name: said("name"),
            licence: said("license"),
            texts: found(&folder)?,
            folder,
        });
    }
    if !packages.iter().any(|it| it.name == "svelte") {
        return Err(Failure::new("npm does not know of svelte.", "npm ci --prefix ui"));
    }
    Ok(packages)
}

/// The text behind `key` where the line of JSON holds it alone, as npm writes it.
fn value<'a>(line: &'a str, key: &str) -> Option<&'a str> {
    let rest = line.trim().strip_prefix(&format!("\"{key}\": \""))?;
    rest.trim_end_matches(',').strip_suffix('"')
}

/// Where cargo unpacked the crate.
fn source(name: &str) -> Result<PathBuf, Failure> {
    let home = env::var_os("CARGO_HOME").map(PathBuf::from);
    let home = home.or_else(|| env::home_dir().map(|it| it.join(".cargo"))).unwrap_or_default();
    let sources = home.join("registry/src");
    let registries = fs::read_dir(&sources).map_err(|error| unread(&sources, &error))?;
    let mut folders = registries.flatten().map(|it| it.path().join(name));
    folders.find(|it| it.is_dir()).ok_or_else(|| {
        Failure::new(format!("The source of {name} is not in {}.", sources.display()), "cargo fetch --locked")
    })
}

/// The files with licence texts in a folder and below.
fn found(folder: &Path) -> Result<Vec<(PathBuf, String)>, Failure> {
    let mut texts = Vec::new();
    for path in files(folder)? {
        let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
        let code =
            path.extension().is_some_and(|it| ["rs", "c", "h", "js", "ts"].iter().any(|code| it == *code));
        if !code && TEXTS.iter().any(|text| name.starts_with(text)) {
            let bytes = fs::read(&path).map_err(|error| unread(&path, &error))?;
            texts.push((path, String::from_utf8_lossy(&bytes).into_owned()));
        }
    }
    Ok(texts)
}

/// All files below but those that are not built in, in the order of their paths.
fn files(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let mut all = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)
        .and_then(|entries| entries.map(|entry| Ok(entry?.path())).collect())
        .map_err(|error| unread(folder, &error))?;
    entries.sort_unstable();
    for path in entries {
        if !path.is_dir() {
            all.push(path);
        } else if !NOT_BUILT_IN.iter().any(|it| path.ends_with(it)) {
            all.extend(files(&path)?);
        }
    }
    Ok(all)
}

/// What has no text: the package, or a typeface or profile with none in its folder or in one above it but the
/// package's own, whose text is the code's.
fn lacking(package: &Package) -> Vec<String> {
    if package.texts.iter().all(|(_, text)| text.trim().is_empty()) {
        return vec![package.name.clone()];
    }
    let inside = if package.folder.as_os_str().is_empty() { Ok(Vec::new()) } else { files(&package.folder) };
    let assets = inside.unwrap_or_default().into_iter().filter(|path| {
        path.extension().is_some_and(|it| ASSETS.iter().any(|asset| it.eq_ignore_ascii_case(asset)))
    });
    let licensed = |asset: &Path| {
        let above = asset.ancestors().skip(1).take_while(|it| *it != package.folder);
        let folders: Vec<&Path> = above.collect();
        package.texts.iter().any(|(path, _)| path.parent().is_some_and(|it| folders.contains(&it)))
    };
    assets.filter(|it| !licensed(it)).map(|it| it.display().to_string()).collect()
}

fn written(package: &Package) -> String {
    let Package { name, licence, folder: _, texts } = package;
    let line = "=".repeat(80);
    let texts: String = texts.iter().map(|(_, text)| format!("{}\n\n", text.trim_end())).collect();
    format!("{line}\n{name} ({licence})\n{line}\n\n{texts}")
}

fn unread(path: &Path, error: &std::io::Error) -> Failure {
    Failure::new(format!("{} can't be read: {error}.", path.display()), "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_in_the_package_has_its_licence_text() {
        let texts = texts().expect("no text is missing");
        let listed = super::super::libraries().expect("a list");
        assert!(listed.lines().count() > 100, "the list of crates is cut off");
        for name in listed.lines().filter_map(|line| line.split_whitespace().next()) {
            assert!(texts.contains(&format!("\n{name} (")), "{name}");
        }
        // A sentence of each text of what is not a crate's own code.
        for (what, sentence) in [
            ("the typeface", "Copyright (c) 2003 by Bitstream, Inc."),
            ("the profiles", "CC0 1.0 Universal"),
            ("the JPEG library", "The Independent JPEG Group's JPEG software"),
            ("the page's components", "svelte ("),
            ("the page's bridge", "@tauri-apps/api ("),
        ] {
            assert!(texts.contains(sentence), "{what}");
        }
    }

    #[test]
    fn what_lacks_a_text_is_named() {
        let folder = env::temp_dir().join(format!("tonefast-licences-{}", std::process::id()));
        fs::create_dir_all(folder.join("faces")).expect("a folder");
        let package = || Package {
            name: "river".to_owned(),
            licence: "MIT".to_owned(),
            texts: found(&folder).expect("read"),
            folder: folder.clone(),
        };
        assert_eq!(lacking(&package()), ["river"]);
        fs::write(folder.join("LICENSE-MIT"), "free").expect("written");
        assert_eq!(lacking(&package()), [] as [&str; 0]);
        let face = folder.join("faces/plain.TTF");
        fs::write(&face, "a typeface").expect("written");
        assert_eq!(lacking(&package()), [face.display().to_string()]);
        fs::write(folder.join("faces/COPYING"), "free, too").expect("written");
        assert_eq!(lacking(&package()), [] as [&str; 0]);
        fs::remove_dir_all(&folder).expect("removed");
    }
}
