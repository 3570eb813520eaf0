//! Paints to print, and prints read back.

use super::*;
use crate::{Curve, Laid, PaintedStep, PaintedStrip};
use lopdf::Object;
use lopdf::content::Content;
use palette::{IntoColor, Lab, Srgb, white_point::D65};
use resvg::usvg::roxmltree;
use resvg::usvg::{Options, Tree};

/// A print as an SVG says it.
pub(in crate::leaf) struct Svg {
    /// Millimetres.
    pub(in crate::leaf) size: (f64, f64),
    /// In their order.
    pub(in crate::leaf) rects: Vec<Rect>,
    pub(in crate::leaf) texts: Vec<String>,
    /// Every colour that is named.
    pub(in crate::leaf) colours: Vec<[u8; 3]>,
}

/// A rectangle in an SVG, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::leaf) struct Rect {
    pub(in crate::leaf) x: f64,
    pub(in crate::leaf) y: f64,
    pub(in crate::leaf) width: f64,
    pub(in crate::leaf) height: f64,
    pub(in crate::leaf) srgb: [u8; 3],
}

/// A page as a PDF says it.
pub(in crate::leaf) struct Leaf {
    /// Points.
    pub(in crate::leaf) size: (f64, f64),
    /// Straight lines from one point to another, in points.
    pub(in crate::leaf) lines: Vec<[(f64, f64); 2]>,
    /// Words without the space between.
    pub(in crate::leaf) text: String,
}

/// Points of A4 (ISO 216: 210 x 297 mm) and Letter (8.5 x 11 inches).
pub(in crate::leaf) const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (595.276, 841.890)), (Paper::Letter, (612.0, 792.0))];

/// A hundredth of a point is less than a printer's dot.
pub(in crate::leaf) const DOT: f64 = 0.01;

pub(in crate::leaf) fn curve(tones: &[f64], tint: [f64; 2]) -> Curve {
    let step = |&lightness: &f64| PaintedStep { lightness, plus_minus: 1.5, tint, quad: None };
    Curve::through(&[PaintedStrip {
        laid: Laid::Washes,
        wet: false,
        day: String::new(),
        paper: String::new(),
        paper_lightness: 94.5,
        quarters: 0,
        steps: tones.iter().map(step).collect(),
        wet_lightness: None,
    }])
    .unwrap()
}

/// So many paints, of spans and hues that differ, some of them more intense than a screen shows.
pub(in crate::leaf) fn paints(count: usize) -> Vec<(String, Curve)> {
    let paint = |number: usize| {
        let (light, span) = (92.0 - (number % 5) as f64 * 6.0, 8.0 + (number * 7 % 60) as f64);
        let tones: Vec<f64> = (0..8).map(|step| light - span * f64::from(step) / 7.0).collect();
        let hue = (number * 47) as f64;
        let chroma = 30.0 + (number % 4) as f64 * 25.0;
        let tint = [chroma * libm::cos(hue.to_radians()), chroma * libm::sin(hue.to_radians())];
        (format!("Wash number {number}"), curve(&tones, tint))
    };
    (0..count).map(paint).collect()
}

/// Names and titles that nobody should have given.
pub(in crate::leaf) fn hostile() -> Vec<String> {
    let long = ["n".repeat(4000), "tide ".repeat(800), "מים נמוכים ".repeat(40)];
    let odd =
        ["", " ", "Tom & <b>Jerry</b> > \"'", "</text></svg><script>", "]]>", "&amp;#0;", "水\u{1f30a}"];
    let unseen =
        ["\u{0}\u{7}\u{1b}[2J", "\u{202e}etar\u{202c}", "\u{fffe}\u{ffff}\u{feff}", "a\r\n\tb\u{2028}c"];
    odd.into_iter().chain(unseen).map(str::to_owned).chain(long).collect()
}

/// L* of an 8-bit colour, as palette computes it.
pub(in crate::leaf) fn lightness([r, g, b]: [u8; 3]) -> f64 {
    let lab: Lab<D65, f64> = Srgb::new(r, g, b).into_format::<f64>().into_color();
    lab.l
}

/// Reads an SVG; nothing that it draws lies off it.
pub(in crate::leaf) fn svg(bytes: &[u8]) -> Svg {
    let text = std::str::from_utf8(bytes).unwrap();
    let read = roxmltree::Document::parse(text).unwrap();
    let root = read.root_element();
    let number = |node: &roxmltree::Node, name: &str| -> f64 {
        node.attribute(name).map_or(0.0, |text| text.trim_end_matches("mm").parse().unwrap())
    };
    let srgb = |text: &str| {
        let part = |at: usize| u8::from_str_radix(&text[at..at + 2], 16).unwrap();
        [part(1), part(3), part(5)]
    };
    let size = (number(&root, "width"), number(&root, "height"));
    assert!(
        root.attribute("width").unwrap().ends_with("mm") && root.attribute("height").unwrap().ends_with("mm")
    );
    assert_eq!(root.attribute("viewBox").unwrap(), format!("0 0 {} {}", size.0, size.1));
    let named = |name: &'static str| read.descendants().filter(move |node| node.has_tag_name(name));
    let rect = |node: roxmltree::Node| {
        let [x, y, width, height] = ["x", "y", "width", "height"].map(|name| number(&node, name));
        Rect { x, y, width, height, srgb: srgb(node.attribute("fill").unwrap()) }
    };
    // The first is the paper.
    let rects = named("rect").skip(1).map(rect).collect();
    let texts = named("text").map(|node| node.text().unwrap_or_default().to_owned()).collect();
    let parts = read.descendants().flat_map(|node| [node.attribute("fill"), node.attribute("stroke")]);
    let colours = parts.flatten().filter(|it| *it != "none").map(srgb).collect();
    let options = Options { fontdb: typefaces::database(), ..Options::default() };
    let tree = Tree::from_str(text, &options).unwrap();
    let drawn = tree.root().abs_stroke_bounding_box();
    let slack = 1e-3 * tree.size().width();
    assert!(drawn.left() > -slack && drawn.right() < tree.size().width() + slack, "{drawn:?}");
    assert!(drawn.top() > -slack && drawn.bottom() < tree.size().height() + slack, "{drawn:?}");
    Svg { size, rects, texts, colours }
}

/// Reads a PDF with another library than wrote it (lopdf).
pub(in crate::leaf) fn leaves(bytes: &[u8]) -> Vec<Leaf> {
    let pdf = lopdf::Document::load_mem(bytes).unwrap();
    let leaf = |(number, id): (u32, lopdf::ObjectId)| {
        let sides = pdf.get_dictionary(id).unwrap().get(b"MediaBox").unwrap().as_array().unwrap();
        let sides: Vec<f64> = sides.iter().map(float).collect();
        let lines = lines(&Content::decode(&pdf.get_page_content(id)).unwrap());
        let text = pdf.extract_text(&[number]).unwrap().chars().filter(|it| !it.is_whitespace()).collect();
        Leaf { size: (sides[2], sides[3]), lines, text }
    };
    pdf.get_pages().into_iter().map(leaf).collect()
}

fn float(number: &Object) -> f64 {
    f64::from(number.as_float().unwrap())
}

/// Straight lines of a page, by the operators of ISO 32000-2, 8.4.4 and 8.5.2.
fn lines(content: &Content) -> Vec<[(f64, f64); 2]> {
    let (mut lines, mut kept) = (Vec::new(), Vec::new());
    let (mut matrix, mut from) = ([1.0, 0.0, 0.0, 1.0, 0.0, 0.0], (0.0, 0.0));
    for operation in &content.operations {
        let numbers: Vec<f64> =
            operation.operands.iter().filter_map(|it| it.as_float().ok()).map(f64::from).collect();
        match (operation.operator.as_str(), numbers.as_slice()) {
            ("q", _) => kept.push(matrix),
            ("Q", _) => matrix = kept.pop().unwrap(),
            ("cm", &[a, b, c, d, e, f]) => {
                let [m, n, o, p, x, y]: [f64; 6] = matrix;
                matrix = [
                    a * m + b * o,
                    a * n + b * p,
                    c * m + d * o,
                    c * n + d * p,
                    e * m + f * o + x,
                    e * n + f * p + y,
                ];
            }
            (operator @ ("m" | "l"), &[x, y]) => {
                let [a, b, c, d, e, f] = matrix;
                let to = (a * x + c * y + e, b * x + d * y + f);
                if operator == "l" {
                    lines.push([from, to]);
                }
                from = to;
            }
            _ => {}
        }
    }
    lines
}

#[test]
fn one_setting_turns_bands_and_steps_round() {
    let sheet = |turned| Sheet { paper: Paper::A4, form: SheetForm::Pdf, turned };
    assert_eq!([sheet(false).number(2.5, 8), sheet(true).number(2.5, 8)], [2.5, 6.5]);
    assert_eq!([sheet(false).number(1.0, 5), sheet(true).number(1.0, 5)], [1.0, 5.0]);
}
