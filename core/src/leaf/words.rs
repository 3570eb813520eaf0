//! What a leaf says.

use super::sketch::{Area, Hand, Sketch};
use super::typefaces::{self, Weight};
use crate::studio::{Seen, SeenBands, SeenPin, SeenSpot, SeenSquint, SeenUnread, SeenView, SeenWhy};
use crate::{Against, Noticed, Step, Verdict};
use libm::hypot;

/// What the painter calls it, and when it was: words, since core knows neither clock nor place. And how she counts.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Captions {
    /// The snapshot's title.
    pub title: String,
    /// Its note.
    pub note: String,
    /// The session's title.
    pub session: String,
    /// Where that was, as the painter wrote it.
    pub locality: String,
    /// When it was kept.
    pub date: String,
    /// Whether she counts bands from the darkest.
    pub turned: bool,
}

/// What is said of a snapshot.
pub(super) struct Words {
    pub(super) title: String,
    /// Session, place and date.
    pub(super) whence: String,
    pub(super) note: String,
    /// Of each pin what it read, and what casts doubt on that.
    pub(super) pins: Vec<(String, Vec<String>)>,
    /// Which is darker; empty for fewer than two pins.
    pub(super) verdict: String,
    /// What readings stood on.
    pub(super) stands: String,
    /// What was noticed of the file and bears on its tones.
    pub(super) file: String,
    /// What was shown.
    pub(super) shown: String,
    /// Whether bands are counted from the darkest.
    pub(super) turned: bool,
}

/// Lines that a note, a title and what casts doubt on a reading may take.
const NOTE_LINES: usize = 5;
const TITLE_LINES: usize = 2;
const DOUBT_LINES: usize = 2;
pub(super) const VERDICT_LINES: usize = 2;

/// Pins that are compared with the first; more say no more than the ladder shows.
const COMPARED: usize = 3;

impl Words {
    pub(super) fn of(seen: &Seen, captions: &Captions, noticed: &[Noticed]) -> Self {
        let Captions { title, note, session, locality, date, turned } = captions;
        let [title, session, locality, date] = [title, session, locality, date].map(|it| it.trim());
        // A snapshot that was never named is known by its session.
        let (title, first) = if title.is_empty() { (session, "") } else { (title, session) };
        let (title, date) = if title.is_empty() { (date, "") } else { (title, date) };
        let number = numbers(seen, *turned);
        let whence: Vec<&str> = [first, locality, date].into_iter().filter(|it| !it.is_empty()).collect();
        Self {
            title: title.to_owned(),
            whence: whence.join(" · "),
            note: note.trim().to_owned(),
            pins: seen
                .pins
                .iter()
                .map(|pin| said(pin, &number))
                .chain(seen.unread.iter().map(unread))
                .collect(),
            verdict: verdict(&seen.pins),
            stands: stands(seen),
            file: file(noticed),
            shown: shown(seen),
            turned: *turned,
        }
    }

    /// All of it as lines of text.
    pub(super) fn lines(&self) -> Vec<String> {
        let Self { title, whence, note, pins, verdict, stands, file, shown, turned: _ } = self;
        let mut lines = vec![title.clone(), whence.clone(), note.clone()];
        for (reading, doubts) in pins {
            lines.push(
                std::iter::once(reading).chain(doubts).map(String::as_str).collect::<Vec<_>>().join(". "),
            );
        }
        lines.extend([verdict.clone(), stands.clone(), file.clone(), shown.clone()]);
        lines.retain(|line| !line.is_empty());
        lines
    }

    /// Writes all of it into an area from its top; answers where it ends.
    pub(super) fn draw(&self, sketch: &mut Sketch, area: &Area, size: f64) -> f64 {
        let mut y = area.y;
        let mut write = |text: &str, hand: Hand, most: usize, x: f64, width: f64, y: &mut f64| {
            for line in typefaces::lines(text, width, hand.size, hand.weight, most) {
                *y += 1.25 * hand.size;
                sketch.write(&line, (x, *y), hand);
            }
        };
        let soft = Hand { grey: 0x40, ..Hand::plain(0.9 * size) };
        write(&self.title, Hand::bold(1.5 * size), TITLE_LINES, area.x, area.width, &mut y);
        write(&self.whence, soft, TITLE_LINES, area.x, area.width, &mut y);
        write(&self.note, Hand::plain(size), NOTE_LINES, area.x, area.width, &mut y);
        y += 0.4 * size;
        // Two columns, where there are more than a few.
        let columns = if self.pins.len() > 3 { 2 } else { 1 };
        let width = (area.width - (columns as f64 - 1.0) * size) / columns as f64;
        let mut bottom = y;
        for (column, pins) in self.pins.chunks(self.pins.len().div_ceil(columns).max(1)).enumerate() {
            let (x, mut at) = (area.x + column as f64 * (width + size), y);
            for (reading, doubts) in pins {
                write(reading, Hand { weight: Weight::Bold, ..Hand::plain(size) }, 2, x, width, &mut at);
                write(&doubts.join(". "), soft, DOUBT_LINES, x, width, &mut at);
            }
            bottom = bottom.max(at);
        }
        y = bottom + 0.4 * size;
        write(&self.verdict, Hand::plain(size), VERDICT_LINES, area.x, area.width, &mut y);
        write(&self.stands, soft, 3, area.x, area.width, &mut y);
        write(&self.file, Hand::bold(0.9 * size), 2, area.x, area.width, &mut y);
        write(&self.shown, soft, 2, area.x, area.width, &mut y);
        y
    }
}

/// The number that is shown for a band, which a record counts from the lightest.
pub(super) fn numbers(seen: &Seen, turned: bool) -> impl Fn(usize) -> usize {
    let count = seen.edges.len() + 1;
    move |band| if turned { (count + 1).saturating_sub(band) } else { band }
}

/// What a pin read, and what casts doubt on that.
fn said(pin: &SeenPin, number: &impl Fn(usize) -> usize) -> (String, Vec<String>) {
    (reading(pin, number), pin.warnings.iter().map(|doubt| renumbered(doubt, number)).collect())
}

/// A pin without a reading, and why it has none.
fn unread(pin: &SeenUnread) -> (String, Vec<String>) {
    let why = match pin.why {
        SeenWhy::LighterThanWhite => "lighter than white in the stated light",
        SeenWhy::CutOff => "the file is cut off there",
        SeenWhy::Outside => "outside the picture",
        SeenWhy::TooUncertain => "the stated light leaves it too uncertain",
    };
    (format!("{}: not read, {why}", called(&pin.letter, &pin.name)), Vec::new())
}

/// A pin's letter, and what the painter calls it.
fn called(letter: &str, name: &str) -> String {
    let name = name.trim();
    if name.is_empty() { letter.to_owned() } else { format!("{letter}, {name}") }
}

/// Letter and place of each pin, read or not.
pub(super) fn placed(seen: &Seen) -> impl Iterator<Item = (&str, SeenSpot)> {
    let unread = seen.unread.iter().map(|pin| (pin.letter.as_str(), pin.spot));
    seen.pins.iter().map(|pin| (pin.letter.as_str(), pin.spot)).chain(unread)
}

/// Words of a record, in which bands are counted from the lightest, with the numbers that are shown.
fn renumbered(words: &str, number: &impl Fn(usize) -> usize) -> String {
    let mut parts = words.split(BAND);
    let mut written = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let after = part.trim_start_matches(|it: char| it.is_ascii_digit());
        let digits = &part[..part.len() - after.len()];
        let shown = digits.parse().map_or_else(|_| digits.to_owned(), |band| number(band).to_string());
        written.extend([BAND, &shown, after]);
    }
    written
}

/// What stands before a band's number, in words of records, too.
const BAND: &str = "band ";

/// “A, Hull: band 4, L* 23 ±3”.
fn reading(pin: &SeenPin, number: &impl Fn(usize) -> usize) -> String {
    let SeenPin { letter, name, lightness, plus_minus, repeatable, band, .. } = pin;
    let called = called(letter, name);
    let doubt = plus_minus.unwrap_or(*repeatable);
    let digits = usize::from(doubt < 1.0);
    let doubt = format!("±{:.digits$}", doubt.max(if digits == 1 { 0.1 } else { 1.0 }));
    // Without a light it is known how well it repeats, and not how true it is.
    let doubt = if plus_minus.is_some() { doubt } else { format!("(repeatable to {doubt})") };
    format!("{called}: {BAND}{}, L* {lightness:.digits$} {doubt}", number(*band))
}

fn file(noticed: &[Noticed]) -> String {
    let said: Vec<String> =
        noticed.iter().filter(|it| it.bears_on_tones()).map(ToString::to_string).collect();
    if said.is_empty() { String::new() } else { format!("Of the file: {}.", said.join("; ")) }
}

/// “Mast is clearly darker than Hull; C and Hull: same tone.”: pins against the first.
fn verdict(pins: &[SeenPin]) -> String {
    let Some((first, others)) = pins.split_first() else { return String::new() };
    let called = |pin: &SeenPin| match pin.name.trim() {
        "" => pin.letter.clone(),
        name => name.to_owned(),
    };
    let one = called(first);
    let words = others.iter().take(COMPARED).map(|pin| {
        let other = called(pin);
        let error = hypot(first.repeatable, pin.repeatable);
        match Verdict::of(pin.lightness - first.lightness, error) {
            Verdict::SameTone => format!("{other} and {one}: same tone"),
            Verdict::CannotTell => format!("{other} and {one}: too textured to compare"),
            Verdict::Darker(step) => format!("{other} is {}darker than {one}", by(step)),
            Verdict::Lighter(step) => format!("{other} is {}lighter than {one}", by(step)),
        }
    });
    let words: Vec<String> = words.collect();
    if words.is_empty() { String::new() } else { format!("{}.", words.join("; ")) }
}

fn by(step: Step) -> &'static str {
    match step {
        Step::Shade => "a shade ",
        Step::Plain => "",
        Step::Clear => "clearly ",
        Step::Far => "far ",
    }
}

fn stands(seen: &Seen) -> String {
    let Some(first) = seen.pins.first() else { return String::new() };
    // Each that its pins stood on, once: a record may have been made in parts.
    let mut against: Vec<&str> = vec![&first.against];
    for pin in &seen.pins {
        if !against.contains(&pin.against.as_str()) {
            against.push(&pin.against);
        }
    }
    // What a record calls readings without a stated light.
    let camera = Against::Camera.to_string();
    let unstated = against.contains(&camera.as_str());
    against.retain(|it| *it != camera);
    let mut words = Vec::new();
    if unstated {
        words
            .push("Camera's own tone: no light was stated, so that how true it is, is not known.".to_owned());
    }
    if !against.is_empty() {
        // Paper in the hand says nothing of the light beyond it.
        let is_open = |pin: &SeenPin| pin.plus_minus.is_none() && pin.against != camera;
        let doubt = if seen.pins.iter().any(is_open) { ": how true is not known" } else { "" };
        words.push(format!("Read {}{doubt}.", against.join("; ")));
    }
    words.join(" ")
}

fn shown(seen: &Seen) -> String {
    let view = match seen.view {
        SeenView::Colour => "colour",
        SeenView::Lightness => "lightness",
        SeenView::Bands => "bands",
        SeenView::Outlines => "outlines of bands",
    };
    let bands = match seen.bands {
        SeenBands::Even => "even",
        SeenBands::Fitted => "fitted to the picture",
        SeenBands::ByHand => "set by hand",
    };
    let squint = match seen.squint {
        None => "",
        Some(SeenSquint::Slight) => ", squinted at a little",
        Some(SeenSquint::Half) => ", squinted at by half",
        Some(SeenSquint::Nearly) => ", squinted at, eyes nearly shut",
    };
    let framed = if seen.frame.is_some() { " Shares are of what is framed." } else { "" };
    let count = seen.edges.len() + 1;
    format!("Shown: {view}{squint}; {count} bands, {bands}. L* is CIE 1976 lightness under D65.{framed}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pin(lightness: f64, plus_minus: Option<f64>, repeatable: f64) -> SeenPin {
        SeenPin {
            letter: "A".to_owned(),
            name: "Hull ".to_owned(),
            spot: SeenSpot(1.0, 1.0, 3.0),
            lightness,
            plus_minus,
            repeatable,
            band: 4,
            colour: (0.0, None),
            against: "against paper 94.5".to_owned(),
            spread: None,
            warnings: Vec::new(),
        }
    }

    #[test]
    fn what_readings_stood_on_is_told_of_all_and_without_contradiction() {
        let bands = crate::Bands::even(5).unwrap();
        let plain = Seen::plain((4, 3), 0, (SeenBands::Even, &bands), vec![0.2; 5]);
        let with = |pins: &[(&str, Option<f64>)]| {
            let pins = pins.iter().map(|&(against, plus_minus)| SeenPin {
                against: against.to_owned(),
                ..pin(50.0, plus_minus, 0.3)
            });
            stands(&Seen { pins: pins.collect(), ..plain.clone() })
        };
        let beyond = "relative to paper 94.5 in another light";
        assert_eq!(with(&[("against paper 94.5", Some(3.0))]), "Read against paper 94.5.");
        assert_eq!(with(&[(beyond, None)]), format!("Read {beyond}: how true is not known."));
        assert_eq!(
            with(&[("as the camera saw it", None)]),
            "Camera's own tone: no light was stated, so that how true it is, is not known."
        );
        assert!(with(&[("against paper 94.5", Some(3.0)), (beyond, None)]).contains(beyond));
    }

    #[test]
    fn a_reading_has_the_digits_that_its_doubt_leaves_a_meaning() {
        assert_eq!(reading(&pin(23.46, Some(3.2), 0.2), &|band| band), "A, Hull: band 4, L* 23 ±3");
        assert_eq!(reading(&pin(23.46, Some(0.44), 0.2), &|band| band), "A, Hull: band 4, L* 23.5 ±0.4");
        assert_eq!(
            reading(&pin(23.46, None, 0.2), &|band| band),
            "A, Hull: band 4, L* 23.5 (repeatable to ±0.2)"
        );
        assert_eq!(
            reading(&pin(23.46, None, 2.0), &|band| band),
            "A, Hull: band 4, L* 23 (repeatable to ±2)"
        );
    }

    #[test]
    fn a_pin_without_a_reading_says_why_and_has_no_figure() {
        let bands = crate::Bands::even(5).unwrap();
        let plain = Seen::plain((4, 3), 0, (SeenBands::Even, &bands), vec![0.2; 5]);
        let lamp = SeenUnread {
            letter: "B".to_owned(),
            name: "lamp".to_owned(),
            spot: SeenSpot(1.0, 1.0, 3.0),
            why: SeenWhy::LighterThanWhite,
        };
        let words =
            Words::of(&Seen { unread: vec![lamp], ..plain }, &Captions::default(), &[Noticed::Incomplete]);
        assert!(words.file.contains("part of the file is missing") && words.lines().contains(&words.file));
        assert_eq!(words.pins[0].0, "B, lamp: not read, lighter than white in the stated light");
    }

    #[test]
    fn bands_are_counted_as_she_counts_in_words_of_the_record_too() {
        let bands = crate::Bands::even(5).unwrap();
        let plain = Seen::plain((4, 3), 0, (SeenBands::Even, &bands), vec![0.2; 5]);
        let warnings = ["On the edge to band 5", "12 % is blown out", "bands apart", "a band "];
        let pin = SeenPin { warnings: warnings.map(str::to_owned).to_vec(), ..pin(23.46, Some(3.2), 0.2) };
        let seen = Seen { pins: vec![pin], ..plain };
        let words =
            |turned| Words::of(&seen, &Captions { turned, ..Captions::default() }, &[]).pins.remove(0);
        assert_eq!(words(false), ("A, Hull: band 4, L* 23 ±3".to_owned(), seen.pins[0].warnings.clone()));
        let turned = words(true);
        assert_eq!(turned.0, "A, Hull: band 2, L* 23 ±3");
        assert_eq!(turned.1, ["On the edge to band 1", warnings[1], warnings[2], warnings[3]]);
    }

    #[test]
    fn a_verdict_names_pins_as_the_painter_does() {
        let named = |letter: &str, name: &str, lightness| SeenPin {
            letter: letter.to_owned(),
            name: name.to_owned(),
            ..pin(lightness, None, 0.3)
        };
        let pins = [named("A", "Hull ", 62.0), named("B", "Mast", 44.0), named("C", "", 62.4)];
        assert_eq!(verdict(&pins), "Mast is clearly darker than Hull; C and Hull: same tone.");
        let rough = [named("A", "", 62.0), SeenPin { repeatable: 9.0, ..named("B", "", 60.0) }];
        assert_eq!(verdict(&rough), "B and A: too textured to compare.");
        assert!(verdict(&pins[..1]).is_empty() && verdict(&[]).is_empty());
    }
}
