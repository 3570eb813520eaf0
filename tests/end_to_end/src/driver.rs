use std::fs::{self, File};
use std::io::ErrorKind;
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use rustix::process::{Pid, Signal, kill_process_group};

use crate::Error;
use crate::display::Display;

/// WebKit's driver at work, leader of a process group that the app and its web processes belong to.
/// Dropping it ends the whole group: the driver alone would leave the app behind.
pub(crate) struct Driver {
    process: Child,
    port: u16,
    log: PathBuf,
}

/// It answers in some hundredths of a second; this is for a machine that compiles beside it.
const PATIENCE: Duration = Duration::from_secs(20);

impl Driver {
    /// Starts a driver on a port of its own. `home` takes what it and the app write.
    pub(crate) fn start(display: &Display, home: &Path) -> Result<Self, Error> {
        let port = free_port()?;
        let log = home.join("log");
        let mut command = Command::new("WebKitWebDriver");
        command
            .arg(format!("--port={port}"))
            .env("TAURI_WEBVIEW_AUTOMATION", "true")
            .env("XDG_DATA_HOME", home.join("data"))
            .env("XDG_CACHE_HOME", home.join("cache"))
            .env("XDG_CONFIG_HOME", home.join("config"))
            // No accessibility bus is there to connect to; without this GTK waits for one and warns.
            .env("NO_AT_BRIDGE", "1")
            .stdin(Stdio::null())
            .stdout(File::create(&log)?)
            .stderr(File::options().append(true).open(&log)?)
            .process_group(0);
        display.lend(&mut command);
        let process = command.spawn().map_err(|error| match error.kind() {
            ErrorKind::NotFound => {
                Error::Missing { program: "WebKitWebDriver", package: "webkit2gtk-driver" }
            }
            _ => Error::System(error),
        })?;
        let driver = Self { process, port, log };
        let start = Instant::now();
        while TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err() {
            if start.elapsed() > PATIENCE {
                return Err(Error::Silent { program: "WebKitWebDriver", log: driver.log() });
            }
            thread::sleep(Duration::from_millis(10));
        }
        Ok(driver)
    }

    /// Where it listens.
    pub(crate) fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// What it and the app have written so far.
    pub(crate) fn log(&self) -> String {
        fs::read_to_string(&self.log).unwrap_or_else(|error| error.to_string())
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // It may have ended already; then there is nothing to end.
        let _ = kill_process_group(Pid::from_child(&self.process), Signal::KILL);
        let _ = self.process.wait();
    }
}

/// A port that nobody listens on. It is free again when this returns; the kernel gives out others before it comes round.
fn free_port() -> Result<u16, Error> {
    Ok(TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?.local_addr()?.port())
}
