//! Whether the doubt is honest: over many seeded photographs of known surfaces, how often the truth lies within.

use super::camera::{BENDS, GAMMAS, Rendering};
use super::scene::{PATCHES, Scene, luminance, spot, surface};
use crate::random::Random;
use crate::{
    Bands, Circumstances, Light, Patch, PatchKind, Photo, Reading, lightness_from_y, y_from_lightness,
};
use rayon::prelude::*;
use std::sync::Arc;

/// Photographs; with eight spots on each a share of .9 is known to within .5 %.
const CASES: u64 = 2_000;

/// Where the patches lie: papers at the corners and in the middle of the upper edge, the dark patch, the scale.
const PAPERS: [usize; 4] = [0, 7, 40, 47];
const DARK: usize = 12;
/// L* of the neutrals of a common 24-patch chart, edition after November 2014, D50 (its greys read the same under D65).
const SCALE: [(usize, f64); 6] =
    [(18, 95.19), (19, 81.29), (20, 66.89), (21, 50.76), (22, 35.63), (23, 20.64)];
const SPOTS: [usize; 8] = [9, 14, 16, 26, 29, 33, 36, 38];
const PAPER: f64 = 94.5;
const BLACK: f64 = 20.64;

struct Case {
    photo: Photo,
    truths: Vec<f64>,
}

#[test]
fn the_interval_holds_nine_of_ten_for_every_kind_of_reference() {
    let paper = |at: usize| Patch { kind: PatchKind::White, spot: spot(PAPERS[at]), lightness: PAPER };
    let dark = Patch { kind: PatchKind::Dark, spot: spot(DARK), lightness: BLACK };
    let scale: Vec<Patch> = SCALE
        .iter()
        .map(|&(at, lightness)| Patch { kind: PatchKind::Step, spot: spot(at), lightness })
        .collect();
    let kinds: [(&str, Vec<Patch>); 4] = [
        ("paper", vec![paper(0)]),
        ("paper and dark", vec![paper(0), dark]),
        ("four papers and dark", vec![paper(0), paper(1), paper(2), paper(3), dark]),
        ("grey scale", scale),
    ];
    let results: Vec<Vec<Vec<(f64, f64)>>> = (0..CASES)
        .into_par_iter()
        .map(|seed| {
            let case = Case::drawn(seed);
            kinds.iter().map(|(_, patches)| case.judged(patches)).collect()
        })
        .collect();
    for (kind, (name, _)) in kinds.iter().enumerate() {
        let all: Vec<(f64, f64)> = results.iter().flat_map(|case| case[kind].iter().copied()).collect();
        let held = all.iter().filter(|(off, half)| off.abs() <= *half).count() as f64 / all.len() as f64;
        let median = |mut values: Vec<f64>| {
            values.sort_by(f64::total_cmp);
            values[values.len() / 2]
        };
        let width = median(all.iter().map(|(_, half)| 2.0 * half).collect());
        let off = median(all.iter().map(|(off, _)| off.abs()).collect());
        println!(
            "{name}: {} readings, {:.1} % held, median full width {width:.2} L*, median error {off:.2}",
            all.len(),
            100.0 * held
        );
        assert!((0.90..=0.97).contains(&held), "{name}: {held}");
        assert!(name != &"grey scale" || width <= 3.0, "{width}");
    }
}

impl Case {
    fn drawn(seed: u64) -> Self {
        let mut random = Random::new(0x6c69_6768_7400 + seed);
        let mut surfaces: [[f64; 3]; PATCHES] = std::array::from_fn(|_| {
            let y = y_from_lightness(random.within((15.0, 90.0)));
            surface(&mut random, y)
        });
        for at in PAPERS {
            surfaces[at] = [y_from_lightness(PAPER); 3];
        }
        surfaces[DARK] = [y_from_lightness(BLACK); 3];
        for (at, lightness) in SCALE {
            surfaces[at] = [y_from_lightness(lightness); 3];
        }
        let gradient = random.within((0.0, 0.15));
        let (sin, cos) = {
            let angle = random.within((0.0, std::f64::consts::TAU));
            (libm::sin(angle), libm::cos(angle))
        };
        let exposure = random.within((0.6, 0.92));
        let warm = random.within((-0.12, 0.12));
        let scene = Scene {
            light: [exposure * (1.0 + warm.min(0.0)), exposure, exposure * (1.0 - warm.max(0.0))],
            gradient: (gradient * cos, gradient * sin),
            flare: random.within((0.0, 0.02)),
            rendering: Rendering { gamma: random.within(GAMMAS), bend: random.within(BENDS) },
            noise: random.within((0.005, 0.03)),
            quality: random.within((75.0, 95.0)) as u8,
        };
        let photo = scene.photo(&surfaces, &mut random);
        let truths = SPOTS.iter().map(|&at| lightness_from_y(luminance(surfaces[at]))).collect();
        Self { photo, truths }
    }

    /// For each spot, how far its reading is off and how far it is said to be.
    fn judged(&self, patches: &[Patch]) -> Vec<(f64, f64)> {
        let light = Arc::new(Light::judge(&self.photo, patches, Circumstances::default()).unwrap());
        let lit = self.photo.lit(&light);
        let bands = Bands::even(5).unwrap();
        SPOTS
            .iter()
            .zip(&self.truths)
            .map(|(&at, truth)| {
                let reading = Reading::take(&lit, spot(at), &bands).unwrap();
                (reading.lightness - truth, reading.doubt.unwrap().plus_minus())
            })
            .collect()
    }
}
