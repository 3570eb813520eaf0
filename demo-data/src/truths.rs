//! What is known of the pictures because they were drawn.
//!
//! Places are pixels of the upright picture, origin at its top left corner, pixel centres at halves.
//! Tones are L* under D65, from mean linear Y before JPEG; bands are five even ones, band 1 (80–100) first.

mod strips;

pub use strips::{StepTruth, StripTruth, StripsTruths};

use serde::{Deserialize, Serialize};

use crate::canvas::Canvas;
use crate::easel::{self, BARE_SPOT, CARD, PAINTED, PAPER_PLACE};
use crate::painting::MISTAKES;
use crate::strips::Sheet;
use crate::tone::{lightness, luminance};
use crate::vector::V3;

/// The truths of all pictures.
#[derive(Debug, Serialize, Deserialize)]
pub struct Truths {
    /// Of `low-water.jpg`.
    pub subject: SubjectTruths,
    /// Of `low-water-easel.jpg`.
    pub easel: EaselTruths,
    /// Of `strips.jpg`.
    pub strips: StripsTruths,
}

/// A disc in a picture.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Spot {
    /// What lies there.
    pub name: String,
    /// Centre, pixels from the left.
    pub x: f32,
    /// Centre, pixels from the top.
    pub y: f32,
    /// Radius, pixels.
    pub radius: f32,
    /// L* 0–100 of the disc's mean Y.
    pub lightness: f64,
}

/// What is known of the subject.
#[derive(Debug, Serialize, Deserialize)]
pub struct SubjectTruths {
    /// Upright width, pixels.
    pub width: usize,
    /// Upright height, pixels.
    pub height: usize,
    /// EXIF orientation of the stored file.
    pub orientation: u8,
    /// Share of the whole area in each band; adds up to 1.
    pub shares: [f64; 5],
    /// Spots of known tone.
    pub spots: Vec<Spot>,
    /// Two spots of different hue and nearly the same tone.
    pub equal_tones: PairTruth,
    /// A spot so vivid that it looks lighter than it measures.
    pub vivid: Spot,
}

/// Two spots that belong together.
#[derive(Debug, Serialize, Deserialize)]
pub struct PairTruth {
    /// The one.
    pub first: Spot,
    /// The other.
    pub second: Spot,
}

/// What is known of the painting on its easel. Corners run clockwise from the top left.
#[derive(Debug, Serialize, Deserialize)]
pub struct EaselTruths {
    /// Width, pixels.
    pub width: usize,
    /// Height, pixels.
    pub height: usize,
    /// The painted area.
    pub painted_corners: [[f64; 2]; 4],
    /// The sheet of paper.
    pub paper_corners: [[f64; 2]; 4],
    /// The grey card.
    pub grey_card_corners: [[f64; 2]; 4],
    /// The middle of the grey card, below its clip.
    pub grey_card: Spot,
    /// Bare paper beside the painted area.
    pub paper_white: Spot,
    /// Share of the painted area in each band; adds up to 1.
    pub framed_shares: [f64; 5],
    /// Tones that were painted wrong on purpose.
    pub mistakes: Vec<MistakeTruth>,
}

/// One place in both pictures, where the painting's tone is wrong.
#[derive(Debug, Serialize, Deserialize)]
pub struct MistakeTruth {
    /// In the subject.
    pub subject: Spot,
    /// In the painting.
    pub painting: Spot,
    /// How much lighter it was meant to be painted than seen, L*; negative for darker.
    pub meant: f32,
}

/// Named places in the subject: name, x, y, radius.
type Place = (&'static str, f32, f32, f32);

const SPOTS: [Place; 8] = [
    ("dark hull in shadow", 760.0, 1040.0, 24.0),
    ("wheelhouse in the sun", 1125.0, 950.0, 14.0),
    ("wheelhouse in shadow", 1320.0, 950.0, 12.0),
    ("far hill", 810.0, 765.0, 12.0),
    ("quay wall", 600.0, 890.0, 14.0),
    ("cottage in the sun", 535.0, 700.0, 10.0),
    ("bright cloud", 1250.0, 290.0, 30.0),
    ("water in the channel", 1000.0, 1900.0, 16.0),
];
const EQUAL: [Place; 2] = [("scarlet buoy", 1100.0, 1478.0, 14.0), ("slate roof", 200.0, 680.0, 12.0)];
const VIVID: Place = ("scarlet buoy", 1125.0, 1450.0, 26.0);
/// Where each mistake is best seen.
const MISTAKEN: [(f32, f32, f32); 3] = [(600.0, 890.0, 14.0), (1120.0, 950.0, 14.0), (810.0, 765.0, 12.0)];

impl Truths {
    pub(crate) fn of(subject: &Canvas, easel: &Canvas, sheet: &Sheet) -> Self {
        Self {
            subject: of_subject(subject),
            easel: of_easel(subject, easel),
            strips: StripsTruths::of(sheet),
        }
    }
}

fn spot(canvas: &Canvas, (name, x, y, radius): (&str, f32, f32, f32)) -> Spot {
    Spot { name: name.into(), x, y, radius, lightness: mean_lightness(canvas, x, y, radius) }
}

fn of_subject(subject: &Canvas) -> SubjectTruths {
    SubjectTruths {
        width: subject.width,
        height: subject.height,
        orientation: 6,
        shares: shares(subject, |_, _| true),
        spots: SPOTS.iter().map(|&place| spot(subject, place)).collect(),
        equal_tones: PairTruth { first: spot(subject, EQUAL[0]), second: spot(subject, EQUAL[1]) },
        vivid: spot(subject, VIVID),
    }
}

fn of_easel(subject: &Canvas, easel: &Canvas) -> EaselTruths {
    let board = easel::board();
    let corners = |[left, top, right, bottom]: [f64; 4]| {
        [(left, top), (right, top), (right, bottom), (left, bottom)].map(|(x, y)| {
            let (px, py) = board.pixel(x, y);
            [px, py]
        })
    };
    let at = |x: f64, y: f64| {
        let (px, py) = board.pixel(x, y);
        (px as f32, py as f32)
    };
    let painted_corners = corners(PAINTED);
    let (card_x, card_y) = at(0.5 * (CARD[0] + CARD[2]), 0.5 * (CARD[1] + CARD[3]) + 6.0);
    let (bare_x, bare_y) = at(BARE_SPOT.0, BARE_SPOT.1);
    let mistakes = MISTAKES.iter().zip(MISTAKEN).map(|(mistake, (x, y, radius))| {
        // Both pictures were drawn from one model, so a place in widths of the one is a place in widths of the other.
        let millimetres = (PAINTED[2] - PAINTED[0]) / subject.width as f64;
        let (px, py) = at(PAINTED[0] + f64::from(x) * millimetres, PAINTED[1] + f64::from(y) * millimetres);
        MistakeTruth {
            subject: spot(subject, (mistake.name, x, y, radius)),
            painting: spot(easel, (mistake.name, px, py, 0.6 * radius)),
            meant: mistake.lighter,
        }
    });
    EaselTruths {
        width: easel.width,
        height: easel.height,
        painted_corners,
        paper_corners: corners(PAPER_PLACE),
        grey_card_corners: corners(CARD),
        grey_card: spot(easel, ("grey card", card_x, card_y, 40.0)),
        paper_white: spot(easel, ("bare paper", bare_x, bare_y, 14.0)),
        framed_shares: shares(easel, |x, y| within(&painted_corners, x, y)),
        mistakes: mistakes.collect(),
    }
}

/// Whether a point lies inside a convex four-sided shape whose corners run clockwise (y down).
fn within(corners: &[[f64; 2]; 4], x: f64, y: f64) -> bool {
    (0..4).all(|i| {
        let ([ax, ay], [bx, by]) = (corners[i], corners[(i + 1) % 4]);
        (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0.0
    })
}

/// L* of the mean linear Y of the pixels whose centre lies in the disc.
fn mean_lightness(canvas: &Canvas, cx: f32, cy: f32, radius: f32) -> f64 {
    let (mut sum, mut count) = (0.0, 0u32);
    for y in (cy - radius).max(0.0) as usize..=((cy + radius) as usize).min(canvas.height - 1) {
        for x in (cx - radius).max(0.0) as usize..=((cx + radius) as usize).min(canvas.width - 1) {
            let (dx, dy) = (x as f32 + 0.5 - cx, y as f32 + 0.5 - cy);
            if dx * dx + dy * dy <= radius * radius {
                sum += luminance_in_f64(canvas.at(x, y));
                count += 1;
            }
        }
    }
    lightness(sum / f64::from(count.max(1)))
}

/// Share of area in each band, over the pixels whose centre `counts`.
fn shares(canvas: &Canvas, counts: impl Fn(f64, f64) -> bool) -> [f64; 5] {
    let mut tally = [0u32; 5];
    for y in 0..canvas.height {
        for x in 0..canvas.width {
            if counts(x as f64 + 0.5, y as f64 + 0.5) {
                let l = lightness(luminance_in_f64(canvas.at(x, y)));
                tally[((100.0 - l) / 20.0).clamp(0.0, 4.0) as usize] += 1;
            }
        }
    }
    let all = f64::from(tally.iter().sum::<u32>().max(1));
    tally.map(|n| f64::from(n) / all)
}

fn luminance_in_f64(rgb: V3) -> f64 {
    f64::from(luminance(rgb))
}
