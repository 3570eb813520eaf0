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

/// Which cameras the app is given.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cameras {
    /// Those of the machine: none, where tests run.
    None,
    /// The web view's mock cameras.
    Mock,
}

/// It answers in some hundredths of a second; this is for a machine that compiles beside it.
const PATIENCE: Duration = Duration::from_secs(20);

impl Driver {
    /// Starts a driver on a port of its own. `home` takes what it and the app write.
    pub(crate) fn start(display: &Display, home: &Path, cameras: Cameras) -> Result<Self, Error> {
        let port = free_port()?;
        let log = home.join("log");
        let mut command = Command::new("WebKitWebDriver");
        command
            .arg(format!("--port={port}"))
            .env("TAURI_WEBVIEW_AUTOMATION", "true")
            .env("HOME", home)
            .env("XDG_DATA_HOME", home.join("data"))
            .env("XDG_CACHE_HOME", home.join("cache"))
            .env("XDG_CONFIG_HOME", home.join("config"))
            // No accessibility bus is there to connect to; without this GTK waits for one and warns.
            .env("NO_AT_BRIDGE", "1")
            .stdin(Stdio::null())
            .stdout(File::create(&log)?)
            .stderr(File::options().append(true).open(&log)?)
            .process_group(0);
        if cameras == Cameras::Mock {
            command.env("TONEFAST_MOCK_CAMERA", "true");
        }
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

    /// The proportional set size of all processes of its group, in bytes.
    pub(crate) fn memory(&self) -> std::io::Result<u64> {
        let group = self.process.id().to_string();
        let mut sum = 0;
        for entry in fs::read_dir("/proc")? {
            let folder = entry?.path();
            // A process may end while it is looked at.
            let Ok(status) = fs::read_to_string(folder.join("stat")) else { continue };
            // proc(5): the name, in brackets, may hold anything; the state, the parent and the group follow it.
            let fields = status.rsplit_once(')').map(|(_, rest)| rest.split_whitespace().collect::<Vec<_>>());
            if fields.is_none_or(|fields| fields.get(2) != Some(&group.as_str())) {
                continue;
            }
            let Ok(rollup) = fs::read_to_string(folder.join("smaps_rollup")) else { continue };
            let kilobytes = rollup.lines().find_map(|line| line.strip_prefix("Pss:"));
            let kilobytes =
                kilobytes.and_then(|text| text.trim().trim_end_matches("kB").trim().parse::<u64>().ok());
            sum += 1024 * kilobytes.unwrap_or_default();
        }
        Ok(sum)
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
