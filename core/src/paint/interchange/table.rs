//! A paint box as a table: a line for each step.
//!
//! A spreadsheet runs a cell that begins with certain characters as a formula, whatever it holds. A *text* that does is
//! written behind an apostrophe, which is taken off as it is read; numbers are written as they are. Many countries'
//! spreadsheets part cells by semicolons. There a quote in the middle of a line holds nothing together, so that a cell
//! may also begin within a text: after a semicolon, a tab or a line break.

use super::super::painted::{Laid, MOST_STEPS, PaintAbout, PaintedError, PaintedStep, PaintedStrip};
use super::{MOST_PAINTS, MOST_STRIPS, PaintBox, PaintBoxError, PaintRecord};
use csv::{StringRecord, Terminator, WriterBuilder};
use std::collections::HashMap;

/// Its columns. `strip` counts a paint's strips from 1, `step` a strip's steps; `laid` is `washes` or `layers`; marks
/// are `yes` or nothing; `plus_minus` is half of a 90 % interval in L*, `a` and `b` are CIELAB's, `wet_lightness` is what
/// the step read before it was dry.
const COLUMNS: [&str; 20] = [
    "paint",
    "maker",
    "pigments",
    "mixed_of",
    "notes",
    "transparent",
    "granulating",
    "staining",
    "strip",
    "laid",
    "wet",
    "day",
    "paper",
    "paper_lightness",
    "step",
    "lightness",
    "plus_minus",
    "a",
    "b",
    "wet_lightness",
];

/// L* of paper where nobody says: one that was measured (Chen et al. 2019).
const PAPER: f64 = 94.53;

/// ± of a reading where nobody says: that of a phone's photo beside white paper.
const PLUS_MINUS: f64 = 4.0;

/// By it spreadsheets know that a table is in UTF-8.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// How a formula begins, in the wide forms of East Asian keyboards too (OWASP, "CSV Injection").
const FORMULA: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];

/// What some spreadsheets drop at the beginning of a table's cell before they look for a formula (the same source).
const DROPPED: [char; 3] = ['\t', '\r', '\n'];

/// After which a spreadsheet may begin a cell.
const CELL_ENDS: [char; 4] = [';', '\t', '\r', '\n'];

/// What makes a cell a text, as spreadsheets have it.
const APOSTROPHE: char = '\'';

/// Numbers are known to a tenth of L* at best; one digit more keeps rounding out of what is computed from them.
const PARTS: f64 = 100.0;

pub(super) fn written(paints: &PaintBox) -> String {
    let mark_of_utf_8 = BYTE_ORDER_MARK.to_string().into_bytes();
    let mut table = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(mark_of_utf_8);
    let mut line = |fields: Vec<String>| {
        // Writing to memory never fails, and each line has as many fields as the head.
        let _ = table.write_record(fields);
    };
    line(COLUMNS.map(str::to_owned).to_vec());
    for PaintRecord { about, strips } in &paints.paints {
        let PaintAbout { name, maker, pigments, mixed_of, notes, transparent, granulating, staining } = about;
        let texts = [name, maker, pigments, mixed_of, notes].map(|text| harmless(text));
        let own: Vec<String> =
            texts.into_iter().chain([*transparent, *granulating, *staining].map(mark)).collect();
        if strips.is_empty() {
            line(own.iter().cloned().chain(std::iter::repeat_n(String::new(), 12)).collect());
        }
        for (before, strip) in strips.iter().enumerate() {
            let PaintedStrip { laid, wet, day, paper, paper_lightness, quarters: _, steps, wet_lightness } =
                strip;
            let laid = match laid {
                Laid::Washes => "washes",
                Laid::Layers => "layers",
            };
            for (at, PaintedStep { lightness, plus_minus, tint: [a, b], quad: _ }) in steps.iter().enumerate()
            {
                let was = wet_lightness.as_ref().map_or_else(String::new, |was| number(was[at]));
                let of_strip = [
                    (before + 1).to_string(),
                    laid.to_owned(),
                    mark(*wet),
                    harmless(day),
                    harmless(paper),
                    number(*paper_lightness),
                    (at + 1).to_string(),
                    number(*lightness),
                    number(*plus_minus),
                    number(*a),
                    number(*b),
                    was,
                ];
                line(own.iter().cloned().chain(of_strip).collect());
            }
        }
    }
    String::from_utf8(table.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// A record as it comes back from a table: numbers rounded to what is known, without places in a photo.
pub(super) fn tabled(record: &PaintRecord) -> PaintRecord {
    let step = |step: &PaintedStep| PaintedStep {
        lightness: rounded(step.lightness),
        plus_minus: rounded(step.plus_minus),
        tint: step.tint.map(rounded),
        quad: None,
    };
    let strip = |strip: &PaintedStrip| PaintedStrip {
        paper_lightness: rounded(strip.paper_lightness),
        quarters: 0,
        steps: strip.steps.iter().map(step).collect(),
        wet_lightness: strip.wet_lightness.as_ref().map(|was| was.iter().copied().map(rounded).collect()),
        ..strip.clone()
    };
    PaintRecord { about: record.about.clone(), strips: record.strips.iter().map(strip).collect() }
}

pub(super) fn read(text: &str) -> Result<PaintBox, PaintBoxError> {
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let unread = |error: csv::Error| PaintBoxError::Unread(error.to_string());
    let head = table.headers().map_err(unread)?.clone();
    let place = |column: &str| head.iter().position(|it| it.trim().eq_ignore_ascii_case(column));
    let places = COLUMNS.map(place);
    if places[0].is_none() {
        return Err(PaintBoxError::Unread("no column is called “paint”".to_owned()));
    }
    let mut paints: Vec<PaintRecord> = Vec::new();
    let mut found: HashMap<PaintAbout, usize> = HashMap::new();
    // The strip that its number was last seen for, in its paint, and the step's number.
    let mut open: Option<(usize, String, Option<f64>)> = None;
    for record in table.records() {
        let record = record.map_err(unread)?;
        let line = Line { places, record: &record };
        let about = line.about()?;
        let at = match found.get(&about) {
            Some(at) => *at,
            None if paints.len() == MOST_PAINTS => return Err(PaintBoxError::Large),
            None => {
                found.insert(about.clone(), paints.len());
                paints.push(PaintRecord { about, strips: Vec::new() });
                paints.len() - 1
            }
        };
        if line.text("lightness").is_empty() {
            continue;
        }
        let number = line.text("strip").to_owned();
        let step = line.text("step").trim().parse::<f64>().ok();
        let strips = &mut paints[at].strips;
        // Two paints of which the same is said are one in a table: where steps begin anew, so does a strip.
        let goes_on = open.as_ref().is_some_and(|(paint, strip, last)| {
            (*paint, strip) == (at, &number) && last.zip(step).is_none_or(|(last, step)| last < step)
        });
        if !goes_on {
            if strips.len() == MOST_STRIPS {
                return Err(PaintBoxError::Large);
            }
            strips.push(line.strip()?);
        }
        open = Some((at, number, step));
        if let Some(strip) = strips.last_mut() {
            strip.steps.push(line.step()?);
            if strip.steps.len() > MOST_STEPS {
                return Err(line.wrong(&PaintedError::Count(strip.steps.len()).to_string()));
            }
            match (line.number("wet_lightness")?, &mut strip.wet_lightness) {
                (Some(was), Some(all)) => all.push(was),
                (Some(was), none) => *none = Some(vec![was]),
                (None, _) => {}
            }
        }
    }
    Ok(PaintBox { rounded: true, ..PaintBox::of(paints) })
}

/// A line by the names of its columns.
struct Line<'a> {
    places: [Option<usize>; COLUMNS.len()],
    record: &'a StringRecord,
}

impl Line<'_> {
    fn text(&self, column: &str) -> &str {
        let place = COLUMNS.iter().position(|it| *it == column).and_then(|at| self.places[at]);
        place.and_then(|place| self.record.get(place)).unwrap_or("")
    }

    fn number(&self, column: &str) -> Result<Option<f64>, PaintBoxError> {
        match self.text(column).trim() {
            "" => Ok(None),
            text => text.parse().map(Some).map_err(|_| self.wrong(&format!("“{text}” is no {column}"))),
        }
    }

    fn about(&self) -> Result<PaintAbout, PaintBoxError> {
        let text = |column: &str| as_meant(self.text(column));
        let about = PaintAbout {
            name: text("paint"),
            maker: text("maker"),
            pigments: text("pigments"),
            mixed_of: text("mixed_of"),
            notes: text("notes"),
            transparent: self.mark("transparent")?,
            granulating: self.mark("granulating")?,
            staining: self.mark("staining")?,
        };
        about.check().map_err(|why| self.wrong(&why.to_string()))?;
        Ok(about)
    }

    fn strip(&self) -> Result<PaintedStrip, PaintBoxError> {
        let laid = match self.text("laid").trim() {
            "" | "washes" => Laid::Washes,
            "layers" => Laid::Layers,
            other => return Err(self.wrong(&format!("laid is “washes” or “layers”, not “{other}”"))),
        };
        Ok(PaintedStrip {
            laid,
            wet: self.mark("wet")?,
            day: as_meant(self.text("day")),
            paper: as_meant(self.text("paper")),
            paper_lightness: self.number("paper_lightness")?.unwrap_or(PAPER),
            quarters: 0,
            steps: Vec::new(),
            wet_lightness: None,
        })
    }

    fn step(&self) -> Result<PaintedStep, PaintBoxError> {
        Ok(PaintedStep {
            lightness: self.number("lightness")?.ok_or_else(|| self.wrong("a step without its lightness"))?,
            plus_minus: self.number("plus_minus")?.unwrap_or(PLUS_MINUS),
            tint: [self.number("a")?.unwrap_or(0.0), self.number("b")?.unwrap_or(0.0)],
            quad: None,
        })
    }

    fn mark(&self, column: &str) -> Result<bool, PaintBoxError> {
        match self.text(column).trim() {
            "" | "no" => Ok(false),
            "yes" => Ok(true),
            other => Err(self.wrong(&format!("{column} is “yes” or nothing, not “{other}”"))),
        }
    }

    fn wrong(&self, why: &str) -> PaintBoxError {
        let line = self.record.position().map_or(0, csv::Position::line);
        PaintBoxError::Line { line, why: why.to_owned() }
    }
}

/// A text that no spreadsheet takes for a formula.
fn harmless(text: &str) -> String {
    let cell =
        |(begins, cell)| if may_run(cell, begins) { format!("{APOSTROPHE}{cell}") } else { cell.to_owned() };
    cells(text).map(cell).collect()
}

/// The text that [`harmless`] was given.
fn as_meant(text: &str) -> String {
    let cell = |(begins, cell): (bool, &str)| {
        let meant = cell.strip_prefix(APOSTROPHE).filter(|rest| may_run(rest, begins));
        meant.unwrap_or(cell).to_owned()
    };
    cells(text).map(cell).collect()
}

/// What may each be a cell of its own, and whether it begins the text.
fn cells(text: &str) -> impl Iterator<Item = (bool, &str)> {
    text.split_inclusive(CELL_ENDS).enumerate().map(|(at, cell)| (at == 0, cell))
}

/// Whether it begins like a formula, behind apostrophes or not: those of its own are then told from the one put before.
fn may_run(cell: &str, begins: bool) -> bool {
    let cell = cell.trim_start_matches([APOSTROPHE, '"', ' ']);
    cell.starts_with(FORMULA) || begins && cell.starts_with(DROPPED)
}

fn number(value: f64) -> String {
    rounded(value).to_string()
}

/// To what is known; never to a negative nought.
fn rounded(value: f64) -> f64 {
    (value * PARTS).round() / PARTS + 0.0
}

fn mark(is: bool) -> String {
    if is { "yes" } else { "" }.to_owned()
}
