mod licences;
mod staging;

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::command::{Failure, ask, run};
use crate::{apt, page, places, shell};

/// How the binary in the package is built.
#[derive(Clone, Copy)]
pub(crate) enum Profile {
    /// As a person gets it.
    Release,
    /// For trying out the packaging, without ten minutes of compiling.
    Debug,
}

/// Makes the .deb under target/bundle/ and says where it lies.
pub(crate) fn bundle(profile: Profile) -> Result<(), Failure> {
    let package = make(profile)?;
    let told = ask(Command::new("dpkg-deb").arg("--info").arg(&package))?;
    let listed = ask(Command::new("dpkg-deb").arg("--contents").arg(&package))?;
    println!("\n{}\n{listed}", told.trim_end());
    println!("Made {}\nTo install it, as root: apt-get install {0}", package.display());
    Ok(())
}

/// Makes the .deb, unpacks it elsewhere, and carries the demo through with the app that comes out.
pub(crate) fn check() -> Result<(), Failure> {
    let package = make(Profile::Release)?;
    let unpacked = folder().join("unpacked");
    emptied(&unpacked).map_err(|error| unwritten(&error))?;
    run(
        Command::new("dpkg-deb").arg("--extract").arg(&package).arg(&unpacked),
        "The package can't be unpacked.",
    )?;
    shell::build(&["demo"])?;
    run(
        Command::new(places::binary("demo"))
            .arg(places::demo())
            .arg(folder().join("pictures"))
            .env("TONEFAST_APP", unpacked.join("usr/bin/tonefast")),
        "The packaged app doesn't carry the demo through: the lines above say where.",
    )
}

fn make(profile: Profile) -> Result<PathBuf, Failure> {
    apt::install(apt::BUILD)?;
    page::install()?;
    page::build()?;
    let mut build = Command::new("cargo");
    build.args(["build", "--package", "tonefast", "--bin", "tonefast"]);
    let built = match profile {
        Profile::Release => {
            build.arg("--release");
            places::target().join("release/tonefast")
        }
        Profile::Debug => places::binary("tonefast"),
    };
    run(&mut build, "It doesn't compile: the lines above say where.")?;

    let architecture = ask(Command::new("dpkg").arg("--print-architecture"))?.trim().to_owned();
    let staged = folder().join("staged");
    emptied(&staged).map_err(|error| unwritten(&error))?;
    let licences = licences::texts()?;
    staging::stage(&built, &staged, &architecture, &licences).map_err(|error| unwritten(&error))?;
    let package = folder().join(format!("tonefast_{}_{architecture}.deb", staging::VERSION));
    run(
        Command::new("dpkg-deb").args(["--root-owner-group", "--build"]).arg(&staged).arg(&package),
        "dpkg-deb doesn't take what was staged: its message says why.",
    )?;
    Ok(package)
}

fn folder() -> PathBuf {
    places::target().join("bundle")
}

/// The libraries that are linked in, a line each, with version and licence.
fn libraries() -> Result<String, Failure> {
    let tree = ask(Command::new("cargo").current_dir(places::root()).args([
        "tree",
        "--locked",
        "--package",
        "tonefast",
        "--edges",
        "normal",
        "--prefix",
        "none",
        "--format",
        "{p}\t{l}",
    ]))?;
    let mut lines: Vec<&str> = tree
        .lines()
        .map(|line| line.trim_end_matches(" (*)"))
        .filter(|line| !line.is_empty() && !line.contains("(/"))
        .collect();
    lines.sort_unstable();
    lines.dedup();
    Ok(lines.join("\n"))
}

fn emptied(folder: &Path) -> io::Result<()> {
    match fs::remove_dir_all(folder) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => fs::create_dir_all(folder),
    }
}

fn unwritten(error: &io::Error) -> Failure {
    Failure::new(
        format!("The package can't be put together: {error}."),
        "Is the disk full? Is target/ yours?",
    )
}
