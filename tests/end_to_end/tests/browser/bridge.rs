//! Chromium on the page, and the server between them and the shell.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::mpsc::{Sender, channel};
use std::time::Duration;

use serde_json::{Value, json};
use tempfile::TempDir;
use tonefast_app::windowless::Windowless;

use crate::clip::{Clip, SPOTS};

/// What the screen said at one moment.
pub(crate) struct Told {
    /// Seconds since readings had settled.
    pub(crate) time: f64,
    /// What readings stand on.
    pub(crate) against: String,
    /// What is told of the light.
    pub(crate) notes: String,
    /// L* of the two pins, where they are shown.
    pub(crate) a: Option<f64>,
    pub(crate) b: Option<f64>,
    /// Whether the clip shows a hand over the paper.
    pub(crate) covered: bool,
    /// Frames drawn so far.
    pub(crate) frames: f64,
}

/// Longer than any clip is looked at, and than a busy machine takes to start a browser.
const PATIENCE: Duration = Duration::from_secs(180);

/// Watches a clip through the page's camera for some seconds, after two spots and the paper were tapped.
pub(crate) fn watch(clip: &Clip, seconds: u32) -> Vec<Told> {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}/", listener.local_addr().expect("an address"));
    let (tell, told) = channel();
    let plan = json!({ "spots": SPOTS.map(|(x, y, _)| [x, y]), "paper": [0.5, 0.45], "seconds": seconds });
    std::thread::spawn(move || serve(&listener, &plan, &tell));
    let profile = TempDir::with_prefix("tonefast-chromium-").expect("a folder");
    let _chromium = Chromium::open(&address, clip.path(), profile.path());
    let told = told.recv_timeout(PATIENCE).expect("the page tells in time");
    let told: Value = serde_json::from_str(&told).expect("JSON");
    let moments = told.as_array().unwrap_or_else(|| panic!("{told}"));
    moments.iter().map(Told::of).collect()
}

impl Told {
    fn of(moment: &Value) -> Self {
        let text = |name: &str| moment[name].as_str().unwrap_or_default().to_owned();
        Self {
            time: moment["time"].as_f64().unwrap_or(f64::NAN),
            against: text("against"),
            notes: text("notes"),
            a: moment["a"].as_f64(),
            b: moment["b"].as_f64(),
            covered: moment["covered"] == true,
            frames: moment["frames"].as_f64().unwrap_or(f64::NAN),
        }
    }
}

/// The browser, which ends with this value.
struct Chromium(Child);

impl Chromium {
    fn open(address: &str, clip: &Path, profile: &Path) -> Self {
        let child = Command::new("chromium")
            .args([
                "--headless=new",
                "--no-sandbox",
                "--disable-gpu",
                "--enable-unsafe-swiftshader",
                "--no-first-run",
            ])
            .args([
                "--use-fake-device-for-media-stream",
                "--use-fake-ui-for-media-stream",
                "--window-size=800,900",
            ])
            .arg(format!("--use-file-for-fake-video-capture={}", clip.display()))
            .arg(format!("--user-data-dir={}", profile.display()))
            .arg(address)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromium: apt-get install chromium");
        Self(child)
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        // It may have ended already; its own helpers end with it.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn serve(listener: &TcpListener, plan: &Value, tell: &Sender<String>) {
    let shell = Arc::new(Windowless::default());
    for stream in listener.incoming().flatten() {
        let (shell, plan, tell) = (Arc::clone(&shell), plan.clone(), tell.clone());
        // A browser that hangs up early is no fault of ours.
        std::thread::spawn(move || drop(answer(stream, &shell, &plan, &tell)));
    }
}

/// One request and its answer; the connection is closed after it.
fn answer(
    mut stream: TcpStream,
    shell: &Windowless,
    plan: &Value,
    tell: &Sender<String>,
) -> std::io::Result<()> {
    let mut reader = BufReader::new(stream.try_clone()?);
    let mut line = String::new();
    reader.read_line(&mut line)?;
    let target = line.split_whitespace().nth(1).unwrap_or("/").to_owned();
    let (mut length, mut about) = (0, String::new());
    loop {
        let mut header = String::new();
        reader.read_line(&mut header)?;
        let Some((name, value)) = header.trim().split_once(':') else { break };
        match name.to_ascii_lowercase().as_str() {
            "content-length" => length = value.trim().parse().unwrap_or(0),
            "x-live" => about = value.trim().to_owned(),
            _ => {}
        }
    }
    let mut body = vec![0; length];
    reader.read_exact(&mut body)?;
    let (status, kind, bytes) = respond(&target, &about, &body, shell, plan, tell);
    write!(
        stream,
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
        bytes.len()
    )?;
    stream.write_all(&bytes)
}

type Response = (&'static str, &'static str, Vec<u8>);

fn respond(
    target: &str,
    about: &str,
    body: &[u8],
    shell: &Windowless,
    plan: &Value,
    tell: &Sender<String>,
) -> Response {
    const BAD: &str = "400 Bad Request";
    let (path, query) = target.split_once('?').unwrap_or((target, ""));
    if let Some(command) = path.strip_prefix("/ipc/") {
        return match shell.answer(command, about, body) {
            Ok(text) => ("200 OK", "application/json", text.into_bytes()),
            Err(words) => (BAD, "text/plain", words.into_bytes()),
        };
    }
    if let Some(path) = path.strip_prefix("/picture") {
        return match shell.picture(path, query) {
            Ok(bytes) => ("200 OK", "application/octet-stream", bytes),
            Err(words) => (BAD, "text/plain", words.into_bytes()),
        };
    }
    if path == "/told" {
        // The test may have given up waiting.
        let _ = tell.send(String::from_utf8_lossy(body).into_owned());
        return ("200 OK", "text/plain", Vec::new());
    }
    if path == "/drive.js" {
        let script = format!("window.plan = {plan};\n{}", include_str!("drive.js"));
        return ("200 OK", "text/javascript", script.into_bytes());
    }
    page(path)
}

fn page(path: &str) -> Response {
    let dist = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../ui/dist");
    if path == "/" {
        let page = fs::read_to_string(dist.join("index.html")).expect("ui/dist: cargo xtask test page-build");
        let page = page.replacen("<head>", "<head><script src=\"/drive.js\"></script>", 1);
        return ("200 OK", "text/html", page.into_bytes());
    }
    let file: PathBuf = dist.join(path.trim_start_matches('/'));
    let kind = match file.extension().and_then(|end| end.to_str()) {
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        _ => "application/octet-stream",
    };
    match fs::read(file) {
        Ok(bytes) if !path.contains("..") => ("200 OK", kind, bytes),
        _ => ("404 Not Found", "text/plain", Vec::new()),
    }
}
