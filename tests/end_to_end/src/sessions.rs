use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use serde_json::json;

use crate::{App, Error};

/// A picture takes a second or two to be drawn where nothing is optimised and the other core compiles.
const DRAWN: Duration = Duration::from_secs(60);

/// How every PNG ends (PNG specification, third edition, 11.2.5).
const END: &[u8] = b"IEND\xaeB`\x82";

/// What a person does and sees of what is kept.
impl App {
    /// Clicks what a selector finds, as soon as it is there and can be clicked.
    ///
    /// # Errors
    /// Where it can't be in time.
    pub async fn click(&self, selector: &str) -> Result<(), Error> {
        let script = "const it = document.querySelector(arguments[0]);
            if (it === null || it.disabled) return false;
            it.click();
            return true";
        self.until(selector, script, &[json!(selector)]).await?;
        self.drawn().await
    }

    /// Keeps what is on the screen; the snapshot's number.
    ///
    /// # Errors
    /// Where it isn't kept in time.
    pub async fn keep(&self) -> Result<String, Error> {
        let last = "arguments[0](document.querySelector('[data-part=kept]')?.dataset.snapshot ?? '')";
        let before = self.ask(last, Vec::new()).await?;
        self.click("[data-part=keep]").await?;
        let script = "const it = document.querySelector('[data-part=kept]');
            return it !== null && it.dataset.snapshot !== arguments[0] && it.dataset.snapshot";
        let kept = self.until("a snapshot", script, &[before]).await?;
        Ok(kept.as_str().unwrap_or_default().to_owned())
    }

    /// Pictures of snapshots in the painter's own folder, once there are so many and each is whole.
    ///
    /// # Errors
    /// Where there aren't in time.
    pub async fn pngs(&self, count: usize) -> Result<Vec<PathBuf>, Error> {
        let folder = self.home().join("Pictures/Tonefast");
        let start = Instant::now();
        loop {
            let files = fs::read_dir(&folder).into_iter().flatten();
            let mut whole: Vec<PathBuf> = files
                .filter_map(|entry| Some(entry.ok()?.path()))
                .filter(|path| path.extension().is_some_and(|it| it == "png"))
                .filter(|path| fs::read(path).is_ok_and(|bytes| bytes.ends_with(END)))
                .collect();
            if whole.len() == count {
                whole.sort();
                return Ok(whole);
            }
            if start.elapsed() > DRAWN {
                let answer = format!("{whole:?}");
                return Err(Error::Odd { what: format!("{count} pictures in {}", folder.display()), answer });
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }
}
