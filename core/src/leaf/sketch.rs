//! A drawing in SVG, one shape after another.

use super::typefaces::{self, FAMILY, Weight};
use crate::studio::{SeenSpot, StudioError};
use resvg::usvg::{Options, Tree};
use std::fmt::Write;

/// A rectangle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Area {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

/// Which end of a line stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a line is written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hand {
    pub(super) size: f64,
    pub(super) weight: Weight,
    pub(super) grey: u8,
    pub(super) anchor: Anchor,
}

/// What is drawn, in its order.
pub(super) struct Sketch {
    svg: String,
}

/// The surround's grey: L* 50.
const SURROUND: u8 = 0x77;

/// The diameter of a letter's disc, in sizes of words.
const DISC: f64 = 1.25;

impl Hand {
    pub(super) fn plain(size: f64) -> Self {
        Self { size, weight: Weight::Regular, grey: 0, anchor: Anchor::Start }
    }

    pub(super) fn bold(size: f64) -> Self {
        Self { weight: Weight::Bold, ..Self::plain(size) }
    }
}

impl Sketch {
    pub(super) fn new() -> Self {
        Self { svg: String::new() }
    }

    /// What was drawn, as a file of its own: its measures are millimetres, and it is as many wide and high as is told.
    pub(super) fn file(&self, width: f64, height: f64) -> String {
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}" font-family="'{FAMILY}', Verdana, sans-serif"><rect width="{width}" height="{height}" fill="#ffffff"/>{}</svg>"##,
            self.svg
        )
    }

    /// What was drawn, on a page of this size; y goes down.
    pub(super) fn tree(&self, width: f64, height: f64) -> Result<Tree, StudioError> {
        let svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" font-family="{FAMILY}">{}</svg>"#,
            self.svg
        );
        let options =
            Options { fontdb: typefaces::database(), font_family: FAMILY.to_owned(), ..Options::default() };
        Tree::from_str(&svg, &options).map_err(|error| StudioError::Odd(error.to_string()))
    }

    pub(super) fn fill(&mut self, Area { x, y, width, height }: &Area, grey: u8) {
        self.push(format_args!(
            r#"<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="{}"/>"#,
            colour(grey)
        ));
    }

    /// A rectangle of a colour. A thousandth of a millimetre is finer than any printer's dot.
    pub(super) fn tint(&mut self, Area { x, y, width, height }: &Area, [r, g, b]: [u8; 3]) {
        self.push(format_args!(
            r##"<rect x="{x:.3}" y="{y:.3}" width="{width:.3}" height="{height:.3}" fill="#{r:02x}{g:02x}{b:02x}"/>"##
        ));
    }

    pub(super) fn outline(&mut self, Area { x, y, width, height }: &Area, grey: u8, stroke: f64) {
        self.push(format_args!(
            r#"<path d="M{x} {y}h{width}v{height}h{}z" stroke="{}" stroke-width="{stroke}" fill="none"/>"#,
            -width,
            colour(grey)
        ));
    }

    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), grey: u8, width: f64) {
        self.push(format_args!(
            r#"<path d="M{} {}L{} {}" stroke="{}" stroke-width="{width}" fill="none"/>"#,
            from.0,
            from.1,
            to.0,
            to.1,
            colour(grey)
        ));
    }

    /// Writes one line, its baseline at `y`.
    pub(super) fn write(&mut self, text: &str, (x, y): (f64, f64), hand: Hand) {
        self.text(text, &format!(r#"x="{x}" y="{y}""#), hand);
    }

    /// Writes one line from the foot upwards, its baseline at `x`.
    pub(super) fn write_upwards(&mut self, text: &str, (x, y): (f64, f64), hand: Hand) {
        self.text(text, &format!(r#"transform="translate({x} {y}) rotate(-90)""#), hand);
    }

    fn text(&mut self, text: &str, place: &str, hand: Hand) {
        let Hand { size, weight, grey, anchor } = hand;
        let weight = match weight {
            Weight::Regular => 400,
            Weight::Bold => 700,
        };
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        self.push(format_args!(
            r#"<text {place} font-size="{size}" font-weight="{weight}" text-anchor="{anchor}" fill="{}">{}</text>"#,
            colour(grey),
            escaped(&typefaces::drawable(text))
        ));
    }

    /// Middle grey about a picture, which is left free.
    pub(super) fn mat(&mut self, mat: &Area, hole: &Area) {
        let outline = |it: &Area| format!("M{} {}h{}v{}h{}z", it.x, it.y, it.width, it.height, -it.width);
        self.push(format_args!(
            r#"<path d="{}{}" fill="{}" fill-rule="evenodd"/>"#,
            outline(mat),
            outline(hole),
            colour(SURROUND)
        ));
    }

    /// A pin on a picture that begins at `corner`, `scale` times as large as the working copy. Its letter stands beside
    /// its spot, within `room`.
    pub(super) fn pin(
        &mut self,
        (letter, spot): (&str, SeenSpot),
        corner: (f64, f64),
        scale: f64,
        size: f64,
        room: &Area,
    ) {
        let (x, y) = (corner.0 + (spot.0 + 0.5) * scale, corner.1 + (spot.1 + 0.5) * scale);
        let radius = (spot.2 * scale).max(0.2 * size);
        self.circle((x, y), radius, None, 0, 0.2 * size);
        self.circle((x, y), radius, None, 255, 0.08 * size);
        let away = 0.707 * radius + 0.6 * DISC * size;
        let reach = DISC * size;
        let right = if x + away + reach > room.x + room.width { -away } else { away };
        let up = if y - away - reach < room.y { away } else { -away };
        self.disc(letter, (x + right, y + up), size);
    }

    /// A letter on a black disc with a white rim, which shows on any tone.
    pub(super) fn disc(&mut self, letter: &str, (x, y): (f64, f64), size: f64) {
        let radius = DISC * size / 2.0;
        self.circle((x, y), radius, Some(0), 0, 0.2 * size);
        self.circle((x, y), radius, Some(0), 255, 0.08 * size);
        let hand = Hand { grey: 255, anchor: Anchor::Middle, ..Hand::bold(0.75 * size) };
        self.write(letter, (x, y + 0.27 * size), hand);
    }

    fn circle(&mut self, (x, y): (f64, f64), radius: f64, fill: Option<u8>, stroke: u8, width: f64) {
        let fill = fill.map_or_else(|| "none".to_owned(), colour);
        self.push(format_args!(
            r#"<circle cx="{x}" cy="{y}" r="{radius}" fill="{fill}" stroke="{}" stroke-width="{width}"/>"#,
            colour(stroke)
        ));
    }

    fn push(&mut self, shape: std::fmt::Arguments<'_>) {
        // Writing to a string never fails.
        let _ = self.svg.write_fmt(shape);
    }
}

fn colour(grey: u8) -> String {
    format!("#{grey:02x}{grey:02x}{grey:02x}")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
