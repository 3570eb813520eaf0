use std::env;
use std::io::{BufRead, BufReader, ErrorKind};
use std::process::{Child, Command, Stdio};

use crate::Error;

/// A screen to show the window on: the person's own, or a virtual one that ends with this value.
pub(crate) struct Display {
    server: Option<Child>,
    name: Option<String>,
}

impl Display {
    /// The display that is there, else a virtual one, large enough for every size that tests use.
    pub(crate) fn find_or_start() -> Result<Self, Error> {
        if env::var_os("DISPLAY").is_some_and(|name| !name.is_empty()) {
            return Ok(Self { server: None, name: None });
        }
        // The server itself picks a free number and says which, so no two can want the same one.
        let mut server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", "1600x1000x24", "-nolisten", "tcp", "-noreset"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|error| match error.kind() {
                ErrorKind::NotFound => Error::Missing { program: "Xvfb", package: "xvfb" },
                _ => Error::System(error),
            })?;
        let mut number = String::new();
        if let Some(output) = server.stdout.take() {
            BufReader::new(output).read_line(&mut number)?;
        }
        if number.trim().is_empty() {
            let log = server.wait()?.to_string();
            return Err(Error::Silent { program: "Xvfb", log });
        }
        Ok(Self { server: Some(server), name: Some(format!(":{}", number.trim())) })
    }

    /// Lets `command` show its windows here.
    pub(crate) fn lend(&self, command: &mut Command) {
        if let Some(name) = &self.name {
            command.env("DISPLAY", name).env("GDK_BACKEND", "x11").env_remove("WAYLAND_DISPLAY");
        }
    }
}

impl Drop for Display {
    fn drop(&mut self) {
        if let Some(server) = &mut self.server {
            // It may have ended already; then there is nothing to end.
            let _ = server.kill();
            let _ = server.wait();
        }
    }
}
