//! Paints out and in: JSON that holds all, and CSV for a spreadsheet.
//!
//! JSON is one object, `{"schema": "tonefast paints", "version": 1, "paints": [{"about": {…}, "strips": [{…}]}]}`, whose
//! parts are [`PaintAbout`] and [`PaintedStrip`], named in camelCase. CSV (RFC 4180, UTF-8, a head) has a line for each
//! step, and one for a paint that has none; what it holds stands in [`COLUMNS`]. Only `paint` must be there, and with
//! strips `lightness`; columns may stand in any order. Places in photos are not in it.

mod table;

use super::painted::{PaintAbout, PaintedError, PaintedStrip};
use serde::{Deserialize, Serialize};

/// A paint with its strips, the oldest first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct PaintRecord {
    /// What she says of it.
    pub about: PaintAbout,
    /// What was painted of it.
    #[serde(default)]
    pub strips: Vec<PaintedStrip>,
}

/// Paints as they are handed out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct PaintBox {
    schema: String,
    version: u32,
    /// The paints.
    pub paints: Vec<PaintRecord>,
}

/// Why paints can't be taken in.
#[derive(Debug, thiserror::Error)]
pub enum PaintBoxError {
    /// It is neither.
    #[error("it is no list of paints: {0}")]
    Unread(String),
    /// Written by a version that is not known here.
    #[error("a newer version wrote it ({0}, and {VERSION} is known here)")]
    Newer(u32),
    /// A line of the table.
    #[error("line {line}: {why}")]
    Line {
        /// Counted from 1, the head included.
        line: u64,
        /// What is wrong with it.
        why: String,
    },
    /// A paint that can't be kept.
    #[error("{name}: {why}")]
    Paint {
        /// Which.
        name: String,
        /// What is wrong with it.
        why: PaintedError,
    },
    /// More than anybody has.
    #[error(
        "it is larger than {MOST_BYTES} bytes, or holds more than {MOST_PAINTS} paints or {MOST_STRIPS} strips of one"
    )]
    Large,
}

const SCHEMA: &str = "tonefast paints";
const VERSION: u32 = 1;

/// Far more than a lifetime's paints, and little enough to be read at once.
const MOST_BYTES: usize = 64 << 20;
const MOST_PAINTS: usize = 5000;
const MOST_STRIPS: usize = 500;

impl PaintBox {
    /// Of paints.
    #[must_use]
    pub fn of(paints: Vec<PaintRecord>) -> Self {
        Self { schema: SCHEMA.to_owned(), version: VERSION, paints }
    }

    /// From what [`PaintBox::json`] or [`PaintBox::csv`] wrote, or anyone else in that form.
    ///
    /// # Errors
    /// [`PaintBoxError`]; a paint that can't be kept refuses all.
    pub fn read(bytes: &[u8]) -> Result<Self, PaintBoxError> {
        if bytes.len() > MOST_BYTES {
            return Err(PaintBoxError::Large);
        }
        let text = std::str::from_utf8(bytes)
            .map_err(|_| PaintBoxError::Unread("it is not text in UTF-8".to_owned()))?;
        let text = text.trim_start_matches('\u{feff}');
        let read = if text.trim_start().starts_with('{') { from_json(text)? } else { table::read(text)? };
        let many = |it: &PaintRecord| it.strips.len() > MOST_STRIPS;
        if read.paints.len() > MOST_PAINTS || read.paints.iter().any(many) {
            return Err(PaintBoxError::Large);
        }
        for PaintRecord { about, strips } in &read.paints {
            let checked = strips.iter().try_fold((), |(), strip| strip.check()).and_then(|()| about.check());
            checked.map_err(|why| PaintBoxError::Paint { name: about.name.clone(), why })?;
        }
        Ok(read)
    }

    /// As JSON, the same for the same paints.
    #[must_use]
    pub fn json(&self) -> String {
        // Strings and finite numbers always can be written.
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }

    /// As CSV; places in photos are left out.
    #[must_use]
    pub fn csv(&self) -> String {
        table::written(self)
    }
}

fn from_json(text: &str) -> Result<PaintBox, PaintBoxError> {
    #[derive(Deserialize)]
    struct Head {
        schema: String,
        version: u32,
    }
    let unread = |error: serde_json::Error| PaintBoxError::Unread(error.to_string());
    let head: Head = serde_json::from_str(text)
        .map_err(|_| PaintBoxError::Unread("it says nothing of paints".to_owned()))?;
    if head.schema != SCHEMA {
        return Err(PaintBoxError::Unread("it says that it is something else".to_owned()));
    }
    if head.version > VERSION {
        return Err(PaintBoxError::Newer(head.version));
    }
    serde_json::from_str(text).map_err(unread)
}

#[cfg(test)]
mod tests {
    use super::super::painted::tests::strip;
    use super::super::{Laid, PaintedStep};
    use super::*;
    use crate::random::Random;

    fn paints() -> PaintBox {
        let about = PaintAbout {
            name: "Dusk, the \"second\"\nbatch".to_owned(),
            maker: "-own".to_owned(),
            pigments: "PB29, PBr7".to_owned(),
            mixed_of: "Deep sea + Clay".to_owned(),
            notes: "=granulates; \u{1f30a}".to_owned(),
            transparent: true,
            granulating: true,
            staining: false,
        };
        let mut first = strip(&[88.25, 60.1, 1.0 / 3.0 + 22.0]);
        first.wet_lightness = Some(vec![88.0, 58.0, 20.0]);
        let layers = PaintedStrip { laid: Laid::Layers, wet: true, ..strip(&[70.0, 51.5]) };
        let bare = PaintRecord {
            about: PaintAbout { name: "Untried".to_owned(), ..PaintAbout::default() },
            strips: Vec::new(),
        };
        PaintBox::of(vec![PaintRecord { about, strips: vec![first, layers] }, bare])
    }

    #[test]
    fn what_goes_out_comes_in_as_it_was() {
        let paints = paints();
        assert_eq!(PaintBox::read(paints.json().as_bytes()).unwrap(), paints);
        assert_eq!(PaintBox::read(paints.csv().as_bytes()).unwrap(), paints);
        let with_mark = format!("\u{feff}{}", paints.csv());
        assert_eq!(PaintBox::read(with_mark.as_bytes()).unwrap(), paints);
    }

    #[test]
    fn places_in_photos_are_in_json_only() {
        let mut paints = paints();
        let quad = Some([[1.0, 2.0], [3.0, 2.0], [3.0, 4.5], [1.0, 4.5]]);
        paints.paints[0].strips[0].steps[0].quad = quad;
        assert_eq!(PaintBox::read(paints.json().as_bytes()).unwrap(), paints);
        assert_ne!(PaintBox::read(paints.csv().as_bytes()).unwrap(), paints);
    }

    #[test]
    fn a_spreadsheet_may_be_as_short_as_it_likes() {
        let read = PaintBox::read(b"lightness,paint\r\n90,Clay\r\n60.5,Clay\r\n,Sea\r\n").unwrap();
        let [clay, sea] = &read.paints[..] else { panic!("{read:?}") };
        assert_eq!((clay.strips.len(), clay.strips[0].range(), sea.strips.len()), (1, (90.0, 60.5), 0));
        assert_eq!(clay.strips[0].steps[1].tint, [0.0, 0.0]);
    }

    #[test]
    fn what_is_no_list_is_refused_and_says_where() {
        let refused = |bytes: &[u8]| PaintBox::read(bytes).unwrap_err().to_string();
        assert!(refused(b"").contains("no list of paints"));
        assert!(refused(b"\xff\xd8\xff").contains("UTF-8"));
        assert!(refused(b"{\"version\":\"0.1\"}").contains("nothing of paints"));
        assert!(refused(b"{\"schema\":\"else\",\"version\":1}").contains("something else"));
        assert!(refused(b"{\"schema\":\"tonefast paints\",\"version\":2}").contains("newer"));
        assert!(refused(b"paint,lightness\nClay,ninety\n").contains("line 2"));
        assert!(refused(b"paint,lightness\nClay,90\n").contains("Clay: a strip has"));
        assert!(refused(b"paint,lightness\nClay,90\nClay,nan\n").contains("Clay: step 2"));
        assert!(refused(b"paint,lightness\n,90\n").contains("line 2"));
    }

    /// Whatever is read at all is written and read again the same; nothing makes it panic.
    #[test]
    fn no_text_is_read_in_two_ways() {
        let mut random = Random::new(83);
        let (json, csv) = (paints().json(), paints().csv());
        for _ in 0..3000 {
            let mut bytes = if random.unit() < 0.5 { json.clone() } else { csv.clone() }.into_bytes();
            for _ in 0..1 + (4.0 * random.unit()) as usize {
                let at = (bytes.len() as f64 * random.unit()) as usize;
                match (4.0 * random.unit()) as usize {
                    0 => bytes.truncate(at),
                    1 => bytes[at] = (256.0 * random.unit()) as u8,
                    2 => bytes[at] = b"\",\n{}[]0-e"[(10.0 * random.unit()) as usize],
                    _ => drop(bytes.splice(at..at, *b"\"\n")),
                }
                if bytes.is_empty() {
                    break;
                }
            }
            if let Ok(read) = PaintBox::read(&bytes) {
                assert_eq!(PaintBox::read(read.json().as_bytes()).unwrap(), read);
            }
        }
    }

    #[test]
    fn a_step_is_a_reading_whatever_the_file_says() {
        let odd = PaintedStep { lightness: 1e300, plus_minus: 0.0, tint: [0.0; 2], quad: None };
        let mut paints = paints();
        paints.paints[0].strips[0].steps[1] = odd;
        assert!(matches!(PaintBox::read(paints.json().as_bytes()), Err(PaintBoxError::Paint { .. })));
    }
}
