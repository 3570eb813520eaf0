//! Mixtures of watercolours as they were measured (Chen et al. 2019, arXiv:1904.00275): thirteen paints, alone and by
//! twos, in three amounts. They are fetched, and never committed.
//!
//! The rows here are of half of the pairs of paints. On them the model was chosen; the others were never looked at.

use palette::color_difference::Ciede2000;
use palette::{IntoColor, Lab, LinSrgb, white_point::D65};
use std::collections::HashMap;
use tonefast_core::{Wash, WashColour, mixed};
use tonefast_references::Fixtures;

/// Rows of `PigmentRGB_mixed_1_1.csv`, counted from 0 without its head.
const EQUAL: &[usize] = &[
    4, 13, 16, 18, 19, 21, 22, 24, 27, 28, 30, 32, 33, 34, 37, 39, 42, 43, 44, 49, 60, 63, 65, 66, 67, 69,
    70, 72, 74, 76, 77, 79, 80, 82, 83, 84, 85, 88, 90, 92, 94, 97, 98, 99, 104, 105, 108, 116, 118, 122,
    124, 125, 126, 127, 130, 131, 133, 135, 136, 138, 139, 140, 142, 143, 144, 146, 147, 148, 149, 150, 151,
    155, 160, 162, 163, 164, 166, 169, 173, 174, 175, 176, 177, 182, 183, 186, 194, 196, 200, 202, 203, 204,
    205, 208, 209, 211, 213, 214, 216, 217, 218, 220, 221, 222, 224, 225, 226, 227, 228, 229, 233, 238, 240,
    241, 242, 244, 247, 251, 252, 253, 254, 255,
];

/// Rows of `PigmentRGB_mixed_1_2.csv`.
const MORE_OF_SECOND: &[usize] = &[
    4, 15, 18, 20, 21, 22, 24, 25, 27, 29, 31, 32, 34, 35, 37, 38, 39, 40, 43, 45, 48, 49, 50, 55, 56, 59,
    67, 69, 73, 75, 76, 77, 78, 81, 82, 84, 86, 87, 89, 90, 91, 93, 94, 95, 97, 98, 99, 100, 101, 102, 106,
    108, 109, 111, 114, 117, 118, 119, 124, 125, 128, 136, 138, 142, 144, 145, 146, 147, 150, 151, 153, 155,
    156, 158, 159, 160, 162, 163, 164, 166, 167, 168, 169, 170, 171, 175, 180, 182, 183, 184, 186, 189, 193,
    194, 195, 196, 197,
];

/// Rows of `PigmentRGB_mixed_2_1.csv`.
const MORE_OF_FIRST: &[usize] = &[
    4, 13, 16, 18, 19, 21, 22, 24, 27, 28, 30, 32, 33, 34, 37, 39, 41, 43, 46, 47, 48, 53, 64, 67, 69, 70,
    71, 73, 74, 76, 78, 80, 81, 83, 84, 86, 87, 88, 89, 92, 96, 98, 99, 101, 103, 107, 108, 109, 110, 111,
    116, 117, 120, 128, 130, 134, 136, 137, 138, 139, 142, 143, 145, 147, 148, 150, 151, 152, 154, 155, 156,
    158, 159, 160, 161, 162, 163, 167, 172, 174, 175, 176, 178, 181, 185, 186, 187, 188, 189,
];

/// Two washes at the load of their mixture, the share of the second, and what they made.
struct Measured {
    washes: [[u8; 3]; 2],
    share: f64,
    mixture: [u8; 3],
}

/// How well a model does.
struct Score {
    /// Median of CIEDE2000.
    difference: f64,
    /// Mean of predicted less measured L*.
    bias: f64,
    /// How often a dull mixture is called duller than a clean one: of all, and of those whose parents both have a
    /// chroma over 15.
    told: f64,
    told_of_vivid: f64,
}

type Colour = Lab<D65, f64>;

/// Chroma of a mixture under so much of its parents' mean is called dull, as the data's readers do.
const DULL: f64 = 0.5;

const VIVID: f64 = 15.0;

#[test]
fn the_chosen_model_follows_measured_mixtures_best() {
    let equal = measured(&["1_1"]);
    let all = measured(&["1_1", "1_2", "2_1"]);
    assert_eq!((equal.len(), all.len()), (122, 308));
    println!("| model | rows | median ΔE00 | bias of L* | AUC, all | AUC, vivid |");
    println!("|---|---|---|---|---|---|");
    for (rows, measured) in [("equal shares", &equal), ("all", &all)] {
        let chosen = told("chosen: spectra, mean K/S by body", rows, measured, |it| {
            let [first, second] = it.washes.map(|codes| Wash::of(WashColour::from_srgb(codes)));
            let mixture = mixed(&first, &second, it.share);
            (lab(mixture.colour.0), mixture.dullness)
        });
        for (name, mix) in [
            ("three channels, mean K/S", three_channels as fn(&Measured) -> Colour),
            ("weighted geometric mean", geometric),
            ("CIELAB between", lab_between),
            ("linear light between", linear_between),
        ] {
            let simpler = told(name, rows, measured, |it| {
                let mixture = mix(it);
                (mixture, -chroma(mixture) / mean_chroma(it))
            });
            assert!(chosen.difference < simpler.difference, "{name} on {rows}");
        }
        assert!(chosen.difference < 6.0 && chosen.bias.abs() < 1.5, "{rows}");
    }
    // Unequal shares lean towards one parent, whose chroma the plain mean then misses: dullness is held to equal ones.
    let chosen = score(&equal, |it| {
        let [first, second] = it.washes.map(|codes| Wash::of(WashColour::from_srgb(codes)));
        let mixture = mixed(&first, &second, it.share);
        (lab(mixture.colour.0), mixture.dullness)
    });
    assert!(chosen.told > 0.96 && chosen.told_of_vivid > 0.98);
}

/// Common practice: light-valued hues have the shortest range and none of the darks. On a ladder of nine even steps from
/// the paper (measured as L* 94.53) to the darkest of these paints, yellows stop in the lightest half, and ultramarine and
/// alizarin pass its middle.
#[test]
fn yellows_stop_in_the_lights_and_blues_go_down() {
    let alone = alone();
    let darkest = |paint: &str| {
        let loads = alone.iter().filter(|((name, _), _)| name == paint);
        loads.map(|(_, &codes)| lab(WashColour::from_srgb(codes).0).l).fold(f64::INFINITY, f64::min)
    };
    let (paper, black) =
        (94.53, PAINTS.iter().map(|&(paint, _)| darkest(paint)).fold(f64::INFINITY, f64::min));
    let steps = |paint: &str| 9.0 * (paper - darkest(paint)) / (paper - black);
    for (paint, name) in PAINTS {
        println!("{name} fills {:.1} of 9 steps, down to L* {:.1}", steps(paint), darkest(paint));
    }
    for yellow in ["P4", "P5"] {
        assert!(steps(yellow) < 4.5, "{yellow}");
    }
    for deep in ["P10", "P2"] {
        assert!(steps(deep) > 4.5, "{deep}");
    }
}

const PAINTS: [(&str, &str); 12] = [
    ("P1", "cadmium red"),
    ("P2", "alizarin"),
    ("P3", "burnt sienna"),
    ("P4", "lemon yellow"),
    ("P5", "cadmium yellow"),
    ("P6", "raw sienna"),
    ("P7", "sap green"),
    ("P8", "cerulean"),
    ("P9", "cobalt"),
    ("P10", "ultramarine"),
    ("P11", "prussian blue"),
    ("P12", "ivory black"),
];

/// Paints alone, by name and load in thousandths of a millilitre.
fn alone() -> HashMap<(String, u32), [u8; 3]> {
    let rows = rows("PigmentRGB_primary.csv");
    rows.into_iter()
        .map(|row| {
            let load = row[0].trim_end_matches("ml").rsplit('_').next().expect("a load");
            let load = (1000.0 * load.parse::<f64>().expect("a load")).round() as u32;
            ((row[1].clone(), load), codes(&row[2..5]))
        })
        .collect()
}

fn measured(tables: &[&str]) -> Vec<Measured> {
    let alone = alone();
    let equal = rows("PigmentRGB_mixed_1_1.csv");
    // Rows of the second table name their paints by samples' numbers, which the first one explains.
    let names: HashMap<String, String> = equal
        .iter()
        .flat_map(|row| {
            let [first, second, _, _] = sample(&row[0]);
            [(first, row[1].clone()), (second, row[2].clone())]
        })
        .collect();
    let picked = [("1_1", EQUAL), ("1_2", MORE_OF_SECOND), ("2_1", MORE_OF_FIRST)];
    let mut measured = Vec::new();
    for (table, numbers) in picked.into_iter().filter(|(table, _)| tables.contains(table)) {
        let rows = rows(&format!("PigmentRGB_mixed_{table}.csv"));
        for &number in numbers {
            let row = &rows[number];
            let [first, second, a, b] = sample(&row[0]);
            let (a, b) = (a.parse::<u32>().expect("a load"), b.parse::<u32>().expect("a load"));
            let wash = |paint: &str| alone[&(names[paint].clone(), 10 * (a + b))];
            measured.push(Measured {
                washes: [wash(&first), wash(&second)],
                share: f64::from(b) / f64::from(a + b),
                mixture: codes(&row[row.len() - 3..]),
            });
        }
    }
    measured
}

/// `R_C1C3_2_4`: two samples, and hundredths of a millilitre of each.
fn sample(name: &str) -> [String; 4] {
    let mut parts = name.split('_').skip(1);
    let pair = parts.next().expect("a pair");
    let middle = pair.rfind('C').expect("two samples");
    let loads: Vec<&str> = parts.collect();
    [&pair[..middle], &pair[middle..], loads[0], loads[1]].map(str::to_owned)
}

fn rows(table: &str) -> Vec<Vec<String>> {
    let text = Fixtures::new(env!("CARGO_TARGET_TMPDIR")).watercolours(table);
    let lines = text.lines().skip(1).filter(|line| !line.trim().is_empty());
    lines.map(|line| line.trim().split(',').map(str::to_owned).collect()).collect()
}

fn codes(cells: &[String]) -> [u8; 3] {
    [0, 1, 2].map(|at| cells[at].parse().expect("an 8-bit code"))
}

fn told(name: &str, rows: &str, measured: &[Measured], mix: impl Fn(&Measured) -> (Colour, f64)) -> Score {
    let it = score(measured, mix);
    println!(
        "| {name} | {rows} | {:.2} | {:+.2} | {:.3} | {:.3} |",
        it.difference, it.bias, it.told, it.told_of_vivid
    );
    it
}

/// Scores a model that answers with a mixture's colour, and with how dull it is.
fn score(measured: &[Measured], mix: impl Fn(&Measured) -> (Colour, f64)) -> Score {
    let mut differences = Vec::new();
    let mut bias = 0.0;
    let mut ranks = Vec::new();
    for it in measured {
        let (predicted, dullness) = mix(it);
        let truth = lab(WashColour::from_srgb(it.mixture).0);
        differences.push(predicted.difference(truth));
        bias += predicted.l - truth.l;
        let vivid = it.washes.iter().all(|&wash| chroma(lab(WashColour::from_srgb(wash).0)) > VIVID);
        ranks.push((dullness, chroma(truth) < DULL * mean_chroma(it), vivid));
    }
    differences.sort_by(f64::total_cmp);
    let middle = differences.len() / 2;
    let vivid: Vec<_> = ranks.iter().copied().filter(|rank| rank.2).collect();
    Score {
        difference: (differences[middle - 1] + differences[middle]) / 2.0,
        bias: bias / measured.len() as f64,
        told: area(&ranks),
        told_of_vivid: area(&vivid),
    }
}

/// Area under the receiver's curve: the share of pairs of one dull and one clean that stand in that order.
fn area(ranks: &[(f64, bool, bool)]) -> f64 {
    let of =
        |dull: bool| ranks.iter().filter(move |rank| rank.1 == dull).map(|rank| rank.0).collect::<Vec<_>>();
    let (dull, clean) = (of(true), of(false));
    let wins = |one: &f64| {
        clean
            .iter()
            .map(|other| {
                if one > other {
                    1.0
                } else if one == other {
                    0.5
                } else {
                    0.0
                }
            })
            .sum::<f64>()
    };
    dull.iter().map(wins).sum::<f64>() / (dull.len() * clean.len()) as f64
}

fn lab([r, g, b]: [f64; 3]) -> Colour {
    LinSrgb::new(r, g, b).into_color()
}

fn chroma(colour: Colour) -> f64 {
    colour.a.hypot(colour.b)
}

fn mean_chroma(it: &Measured) -> f64 {
    it.washes.map(|wash| chroma(lab(WashColour::from_srgb(wash).0))).iter().sum::<f64>() / 2.0
}

fn by_channel(it: &Measured, mix: impl Fn(f64, f64, f64) -> f64) -> Colour {
    let [first, second] = it.washes.map(|wash| WashColour::from_srgb(wash).0);
    lab([0, 1, 2].map(|at| mix(first[at], second[at], it.share)))
}

fn three_channels(it: &Measured) -> Colour {
    by_channel(it, |a, b, share| {
        let ratio = |r: f64| (1.0 - r.max(1e-3)).powi(2) / (2.0 * r.max(1e-3));
        let q = (1.0 - share) * ratio(a) + share * ratio(b);
        1.0 + q - (q * q + 2.0 * q).sqrt()
    })
}

fn geometric(it: &Measured) -> Colour {
    by_channel(it, |a, b, share| ((1.0 - share) * a.max(1e-3).ln() + share * b.max(1e-3).ln()).exp())
}

fn linear_between(it: &Measured) -> Colour {
    by_channel(it, |a, b, share| (1.0 - share) * a + share * b)
}

fn lab_between(it: &Measured) -> Colour {
    let [first, second] = it.washes.map(|wash| lab(WashColour::from_srgb(wash).0));
    first * (1.0 - it.share) + second * it.share
}
