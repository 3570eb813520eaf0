//! Paints out and in: JSON that holds all, and CSV for a spreadsheet.
//!
//! JSON is one object, `{"schema": "tonefast paints", "version": 1, "paints": [{"about": {…}, "strips": [{…}]}]}`, whose
//! parts are [`PaintAbout`] and [`PaintedStrip`], named in camelCase. CSV (RFC 4180, a head, UTF-8 with a
//! byte-order mark, which need not be there to be read) has a line for each step, and one for a paint that has none;
//! what it holds stands in [`table::COLUMNS`]. Only `paint` must be there, and with strips `lightness`; columns may
//! stand in any order. Numbers in it are rounded to what is known, and places in photos are left out.

mod table;

use super::painted::{PaintAbout, PaintedError, PaintedStrip};
use serde::de::{Deserializer, IgnoredAny, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};
use std::fmt;

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
    #[serde(deserialize_with = "no_more_than_counts")]
    pub paints: Vec<PaintRecord>,
    /// It was read from a table: numbers in it are rounded, and places in photos are gone.
    #[serde(skip)]
    rounded: bool,
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

impl PaintRecord {
    /// As it comes back from a table: with rounded numbers, without places in photos.
    #[must_use]
    pub fn tabled(&self) -> Self {
        table::tabled(self)
    }
}

impl PaintBox {
    /// Of paints.
    #[must_use]
    pub fn of(paints: Vec<PaintRecord>) -> Self {
        Self { schema: SCHEMA.to_owned(), version: VERSION, paints, rounded: false }
    }

    /// Whether it was read from a table, so that its paints may be here in more digits.
    #[must_use]
    pub fn is_rounded(&self) -> bool {
        self.rounded
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

    /// As CSV, with numbers rounded and without places in photos: what comes back is [`PaintRecord::tabled`].
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

/// Reads one paint more than are taken, by which there are too many; those after it take no memory.
fn no_more_than_counts<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<PaintRecord>, D::Error> {
    struct Paints;
    impl<'de> Visitor<'de> for Paints {
        type Value = Vec<PaintRecord>;

        fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
            formatter.write_str("a list of paints")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
            let mut paints = Vec::new();
            while paints.len() <= MOST_PAINTS {
                match list.next_element()? {
                    Some(paint) => paints.push(paint),
                    None => return Ok(paints),
                }
            }
            while list.next_element::<IgnoredAny>()?.is_some() {}
            Ok(paints)
        }
    }
    from.deserialize_seq(Paints)
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
        let table = paints.csv();
        assert_eq!(PaintBox::read(table.as_bytes()).unwrap().paints, tabled(&paints).paints);
        let without_mark = table.strip_prefix('\u{feff}').expect("a byte-order mark");
        assert_eq!(PaintBox::read(without_mark.as_bytes()).unwrap().paints, tabled(&paints).paints);
        // RFC 4180, 2.1: lines end in CR LF. One line break stands within quotes.
        assert_eq!(table.matches('\n').count(), table.matches("\r\n").count() + 5);
    }

    fn tabled(paints: &PaintBox) -> PaintBox {
        PaintBox::of(paints.paints.iter().map(PaintRecord::tabled).collect())
    }

    #[test]
    fn numbers_in_a_table_are_rounded_to_what_is_known() {
        let mut paints = paints();
        paints.paints[0].strips[0].steps[0].lightness = 91.131_032_960_632_54;
        paints.paints[0].strips[0].steps[0].tint = [-0.001, -3.2];
        let table = paints.csv();
        let first = table.lines().find(|line| line.contains("91.13")).unwrap();
        assert!(first.contains(",91.13,2,0,-3.2,"), "{first}");
        assert_eq!(tabled(&tabled(&paints)), tabled(&paints), "rounding once is enough");
    }

    /// Every text comes back as it was, and none begins like a formula in the table (OWASP, "CSV Injection").
    /// That holds for the cells too that a spreadsheet sees which parts cells by semicolons.
    #[test]
    fn no_text_of_a_table_runs_in_a_spreadsheet() {
        const LETTERS: [&str; 17] =
            ["=", "+", "-", "@", "\t", "\r", "\n", "'", "\"", ",", ";", " ", "a", "1", "é", "＝", "\u{feff}"];
        let mut random = Random::new(29);
        let mut text = || {
            let count = (6.0 * random.unit()) as usize;
            (0..count).map(|_| LETTERS[(LETTERS.len() as f64 * random.unit()) as usize]).collect::<String>()
        };
        for round in 0..2000 {
            let about = PaintAbout {
                name: format!("{}{round}", text()),
                maker: text(),
                pigments: text(),
                mixed_of: text(),
                notes: text(),
                ..PaintAbout::default()
            };
            let mut own = PaintedStrip { day: text(), paper: text(), ..strip(&[88.0, 60.0]) };
            own.steps[0].tint = [-3.2, -0.5];
            let paints = PaintBox::of(vec![PaintRecord { about, strips: vec![own] }]);
            let table = paints.csv();
            assert_eq!(PaintBox::read(table.as_bytes()).unwrap().paints, paints.paints, "{table:?}");
            for record in csv::Reader::from_reader(table.as_bytes()).records() {
                for cell in &record.unwrap() {
                    let begins = cell.starts_with(['\t', '\r', '\n']);
                    let formula = |cell: &str| {
                        cell.trim_start_matches([' ', '"'])
                            .starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
                    };
                    let runs = begins || cell.split([';', '\t', '\r', '\n']).any(formula);
                    assert!(!runs || cell.parse::<f64>().is_ok(), "{cell:?}");
                }
            }
        }
    }

    /// A limit that holds only once all is read lets a file of 64 MB fill the memory: what stands after the first paint,
    /// strip or step too many is not looked at.
    #[test]
    fn limits_hold_while_it_is_read() {
        let paint = |at: usize| format!("{{\"about\":{{\"name\":\"{at}\"}}}},");
        let paints = (0..=MOST_PAINTS).map(paint).collect::<String>();
        let json = format!("{{\"schema\":\"{SCHEMA}\",\"version\":1,\"paints\":[{paints}7]}}");
        assert!(matches!(PaintBox::read(json.as_bytes()), Err(PaintBoxError::Large)));
        let refused = |rows: String| {
            PaintBox::read(format!("paint,strip,lightness\n{rows}Clay,1,ninety\n").as_bytes()).unwrap_err()
        };
        let paints = (0..=MOST_PAINTS).map(|at| format!("{at},1,90\n")).collect();
        assert!(matches!(refused(paints), PaintBoxError::Large));
        let strips = (0..=MOST_STRIPS).map(|at| format!("Clay,{at},90\n")).collect();
        assert!(matches!(refused(strips), PaintBoxError::Large));
        let steps = refused("Clay,1,90\n".repeat(25));
        assert!(matches!(steps, PaintBoxError::Line { line: 26, .. }), "{steps}");
    }

    #[test]
    fn places_in_photos_are_in_json_only() {
        let mut paints = paints();
        let quad = Some([[1.0, 2.0], [3.0, 2.0], [3.0, 4.5], [1.0, 4.5]]);
        paints.paints[0].strips[0].steps[0].quad = quad;
        assert_eq!(PaintBox::read(paints.json().as_bytes()).unwrap(), paints);
        assert_ne!(PaintBox::read(paints.csv().as_bytes()).unwrap().paints, paints.paints);
    }

    #[test]
    fn strips_of_two_paints_that_are_called_the_same_stay_apart() {
        let about = PaintAbout { name: "Clay".to_owned(), ..PaintAbout::default() };
        let [first, second] = [strip(&[90.0, 60.0]), strip(&[85.0, 50.0, 30.0])];
        let of = |strips: &[&PaintedStrip]| PaintRecord {
            about: about.clone(),
            strips: strips.iter().copied().cloned().collect(),
        };
        let table = PaintBox::of(vec![of(&[&first]), of(&[&second])]).csv();
        assert_eq!(PaintBox::read(table.as_bytes()).unwrap().paints, [of(&[&first, &second])]);
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
                assert_eq!(PaintBox::read(read.json().as_bytes()).unwrap().paints, read.paints);
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
