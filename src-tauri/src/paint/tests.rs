//! Table, ranges, the sheet of a pin and the card, on shelves of drawn paints: all must say the same of a tone.

use super::print::{FormName, PrintAsk, PrintName, printed};
use super::wire::{AtToneInfo, PaintInfo, StandInInfo};
use super::{Painted, all_painted, at_tone, in_bands, named};
use crate::parcel::PaperName;
use serde_json::{Value, json};
use std::time::UNIX_EPOCH;
use tonefast_core::{Bands, Moment, PaintAbout, PaintBox, Studio};

/// How many shelves are drawn; each is asked for every band's middle, and for the ends of every paint.
const SHELVES: u64 = 30;

/// Numbers from 0 to 1 (splitmix64; Steele, Lea & Flood 2014).
struct Draws(u64);

impl Draws {
    fn within(&mut self, least: f64, most: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        least + (most - least) * ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Paints whose ranges lie anywhere; every third ends just where a band has its edge or its middle.
fn shelf(draws: &mut Draws, bands: &Bands) -> Value {
    let tones: Vec<f64> = bands.edges().iter().map(|&edge| f64::from(edge)).collect();
    let tones: Vec<f64> = tones.into_iter().chain((1..=bands.count()).map(|it| bands.middle(it))).collect();
    let paint = |number: usize| {
        let mut light = draws.within(12.0, 98.0);
        if number.is_multiple_of(3) {
            light = tones[(draws.within(0.0, 0.999) * tones.len() as f64) as usize].max(12.0);
        }
        let dark = draws.within(2.0, light - 4.0);
        let steps = 2 + (draws.within(0.0, 8.0) as usize);
        let step = |at: usize| {
            let lightness = light + (dark - light) * at as f64 / (steps - 1) as f64;
            json!({ "lightness": lightness, "plusMinus": 1.0, "tint": [4.0, -9.0] })
        };
        let steps: Vec<Value> = (0..steps).map(step).collect();
        json!({
            "about": PaintAbout { name: format!("Paint {number}x"), ..PaintAbout::default() },
            "strips": [{ "laid": "washes", "paperLightness": 98.0, "steps": steps }],
        })
    };
    let paints: Vec<Value> = (0..12).map(paint).collect();
    json!({ "schema": "tonefast paints", "version": 1, "paints": paints })
}

fn studio(shelf: &Value) -> (tempfile::TempDir, Studio) {
    let folder = tempfile::TempDir::new().unwrap();
    let mut studio = Studio::open(folder.path(), UNIX_EPOCH).unwrap();
    let paints = PaintBox::read(shelf.to_string().as_bytes()).unwrap();
    studio.take_in(&paints, Moment(0)).unwrap();
    (folder, studio)
}

/// Paints that a card of one row shows with a step, by name.
fn on_card(studio: &Studio, paints: Vec<(i64, Painted)>, bands: &Bands, tone: Option<f64>) -> Vec<String> {
    let ids: Vec<i64> = paints.iter().map(|paint| paint.0).collect();
    let ask = PrintAsk {
        what: PrintName::Card,
        form: FormName::Svg,
        paper: PaperName::A4,
        paints: ids.clone(),
        edges: bands.edges().to_vec(),
        tone,
        turned: false,
        day: String::new(),
    };
    let svg = printed(&ask, &named(studio, paints, &ids).unwrap(), "Card").unwrap();
    let svg = String::from_utf8(svg).unwrap();
    let texts: Vec<&str> = svg.split("</text>").filter_map(|it| it.rsplit_once('>')).map(|it| it.1).collect();
    texts.windows(2).filter(|pair| pair[1].starts_with("step ")).map(|pair| pair[0].to_owned()).collect()
}

fn reaches(at: &AtToneInfo) -> bool {
    matches!(at, AtToneInfo::Reaches { .. })
}

fn names(studio: &Studio, paints: impl Iterator<Item = i64>) -> Vec<String> {
    paints.map(|id| studio.paint(id).unwrap().about.name).collect()
}

#[test]
fn table_ranges_pin_and_card_agree_on_which_paints_reach_a_tone() {
    let mut draws = Draws(13);
    for number in 0..SHELVES {
        let bands = Bands::even(2 + (number % 11) as usize).unwrap();
        let (_folder, studio) = studio(&shelf(&mut draws, &bands));
        let paints = || all_painted(&studio).unwrap();
        let table = in_bands(&paints(), &bands);
        let mut tones: Vec<(Option<usize>, f64)> =
            (1..=bands.count()).map(|band| (Some(band), bands.middle(band))).collect();
        for (_, painted) in paints() {
            let (light, dark) = painted.curve.range();
            tones.extend([light, dark, light + 1e-9, dark - 1e-9].map(|tone| (None, tone)));
        }
        for (band, tone) in tones {
            // The ladder of ranges and the sheet of a pin ask for a tone.
            let asked: Vec<StandInInfo> = at_tone(&paints(), tone);
            let reached = asked.iter().filter(|it| reaches(&it.at)).map(|it| it.paint);
            let reached = names(&studio, reached);
            if let Some(band) = band {
                let cells = table.iter().filter(|row| reaches(&row.1[band - 1])).map(|row| row.0);
                assert_eq!(names(&studio, cells), reached, "table, band {band} of {bands:?}");
                for (row, asked) in table.iter().zip(&asked) {
                    assert_eq!(row.1[band - 1], asked.at, "{row:?}");
                }
            }
            assert_eq!(on_card(&studio, paints(), &bands, Some(tone)), reached, "card, {tone}");
            // The bars of the ranges are drawn from here to there.
            let bars = studio.paints().unwrap().into_iter().map(PaintInfo::new);
            let spanned = bars.filter(|it| it.spans(tone)).map(|it| it.id());
            assert_eq!(names(&studio, spanned), reached, "ranges, {tone}");
        }
        let rows: Vec<String> = (1..=bands.count()).flat_map(|it| names_in(&studio, &table, it)).collect();
        assert_eq!(on_card(&studio, paints(), &bands, None), rows, "card of all bands");
    }
}

fn names_in(studio: &Studio, table: &[(i64, Vec<AtToneInfo>)], band: usize) -> Vec<String> {
    names(studio, table.iter().filter(|row| reaches(&row.1[band - 1])).map(|row| row.0))
}

/// A violet from 88 to 31 and bands of 20: it reaches a part of band 4 (40 to 20), and not that band's tone, 30.
#[test]
fn a_paint_that_only_touches_a_band_does_not_reach_its_tone() {
    let steps =
        [88.0, 60.0, 31.0].map(|it| json!({ "lightness": it, "plusMinus": 1.0, "tint": [9.0, -20.0] }));
    let paint = json!({
        "about": PaintAbout { name: "Violet".to_owned(), ..PaintAbout::default() },
        "strips": [{ "laid": "washes", "paperLightness": 94.5, "steps": steps }],
    });
    let (_folder, studio) = studio(&json!({ "schema": "tonefast paints", "version": 1, "paints": [paint] }));
    let table = in_bands(&all_painted(&studio).unwrap(), &Bands::even(5).unwrap());
    assert!(matches!(table[0].1[3], AtToneInfo::StaysLighter { by } if (by - 1.0).abs() < 1e-9), "{table:?}");
}
