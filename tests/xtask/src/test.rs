use std::process::Command;

use crate::command::{Failure, run};
use crate::steps::{Step, go};
use crate::{apt, bundle, offline, page, shell, tally};

/// All steps; `long` adds what takes longer.
pub(crate) fn all(long: bool) -> Result<(), Failure> {
    let more = if long { LONG_STEPS } else { &[] };
    tally::over(|| go(&STEPS.iter().chain(more).collect::<Vec<_>>()))
}

/// The step of that name alone, after what it can't do without.
pub(crate) fn one(name: &str) -> Result<(), Failure> {
    let every = || STEPS.iter().chain(LONG_STEPS);
    if !every().any(|step| step.name == name) {
        return Err(Failure::new(format!("There is no step `{name}`. There are:"), list()));
    }
    let asked: Vec<&Step> =
        every().filter(|step| step.name == name || needs(name).contains(&step.name)).collect();
    tally::over(|| go(&asked))
}

/// The steps with what they do, a line each.
pub(crate) fn list() -> String {
    let line = |step: &Step| format!("    {:<24}{}", step.name, step.what);
    STEPS.iter().chain(LONG_STEPS).map(line).collect::<Vec<_>>().join("\n")
}

/// In this order: what fails fast comes first, and what compiles most last.
const STEPS: &[Step] = &[
    Step { name: "format", what: "is every Rust file formatted?", act: format },
    Step { name: "packages", what: "Debian's packages, to build the app and to drive it", act: packages },
    Step { name: "npm", what: "npm's packages, to build the page and to test it", act: page::install },
    Step { name: "page-types", what: "are the page's types right?", act: page_types },
    Step { name: "page-tests", what: "the page's own tests", act: page_tests },
    Step { name: "page-build", what: "build the page, which the shell takes in", act: page::build },
    Step { name: "clippy", what: "lints over all the Rust, no warning allowed", act: clippy },
    Step { name: "rust", what: "the Rust tests; are the page's generated types up to date?", act: rust },
    Step { name: "browser", what: "the page's camera in Chromium, on drawn clips", act: browser },
    Step { name: "end-to-end", what: "the real app in its real window", act: end_to_end },
    Step { name: "offline", what: "the demo without a network; nothing reaches out", act: offline::check },
];

/// What takes longer.
const LONG_STEPS: &[Step] = &[
    Step {
        name: "bundle",
        what: "make the .deb, unpack it, and carry the demo through in it",
        act: bundle::check,
    },
    Step {
        name: "camera-long",
        what: "the camera for ten minutes: it neither lags nor leaks",
        act: camera_long,
    },
    Step {
        name: "studio-long",
        what: "a studio whose program is killed hundreds of times, and one that hands 2 GB out",
        act: studio_long,
    },
];

/// The feature that lets the tests in the window be built.
const WINDOW: &str = "tonefast-end-to-end/window";

/// The steps that must have gone before, in a fresh checkout.
fn needs(name: &str) -> &'static [&'static str] {
    match name {
        "page-types" | "page-tests" | "page-build" => &["npm"],
        "clippy" | "rust" | "browser" | "end-to-end" | "offline" | "bundle" | "camera-long"
        | "studio-long" => &["packages", "npm", "page-build"],
        _ => &[],
    }
}

fn format() -> Result<(), Failure> {
    let mut command = Command::new("cargo");
    command.args(["fmt", "--all", "--check", "--", "--files-with-diff"]);
    run(&mut command, "To format the files that are named above: cargo fmt --all")
}

fn packages() -> Result<(), Failure> {
    let fetch = if apt::has_pip() { &[] } else { apt::FETCH };
    apt::install(&[apt::BUILD, apt::DRIVE, apt::BROWSE, apt::ISOLATE, fetch].concat())
}

fn page_types() -> Result<(), Failure> {
    page::npm(&["run", "check"], &alone("page-types"))
}

fn page_tests() -> Result<(), Failure> {
    page::npm(&["test"], &alone("page-tests"))
}

fn clippy() -> Result<(), Failure> {
    let arguments = ["--all-targets", "--features", WINDOW, "--", "-D", "warnings"];
    run(&mut shell::cargo("clippy", &arguments), &alone("clippy"))
}

fn rust() -> Result<(), Failure> {
    run(tally::noting(&mut shell::cargo("test", &[])), &alone("rust"))
}

fn end_to_end() -> Result<(), Failure> {
    shell::build(&["tonefast", "demo"])?;
    // One window at a time: a window draws in software on every core there is.
    let arguments = ["--features", WINDOW, "--test", "end_to_end", "--", "--test-threads=1"];
    run(tally::noting(&mut shell::cargo("test", &arguments)), &alone("end-to-end"))
}

fn browser() -> Result<(), Failure> {
    // One browser at a time: it draws in software, too.
    let arguments = ["--features", WINDOW, "--test", "browser", "--", "--test-threads=1"];
    run(tally::noting(&mut shell::cargo("test", &arguments)), &alone("browser"))
}

fn camera_long() -> Result<(), Failure> {
    shell::build(&["tonefast", "demo"])?;
    let arguments = ["--features", WINDOW, "--test", "end_to_end", "camera::a_minute", "--", "--nocapture"];
    let mut test = shell::cargo("test", &arguments);
    run(tally::noting(&mut test).env("TONEFAST_LONG", "1"), &alone("camera-long"))
}

fn studio_long() -> Result<(), Failure> {
    let arguments = ["--package", "tonefast-core", "--test", "studio_killed", "--", "--nocapture"];
    let mut killed = Command::new("cargo");
    run(
        tally::noting(&mut killed).arg("test").args(arguments).env("TONEFAST_KILLS", "500"),
        &alone("studio-long"),
    )?;
    let arguments = ["--package", "tonefast", "--lib", "parcel::tests", "--", "--nocapture"];
    let mut written = Command::new("cargo");
    run(
        tally::noting(&mut written).arg("test").args(arguments).env("TONEFAST_HAND_OUT_MB", "2000"),
        &alone("studio-long"),
    )
}

fn alone(name: &str) -> String {
    format!("This step alone: cargo xtask test {name}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_step_needs_is_a_step_that_goes_before_it() {
        let every: Vec<&Step> = STEPS.iter().chain(LONG_STEPS).collect();
        for (place, step) in every.iter().enumerate() {
            for need in needs(step.name) {
                assert!(
                    every[..place].iter().any(|earlier| earlier.name == *need),
                    "{} needs {need}",
                    step.name
                );
            }
        }
    }

    #[test]
    fn an_unknown_step_is_answered_with_those_that_there_are() {
        let answer = one("everything").expect_err("no such step").to_string();
        assert!(answer.contains("end-to-end") && answer.contains("page-types"), "{answer}");
    }
}
