use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::command::{Failure, ask, run};
use crate::places;

/// The oldest Node that the page's build tool takes: its `engines` say `^20.19.0 || >=22.12.0`.
const NODE: &str = "20.19 or newer, or 22.12 or newer";

/// Installs the npm packages of the lock file, unless they are there as it has them.
pub(crate) fn install() -> Result<(), Failure> {
    let version = ask(Command::new("node").arg("--version"))?;
    if !new_enough(&version) {
        let what =
            format!("Node {} is too old for the page's build.", version.trim().trim_start_matches('v'));
        return Err(Failure::new(what, format!("Install Node {NODE}.")));
    }
    let stamp = places::page().join("node_modules/.installed-from");
    let lock = digest(&[places::page().join("package-lock.json")]).map_err(|error| unreadable(&error))?;
    if fs::read_to_string(&stamp).is_ok_and(|installed| installed == lock) {
        println!("  npm packages are there already, as the lock file has them");
        return Ok(());
    }
    npm(
        &["ci", "--no-audit", "--no-fund"],
        "Is there a network? Is package-lock.json as package.json wants it?",
    )?;
    fs::write(&stamp, lock).map_err(|error| unreadable(&error))
}

/// Builds the page into `ui/dist`, unless what is there was built from these very sources.
pub(crate) fn build() -> Result<(), Failure> {
    let stamp = places::target().join("page-built-from");
    if fs::read_to_string(&stamp).is_ok_and(|built| state().is_ok_and(|now| built == now)) {
        println!("  the page is built already from these sources");
        return Ok(());
    }
    npm(&["run", "build"], "The page doesn't build: the lines above say where.")?;
    fs::write(&stamp, state().map_err(|error| unreadable(&error))?).map_err(|error| unreadable(&error))
}

/// Runs npm in the page's folder.
pub(crate) fn npm(arguments: &[&str], remedy: &str) -> Result<(), Failure> {
    run(Command::new("npm").args(arguments).current_dir(places::page()), remedy)
}

fn new_enough(version: &str) -> bool {
    let mut numbers = version.trim().trim_start_matches('v').split('.').map(|part| part.parse::<u32>());
    match (numbers.next(), numbers.next()) {
        (Some(Ok(20)), Some(Ok(minor))) => minor >= 19,
        (Some(Ok(22)), Some(Ok(minor))) => minor >= 12,
        (Some(Ok(major)), _) => major > 22,
        _ => false,
    }
}

/// What the page is made of and what was made of it. Both count: someone may have built it by hand in between.
fn state() -> io::Result<String> {
    let page = places::page();
    let mut sources = Vec::new();
    for entry in fs::read_dir(&page)? {
        let path = entry?.path();
        if !path.ends_with("node_modules") && !path.ends_with("dist") {
            gather(&path, &mut sources)?;
        }
    }
    let mut built = Vec::new();
    gather(&page.join("dist"), &mut built)?;
    Ok(format!("{} {}", digest(&sources)?, digest(&built)?))
}

fn gather(path: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    if !path.is_dir() {
        files.push(path.to_path_buf());
        return Ok(());
    }
    for entry in fs::read_dir(path)? {
        gather(&entry?.path(), files)?;
    }
    Ok(())
}

/// One number for the names and contents of `files`, in any order.
/// Contents, since a checkout gives every file a new time; a few hundred kilobytes take no time to read.
fn digest(files: &[PathBuf]) -> io::Result<String> {
    let mut files: Vec<&PathBuf> = files.iter().collect();
    files.sort();
    let mut hasher = DefaultHasher::new();
    for file in files {
        file.hash(&mut hasher);
        fs::read(file)?.hash(&mut hasher);
    }
    Ok(format!("{:016x}", hasher.finish()))
}

fn unreadable(error: &io::Error) -> Failure {
    Failure::new(
        format!("The page's files can't be read or written: {error}."),
        "Is the checkout whole and yours?",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn old_versions_of_node_are_refused() {
        for (version, wanted) in [
            ("v18.19.0\n", false),
            ("v20.18.3", false),
            ("v20.19.0", true),
            ("v21.7.0", false),
            ("v22.12.0", true),
            ("v24.1.0", true),
            ("", false),
        ] {
            assert_eq!(new_enough(version), wanted, "{version:?}");
        }
    }

    #[test]
    fn a_digest_follows_names_and_contents_but_not_order() {
        let folder = std::env::temp_dir().join(format!("tonefast-digest-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("a folder");
        let (a, b) = (folder.join("a"), folder.join("b"));
        fs::write(&a, "one").expect("written");
        fs::write(&b, "two").expect("written");
        let first = digest(&[a.clone(), b.clone()]).expect("a digest");
        assert_eq!(digest(&[b.clone(), a.clone()]).expect("a digest"), first);
        fs::write(&b, "three").expect("written");
        assert_ne!(digest(&[a.clone(), b]).expect("a digest"), first);
        assert_ne!(digest(&[a]).expect("a digest"), first);
        fs::remove_dir_all(&folder).expect("removed");
    }
}
