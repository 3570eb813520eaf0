use std::process::Command;

use crate::command::{Failure, run, shown};

/// A cargo command over the whole workspace, whatever single target it is for.
/// Cargo chooses the features of shared dependencies by the packages that are selected:
/// with another selection in each step, tokio and all of Tauri would be compiled once for each.
pub(crate) fn cargo(verb: &str, arguments: &[&str]) -> Command {
    let mut command = Command::new("cargo");
    command.arg(verb).arg("--workspace").args(arguments);
    command
}

/// Builds binaries of the workspace for development. The page must have been built: the shell takes it in.
pub(crate) fn build(binaries: &[&str]) -> Result<(), Failure> {
    let mut command = cargo("build", &[]);
    for name in binaries {
        command.args(["--bin", name]);
    }
    let alone = shown(&command);
    run(&mut command, &format!("It doesn't compile: the lines above say where. Alone: {alone}"))
}
