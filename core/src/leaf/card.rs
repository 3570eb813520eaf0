//! A card of tones: each row one tone, in every paint that reaches it.

use super::bars::named;
use super::sheet::{Head, MARGIN, Page, Sheet, SheetForm, TOP, beginning, printed};
use super::sketch::{Area, Hand};
use super::typefaces::{self, Weight};
use crate::lightness::grey_from_y;
use crate::{AtTone, Curve, StudioError, y_from_lightness};

/// Prints rows of one tone each, a label and an L* from 0 to 100: side by side a patch of each paint that reaches it,
/// in its colour at that tone, with the step of its strip; then by name those that do not, and by how much they miss.
/// With `grey` each patch is the grey of its own L*, so that a row is one flat grey.
///
/// A PDF has as many pages as the rows need, an SVG is as high. Its measures are millimetres.
///
/// # Errors
/// [`StudioError::Odd`] where a row's tone is none, or where it can't be written.
pub fn tone_card(
    rows: &[(String, f64)],
    paints: &[(String, Curve)],
    title: &str,
    date: &str,
    sheet: Sheet,
    grey: bool,
) -> Result<Vec<u8>, StudioError> {
    if let Some((label, tone)) = rows.iter().find(|row| !(0.0..=100.0).contains(&row.1)) {
        return Err(StudioError::Odd(format!("{label:?} has no tone from 0 to 100, but {tone}")));
    }
    let mut card = Card::on(sheet);
    if rows.is_empty() {
        card.say("There are no tones to show.");
    } else if paints.is_empty() {
        card.say("There are no paints to show.");
    } else {
        for (label, tone) in rows {
            card.row(label, &Row::of(*tone, paints, grey, sheet));
        }
    }
    printed(card.pages(sheet), Head { title, date }, sheet.form)
}

/// What stands in a row.
struct Row {
    patches: Vec<Patch>,
    /// In words, which paints do not reach its tone.
    missing: Vec<String>,
}

/// A paint at a tone.
struct Patch {
    name: String,
    step: String,
    srgb: [u8; 3],
}

/// A card under way.
struct Card {
    done: Vec<Page>,
    page: Page,
    /// Where the next thing stands, and how far down things may.
    y: f64,
    bottom: f64,
    /// Patches in a line.
    across: usize,
}

/// Room for labels: the most that leaves seven patches in a line on A4.
const LABELS: f64 = 31.0;

/// A patch is at least so wide, and so high: large enough to judge at arm's length.
const NARROWEST: f64 = 22.0;
const PATCH: f64 = 15.0;

/// Sizes of words: labels and captions; and from line to line of captions.
const LABEL: f64 = 2.8;
const CAPTION: f64 = 2.3;
const LINE: f64 = 2.9;

/// Lines of captions under a patch: two for the name, and one for its step.
const CAPTIONS: f64 = 3.0;

/// Room for a name among those that miss a tone.
const NAMED: f64 = 50.0;

/// Between rows.
const GAP: f64 = 4.0;

impl Row {
    fn of(tone: f64, paints: &[(String, Curve)], grey: bool, sheet: Sheet) -> Self {
        let (mut patches, mut pale, mut deep) = (Vec::new(), Vec::new(), Vec::new());
        for (number, (name, curve)) in paints.iter().enumerate() {
            let name = named(name, number);
            match curve.at_tone(tone) {
                AtTone::Reaches { step, plus_minus, tone } => {
                    let shown = tone.colour.shown();
                    let own = grey_from_y(y_from_lightness(shown.lightness));
                    let srgb = if grey { [own; 3] } else { shown.srgb() };
                    let step = sheet.number(step, curve.steps());
                    patches.push(Patch { name, step: format!("step {step:.1} ±{plus_minus:.1}"), srgb });
                }
                AtTone::StaysLighter(by) => pale.push(missed(&name, by)),
                AtTone::StaysDarker(by) => deep.push(missed(&name, by)),
            }
        }
        let mut missing = Vec::new();
        for (words, names) in [("Not as dark", pale), ("Not painted as light", deep)] {
            if !names.is_empty() {
                missing.push(format!("{words}, by so many L*: {}.", names.join(", ")));
            }
        }
        Self { patches, missing }
    }
}

impl Card {
    fn on(sheet: Sheet) -> Self {
        let (width, height) = sheet.size();
        let bottom = match sheet.form {
            SheetForm::Pdf => height - MARGIN,
            SheetForm::Svg => f64::INFINITY,
        };
        let across = ((width - 2.0 * MARGIN - LABELS) / NARROWEST) as usize;
        let page = Page::new(width, height);
        Self { done: Vec::new(), page, y: TOP, bottom, across: across.max(1) }
    }

    /// All that was filled; an SVG is as high as it takes.
    fn pages(mut self, sheet: Sheet) -> Vec<Page> {
        if sheet.form == SheetForm::Svg {
            self.page.height = self.page.height.max((self.y + MARGIN).ceil());
        }
        self.done.push(self.page);
        self.done
    }

    fn say(&mut self, words: &str) {
        self.page.sketch.write(words, (MARGIN, self.y + 8.0), Hand::plain(LABEL));
    }

    /// Room for something so high: turns the page where there is none. Answers whether it did.
    fn make_room(&mut self, high: f64) -> bool {
        if self.y + high <= self.bottom {
            return false;
        }
        let next = Page::new(self.page.width, self.page.height);
        self.done.push(std::mem::replace(&mut self.page, next));
        self.y = TOP;
        true
    }

    fn row(&mut self, label: &str, row: &Row) {
        let (left, right) = (MARGIN + LABELS, self.page.width - MARGIN);
        let wide = (right - left) / self.across as f64;
        // How far down the label reaches, once it is written.
        let mut labelled = None;
        for line in row.patches.chunks(self.across) {
            let turned = self.make_room(PATCH + CAPTIONS * LINE);
            if turned || labelled.is_none() {
                labelled = Some(self.label(label, labelled.is_some()));
            }
            let mut reaches = self.y;
            for (column, patch) in line.iter().enumerate() {
                let (x, y) = (left + wide * column as f64, self.y);
                // Each lies under the next, so that no paper shows between two.
                let width = wide * (line.len() - column) as f64;
                self.page.sketch.tint(&Area { x, y, width, height: PATCH }, patch.srgb);
                reaches = self.captions(patch, (x, y + PATCH), wide - 1.2).max(reaches);
            }
            self.y = reaches + 2.0;
        }
        let none = row.patches.is_empty().then(|| "No paint reaches it.".to_owned());
        for words in none.iter().chain(&row.missing) {
            for line in typefaces::lines(words, right - left, CAPTION, Weight::Regular, usize::MAX) {
                let turned = self.make_room(if labelled.is_some() { LINE } else { PATCH });
                if turned || labelled.is_none() {
                    labelled = Some(self.label(label, labelled.is_some()));
                }
                let hand = Hand { grey: 0x40, ..Hand::plain(CAPTION) };
                self.page.sketch.write(&line, (left, self.y + CAPTION), hand);
                self.y += LINE;
            }
        }
        self.y = labelled.map_or(self.y, |reaches| self.y.max(reaches)) + GAP;
    }

    /// A row's label, where it begins and again on each page on which it goes on. Answers how far down it reaches.
    fn label(&mut self, label: &str, again: bool) -> f64 {
        let mut lines = typefaces::lines(&beginning(label), LABELS - 2.0, LABEL, Weight::Bold, 4);
        if again {
            lines.truncate(3);
            lines.push("goes on".to_owned());
        }
        for (number, line) in lines.iter().enumerate() {
            let baseline = self.y + LABEL * (1.0 + 1.15 * number as f64);
            self.page.sketch.write(line, (MARGIN, baseline), Hand::bold(LABEL));
        }
        self.y + LABEL * 1.15 * lines.len() as f64
    }

    /// A patch's name and step, under it. Answers how far down they reach.
    fn captions(&mut self, Patch { name, step, .. }: &Patch, (x, y): (f64, f64), room: f64) -> f64 {
        let mut baseline = y + LINE;
        for line in typefaces::lines(name, room, CAPTION, Weight::Regular, 2) {
            self.page.sketch.write(&line, (x, baseline), Hand::plain(CAPTION));
            baseline += LINE;
        }
        let hand = Hand { grey: 0x40, ..Hand::plain(CAPTION) };
        self.page.sketch.write(step, (x, baseline), hand);
        baseline
    }
}

/// A paint, and by how many L* it misses a tone, which is never called none.
fn missed(name: &str, by: f64) -> String {
    let name = typefaces::lines(name, NAMED, CAPTION, Weight::Regular, 1).concat();
    if by < 0.5 { format!("{name} (<1)") } else { format!("{name} ({by:.0})") }
}

#[cfg(test)]
mod tests;
