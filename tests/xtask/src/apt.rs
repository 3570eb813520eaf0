use std::process::Command;

use crate::command::{Failure, ask, run};

/// What the shell needs to build, and to run from a checkout. Without nasm the JPEG decoder is built all the same and in
/// silence, but slow: it leaves out what is written in assembly.
pub(crate) const BUILD: &[&str] = &["libwebkit2gtk-4.1-dev", "nasm"];

/// What it takes to drive the app in a window that nobody sees.
pub(crate) const DRIVE: &[&str] = &["xvfb", "webkit2gtk-driver", "fonts-dejavu-core"];

/// The other web view that the page is tested in: it can be fed drawn clips as its camera.
pub(crate) const BROWSE: &[&str] = &["chromium"];

/// What watches the app where there is no network, and brings up what it has there.
pub(crate) const ISOLATE: &[&str] = &["strace", "iproute2"];

/// What the tests fetch the outside sources by, that they hold core to.
pub(crate) const FETCH: &[&str] = &["python3-pip"];

/// Whether there is a pip already, Debian's or another.
pub(crate) fn has_pip() -> bool {
    // A Python without pip answers too, but says nothing on its standard output.
    ask(Command::new("python3").args(["-m", "pip", "--version"]))
        .is_ok_and(|answer| answer.starts_with("pip "))
}

/// Installs those of `packages` that are missing, as root or through sudo.
/// The package lists are fetched only when something is missing.
/// Where there is no dpkg, it says what is needed and leaves it to the person.
pub(crate) fn install(packages: &[&str]) -> Result<(), Failure> {
    let mut query = Command::new("dpkg-query");
    query.args(["--show", "--showformat", "${Package} ${db:Status-Abbrev}\n"]).args(packages);
    let Ok(listing) = ask(&mut query) else {
        println!("  This isn't Debian or a relative of it. Please see that you have what Debian calls");
        println!("  {}.", packages.join(", "));
        return Ok(());
    };
    let missing = missing(packages, &listing);
    if missing.is_empty() {
        println!("  there already: {}", packages.join(", "));
        return Ok(());
    }
    println!("  missing: {}", missing.join(", "));
    let remedy = format!("Install by hand what is missing: apt-get install {}", missing.join(" "));
    run(apt_get()?.arg("update").arg("--quiet"), &remedy)?;
    run(apt_get()?.args(["install", "--quiet", "--yes", "--no-install-recommends"]).args(&missing), &remedy)
}

/// Those of `packages` that dpkg-query's listing doesn't call installed.
fn missing<'a>(packages: &[&'a str], listing: &str) -> Vec<&'a str> {
    let installed: Vec<&str> = listing
        .lines()
        .filter_map(|line| line.split_once(' '))
        .filter(|(_, status)| status.trim_end() == "ii")
        .map(|(package, _)| package)
        .collect();
    packages.iter().copied().filter(|package| !installed.contains(package)).collect()
}

fn apt_get() -> Result<Command, Failure> {
    let is_root = ask(Command::new("id").arg("-u"))?.trim() == "0";
    let mut command = if is_root { Command::new("apt-get") } else { Command::new("sudo") };
    if !is_root {
        command.args(["DEBIAN_FRONTEND=noninteractive", "apt-get"]);
    }
    command.env("DEBIAN_FRONTEND", "noninteractive");
    Ok(command)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_fully_installed_counts() {
        // dpkg-query(1): the second letter is the status; i installed, n not installed, c only its files of settings.
        let listing = "xvfb ii \nwebkit2gtk-driver un \nfonts-dejavu-core rc \n";
        assert_eq!(missing(DRIVE, listing), ["webkit2gtk-driver", "fonts-dejavu-core"]);
        assert_eq!(missing(DRIVE, ""), DRIVE);
    }
}
