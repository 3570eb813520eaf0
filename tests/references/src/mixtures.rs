//! Measured mixtures of watercolours: M.-Y. Chen et al. 2019 (arXiv:1904.00275), 13 paints at 12 loads and their
//! mixtures in pairs, reflectance from 380 to 780 nm and 8-bit sRGB.

mod rows;

use crate::{Fixtures, Observer};
use rows::ROWS;
use std::collections::HashMap;
use std::fs;
use std::path::Path;

/// Two washes and what they made.
#[derive(Debug, Clone)]
pub struct MeasuredMixture {
    /// The row's name, which holds the paints' numbers and their amounts.
    pub name: String,
    /// Numbers of both paints.
    pub paints: [u32; 2],
    /// The parents, each at the load that the mixture has in all.
    pub parents: [Measured; 2],
    /// Load of both together, in hundredths of a millilitre.
    pub load: u32,
    /// Share of the second by volume.
    pub share: f64,
    /// What they made.
    pub mixture: Measured,
}

/// A paint by itself.
#[derive(Debug, Clone)]
pub struct MeasuredPaint {
    /// As the makers of the data call it.
    pub name: &'static str,
    /// At each load, the lightest first.
    pub washes: Vec<Measured>,
}

/// A measured colour.
#[derive(Debug, Clone, Copy)]
pub struct Measured {
    /// As the tables have it, clipped to sRGB.
    pub srgb: [u8; 3],
    /// Linear sRGB of its reflectance, unclipped, where the data have one; else of `srgb`.
    pub linear_srgb: [f64; 3],
}

/// A paint's number and its load in hundredths of a millilitre.
type Load = (u32, u32);

/// The paints' numbers and names, from the paper.
const PAINTS: [(u32, &str); 13] = [
    (1, "cadmium red"),
    (3, "alizarin crimson"),
    (4, "burnt sienna"),
    (6, "lemon yellow"),
    (7, "cadmium yellow"),
    (8, "raw sienna"),
    (11, "sap green"),
    (14, "cerulean blue"),
    (15, "cobalt blue"),
    (16, "ultramarine"),
    (18, "prussian blue"),
    (21, "ivory black"),
    (22, "chinese white"),
];

/// Reflectances by the 8-bit colour that they have.
type Spectra = HashMap<[u8; 3], Vec<Vec<f64>>>;

/// The mixtures that the model was made on. Half of the data's pairs of paints stay out of it.
///
/// # Panics
/// Where the data cannot be fetched, or are not what they were.
#[must_use]
pub fn mixtures_to_build_on(fixtures: &Fixtures) -> Vec<MeasuredMixture> {
    let folder = fixtures.watercolours();
    let observer = Observer::new(fixtures);
    let (of_mixtures, of_paints) = spectra(&folder, &observer);
    let paints = loads(&folder);
    let measured = |srgb, spectra: &[&Spectra]| measured(&observer, srgb, spectra);
    let mut mixtures = Vec::new();
    for (name, rows) in ROWS {
        let table = table(&folder, &format!("PigmentRGB_mixed_{name}.csv"));
        for row in rows.iter().map(|&row| &table[row]) {
            let [first, second] = pair(&row[0]);
            let load = first.1 + second.1;
            mixtures.push(MeasuredMixture {
                name: row[0].clone(),
                paints: [first.0, second.0],
                parents: [first, second]
                    .map(|(paint, _)| measured(paints[&(paint, load)], &[&of_mixtures, &of_paints])),
                load,
                share: f64::from(second.1) / f64::from(load),
                mixture: measured(colour(row), &[&of_mixtures]),
            });
        }
    }
    mixtures
}

/// Every paint by itself, and the paper that all were laid on.
///
/// # Panics
/// Where the data cannot be fetched, or are not what they were.
#[must_use]
pub fn measured_paints(fixtures: &Fixtures) -> (Vec<MeasuredPaint>, Measured) {
    let folder = fixtures.watercolours();
    let observer = Observer::new(fixtures);
    let (of_mixtures, of_paints) = spectra(&folder, &observer);
    let loads = loads(&folder);
    let paints = PAINTS.map(|(number, name)| {
        let mut its: Vec<(u32, [u8; 3])> =
            loads.iter().filter(|of| of.0.0 == number).map(|(&(_, load), &srgb)| (load, srgb)).collect();
        its.sort_unstable();
        let wash = |(_, srgb)| measured(&observer, srgb, &[&of_mixtures, &of_paints]);
        MeasuredPaint { name, washes: its.into_iter().map(wash).collect() }
    });
    let parents = table(&folder, "MQ_test_488_X_ok.csv");
    let paper: Vec<f64> = numbers(&parents[0])[..205].iter().skip(4).step_by(5).copied().collect();
    let paper = Measured { srgb: observer.srgb(&paper), linear_srgb: observer.linear_srgb(&paper) };
    (paints.to_vec(), paper)
}

/// 8-bit colours of the paints by themselves.
fn loads(folder: &Path) -> HashMap<Load, [u8; 3]> {
    table(folder, "PigmentRGB_primary.csv").iter().map(|row| (paint(&row[0]), colour(row))).collect()
}

fn measured(observer: &Observer, srgb: [u8; 3], spectra: &[&Spectra]) -> Measured {
    let found: Vec<&Vec<f64>> = spectra.iter().filter_map(|spectra| spectra.get(&srgb)).flatten().collect();
    let linear_srgb = if found.is_empty() { Observer::decoded(srgb) } else { observer.mean(&found) };
    Measured { srgb, linear_srgb }
}

/// Every reflectance of the data, 41 bands each: of mixtures, and of single paints.
///
/// The files of spectra don't name what they hold; the colours that the tables give were computed from them, which
/// finds them again.
fn spectra(folder: &Path, observer: &Observer) -> (Spectra, Spectra) {
    let (mut mixtures, mut paints) = (Spectra::new(), Spectra::new());
    for name in ["test_488", "train_1956"] {
        // A mixture's row holds 41 bands.
        for row in table(folder, &format!("MQ_{name}_Y_ok.csv")) {
            let spectrum = numbers(&row);
            mixtures.entry(observer.srgb(&spectrum)).or_default().push(spectrum);
        }
        // A row of parents holds, band by band, two transmittances, two reflectances and the paper's; then the amounts.
        for row in table(folder, &format!("MQ_{name}_X_ok.csv")) {
            let row = numbers(&row);
            for parent in [2, 3] {
                let spectrum: Vec<f64> = row[..205].iter().skip(parent).step_by(5).copied().collect();
                paints.entry(observer.srgb(&spectrum)).or_default().push(spectrum);
            }
        }
    }
    (mixtures, paints)
}

/// Rows of a table, without its headings.
fn table(folder: &Path, name: &str) -> Vec<Vec<String>> {
    let path = folder.join(name);
    let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let row = |line: &str| line.split(',').map(str::to_owned).collect();
    text.lines().skip(1).filter(|line| !line.is_empty()).map(row).collect()
}

fn numbers(row: &[String]) -> Vec<f64> {
    row.iter().map(|field| field.parse().expect("the data are numbers")).collect()
}

/// The last three fields, 8-bit sRGB.
fn colour(row: &[String]) -> [u8; 3] {
    let [.., r, g, b] = row else { panic!("{row:?} has no colour") };
    [r, g, b].map(|code| code.parse().expect("a code of 8 bits"))
}

/// Paint and load of a name, `C3_R_0.04ml`.
fn paint(name: &str) -> Load {
    let (paint, load) = name.split_once("_R_0.").expect("the name of a wash");
    (number(paint.trim_start_matches('C')), number(load.trim_end_matches("ml")))
}

/// Paints and amounts of a name, `R_C1C3_2_4`.
fn pair(name: &str) -> [Load; 2] {
    let fields: Vec<&str> =
        name.trim_start_matches("R_").split(['C', '_']).filter(|field| !field.is_empty()).collect();
    let [first, second, of_first, of_second] = fields[..] else { panic!("{name} is no mixture") };
    [(number(first), number(of_first)), (number(second), number(of_second))]
}

fn number(text: &str) -> u32 {
    text.parse().unwrap_or_else(|_| panic!("{text} is no whole number"))
}
