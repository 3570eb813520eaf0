use std::fmt;
use std::io::ErrorKind;
use std::process::{Command, Stdio};

/// What went wrong, and what the person can do about it.
#[derive(Debug)]
pub(crate) struct Failure {
    what: String,
    remedy: String,
}

impl Failure {
    pub(crate) fn new(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { what: what.into(), remedy: remedy.into() }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.what)?;
        if self.remedy.is_empty() { Ok(()) } else { write!(f, "\n{}", self.remedy) }
    }
}

/// Shows the command, runs it with its output going to the terminal, and waits.
/// `remedy` says what to do if it fails; a program that isn't there has a remedy of its own.
pub(crate) fn run(command: &mut Command, remedy: &str) -> Result<(), Failure> {
    println!("  $ {}", shown(command));
    let status = command.status().map_err(|error| not_started(command, &error))?;
    if status.success() {
        return Ok(());
    }
    Err(Failure::new(format!("`{}` failed ({status}).", shown(command)), remedy))
}

/// Runs the command without showing it, and gives what it wrote to standard output, whatever its exit code.
pub(crate) fn ask(command: &mut Command) -> Result<String, Failure> {
    let output = command.stderr(Stdio::null()).output().map_err(|error| not_started(command, &error))?;
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The command as a person would type it, without its environment.
pub(crate) fn shown(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    words.map(|word| word.to_string_lossy()).collect::<Vec<_>>().join(" ")
}

fn not_started(command: &Command, error: &std::io::Error) -> Failure {
    let program = command.get_program().to_string_lossy();
    if error.kind() != ErrorKind::NotFound {
        return Failure::new(format!("`{program}` can't be started: {error}."), "");
    }
    let remedy = match program.as_ref() {
        "npm" | "node" => "Install Node 20.19 or newer, with npm: the page is built with it.",
        "cargo" => "Install Rust 1.95 or newer, with cargo, rustfmt and clippy.",
        "sudo" => "Run this as root, or install the packages that are named above by hand.",
        "dpkg-deb" | "dpkg" => "A .deb is made on Debian or a relative of it; there, `apt-get install dpkg`.",
        _ => "Install it, or see that it is on the PATH.",
    };
    Failure::new(format!("`{program}` isn't installed."), remedy)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_program_is_named_with_what_to_install() {
        let error = std::io::Error::from(ErrorKind::NotFound);
        let failure = not_started(&Command::new("npm"), &error).to_string();
        assert!(failure.starts_with("`npm` isn't installed.\nInstall Node"), "{failure}");
    }

    #[test]
    fn a_failing_command_is_shown_with_its_remedy() {
        let failure = run(Command::new("false").arg("--now"), "Try again.").expect_err("false fails");
        assert_eq!(failure.to_string(), "`false --now` failed (exit status: 1).\nTry again.");
    }
}
