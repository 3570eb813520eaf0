use super::super::optics::Layer;
use super::super::painted::PaintedStep;
use super::*;
use crate::lightness_from_y;
use crate::random::Random;

/// Absorption and scattering of red, green and blue: Curtis et al. 1997, "Computer-Generated Watercolor", table of
/// pigments (quinacridone rose, indian red, cadmium yellow, hooker's green, cerulean blue, burnt umber, cadmium red,
/// brilliant orange, hansa yellow, phthalo green, french ultramarine).
const PIGMENTS: [([f64; 3], [f64; 3]); 11] = [
    ([0.22, 1.47, 0.57], [0.05, 0.003, 0.03]),
    ([0.46, 1.07, 1.50], [1.28, 0.38, 0.21]),
    ([0.10, 0.36, 3.45], [0.97, 0.65, 0.007]),
    ([1.62, 0.61, 1.64], [0.01, 0.012, 0.003]),
    ([1.52, 0.32, 0.25], [0.06, 0.26, 0.40]),
    ([0.74, 1.54, 2.10], [0.09, 0.09, 0.004]),
    ([0.14, 1.08, 1.68], [0.77, 0.015, 0.018]),
    ([0.13, 0.81, 3.45], [0.005, 0.009, 0.007]),
    ([0.06, 0.21, 1.78], [0.50, 0.88, 0.009]),
    ([1.55, 0.47, 0.63], [0.01, 0.05, 0.035]),
    ([0.86, 0.86, 0.06], [0.005, 0.005, 0.09]),
];

/// L* of a layer of so much paint on paper of luminance .866.
fn tone((absorption, scattering): ([f64; 3], [f64; 3]), load: f64) -> f64 {
    let [r, g, b] = [0, 1, 2].map(|channel| {
        let layer = Layer { absorption: absorption[channel] * load, scattering: scattering[channel] * load };
        layer.over(0.866)
    });
    lightness_from_y(0.212_639 * r + 0.715_169 * g + 0.072_192 * b)
}

/// The load that gives an L*, up to the strongest that anyone paints.
fn load(pigment: ([f64; 3], [f64; 3]), wanted: f64) -> f64 {
    let (mut low, mut high) = (1e-4, STRONGEST);
    for _ in 0..50 {
        let middle = (low + high) / 2.0;
        if tone(pigment, middle) > wanted { low = middle } else { high = middle }
    }
    low
}

const STRONGEST: f64 = 4.0;

fn strip(tones: &[f64]) -> PaintedStrip {
    let steps = tones.iter().map(|&lightness| PaintedStep {
        lightness,
        plus_minus: 1.0,
        tint: [20.0, 100.0 - lightness],
        quad: None,
    });
    PaintedStrip {
        laid: Laid::Washes,
        wet: false,
        day: String::new(),
        paper: String::new(),
        paper_lightness: 94.5,
        quarters: 0,
        steps: steps.collect(),
        wet_lightness: None,
    }
}

/// Strips by an uneven hand: steps meant to be even in tone and off by a sixth of a step, or each the half of the one
/// before, weighed as unevenly; read with an error of half an L*.
fn painted(
    pigment: ([f64; 3], [f64; 3]),
    by_halves: bool,
    count: usize,
    random: &mut Random,
) -> PaintedStrip {
    let (light, dark) = (91.0, tone(pigment, STRONGEST));
    let tones = (0..count).map(|at| {
        let part = at as f64 / (count - 1) as f64;
        let meant = if by_halves {
            tone(pigment, STRONGEST * libm::pow(0.5, (count - 1 - at) as f64 + 0.16 * random.normal()))
        } else {
            let off = (light - dark) / (count - 1) as f64 * 0.16 * random.normal();
            tone(pigment, load(pigment, light + (dark - light) * part + off))
        };
        meant + 0.5 * random.normal()
    });
    strip(&tones.collect::<Vec<_>>())
}

#[test]
fn an_interval_holds_as_many_steps_as_it_says() {
    let mut random = Random::new(71);
    let (mut held, mut all, mut widths) = (0, 0, Vec::new());
    for pigment in PIGMENTS {
        for seed in 0..24 {
            let whole = painted(pigment, seed % 3 == 2, 8 + seed % 2, &mut random);
            for out in 1..whole.steps.len() - 1 {
                // The step that is left out keeps its place: the curve runs through what stands beside it.
                let places: Vec<f64> =
                    (0..whole.steps.len()).filter(|&it| it != out).map(|it| whole.place(it)).collect();
                let tones: Vec<f64> = whole.steps.iter().map(|step| step.lightness).collect();
                let kept: Vec<f64> = (0..tones.len()).filter(|&it| it != out).map(|it| tones[it]).collect();
                let curve = Curve::through(std::slice::from_ref(&whole)).expect("it has a range");
                let without = Curve { lightness: Monotone::through(places, levelled(&kept)), ..curve };
                let there = without.at(whole.place(out));
                all += 1;
                held += usize::from((tones[out] - there.lightness).abs() <= there.plus_minus);
                widths.push(there.plus_minus);
            }
        }
    }
    widths.sort_by(f64::total_cmp);
    let (share, median) = (f64::from(held as u32) / f64::from(all as u32), widths[widths.len() / 2]);
    println!("{:.1} % of {all} steps left out lie within, in the middle ±{median:.2} L*", 100.0 * share);
    assert!((0.90..=0.97).contains(&share), "{share}");
    assert!(median <= 4.0, "{median}");
}

#[test]
fn it_goes_through_its_steps_and_never_rises() {
    let tones = [90.0, 81.0, 70.0, 58.0, 47.0, 40.0, 33.0, 29.0];
    let curve = Curve::through(&[strip(&tones)]).unwrap();
    assert_eq!((curve.steps(), curve.strips(), curve.turns_at(), curve.is_wet()), (8, 1, None, false));
    for (at, &lightness) in tones.iter().enumerate() {
        let strength = curve.of_step(at as f64 + 1.0);
        assert!((curve.at(strength).lightness - lightness).abs() < 1e-9);
        assert!((curve.strength(lightness).unwrap() - strength).abs() < 1e-6);
    }
    let fine: Vec<f64> = (0..=700).map(|at| curve.at(f64::from(at) / 700.0).lightness).collect();
    assert!(fine.windows(2).all(|pair| pair[1] <= pair[0]));
    // Not beyond what was painted.
    assert_eq!(curve.range(), (90.0, 29.0));
    assert_eq!((curve.strength(90.5), curve.strength(28.5)), (None, None));
    assert_eq!(curve.at(1.5), curve.at(1.0));
}

#[test]
fn an_uneven_hand_is_levelled_and_a_wash_that_bronzes_is_followed() {
    let uneven = Curve::through(&[strip(&[90.0, 70.0, 72.0, 40.0, 31.0, 30.0])]).unwrap();
    assert_eq!(uneven.turns_at(), None);
    assert!((uneven.at(uneven.of_step(2.0)).lightness - 71.0).abs() < 1e-9);
    assert!((uneven.at(uneven.of_step(3.0)).lightness - 71.0).abs() < 1e-9);
    let bronzes = Curve::through(&[strip(&[90.0, 70.0, 50.0, 30.0, 22.0, 27.0])]).unwrap();
    assert_eq!(bronzes.turns_at(), Some(5.0));
    assert_eq!(bronzes.range(), (90.0, 22.0));
    assert!((bronzes.at(1.0).lightness - 27.0).abs() < 1e-9);
    // The weaker of two strengths that are as dark.
    assert!(bronzes.step(bronzes.strength(25.0).unwrap()) < 5.0);
}

/// A mean of three, and a standard deviation, worked by hand: 1 and 3 apart from their means at the two steps.
#[test]
fn repeated_strips_say_how_sure_it_is() {
    let strips = [strip(&[90.0, 40.0]), strip(&[89.0, 43.0]), strip(&[91.0, 37.0])];
    let curve = Curve::through(&strips).unwrap();
    assert_eq!(curve.range(), (90.0, 40.0));
    // Sum of squares 0 + 0, 1 + 9, 1 + 9 over (3 - 1) * 2; t of 4 degrees of freedom at 95 % is 2.132 (tables).
    let expected = libm::sqrt(20.0 / 4.0) * 2.132 * libm::sqrt(1.0 + 1.0 / 3.0);
    assert!((curve.at(0.0).plus_minus / expected - 1.0).abs() < 0.01, "{:?} {expected}", curve.at(0.0));
    let alike = Curve::through(&[strip(&[90.0, 60.0, 40.0]), strip(&[90.2, 60.1, 39.9])]).unwrap();
    assert!(alike.at(0.5).plus_minus < curve.at(0.0).plus_minus / 10.0);
}

#[test]
fn a_strip_of_another_length_counts_by_its_places() {
    let curve =
        Curve::through(&[strip(&[90.0, 75.0, 60.0, 45.0, 30.0]), strip(&[90.0, 60.0, 30.0])]).unwrap();
    assert_eq!(curve.steps(), 3);
    assert!((curve.step(curve.strength(60.0).unwrap()) - 2.0).abs() < 1e-9);
}

#[test]
fn wet_strips_and_layers_stand_aside_for_dry_washes() {
    let wet = PaintedStrip { wet: true, ..strip(&[88.0, 30.0]) };
    let layers = PaintedStrip { laid: Laid::Layers, ..strip(&[70.0, 20.0]) };
    assert_eq!(Curve::through(std::slice::from_ref(&layers)), None);
    let provisional = Curve::through(&[wet.clone(), layers.clone()]).unwrap();
    assert!(provisional.is_wet() && provisional.range() == (88.0, 30.0));
    let dry = Curve::through(&[strip(&[89.0, 32.0]), wet, layers]).unwrap();
    assert!(!dry.is_wet() && dry.range() == (89.0, 32.0));
    assert_eq!(Curve::through(&[strip(&[50.0, 50.0])]), None);
    assert_eq!(Curve::through(&[]), None);
}

/// Quantiles of Student's t at 95 %, from printed tables: 2.132 (4), 1.812 (10), 1.697 (30).
#[test]
fn students_quantiles_are_the_tables() {
    for (freedom, quantile) in [(4.0, 2.132), (10.0, 1.812), (30.0, 1.697)] {
        assert!((student(freedom) - quantile).abs() < 0.01, "{freedom}");
    }
}
