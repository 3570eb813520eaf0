//! What painters know of their paints (common practice), held to measured ones: Chen et al. 2019 (arXiv:1904.00275),
//! and pigments that only Curtis et al. 1997 have.

use palette::convert::IntoColorUnclamped;
use palette::white_point::D65;
use palette::{Lab, LinSrgb};
use tonefast_core::{Outcome, Wash};
use tonefast_references::{Fixtures, MeasuredMixture, measured_paints, mixtures_to_build_on};

/// Steps of the common ladder, from the paper to the darkest paint.
const STEPS: usize = 9;

/// L* of the paper of the measured paints (D65, 2°), as it was computed from the same data by colour-science 0.4.7.
const PAPER: f64 = 94.53;

/// Half of the last digit given.
const ROUNDING: f64 = 0.005;

/// C. J. Curtis et al., *Computer-Generated Watercolor*, SIGGRAPH 1997, pp. 421-430: K and S in R, G and B of the
/// pigments that the measured set lacks, and of one that it has.
const CURTIS: [(&str, [f64; 3], [f64; 3]); 3] = [
    ("hansa yellow (Curtis)", [0.06, 0.21, 1.78], [0.50, 0.88, 0.009]),
    ("quinacridone rose (Curtis)", [0.22, 1.47, 0.57], [0.05, 0.003, 0.03]),
    ("french ultramarine (Curtis)", [0.86, 0.86, 0.06], [0.005, 0.005, 0.09]),
];

/// Reflectance of the ground and thickest layer of strips made from that table.
const CURTIS_GROUND: f64 = 0.86;
const CURTIS_THICKEST: f64 = 4.0;

/// Common practice: yellows have the shortest range of tone and stop in the lightest half of one common ladder;
/// ultramarine, alizarin and rose pass its middle.
#[test]
fn yellows_stop_where_blues_and_reds_go_on() {
    let (paints, paper) = measured_paints(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    let paper = lab(paper.linear_srgb).l;
    assert!((paper - PAPER).abs() < ROUNDING, "{paper}");
    let measured = paints.iter().map(|paint| {
        assert_eq!(paint.washes.len(), 12, "{}", paint.name);
        let tones = paint.washes.iter().map(|wash| lab(wash.linear_srgb).l);
        (paint.name, tones.fold(f64::INFINITY, f64::min))
    });
    let made = CURTIS.iter().map(|&(name, k, s)| {
        let rgb = std::array::from_fn(|at| layer(k[at] * CURTIS_THICKEST, s[at] * CURTIS_THICKEST));
        (name, lab(rgb).l)
    });
    let reach: Vec<(&str, f64)> = measured.chain(made).collect();
    let darkest = reach.iter().map(|reach| reach.1).fold(f64::INFINITY, f64::min);
    let step = (paper - darkest) / (STEPS - 1) as f64;
    let middle = 0.5 * (paper + darkest);
    println!("a ladder of {STEPS} from {paper:.1} to {darkest:.1}, {step:.1} apart");
    for (name, reach) in &reach {
        // The paper is the first step; a paint as dark as half way to the next one fills that, too.
        let filled = 1 + ((paper - reach) / step).round() as usize;
        println!("{name}: L* {reach:.1}, {filled} steps");
    }
    let of = |name| reach.iter().find(|reach| reach.0 == name).expect("it is in one of the tables").1;
    for yellow in ["lemon yellow", "cadmium yellow", CURTIS[0].0] {
        assert!(of(yellow) > middle, "{yellow}: {}", of(yellow));
    }
    for dark in ["ultramarine", "alizarin crimson", CURTIS[1].0, CURTIS[2].0] {
        assert!(of(dark) < middle, "{dark}: {}", of(dark));
    }
}

/// Common practice: complementaries grey each other (red and green, orange and blue, yellow and violet blue), in the
/// mean of all shares from 1:2 to 2:1; measured so, and foretold so.
#[test]
fn complementaries_grey_each_other() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    for (pair, names) in [
        ([1, 11], "cadmium red and sap green"),
        ([3, 11], "alizarin crimson and sap green"),
        ([4, 14], "burnt sienna and cerulean blue"),
        ([8, 14], "raw sienna and cerulean blue"),
        ([6, 16], "lemon yellow and ultramarine"),
        ([7, 16], "cadmium yellow and ultramarine"),
    ] {
        let (kept, foretold) = kept_and_lost(&mixtures, pair, names);
        assert!(mean(&kept) < 0.5, "{names}: {kept:?}");
        let lost: Vec<f64> = foretold.iter().map(|mixture| mixture.dullness).collect();
        assert!(mean(&lost) > 0.5, "{names}: {lost:?}");
    }
}

/// Common practice: neighbours on the circle of hues stay clean.
#[test]
fn neighbours_stay_clean() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    for (pair, names) in [
        ([6, 7], "lemon yellow and cadmium yellow"),
        ([7, 8], "cadmium yellow and raw sienna"),
        ([4, 7], "burnt sienna and cadmium yellow"),
        ([4, 8], "burnt sienna and raw sienna"),
        ([1, 8], "cadmium red and raw sienna"),
        ([14, 15], "cerulean blue and cobalt blue"),
        ([14, 16], "cerulean blue and ultramarine"),
    ] {
        let (kept, foretold) = kept_and_lost(&mixtures, pair, names);
        assert!(kept.iter().all(|&kept| kept > 0.5), "{names}: {kept:?}");
        assert!(foretold.iter().all(|mixture| mixture.outcome == Outcome::Clean), "{names}: {foretold:?}");
    }
}

/// Share of the parents' mean chroma that each measured mixture of a pair keeps, and what is foretold of it.
fn kept_and_lost(
    mixtures: &[MeasuredMixture],
    pair: [u32; 2],
    names: &str,
) -> (Vec<f64>, Vec<tonefast_core::Mixture>) {
    let of_pair: Vec<_> = mixtures.iter().filter(|mixture| mixture.paints == pair).collect();
    assert!(of_pair.len() >= 5, "{names}: {}", of_pair.len());
    let chroma = |linear_srgb| {
        let lab = lab(linear_srgb);
        lab.a.hypot(lab.b)
    };
    let kept = of_pair.iter().map(|mixture| {
        let [one, other] = mixture.parents.map(|parent| chroma(parent.linear_srgb));
        chroma(mixture.mixture.linear_srgb) / (0.5 * (one + other))
    });
    let foretold = of_pair.iter().map(|mixture| {
        let [one, other] = mixture
            .parents
            .map(|parent| Wash::measured(parent.linear_srgb).expect("it was measured on paper"));
        one.mixed(&other, mixture.share).expect("a share")
    });
    let (kept, foretold): (Vec<f64>, Vec<_>) = (kept.collect(), foretold.collect());
    let lost: Vec<f64> = foretold.iter().map(|mixture| mixture.dullness).collect();
    println!("{names} ({}): keep {:.2}, foretold to lose {:.2}", kept.len(), mean(&kept), mean(&lost));
    (kept, foretold)
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Reflectance of a layer over the ground: R0 + T² Rg / (1 - R0 Rg) (Kubelka 1948).
fn layer(absorption: f64, scattering: f64) -> f64 {
    let a = 1.0 + absorption / scattering;
    let b = (a * a - 1.0).sqrt();
    let (sinh, cosh) = ((b * scattering).sinh(), (b * scattering).cosh());
    let (alone, through) = (sinh / (a * sinh + b * cosh), b / (a * sinh + b * cosh));
    alone + through * through * CURTIS_GROUND / (1.0 - alone * CURTIS_GROUND)
}

fn lab([r, g, b]: [f64; 3]) -> Lab<D65, f64> {
    LinSrgb::new(r, g, b).into_color_unclamped()
}
