//! Puddles of one and two paints, held to measured mixtures (Chen et al. 2019, arXiv:1904.00275) and to published
//! pigments (Curtis et al. 1997): how dark they get, and what they look like when they are thinned to a tone.

use palette::convert::IntoColorUnclamped;
use palette::white_point::D65;
use palette::{Lab, LinSrgb};
use std::collections::BTreeSet;
use tonefast_core::{Curve, Dilutions, Laid, PaintedStep, PaintedStrip};
use tonefast_references::{Fixtures, MeasuredMixture, measured_paints, mixtures_to_build_on};

/// What a 90 % interval has to hold, in per cent: 300 mixtures of 39 pairs can't tell more closely.
const HOLDS: std::ops::RangeInclusive<f64> = 85.0..=95.0;

/// The same of pairs that took no part in fitting the width: one pair's mixtures go together, and 25 to 39 pairs vary
/// the share by about 6 on either side.
const LEFT_OUT_HOLDS: std::ops::RangeInclusive<f64> = 80.0..=97.0;

/// L* by which the darkest tone of a mix may be too dark or too light in the mean: half of a just noticeable difference.
const BIAS: f64 = 1.5;

/// C. J. Curtis et al., *Computer-Generated Watercolor*, SIGGRAPH 1997, pp. 421-430: K and S in R, G and B.
const CURTIS: [(&str, [f64; 3], [f64; 3]); 11] = [
    ("quinacridone rose", [0.22, 1.47, 0.57], [0.05, 0.003, 0.03]),
    ("indian red", [0.46, 1.07, 1.50], [1.28, 0.38, 0.21]),
    ("cadmium yellow", [0.10, 0.36, 3.45], [0.97, 0.65, 0.007]),
    ("hooker's green", [1.62, 0.61, 1.64], [0.01, 0.012, 0.003]),
    ("cerulean blue", [1.52, 0.32, 0.25], [0.06, 0.26, 0.40]),
    ("burnt umber", [0.74, 1.54, 2.10], [0.09, 0.09, 0.004]),
    ("cadmium red", [0.14, 1.08, 1.68], [0.77, 0.015, 0.018]),
    ("brilliant orange", [0.13, 0.81, 3.45], [0.005, 0.009, 0.007]),
    ("hansa yellow", [0.06, 0.21, 1.78], [0.50, 0.88, 0.009]),
    ("phthalo green", [1.55, 0.47, 0.63], [0.01, 0.05, 0.035]),
    ("french ultramarine", [0.86, 0.86, 0.06], [0.005, 0.005, 0.09]),
];

/// Reflectance of the ground, and thickness of the strongest wash.
const GROUND: f64 = 0.86;
const STRONGEST: f64 = 4.0;

/// How far a mix, thinned to a tone, may lie from the published pigments' in a* and b*: the median. The same layers by
/// K and S with the loads known differ by 4; a strip doesn't tell its loads.
const THINNED: f64 = 9.0;

/// Numbers of the measured paints, and their loads in hundredths of a millilitre, in the order of the data.
const NUMBERS: [u32; 13] = [1, 3, 4, 6, 7, 8, 11, 14, 15, 16, 18, 21, 22];
const LOADS: [u32; 12] = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 16];

/// What a measured mixture says of a prediction: by how much it is off, and by how much it says that it may be.
struct Judged {
    pair: [u32; 2],
    lightness: Option<(f64, f64)>,
    chroma: Option<(f64, f64)>,
    hue: Option<(f64, f64)>,
}

/// The strongest wash of a puddle, from both paints' strips up to the mixture's own load; and chroma and hue of the
/// mixture against the puddle of the whole strips, thinned to its tone.
#[test]
fn a_mix_is_as_sure_as_it_says() {
    let fixtures = Fixtures::new(env!("CARGO_TARGET_TMPDIR"));
    let judged = judged(&fixtures);
    let darkest: Vec<f64> = judged.iter().filter_map(|it| Some(it.lightness?.0)).collect();
    let bias = darkest.iter().sum::<f64>() / darkest.len() as f64;
    println!("strongest wash: bias {bias:+.2} L*, half within {:.1} ({})", median(&darkest), darkest.len());
    assert!(bias.abs() < BIAS, "{bias}");
    type Part = fn(&Judged) -> Option<(f64, f64)>;
    let parts: [(&str, Part); 3] = [("L*", |it| it.lightness), ("C*", |it| it.chroma), ("h", |it| it.hue)];
    for (name, part) in parts {
        let held = share_of_pairs(&judged, part, |_| 1.0);
        // With the width that would hold nine in ten of all other pairs.
        let left_out = share_of_pairs(&judged, part, |pair| {
            let others = judged.iter().filter(|it| it.pair != pair).filter_map(part);
            quantile(others.map(|(off, plus_minus)| off.abs() / plus_minus).collect(), 0.9)
        });
        println!("{name}: held by ± {held:.0} %, by the width fitted to the other pairs {left_out:.0} %");
        assert!(HOLDS.contains(&held), "{name}: {held}");
        assert!(LEFT_OUT_HOLDS.contains(&left_out), "{name}: {left_out}");
    }
}

/// Thinned to a tone, a mix of published pigments looks as their own layers do.
#[test]
fn a_thinned_mix_looks_as_published_pigments_do() {
    let all: Vec<Dilutions> = CURTIS.iter().map(|(name, k, s)| published(name, *k, *s)).collect();
    let (mut off, mut dark) = (Vec::new(), Vec::new());
    for (first, one) in all.iter().enumerate() {
        for (second, other) in all.iter().enumerate().skip(first + 1) {
            for share in [0.2, 0.5, 0.8] {
                let puddle = one.mixed(other, share).expect("a share");
                let mean = |one: [f64; 3], other: [f64; 3]| -> [f64; 3] {
                    std::array::from_fn(|at| (1.0 - share) * one[at] + share * other[at])
                };
                let (k, s) =
                    (mean(CURTIS[first].1, CURTIS[second].1), mean(CURTIS[first].2, CURTIS[second].2));
                for step in 0..=12 {
                    let thickness = 0.1 * (STRONGEST / 0.1).powf(f64::from(step) / 12.0);
                    let truth = lab(layers(k, s, thickness));
                    if let Some(wash) = puddle.at_tone(truth.l) {
                        let told = lab(wash.colour.linear_srgb);
                        off.push((told.a - truth.a).hypot(told.b - truth.b));
                    }
                }
                dark.push(puddle.strongest().colour.lightness - lab(layers(k, s, STRONGEST)).l);
            }
        }
    }
    let bias = dark.iter().sum::<f64>() / dark.len() as f64;
    println!(
        "thinned to a tone: half within {:.1} in a* and b*, nine in ten {:.1}; strongest {bias:+.1} L*",
        median(&off),
        quantile(off.clone(), 0.9)
    );
    assert!(median(&off) < THINNED, "{}", median(&off));
}

fn judged(fixtures: &Fixtures) -> Vec<Judged> {
    let (paints, paper) = measured_paints(fixtures);
    let paper = lab(paper.linear_srgb).l;
    let strip_of = |number: u32, up_to: usize| {
        let at = NUMBERS.iter().position(|it| *it == number)?;
        let washes = paints[at].washes[..up_to].iter().map(|wash| lab(wash.linear_srgb));
        Dilutions::of(&Curve::through(&[strip(washes, paper)])?, paper)
    };
    let puddle = |mixture: &MeasuredMixture, up_to: usize| {
        let [one, other] = mixture.paints.map(|paint| strip_of(paint, up_to));
        Some(one?.mixed(&other?, mixture.share).expect("a share"))
    };
    let judge = |mixture: MeasuredMixture| {
        let truth = lab(mixture.mixture.linear_srgb);
        let up_to = LOADS.iter().position(|load| *load == mixture.load).map(|at| at + 1);
        let strongest = up_to.and_then(|up_to| Some(puddle(&mixture, up_to)?.strongest()));
        let thinned = puddle(&mixture, LOADS.len()).and_then(|it| it.at_tone(truth.l));
        let lightness = strongest.map(|it| (it.colour.lightness - truth.l, it.lightness_plus_minus));
        let chroma = thinned.map(|it| (it.colour.chroma - truth.a.hypot(truth.b), it.chroma_plus_minus));
        let hue = thinned.and_then(|it| {
            let apart = it.colour.hue? - truth.b.atan2(truth.a).to_degrees();
            Some(((apart + 540.0).rem_euclid(360.0) - 180.0, it.hue_plus_minus?))
        });
        Judged { pair: mixture.paints, lightness, chroma, hue }
    };
    mixtures_to_build_on(fixtures).into_iter().map(judge).collect()
}

/// Share held in per cent, every pair of paints alike, each ± widened by a factor of its pair.
fn share_of_pairs(
    judged: &[Judged],
    part: fn(&Judged) -> Option<(f64, f64)>,
    widened: impl Fn([u32; 2]) -> f64,
) -> f64 {
    let pairs: BTreeSet<[u32; 2]> = judged.iter().map(|it| it.pair).collect();
    let held = pairs.into_iter().filter_map(|pair| {
        let its: Vec<_> = judged.iter().filter(|it| it.pair == pair).filter_map(part).collect();
        let factor = widened(pair);
        let inside = its.iter().filter(|(off, plus_minus)| off.abs() <= factor * plus_minus).count();
        (!its.is_empty()).then(|| inside as f64 / its.len() as f64)
    });
    let held: Vec<f64> = held.collect();
    100.0 * held.iter().sum::<f64>() / held.len() as f64
}

/// A strip of published pigment in even steps of tone, as a painter makes it.
fn published(name: &str, k: [f64; 3], s: [f64; 3]) -> Dilutions {
    let washes = [0.05, 0.1, 0.2, 0.35, 0.6, 1.0, 1.6, 2.5, STRONGEST].map(|x| lab(layers(k, s, x)));
    let paper = lab([GROUND; 3]).l;
    let curve = Curve::through(&[strip(washes, paper)]).unwrap_or_else(|| panic!("{name} is a strip"));
    Dilutions::of(&curve, paper).unwrap_or_else(|| panic!("{name} absorbs"))
}

fn strip(washes: impl IntoIterator<Item = Lab<D65, f64>>, paper: f64) -> PaintedStrip {
    let step = |wash: Lab<D65, f64>| PaintedStep {
        lightness: wash.l,
        plus_minus: 1.0,
        tint: [wash.a, wash.b],
        quad: None,
    };
    PaintedStrip {
        laid: Laid::Washes,
        wet: false,
        day: String::new(),
        paper: String::new(),
        paper_lightness: paper,
        quarters: 0,
        steps: washes.into_iter().map(step).collect(),
        wet_lightness: None,
    }
}

/// Linear light of a layer over the ground: R0 + T² Rg / (1 - R0 Rg) (Kubelka 1948), in R, G and B.
fn layers(k: [f64; 3], s: [f64; 3], thickness: f64) -> [f64; 3] {
    std::array::from_fn(|at| {
        let (absorption, scattering) = (k[at] * thickness, s[at] * thickness);
        let a = 1.0 + absorption / scattering;
        let b = (a * a - 1.0).sqrt();
        let (sinh, cosh) = ((b * scattering).sinh(), (b * scattering).cosh());
        let (alone, through) = (sinh / (a * sinh + b * cosh), b / (a * sinh + b * cosh));
        alone + through * through * GROUND / (1.0 - alone * GROUND)
    })
}

fn median(values: &[f64]) -> f64 {
    quantile(values.iter().map(|value| value.abs()).collect(), 0.5)
}

fn quantile(mut values: Vec<f64>, share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values[((values.len() - 1) as f64 * share).round() as usize]
}

fn lab([r, g, b]: [f64; 3]) -> Lab<D65, f64> {
    LinSrgb::new(r, g, b).into_color_unclamped()
}
