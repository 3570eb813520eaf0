//! How the excess of absorption in core's model of mixing was chosen: with each pair of paints left out in turn, on
//! measured mixtures (Chen et al. 2019, arXiv:1904.00275). The model is written here a second time, so that the excess
//! can be varied; core's own has to agree with it.

use palette::color_difference::Ciede2000;
use palette::convert::IntoColorUnclamped;
use palette::white_point::D65;
use palette::{Lab, LinSrgb};
use std::collections::BTreeSet;
use tonefast_core::{Reflectance, SPECTRAL_BANDS, Wash};
use tonefast_references::{Fixtures, MeasuredMixture, mixtures_to_build_on};

type Bands = [f64; SPECTRAL_BANDS];

/// The excess that core has.
const CHOSEN: f64 = 1.5;

/// Goals with pairs left out: half of a just noticeable difference, and what two viewers with the same paints differ by.
const BIAS: f64 = 1.5;
const MEDIAN: f64 = 5.0;
const ALL_PAIRS: f64 = 0.96;
const COLOURED_PAIRS: f64 = 0.98;

/// Chroma above which a parent is coloured.
const COLOURED: f64 = 15.0;

/// Differences beyond this are one mishap, not several: they count no more.
const WORST: f64 = 20.0;

/// A mixture with what is computed once: both parents as layers, and the truth.
struct Case {
    pair: [u32; 2],
    share: f64,
    load: u32,
    layers: [Layers; 2],
    chroma: [f64; 2],
    truth: Lab<D65, f64>,
}

struct Layers {
    absorption: Bands,
    scattering: f64,
    off: [f64; 3],
}

/// One prediction against its truth.
#[derive(Clone, Copy)]
struct Off {
    case: usize,
    lightness: f64,
    difference: f64,
    kept: f64,
}

#[test]
fn core_has_the_model_that_is_weighed_here() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    for mixture in &mixtures {
        let [one, other] =
            mixture.parents.map(|it| Wash::measured(it.linear_srgb).expect("it was measured on paper"));
        let core = lab(one.mixed(&other, mixture.share).expect("a share").colour.linear_srgb);
        let here = case(mixture).mixed(CHOSEN);
        assert!(core.difference(here) < 0.01, "{}: {core:?} {here:?}", mixture.name);
    }
}

#[test]
fn goals_are_met_by_pairs_that_took_no_part_in_the_choice() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    let cases: Vec<Case> = mixtures.iter().map(case).collect();
    let tried: Vec<(f64, Vec<Off>)> = (0..=10)
        .map(|quarter| 0.25 * f64::from(quarter))
        .map(|excess| (excess, all(&cases, excess)))
        .collect();
    let pairs: BTreeSet<[u32; 2]> = cases.iter().map(|it| it.pair).collect();
    let (mut left_out, mut choices) = (Vec::new(), Vec::new());
    for pair in pairs {
        let others = |off: &&Off| cases[off.case].pair != pair;
        let cost = |all: &Vec<Off>| cost(&cases, &all.iter().filter(others).copied().collect::<Vec<_>>());
        let best =
            tried.iter().min_by(|one, two| cost(&one.1).total_cmp(&cost(&two.1))).expect("some were tried");
        choices.push(best.0);
        left_out.extend(best.1.iter().filter(|off| cases[off.case].pair == pair).copied());
    }
    let range =
        (choices.iter().copied().fold(f64::MAX, f64::min), choices.iter().copied().fold(0.0, f64::max));
    println!("chosen with a pair left out: {range:?}; core has {CHOSEN}");
    println!(
        "| mixtures | median ΔE00 | bias of L* | bias, both C* > {COLOURED} | AUC, all | AUC, both C* > {COLOURED} |"
    );
    println!("|---|---|---|---|---|---|");
    let chosen = all(&cases, CHOSEN);
    let without = all(&cases, 0.0);
    let figures = [
        ("left out in turn", &left_out, None),
        ("core's", &chosen, None),
        ("core's, .04 ml", &chosen, Some(4)),
        ("core's, .08 ml", &chosen, Some(8)),
        ("no excess", &without, None),
        ("no excess, .04 ml", &without, Some(4)),
        ("no excess, .08 ml", &without, Some(8)),
    ]
    .map(|(name, all, load)| {
        let some: Vec<Off> =
            all.iter().filter(|off| load.is_none_or(|load| cases[off.case].load == load)).copied().collect();
        let its = figures(&cases, &some);
        println!(
            "| {name} | {:.2} | {:+.2} | {:+.2} | {:.3} | {:.3} |",
            its[0], its[1], its[2], its[3], its[4]
        );
        its
    });
    for its in &figures[..2] {
        assert!(its[0] < MEDIAN && its[1].abs() < BIAS && its[2].abs() < BIAS, "{its:?}");
        assert!(its[3] > ALL_PAIRS && its[4] > COLOURED_PAIRS, "{its:?}");
    }
    // Both loads together: what is too light at one is too dark at the other.
    let both = |axis: usize| 0.5 * (figures[2][axis] + figures[3][axis]);
    assert!(both(1).abs() < BIAS && both(2).abs() < BIAS, "{} {}", both(1), both(2));
}

/// Median ΔE00, bias of L* of all and of two coloured parents, and areas under the curve of all and of those.
fn figures(cases: &[Case], offs: &[Off]) -> [f64; 5] {
    let mut differences: Vec<f64> = offs.iter().map(|off| off.difference).collect();
    differences.sort_by(f64::total_cmp);
    let coloured: Vec<Off> = offs.iter().filter(|off| is_coloured(&cases[off.case])).copied().collect();
    let bias = |offs: &[Off]| offs.iter().map(|off| off.lightness).sum::<f64>() / offs.len() as f64;
    let middle = differences[differences.len() / 2];
    [middle, bias(offs), bias(&coloured), area(cases, offs), area(cases, &coloured)]
}

/// Mean ΔE00, every pair of paints alike, and what a bias costs beside it.
fn cost(cases: &[Case], offs: &[Off]) -> f64 {
    let of_pair = |pair| offs.iter().filter(|off| cases[off.case].pair == pair).count() as f64;
    let weights: Vec<f64> = offs.iter().map(|off| 1.0 / of_pair(cases[off.case].pair)).collect();
    let mean = |some: &dyn Fn(&Off) -> bool, value: &dyn Fn(&Off) -> f64| {
        let its = offs.iter().zip(&weights).filter(|(off, _)| some(off));
        let (sum, all) =
            its.fold((0.0, 0.0), |(sum, all), (off, weight)| (sum + weight * value(off), all + weight));
        sum / all
    };
    mean(&|_| true, &|off| off.difference.min(WORST))
        + 0.1 * mean(&|off| is_coloured(&cases[off.case]), &|off| off.lightness).powi(2)
        + 0.1 * mean(&|_| true, &|off| off.lightness).powi(2)
}

/// How often a dull mixture is told to keep less of its parents' chroma than a clean one.
fn area(cases: &[Case], offs: &[Off]) -> f64 {
    let is_dull = |off: &&Off| {
        let case = &cases[off.case];
        case.truth.a.hypot(case.truth.b) < 0.25 * (case.chroma[0] + case.chroma[1])
    };
    let (dull, clean): (Vec<&Off>, Vec<&Off>) = offs.iter().partition(is_dull);
    let above =
        dull.iter().flat_map(|one| clean.iter().map(move |two| f64::from(u8::from(one.kept < two.kept))));
    above.sum::<f64>() / (dull.len() * clean.len()) as f64
}

fn is_coloured(case: &Case) -> bool {
    case.chroma.iter().all(|chroma| *chroma > COLOURED)
}

fn all(cases: &[Case], excess: f64) -> Vec<Off> {
    let off = |(at, case): (usize, &Case)| {
        let told = case.mixed(excess);
        // What is no more than an error of measurement is put on both sides, as core does.
        let kept = (told.a.hypot(told.b) + 3.0) / (0.5 * (case.chroma[0] + case.chroma[1]) + 3.0);
        Off { case: at, lightness: told.l - case.truth.l, difference: told.difference(case.truth), kept }
    };
    cases.iter().enumerate().map(off).collect()
}

fn case(mixture: &MeasuredMixture) -> Case {
    let colours = mixture.parents.map(|it| lab(it.linear_srgb));
    Case {
        pair: mixture.paints,
        share: mixture.share,
        load: mixture.load,
        layers: mixture.parents.map(|it| Layers::of(it.linear_srgb)),
        chroma: colours.map(|it| it.a.hypot(it.b)),
        truth: lab(mixture.mixture.linear_srgb),
    }
}

impl Layers {
    fn of(linear_srgb: [f64; 3]) -> Self {
        let inside = Reflectance::upsampled(linear_srgb).bands().map(without_surface);
        let scattering = 1.1 * inside.iter().copied().fold(1.0, f64::min).sqrt();
        let absorption = inside.map(|shown| absorption(shown, scattering));
        let (wanted, had) = (lab(linear_srgb), shown(&inside));
        Self { absorption, scattering, off: [wanted.l - had.l, wanted.a - had.a, wanted.b - had.b] }
    }
}

impl Case {
    fn mixed(&self, excess: f64) -> Lab<D65, f64> {
        let [one, other] = &self.layers;
        let mean = |first: f64, second: f64| (1.0 - self.share) * first + self.share * second;
        let both = || one.absorption.iter().zip(&other.absorption);
        let common: f64 = both().map(|(first, second)| first.min(*second)).sum();
        let overlap = common / both().map(|(first, second)| first.max(*second)).sum::<f64>();
        let excess = excess * self.share * (1.0 - self.share) * (1.0 - overlap);
        let scattering = mean(one.scattering, other.scattering);
        let inside: Bands = std::array::from_fn(|band| {
            let (first, second) = (one.absorption[band], other.absorption[band]);
            over_white(mean(first, second) + excess * first.min(second), scattering)
        });
        let off: [f64; 3] = std::array::from_fn(|axis| mean(one.off[axis], other.off[axis]));
        let told = shown(&inside);
        Lab::new(told.l + off[0], told.a + off[1], told.b + off[2])
    }
}

/// Reflectance of a layer over a perfect white (Kubelka 1948).
fn over_white(absorption: f64, scattering: f64) -> f64 {
    if absorption < 1e-12 {
        return 1.0;
    }
    let a = 1.0 + absorption / scattering;
    let b = (a * a - 1.0).sqrt();
    let coth = 1.0 / (b * scattering).tanh();
    (1.0 - (a - b * coth)) / (a - 1.0 + b * coth)
}

/// The absorption that shows a reflectance, by halving.
fn absorption(shown: f64, scattering: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1e3);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if over_white(middle, scattering) > shown { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// CIELAB of reflectances inside the paint.
fn shown(inside: &Bands) -> Lab<D65, f64> {
    lab(Reflectance::measured(inside.map(with_surface)).linear_srgb())
}

/// Core's surface, .0275, and its floor, .004.
fn without_surface(reflectance: f64) -> f64 {
    floored(reflectance - 0.0275) / floored(1.0 - 0.0275)
}

fn with_surface(inside: f64) -> f64 {
    let above = inside * floored(1.0 - 0.0275);
    above - 0.004_f64.powi(2) / above + 0.0275
}

fn floored(x: f64) -> f64 {
    0.5 * (x + (x * x + 4.0 * 0.004_f64.powi(2)).sqrt())
}

fn lab([r, g, b]: [f64; 3]) -> Lab<D65, f64> {
    LinSrgb::new(r, g, b).into_color_unclamped()
}
