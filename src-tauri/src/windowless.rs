//! The shell without its window: what the page's live camera asks for, answered by plain calls, so that the page can be
//! tested in another web view than the system's.

use crate::live::{self, Live};
use crate::picture;
use crate::reading::wire::BandsSetting;
use crate::state::Shell;
use percent_encoding::percent_decode_str;
use serde::Serialize;
use serde_json::Value;
use std::fmt::Display;
use std::sync::Mutex;

/// A shell that no window shows.
#[derive(Default)]
pub struct Windowless {
    shell: Shell,
}

impl Windowless {
    /// Answers a command as JSON. `about` is the header of a message whose body is bytes.
    ///
    /// # Errors
    /// What the page would be told, or that no such command is answered here.
    pub fn answer(&self, command: &str, about: &str, body: &[u8]) -> Result<String, String> {
        let live: &Mutex<Live> = &self.shell.live;
        let json = || serde_json::from_slice::<Value>(body).map_err(words);
        match command {
            "waiting_offer" | "keep_setting" => Ok("null".to_owned()),
            "settings" => Ok("{}".to_owned()),
            "begin_live" => {
                let asked = json()?;
                let side = |name: &str| asked[name].as_u64().and_then(|side| u32::try_from(side).ok());
                let size = side("width").zip(side("height")).ok_or("a frame has a width and a height")?;
                text(&live::begin(live, size).map_err(words)?)
            }
            "set_live_bands" => {
                let setting: BandsSetting =
                    serde_json::from_value(json()?["setting"].take()).map_err(words)?;
                text(&live::bands(live, setting).map_err(words)?)
            }
            "read_live" => {
                let ask = percent_decode_str(about).decode_utf8_lossy();
                text(&live::answer(live, &ask, body).map_err(words)?)
            }
            _ => Err(format!("{command} is not answered here")),
        }
    }

    /// Answers a request of the `picture` scheme.
    ///
    /// # Errors
    /// What the page would be told.
    pub fn picture(&self, path: &str, query: &str) -> Result<Vec<u8>, String> {
        picture::bytes_for(path, query, &self.shell).map_err(words)
    }
}

fn text(answer: &impl Serialize) -> Result<String, String> {
    serde_json::to_string(answer).map_err(words)
}

fn words(error: impl Display) -> String {
    error.to_string()
}
