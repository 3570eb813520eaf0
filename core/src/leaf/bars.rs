//! Tonal ranges side by side: each paint a bar on one common tone ladder, at true scale.

use super::ladder::apart;
use super::sheet::{Head, MARGIN, Page, Sheet, SheetForm, TOP, beginning, printed};
use super::sketch::{Anchor, Area, Hand, Sketch};
use super::typefaces::{self, Weight};
use crate::{Bands, Curve, StudioError};

/// Prints the tonal ranges of paints, each with its name and the steps of its strip, beside a ladder of bands: L* 100
/// at the top, 0 at the foot, 2 mm to one L*, with a line of 100 mm to check the print by.
///
/// A PDF has as many pages as the paints need, an SVG is as wide. Its measures are millimetres.
///
/// # Errors
/// [`StudioError::Odd`] where it can't be written.
pub fn paint_bars(
    paints: &[(String, Curve)],
    bands: &Bands,
    title: &str,
    date: &str,
    sheet: Sheet,
) -> Result<Vec<u8>, StudioError> {
    let (width, height) = sheet.size();
    let across = (((width - FIRST - MARGIN) / PITCH) as usize).max(1);
    let (most, width) = match sheet.form {
        SheetForm::Pdf => (across, width),
        SheetForm::Svg => (paints.len().max(1), width.max(FIRST + MARGIN + PITCH * paints.len() as f64)),
    };
    // Where there are none, one page says so.
    let none: &[(String, Curve)] = &[];
    let parts: Vec<_> = if paints.is_empty() { vec![none] } else { paints.chunks(most).collect() };
    let page = |(at, part): (usize, &[(String, Curve)])| {
        let mut page = Page::new(width, height);
        ladder(&mut page.sketch, bands, width - MARGIN, sheet);
        for (column, (name, curve)) in part.iter().enumerate() {
            let left = FIRST + PITCH * column as f64;
            let name = named(name, at * most + column);
            bar(&mut page.sketch, (left, height - MARGIN - FOOT), &name, curve, sheet);
        }
        if part.is_empty() {
            page.sketch.write("There are no paints to show.", (FIRST, LADDER + 12.0), Hand::plain(3.5));
        }
        check(&mut page.sketch, height - MARGIN);
        page
    };
    printed(parts.into_iter().enumerate().map(page).collect(), Head { title, date }, sheet.form)
}

/// Millimetres to one L*: the largest whole number at which A4 and Letter hold the ladder upright, with names under it.
const SCALE: f64 = 2.0;

/// Where L* 100 stands, and L* 0.
const LADDER: f64 = TOP + 3.0;
const GROUND: f64 = LADDER + 100.0 * SCALE;

/// The ladder's left edge, its width, and where the first bar stands.
const RUNGS: f64 = MARGIN + 9.0;
const RUNG: f64 = 7.0;
const FIRST: f64 = RUNGS + RUNG + 4.0;

/// From one bar to the next, and how wide one is; the numbers of its steps stand between.
const PITCH: f64 = 13.8;
const BAR: f64 = 7.0;

/// A bar is a stack of slices, so many L* each: less than an eye tells apart.
const SLICE: f64 = 0.5;

/// Sizes of words: numbers, and names.
const NUMBERS: f64 = 2.1;
const NAMES: f64 = 2.5;

/// Room at the foot, for the line to check by.
const FOOT: f64 = 9.5;

/// How long that line is.
const CHECK: f64 = 100.0;

/// The height of an L*.
fn at(lightness: f64) -> f64 {
    LADDER + SCALE * (100.0 - lightness.clamp(0.0, 100.0))
}

/// A name that can be drawn: a paint whose letters the typeface lacks has its number.
pub(super) fn named(name: &str, number: usize) -> String {
    let drawable = beginning(name);
    if drawable.is_empty() { format!("Paint {}", number + 1) } else { drawable }
}

/// The ladder with its bands, and lines across at their edges as far as `right`.
fn ladder(sketch: &mut Sketch, bands: &Bands, right: f64, sheet: Sheet) {
    for (number, grey) in (1..).zip(bands.greys()) {
        let (lighter, darker) = bands.ends(number);
        let (top, bottom) = (at(f64::from(lighter)), at(f64::from(darker)));
        sketch.fill(&Area { x: RUNGS, y: top, width: RUNG, height: bottom - top }, grey);
        sketch.line((RUNGS, top), (right, top), 0x88, 0.15);
        let size = (bottom - top).min(3.5);
        let ink = if grey < 0x90 { 255 } else { 0 };
        let hand = Hand { grey: ink, anchor: Anchor::Middle, ..Hand::bold(size) };
        let shown = sheet.number(number as f64, bands.count()).to_string();
        sketch.write(&shown, (RUNGS + RUNG / 2.0, (top + bottom) / 2.0 + 0.36 * size), hand);
        mark(sketch, f64::from(lighter));
    }
    mark(sketch, 0.0);
    sketch.line((RUNGS, GROUND), (right, GROUND), 0x88, 0.15);
    sketch.outline(&Area { x: RUNGS, y: LADDER, width: RUNG, height: GROUND - LADDER }, 0, 0.15);
    let hand = Hand { anchor: Anchor::End, ..Hand::plain(NUMBERS) };
    sketch.write("Bands", (RUNGS + RUNG, GROUND + 3.4), hand);
}

/// An edge's L*, left of the ladder.
fn mark(sketch: &mut Sketch, lightness: f64) {
    let hand = Hand { anchor: Anchor::End, ..Hand::plain(NUMBERS) };
    let words = if lightness >= 100.0 { "L* 100".to_owned() } else { format!("{lightness:.0}") };
    sketch.write(&words, (RUNGS - 1.0, at(lightness) + 0.36 * NUMBERS), hand);
}

/// A paint: its range, its steps, and its name in the room as far down as `bottom`.
fn bar(sketch: &mut Sketch, (left, bottom): (f64, f64), name: &str, curve: &Curve, sheet: Sheet) {
    let (light, dark) = curve.range();
    let (light, dark) = (light.clamp(0.0, 100.0), dark.clamp(0.0, 100.0));
    let (top, foot) = (at(light), at(dark));
    let slices = ((foot - top) / (SLICE * SCALE)).ceil().max(1.0);
    for slice in 0..slices as usize {
        // Each lies under the next, so that no paper shows between two.
        let y = top + (foot - top) * slice as f64 / slices;
        let middle = light + (dark - light) * (slice as f64 + 0.5) / slices;
        let strength = curve.strength(middle).unwrap_or(0.0);
        let area = Area { x: left, y, width: BAR, height: foot - y };
        sketch.tint(&area, curve.at(strength).colour.shown().srgb());
    }
    sketch.outline(&Area { x: left, y: top, width: BAR, height: foot - top }, 0x40, 0.12);
    steps(sketch, left + BAR, curve, sheet);
    let range = format!("L* {light:.0}–{dark:.0}");
    sketch.write(&range, (left, GROUND + 3.4), Hand::plain(NUMBERS));
    let room = bottom - (GROUND + 5.5);
    let mut lines: Vec<(String, Hand)> = Vec::new();
    for line in typefaces::lines(name, room, NAMES, Weight::Bold, 2) {
        lines.push((line, Hand { anchor: Anchor::End, ..Hand::bold(NAMES) }));
    }
    let turns = curve.turns_at().map(|step| sheet.number(step, curve.steps()));
    let turns = turns.map(|step| format!("lighter from step {step:.0}"));
    let wet = curve.is_wet().then(|| "read while wet".to_owned());
    let hand = Hand { anchor: Anchor::End, grey: 0x40, ..Hand::plain(NUMBERS) };
    lines.extend([turns, wet].into_iter().flatten().map(|said| (said, hand)));
    for (number, (line, hand)) in lines.iter().enumerate() {
        let baseline = left + 2.4 + 3.1 * number as f64;
        sketch.write_upwards(line, (baseline, GROUND + 5.5), *hand);
    }
}

/// A tick and a number at each step of the strip, beside a bar's right edge.
fn steps(sketch: &mut Sketch, edge: f64, curve: &Curve, sheet: Sheet) {
    let tick = |step: usize| (step, at(curve.at(curve.of_step(step as f64)).lightness));
    let mut ticks: Vec<(usize, f64)> = (1..=curve.steps()).map(tick).collect();
    ticks.sort_by(|a, b| a.1.total_cmp(&b.1));
    let wanted: Vec<f64> = ticks.iter().map(|tick| tick.1).collect();
    let standing = Area { x: edge, y: LADDER, width: 0.0, height: GROUND - LADDER };
    let heights = apart(&wanted, 1.1 * NUMBERS, &standing);
    for ((step, tick), height) in ticks.into_iter().zip(heights) {
        sketch.line((edge - 0.8, tick), (edge + 1.0, tick), 0, 0.15);
        sketch.line((edge + 1.0, tick), (edge + 2.2, height), 0, 0.1);
        let shown = sheet.number(step as f64, curve.steps()).to_string();
        sketch.write(&shown, (edge + 2.5, height + 0.36 * NUMBERS), Hand::plain(NUMBERS));
    }
}

/// The scale, and a line to check it by.
fn check(sketch: &mut Sketch, bottom: f64) {
    let y = bottom - 5.0;
    let right = MARGIN + CHECK;
    sketch.line((MARGIN, y), (right, y), 0, 0.25);
    for end in [MARGIN, right] {
        sketch.line((end, y - 1.5), (end, y + 1.5), 0, 0.25);
    }
    let words =
        format!("This line is {CHECK} mm long if it was printed at its true size. {SCALE} mm to one L*.");
    sketch.write(&words, (MARGIN, bottom - 0.5), Hand::plain(2.6));
}

#[cfg(test)]
mod tests;
