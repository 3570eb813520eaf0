//! `cargo xtask`: what a person would otherwise do by hand, in one command.

mod apt;
mod bundle;
mod command;
mod display;
mod offline;
mod page;
mod places;
mod run;
mod shell;
mod steps;
mod tally;
mod test;

use std::env;
use std::path::Path;
use std::process::ExitCode;

use command::Failure;

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        ["run"] => run::run(None),
        ["run", photo] if !photo.starts_with('-') => run::run(Some(Path::new(photo))),
        ["test"] => test::all(false),
        ["test", "--long"] => test::all(true),
        ["test", step] if !step.starts_with('-') => test::one(step),
        ["pictures"] => run::pictures(),
        ["bundle"] => bundle::bundle(bundle::Profile::Release),
        ["bundle", "--debug"] => bundle::bundle(bundle::Profile::Debug),
        [] | ["help" | "--help" | "-h"] => {
            println!("{}", help());
            Ok(())
        }
        _ => Err(Failure::new(format!("I don't know `cargo xtask {}`.", words.join(" ")), help())),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("\n{failure}");
            ExitCode::FAILURE
        }
    }
}

fn help() -> String {
    format!(
        "\
cargo xtask run [PHOTO]     install what is missing, build, and open the app on PHOTO (or on the demo);
                            without a display, carry the demo through in a virtual one
cargo xtask test [--long]   all the tests, stopping at the first that fails; --long adds what takes longer
cargo xtask test STEP       one step alone:
{}
cargo xtask bundle          make a .deb under target/bundle/
cargo xtask pictures        take the README's pictures anew
cargo xtask help            this",
        test::list()
    )
}
