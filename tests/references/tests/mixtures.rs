//! Mixtures of paint, held to measured ones (Chen et al. 2019), and the models that were weighed against each other.

use palette::color_difference::Ciede2000;
use palette::convert::IntoColorUnclamped;
use palette::white_point::D65;
use palette::{Lab, LinSrgb};
use tonefast_core::{Outcome, Reflectance, SPECTRAL_BANDS, Wash};
use tonefast_references::{Fixtures, Measured, MeasuredMixture, Observer, mixtures_to_build_on};

/// Goals, for mixtures that a painter would make of measured paints: median ΔE00 of what is foretold (two viewers with
/// the same paints differ as much), bias of L* (half of a just noticeable difference), and how well dull mixtures are
/// told from clean ones, as the area under the receiver's curve, of all pairs and of two coloured parents.
const MEDIAN: f64 = 6.0;
const BIAS: f64 = 1.5;
const ALL_PAIRS: f64 = 0.96;
const COLOURED_PAIRS: f64 = 0.98;

/// Chroma above which both parents are coloured.
const COLOURED: f64 = 15.0;

/// How far the sureness that is told may be from the share that was right, in the mean: 300 mixtures of 39 pairs of
/// paints give a share of .9 an error of about .05, since those of one pair go together.
const SURENESS: f64 = 0.05;

/// Two ways to tell the same: as a colour that may lie outside sRGB, and in 8 bits.
#[derive(Clone, Copy)]
enum As {
    Measured,
    EightBits,
}

/// A model's answers, in the order of the mixtures.
struct Foretold {
    name: &'static str,
    colours: Vec<Lab<D65, f64>>,
    /// The more, the duller.
    dullness: Vec<f64>,
}

struct Figures {
    median: f64,
    ninth: f64,
    bias: f64,
    area: f64,
    coloured_area: f64,
}

/// Mixes two colours, as linear sRGB, by a share of the second.
type Model = fn([[f64; 3]; 2], f64) -> Lab<D65, f64>;

#[test]
fn the_chosen_model_meets_its_goals_and_beats_every_simpler_one() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    assert_eq!(mixtures.len(), 308);
    for kind in [As::Measured, As::EightBits] {
        let models = models(&mixtures, kind);
        let figures: Vec<Figures> = models.iter().map(|model| figures(&mixtures, model, kind)).collect();
        println!("| model | median ΔE00 | 90 % | bias of L* | AUC, all pairs | AUC, both C* > {COLOURED} |");
        println!("|---|---|---|---|---|---|");
        for (model, its) in models.iter().zip(&figures) {
            println!(
                "| {} | {:.2} | {:.1} | {:+.2} | {:.3} | {:.3} |",
                model.name, its.median, its.ninth, its.bias, its.area, its.coloured_area
            );
        }
        let (chosen, simpler) = figures.split_first().expect("there are models");
        assert!(chosen.median < MEDIAN, "{}", chosen.median);
        assert!(chosen.bias.abs() < BIAS, "{}", chosen.bias);
        assert!(chosen.area > ALL_PAIRS, "{}", chosen.area);
        assert!(chosen.coloured_area > COLOURED_PAIRS, "{}", chosen.coloured_area);
        for (its, model) in simpler.iter().zip(&models[1..]) {
            assert!(chosen.median < its.median, "{} is as good: {}", model.name, its.median);
            assert!(chosen.area > its.area, "{} tells dull ones as well: {}", model.name, its.area);
        }
    }
}

/// Why layers are thin: thick ones with the same surface and the same scattering foretell colours as well, and tell dull
/// mixtures from clean ones worse.
#[test]
fn thick_layers_tell_dull_mixtures_worse() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    for kind in [As::Measured, As::EightBits] {
        let thick = foretold("thick layers, the rest as chosen", &mixtures, kind, |parents, share| {
            let spectra = parents.map(Reflectance::upsampled);
            let [one, other] = spectra.each_ref().map(|spectrum| spectrum.luminance().powf(0.3));
            let weight = share * other / ((1.0 - share) * one + share * other);
            by_band(&spectra, weight, |r| ks(without_surface(r)), |q| with_surface(from_ks(q)))
        });
        let thin = figures(&mixtures, &models(&mixtures, kind)[0], kind);
        let thick = figures(&mixtures, &thick, kind);
        println!("thin {:.2} {:.3} {:.3}", thin.median, thin.area, thin.coloured_area);
        println!("thick {:.2} {:.3} {:.3}", thick.median, thick.area, thick.coloured_area);
        assert!(thin.area > thick.area && thin.coloured_area > thick.coloured_area);
    }
}

#[test]
fn it_is_as_sure_as_it_is_right() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    let mut told: Vec<(f64, bool)> = mixtures
        .iter()
        .map(|mixture| {
            let foretold = run_together(mixture, As::Measured);
            (foretold.sureness, (foretold.outcome == Outcome::Dull) == is_dull(mixture, As::Measured))
        })
        .collect();
    told.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mean = |told: &[(f64, bool)]| {
        let count = told.len() as f64;
        let right = told.iter().filter(|told| told.1).count() as f64;
        (told.iter().map(|told| told.0).sum::<f64>() / count, right / count)
    };
    for third in told.chunks(told.len().div_ceil(3)) {
        let (sure, right) = mean(third);
        println!("told {sure:.2} sure, right {right:.2} ({})", third.len());
    }
    let (sure, right) = mean(&told);
    println!("told {sure:.3} sure, right {right:.3}");
    assert!((sure - right).abs() < SURENESS, "{sure} {right}");
    let (doubtful, certain) = (mean(&told[..60]).1, mean(&told[told.len() - 60..]).1);
    assert!(certain > doubtful + 0.1, "{doubtful} {certain}");
}

/// What core's documentation says of a mixture's tone: half within 2.5 L*, nine in ten within 9.
#[test]
fn tone_is_foretold_as_well_as_is_said() {
    let mixtures = mixtures_to_build_on(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    let mut off: Vec<f64> = mixtures
        .iter()
        .map(|mixture| {
            let told = run_together(mixture, As::Measured).colour.lightness;
            (told - lab(mixture.mixture.linear_srgb).l).abs()
        })
        .collect();
    off.sort_by(f64::total_cmp);
    let (half, nine_tenths) = (off[off.len() / 2], off[off.len() * 9 / 10]);
    println!("half within {half:.2} L*, nine in ten within {nine_tenths:.2}");
    assert!(half < 2.75 && nine_tenths < 9.5, "{half} {nine_tenths}");
}

/// Core's tables end at 730 nm and are its own copy: colours of smooth spectra agree with the published tables' to a
/// tenth of what an eye can tell.
#[test]
fn colours_of_spectra_agree_with_the_published_tables() {
    let observer = Observer::new(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    let mut worst = 0.0_f64;
    for step in 0..60 {
        let middle = 420.0 + 5.0 * f64::from(step);
        for (low, high) in [(0.03, 0.9), (0.9, 0.03), (0.3, 0.6)] {
            let at = |nm: f64| low + (high - low) / (1.0 + (-(nm - middle) / 20.0).exp());
            let bands: [f64; SPECTRAL_BANDS] = std::array::from_fn(|band| at(Reflectance::wavelength(band)));
            let theirs: Vec<f64> = (0..41).map(|band| at(380.0 + 10.0 * f64::from(band))).collect();
            let (ours, theirs) = (Reflectance::measured(bands).linear_srgb(), observer.linear_srgb(&theirs));
            worst = worst.max(lab(ours).difference(lab(theirs)));
        }
    }
    println!("worst {worst:.3} ΔE00");
    assert!(worst < 0.1, "{worst}");
}

/// The chosen model first, then simpler ones, best first.
fn models(mixtures: &[MeasuredMixture], kind: As) -> Vec<Foretold> {
    let chosen: Vec<_> = mixtures.iter().map(|mixture| run_together(mixture, kind)).collect();
    let mut models = vec![Foretold {
        name: "thin layers, surface taken off, lighter paints scatter more (chosen)",
        colours: chosen.iter().map(|mixture| lab(mixture.colour.linear_srgb)).collect(),
        dullness: chosen.iter().map(|mixture| mixture.dullness).collect(),
    }];
    let simpler: [(&'static str, Model); 6] = [
        ("thick layers, surface taken off", |parents, share| {
            let spectra = parents.map(Reflectance::upsampled);
            by_band(&spectra, share, |r| ks(without_surface(r)), |q| with_surface(from_ks(q)))
        }),
        ("thick layers: spectral K/S", |parents, share| {
            by_band(&parents.map(Reflectance::upsampled), share, ks, from_ks)
        }),
        ("three-channel K/S", |parents, share| by_channel(parents, share, ks, from_ks)),
        ("weighted geometric mean of linear RGB", |parents, share| {
            by_channel(parents, share, f64::ln, f64::exp)
        }),
        ("CIELAB midpoint", |parents, share| {
            let [one, other] = parents.map(lab);
            one + (other - one) * share
        }),
        ("linear RGB mean", |parents, share| {
            lab(std::array::from_fn(|at| (1.0 - share) * parents[0][at] + share * parents[1][at]))
        }),
    ];
    models.extend(simpler.map(|(name, model)| foretold(name, mixtures, kind, model)));
    models
}

fn foretold(
    name: &'static str,
    mixtures: &[MeasuredMixture],
    kind: As,
    model: fn([[f64; 3]; 2], f64) -> Lab<D65, f64>,
) -> Foretold {
    let colours: Vec<_> = mixtures
        .iter()
        .map(|mixture| model([0, 1].map(|at| seen(mixture.parents[at], kind)), mixture.share))
        .collect();
    // The more of the parents' chroma is left, the less dull; what is no more than an error of measurement is put on
    // both sides, as core does.
    let left = |(colour, mixture): (&Lab<D65, f64>, &MeasuredMixture)| {
        -(chroma(*colour) + 3.0) / (mean_chroma(mixture, kind) + 3.0)
    };
    let dullness = colours.iter().zip(mixtures).map(left).collect();
    Foretold { name, colours, dullness }
}

fn run_together(mixture: &MeasuredMixture, kind: As) -> tonefast_core::Mixture {
    let [first, second] =
        [0, 1].map(|at| Wash::measured(seen(mixture.parents[at], kind)).expect("it was measured on paper"));
    first.mixed(&second, mixture.share).expect("a share")
}

fn figures(mixtures: &[MeasuredMixture], model: &Foretold, kind: As) -> Figures {
    let truths: Vec<Lab<D65, f64>> =
        mixtures.iter().map(|mixture| lab(seen(mixture.mixture, kind))).collect();
    let mut off: Vec<f64> =
        model.colours.iter().zip(&truths).map(|(told, truth)| told.difference(*truth)).collect();
    off.sort_by(f64::total_cmp);
    let bias = model.colours.iter().zip(&truths).map(|(told, truth)| told.l - truth.l).sum::<f64>();
    let scored: Vec<(f64, bool, bool)> = mixtures
        .iter()
        .zip(&model.dullness)
        .map(|(mixture, &dullness)| (dullness, is_dull(mixture, kind), is_coloured(mixture, kind)))
        .collect();
    let all: Vec<(f64, bool)> = scored.iter().map(|&(score, dull, _)| (score, dull)).collect();
    let coloured: Vec<(f64, bool)> =
        scored.iter().filter(|scored| scored.2).map(|&(score, dull, _)| (score, dull)).collect();
    let count = off.len();
    Figures {
        median: 0.5 * (off[(count - 1) / 2] + off[count / 2]),
        ninth: off[count * 9 / 10],
        bias: bias / count as f64,
        area: area(&all),
        coloured_area: area(&coloured),
    }
}

/// Area under the receiver's operating curve: how often a dull mixture scores above a clean one, ties by half.
fn area(scored: &[(f64, bool)]) -> f64 {
    let of = |dull| scored.iter().filter(move |scored| scored.1 == dull).map(|scored| scored.0);
    let (mut above, mut pairs) = (0.0, 0.0);
    for dull in of(true) {
        for clean in of(false) {
            pairs += 1.0;
            above += if dull > clean {
                1.0
            } else if dull < clean {
                0.0
            } else {
                0.5
            };
        }
    }
    above / pairs
}

fn is_dull(mixture: &MeasuredMixture, kind: As) -> bool {
    chroma(lab(seen(mixture.mixture, kind))) < 0.5 * mean_chroma(mixture, kind)
}

fn is_coloured(mixture: &MeasuredMixture, kind: As) -> bool {
    mixture.parents.iter().all(|&parent| chroma(lab(seen(parent, kind))) > COLOURED)
}

fn mean_chroma(mixture: &MeasuredMixture, kind: As) -> f64 {
    mixture.parents.iter().map(|&parent| chroma(lab(seen(parent, kind)))).sum::<f64>() / 2.0
}

fn seen(measured: Measured, kind: As) -> [f64; 3] {
    match kind {
        As::Measured => measured.linear_srgb,
        As::EightBits => Observer::decoded(measured.srgb),
    }
}

fn lab([r, g, b]: [f64; 3]) -> Lab<D65, f64> {
    LinSrgb::new(r, g, b).into_color_unclamped()
}

fn chroma(lab: Lab<D65, f64>) -> f64 {
    lab.a.hypot(lab.b)
}

/// Mixed band by band.
fn by_band(
    spectra: &[Reflectance; 2],
    share: f64,
    into: impl Fn(f64) -> f64,
    back: impl Fn(f64) -> f64,
) -> Lab<D65, f64> {
    let [first, second] = spectra.each_ref().map(Reflectance::bands);
    let mixed =
        std::array::from_fn(|band| back((1.0 - share) * into(first[band]) + share * into(second[band])));
    lab(Reflectance::measured(mixed).linear_srgb())
}

/// Mixed channel by channel, what lies outside sRGB clipped.
fn by_channel(
    parents: [[f64; 3]; 2],
    share: f64,
    into: impl Fn(f64) -> f64,
    back: impl Fn(f64) -> f64,
) -> Lab<D65, f64> {
    let [first, second] = parents.map(|rgb| rgb.map(|channel| channel.clamp(1e-3, 0.999)));
    lab(std::array::from_fn(|at| back((1.0 - share) * into(first[at]) + share * into(second[at]))))
}

/// K/S of a thick layer (Kubelka & Munk 1931).
fn ks(reflectance: f64) -> f64 {
    (1.0 - reflectance).powi(2) / (2.0 * reflectance)
}

fn from_ks(q: f64) -> f64 {
    1.0 / (1.0 + q + (q * q + 2.0 * q).sqrt())
}

/// Core's surface and floor: what stays inside when .025 is thrown back outside.
fn without_surface(reflectance: f64) -> f64 {
    let above = reflectance - 0.025;
    (0.5 * (above + (above * above + 0.008_f64.powi(2)).sqrt()) / 0.975).min(1.0)
}

fn with_surface(inside: f64) -> f64 {
    let above = inside * 0.975;
    above - 0.004_f64.powi(2) / above + 0.025
}
