//! A paint box as a table: a line for each step.

use super::super::painted::{Laid, PaintAbout, PaintedStep, PaintedStrip};
use super::{PaintBox, PaintBoxError, PaintRecord};
use csv::StringRecord;

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

pub(super) fn written(paints: &PaintBox) -> String {
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut line = |fields: Vec<String>| {
        // Writing to memory never fails, and each line has as many fields as the head.
        let _ = table.write_record(fields);
    };
    line(COLUMNS.map(str::to_owned).to_vec());
    for PaintRecord { about, strips } in &paints.paints {
        let PaintAbout { name, maker, pigments, mixed_of, notes, transparent, granulating, staining } = about;
        let texts = [name, maker, pigments, mixed_of, notes].map(Clone::clone);
        let own: Vec<String> =
            texts.into_iter().chain([*transparent, *granulating, *staining].map(mark)).collect();
        if strips.is_empty() {
            line(own.iter().cloned().chain(std::iter::repeat_n(String::new(), 12)).collect());
        }
        for (number, strip) in strips.iter().enumerate() {
            let PaintedStrip { laid, wet, day, paper, paper_lightness, quarters: _, steps, wet_lightness } =
                strip;
            let laid = match laid {
                Laid::Washes => "washes",
                Laid::Layers => "layers",
            };
            for (at, PaintedStep { lightness, plus_minus, tint: [a, b], quad: _ }) in steps.iter().enumerate()
            {
                let was = wet_lightness.as_ref().map_or_else(String::new, |was| was[at].to_string());
                let of_strip = [
                    (number + 1).to_string(),
                    laid.to_owned(),
                    mark(*wet),
                    day.clone(),
                    paper.clone(),
                    paper_lightness.to_string(),
                    (at + 1).to_string(),
                    lightness.to_string(),
                    plus_minus.to_string(),
                    a.to_string(),
                    b.to_string(),
                    was,
                ];
                line(own.iter().cloned().chain(of_strip).collect());
            }
        }
    }
    String::from_utf8(table.into_inner().unwrap_or_default()).unwrap_or_default()
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
    // The strip that its number was last seen for, in its paint.
    let mut open: Option<(usize, String)> = None;
    for record in table.records() {
        let record = record.map_err(unread)?;
        let line = Line { places, record: &record };
        let about = line.about()?;
        let at = match paints.iter().rposition(|paint| paint.about == about) {
            Some(at) => at,
            None => {
                paints.push(PaintRecord { about, strips: Vec::new() });
                paints.len() - 1
            }
        };
        if line.text("lightness").is_empty() {
            continue;
        }
        let number = line.text("strip").to_owned();
        let strips = &mut paints[at].strips;
        if open.as_ref() != Some(&(at, number.clone())) || strips.is_empty() {
            strips.push(line.strip()?);
            open = Some((at, number));
        }
        if let Some(strip) = strips.last_mut() {
            strip.steps.push(line.step()?);
            match (line.number("wet_lightness")?, &mut strip.wet_lightness) {
                (Some(was), Some(all)) => all.push(was),
                (Some(was), none) => *none = Some(vec![was]),
                (None, _) => {}
            }
        }
    }
    Ok(PaintBox::of(paints))
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
        let text = |column: &str| self.text(column).to_owned();
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
            day: self.text("day").to_owned(),
            paper: self.text("paper").to_owned(),
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

fn mark(is: bool) -> String {
    if is { "yes" } else { "" }.to_owned()
}
