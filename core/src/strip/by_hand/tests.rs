//! Strips marked by hand, against drawn photographs' truth.

use super::super::scene::{Drawn, Scene};
use super::super::{StripWarning, strips};
use super::*;
use crate::random::Random;
use crate::{Bands, Circumstances, Light, Patch, PatchKind, Reading, Spot};

const PAPER: f64 = 94.53;

/// One strip with gaps, straight on, in a warm light that falls off.
fn scene(loads: Vec<f64>) -> Scene {
    Scene {
        size: (1280, 960),
        strips: vec![Drawn {
            pigment: 0,
            loads,
            corner: (0.15, 0.4),
            length: 0.7,
            breadth: 0.14,
            gap: 0.2,
            rough: 1.0,
            numbered: false,
            bloom: None,
        }],
        look: [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0],
        light: [0.9, 0.8, 0.6],
        falls: (0.15, 0.1),
        noise: 0.01,
        shadow: None,
        cockled: 0.0,
        table: None,
    }
}

/// What a careful finger marks: the swatches' corners, in and out by some pixels.
fn marked(scene: &Scene, random: &mut Random) -> Vec<Quad> {
    let strip = &scene.strips[0];
    let step = strip.length / strip.loads.len() as f64;
    let (width, height) = (scene.size.0 as f64, scene.size.1 as f64);
    (0..strip.loads.len())
        .map(|at| {
            let from = strip.corner.0 + (at as f64 + strip.gap / 2.0) * step;
            let to = from + (1.0 - strip.gap) * step;
            let (top, bottom) = (strip.corner.1, strip.corner.1 + strip.breadth);
            [[from, top], [to, top], [to, bottom], [from, bottom]].map(|[x, y]| {
                [x * width + random.within((-6.0, 6.0)), y * height + random.within((-6.0, 6.0))]
            })
        })
        .collect()
}

/// How far steps are off at the most.
fn off(strip: &Strip, truth: &[f64]) -> f64 {
    assert_eq!(strip.steps.len(), truth.len());
    strip.steps.iter().zip(truth).map(|(step, truth)| (step.lightness - truth).abs()).fold(0.0, f64::max)
}

/// A pin on a step of a strip reads what the strip reads there, once its light is stated by the paper beside the strip.
#[test]
fn a_pin_on_a_strip_stands_on_the_strips_paper() {
    let scene = scene(Drawn::even(0, 7, (90.0, 30.0)));
    let photo = scene.photo(1);
    let strip = &strips(&photo, PAPER)[0];
    assert!(strip.papers.len() >= 6, "{:?}", strip.papers);
    let white = |&spot: &Spot| Patch { kind: PatchKind::White, spot, lightness: PAPER };
    let papers: Vec<Patch> = strip.papers.iter().map(white).collect();
    let light = Light::judge(&photo, &papers, Circumstances::default()).unwrap();
    assert_eq!((light.questions(), light.notes()), (&[][..], &[][..]));
    let lit = photo.lit(&std::sync::Arc::new(light));
    let bands = Bands::even(5).unwrap();
    let mut worst: f64 = 0.0;
    for step in &strip.steps {
        let [x, y] = [0, 1].map(|axis| step.quad.iter().map(|corner| corner[axis]).sum::<f64>() / 4.0);
        let read =
            |photo: &Photo| Reading::take(photo, Spot { x, y, radius: 12.0 }, &bands).unwrap().lightness;
        // The paint varies within a swatch; a quarter of a gap of 10 L* names the right step.
        assert!((read(&lit) - step.lightness).abs() < 2.0, "{} for {step:?}", read(&lit));
        worst = worst.max((read(&photo) - step.lightness).abs());
    }
    assert!(worst > 4.0, "as the camera saw it they differ: {worst}");
}

/// A lamp on a grey table is no swatch of a strip on paper: it came out at L* 137.
#[test]
fn what_is_lighter_than_white_is_no_step() {
    let grey = |x: u32, y: u32| if (180..220).contains(&x) && (130..170).contains(&y) { 250 } else { 160 };
    let samples = (0..400 * 300).flat_map(|at| [grey(at % 400, at / 400); 3]).collect();
    let photo = crate::Photo::from_srgb((400, 300), samples);
    let quad = |[left, right]: [f64; 2]| [[left, 130.0], [right, 130.0], [right, 169.0], [left, 169.0]];
    assert_eq!(Strip::marked(&photo, 94.5, &[quad([180.0, 219.0])]), None);
    assert!(
        Strip::marked(&photo, 94.5, &[quad([60.0, 99.0])]).is_some(),
        "the same place on the table can be read"
    );
}

#[test]
fn marked_swatches_are_read_as_found_ones_and_stay_as_given() {
    let mut random = Random::new(3);
    let scene = scene(Drawn::even(0, 7, (90.0, 30.0)));
    let photo = scene.photo(1);
    let quads = marked(&scene, &mut random);
    // In no order, and the last one named from another corner.
    let mut mixed: Vec<Quad> = [4, 0, 6, 2, 1, 5, 3].map(|at| quads[at]).to_vec();
    mixed[6].rotate_left(1);
    let strip = Strip::marked(&photo, PAPER, &mixed).unwrap();
    assert!(off(&strip, &scene.strips[0].truth()) < 1.5, "{strip:?}");
    assert!(mixed.iter().all(|quad| strip.steps.iter().any(|step| step.quad == *quad)));
    assert_eq!(strip.steps[0].quad, quads[0]);
    let found = &strips(&photo, PAPER)[0];
    for (marked, found) in strip.steps.iter().zip(&found.steps) {
        assert!((marked.lightness - found.lightness).abs() < 0.5, "{marked:?} {found:?}");
        assert!((marked.plus_minus - found.plus_minus).abs() < 0.5, "{marked:?} {found:?}");
    }
    assert!(strip.evenness > 0.85 && strip.warnings.is_empty(), "{strip:?}");
    assert_eq!(strip.distinct(), 7);
}

/// A wash so strong that it bronzes is lighter than the one before it.
#[test]
fn a_strip_that_turns_back_keeps_its_order() {
    let mut random = Random::new(5);
    let mut loads = Drawn::even(0, 6, (88.0, 32.0));
    loads.push(loads[4]);
    let scene = scene(loads);
    let mut quads = marked(&scene, &mut random);
    quads.reverse();
    let strip = Strip::marked(&scene.photo(2), PAPER, &quads).unwrap();
    assert!(off(&strip, &scene.strips[0].truth()) < 1.5, "{strip:?}");
    assert!(strip.warnings.contains(&StripWarning::TurnsBack(6, 7)), "{strip:?}");
    // The last is as dark as the fifth: seven steps, six tones.
    assert_eq!(strip.distinct(), 6);
}

#[test]
fn rows_stay_in_the_order_given() {
    let mut random = Random::new(7);
    let scene = scene(Drawn::even(0, 6, (88.0, 32.0)));
    let mut quads = marked(&scene, &mut random);
    // As if the last stood in a row of its own.
    for corner in &mut quads[5] {
        *corner = [corner[0] - 720.0, corner[1] + 240.0];
    }
    let strip = Strip::marked(&scene.photo(3), PAPER, &quads).unwrap();
    assert!(strip.steps.iter().map(|step| step.quad).eq(quads), "{strip:?}");
}

#[test]
fn what_can_not_be_read_is_none() {
    let photo = scene(Vec::new()).photo(4);
    let square = |x: f64, y: f64| [[x, y], [x + 90.0, y], [x + 90.0, y + 90.0], [x, y + 90.0]];
    assert_eq!(Strip::marked(&photo, PAPER, &[]), None);
    assert_eq!(Strip::marked(&photo, PAPER, &[square(-200.0, 40.0)]), None);
    assert_eq!(Strip::marked(&photo, PAPER, &[[[5.0, 5.0]; 4]]), None);
    assert_eq!(Strip::marked(&photo, PAPER, &[[[f64::NAN, 5.0]; 4]]), None);
    // Bare paper, where no strip is found, reads as what it is told to be.
    let paper = Strip::marked(&photo, PAPER, &[square(560.0, 400.0)]).unwrap();
    assert!((paper.steps[0].lightness - PAPER).abs() < 0.3, "{paper:?}");
}

#[test]
fn a_tapped_swatch_is_grown_to_its_edges() {
    let mut random = Random::new(11);
    let scene = scene(Drawn::even(0, 7, (90.0, 30.0)));
    let photo = scene.photo(5);
    let quads = marked(&scene, &mut random);
    for (at, quad) in quads.iter().enumerate() {
        let others: Vec<Quad> = quads.iter().copied().filter(|other| other != quad).collect();
        let spot = [middle(*quad)[0] + 12.0, middle(*quad)[1] - 15.0];
        for like in [&others[..], &[]] {
            let grown = swatch_at(&photo, spot, like);
            let apart = far(middle(grown), middle(*quad));
            let size = area(&grown) / area(quad);
            assert!(apart < 12.0 && (0.7..1.3).contains(&size), "{at}: {apart} {size}");
        }
    }
}

#[test]
fn a_tap_where_nothing_can_be_told_takes_the_size_of_the_others() {
    let mut random = Random::new(13);
    let scene = scene(Drawn::even(0, 7, (90.0, 30.0)));
    let photo = scene.photo(6);
    let quads = marked(&scene, &mut random);
    let (spot, like) = ([640.0, 720.0], &quads[2..5]);
    let quad = swatch_at(&photo, spot, like);
    assert!(far(middle(quad), spot) < 1.0, "{quad:?}");
    let size = area(&quad) / area(&quads[3]);
    assert!((0.8..1.2).contains(&size), "{size}");
}

#[test]
fn halves_lie_along_the_strip() {
    let square = |x: f64, y: f64| [[x, y], [x + 40.0, y], [x + 40.0, y + 60.0], [x, y + 60.0]];
    let [first, second] = split_swatch(square(100.0, 100.0), &[square(10.0, 100.0), square(200.0, 100.0)]);
    assert_eq!(first, [[100.0, 100.0], [120.0, 100.0], [120.0, 160.0], [100.0, 160.0]]);
    assert_eq!(second, [[120.0, 100.0], [140.0, 100.0], [140.0, 160.0], [120.0, 160.0]]);
    // By itself: across its longer side.
    let [first, second] = split_swatch(square(100.0, 100.0), &[]);
    let mut middles = [middle(first)[1], middle(second)[1]];
    middles.sort_by(f64::total_cmp);
    assert_eq!(middles, [115.0, 145.0]);
}
