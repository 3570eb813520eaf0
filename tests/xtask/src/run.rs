use std::fs;
use std::path::Path;
use std::process::Command;

use crate::command::{Failure, run as run_command};
use crate::steps::{Step, go};
use crate::{apt, display, page, places, shell};

const PACKAGES: Step = Step {
    name: "packages",
    what: "what Debian's packages bring: the web view that the window is made of",
    act: || apt::install(apt::BUILD),
};
const DRIVER: Step = Step {
    name: "display",
    what: "there is no display here: a virtual one, and the web view's driver",
    act: || apt::install(apt::DRIVE),
};
const PAGE: Step = Step {
    name: "page",
    what: "build the page that the window shows",
    act: || {
        page::install()?;
        page::build()
    },
};
const APP: Step = Step {
    name: "app",
    what: "build the app (cold, this takes some minutes)",
    act: || shell::build(&["tonefast"]),
};
const APP_AND_DEMO: Step = Step {
    name: "app",
    what: "build the app, and what drives it (cold, this takes some minutes)",
    act: || shell::build(&["tonefast", "demo"]),
};

/// Installs, builds, and opens the app on `photo`, or on the demo where none is named.
pub(crate) fn run(photo: Option<&Path>) -> Result<(), Failure> {
    let photo = photo.map_or_else(places::demo, Path::to_path_buf);
    let photo = fs::canonicalize(&photo).map_err(|error| {
        Failure::new(format!("{} can't be opened: {error}.", photo.display()), "Is the path right?")
    })?;
    if display::is_there() {
        go(&[&PACKAGES, &PAGE, &APP])?;
        println!("\nThe window opens on {}; this command ends when it is closed.", photo.display());
        return run_command(
            Command::new(places::binary("tonefast")).arg(&photo),
            "The app ended with an error: the lines above say which.",
        );
    }
    println!("There is no display here, so the demo is carried through in a virtual one.");
    go(&[&PACKAGES, &DRIVER, &PAGE, &APP_AND_DEMO])?;
    println!();
    run_command(
        Command::new(places::binary("demo")).arg(&photo).arg(places::target().join("demo")),
        "The demo didn't go through: the lines above say where.",
    )
}

/// The README's pictures, by their names in the demo's folder.
const PICTURES: &[&str] = &[
    "colour.png",
    "difference-phone.png",
    "difference-phone-sideways.png",
    "difference-desk.png",
    "light.png",
    "kept-colour.png",
    "session.png",
    "pair.png",
    "strips.png",
    "paints.png",
    "passage.png",
];

/// Takes the README's pictures anew: the demo carried through, and what the window showed.
pub(crate) fn pictures() -> Result<(), Failure> {
    go(&[&PACKAGES, &DRIVER, &PAGE, &APP_AND_DEMO])?;
    let (taken, kept) = (places::target().join("demo"), places::root().join("tests/images/window"));
    run_command(
        Command::new(places::binary("demo")).arg(places::demo()).arg(&taken),
        "The demo didn't go through: the lines above say where.",
    )?;
    let keep = |name: &&str| fs::copy(taken.join(name), kept.join(name)).map(drop);
    fs::create_dir_all(&kept).and_then(|()| PICTURES.iter().try_for_each(keep)).map_err(|error| {
        Failure::new(format!("The pictures can't be kept: {error}."), "Is there room on the disk?")
    })
}
