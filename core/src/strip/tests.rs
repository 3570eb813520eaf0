//! Strips on drawn photographs, against their truth.

use super::scene::{Drawn, PIGMENTS, Scene};
use super::*;
use crate::random::Random;

const PAPER: f64 = 94.53;

/// A board turned by some degrees, leaning a little, with a margin all round.
fn look(degrees: f64, lean: (f64, f64)) -> [f64; 8] {
    let (sin, cos) = (libm::sin(degrees.to_radians()), libm::cos(degrees.to_radians()));
    // About the middle of picture and board.
    [cos, sin, 0.5 - 0.5 * (cos + sin), -sin, cos, 0.5 - 0.5 * (cos - sin), lean.0, lean.1]
}

fn scene(strips: Vec<Drawn>, random: &mut Random, degrees: f64) -> Scene {
    Scene {
        size: (1600, 1200),
        strips,
        look: look(degrees, (random.within((-0.08, 0.08)), random.within((-0.08, 0.08)))),
        light: [random.within((0.95, 1.1)) * 0.8, 0.8, random.within((0.7, 1.0)) * 0.8],
        falls: (random.within((-0.1, 0.15)), random.within((-0.1, 0.15))),
        noise: 0.01,
        shadow: None,
    }
}

/// The darkest that a pigment is painted with here: what a thick wash of it reaches, or L* 28.
fn reach(pigment: usize) -> f64 {
    let drawn = Drawn {
        pigment,
        loads: vec![8.0],
        corner: (0.0, 0.0),
        length: 1.0,
        breadth: 1.0,
        gap: 0.0,
        rough: 0.0,
    };
    drawn.truth()[0].max(28.0)
}

fn strip(pigment: usize, loads: Vec<f64>, corner: (f64, f64), gap: f64) -> Drawn {
    Drawn { pigment, loads, corner, length: 0.68, breadth: 0.13, gap, rough: 1.0 }
}

/// How far the steps of a strip are off at the most; infinitely far where their count is wrong.
fn off(found: &Strip, drawn: &Drawn) -> f64 {
    let mut truth = drawn.truth();
    truth.sort_by(|a, b| b.total_cmp(a));
    if found.steps.len() != truth.len() {
        return f64::INFINITY;
    }
    found.steps.iter().zip(truth).map(|(step, truth)| (step.lightness - truth).abs()).fold(0.0, f64::max)
}

/// One strip a picture: each pigment, five to nine steps, with gaps and without, turned any way.
#[test]
fn drawn_strips_are_found_counted_and_read() {
    let mut random = Random::new(41);
    let (mut worst, mut wrong) = (0.0_f64, Vec::new());
    let mut count = 0;
    for pigment in 0..PIGMENTS.len() {
        for (steps, gap) in [(5, 0.0), (7, 0.14), (8, 0.0), (9, 0.2)] {
            // A yellow's short span leaves no room for nine that can be told apart.
            let steps = if pigment == 2 { steps.min(5) } else { steps };
            let degrees = random.within((-180.0, 180.0));
            let degrees =
                if degrees.abs() % 90.0 > 35.0 && degrees.abs() % 90.0 < 55.0 { 10.0 } else { degrees };
            let sideways = (degrees.abs() - 90.0).abs() < 45.0;
            let mut drawn =
                strip(pigment, Drawn::even(pigment, steps, (90.0, reach(pigment))), (0.16, 0.43), gap);
            if sideways {
                drawn.length = 0.6;
                drawn.corner.0 = 0.2;
            }
            let scene = scene(vec![drawn], &mut random, degrees);
            let found = strips(&scene.photo(count), PAPER);
            count += 1;
            let told = format!("pigment {pigment}, {steps} steps, gap {gap}, {degrees:.0}°");
            let Some(off) =
                found.first().filter(|_| found.len() == 1).map(|found| off(found, &scene.strips[0]))
            else {
                wrong.push(format!("{told}: {} strips", found.len()));
                continue;
            };
            worst = worst.max(if off.is_finite() { off } else { 0.0 });
            if off > 1.5 {
                let read: Vec<String> =
                    found[0].steps.iter().map(|step| format!("{:.1}", step.lightness)).collect();
                wrong.push(format!("{told}: off by {off:.2}: {read:?} for {:.1?}", scene.strips[0].truth()));
            }
        }
    }
    println!("{count} strips, the worst step off by {worst:.2} L*");
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn several_strips_are_told_apart() {
    let mut random = Random::new(43);
    let drawn = [0, 1, 4].into_iter().enumerate().map(|(at, pigment)| {
        let loads = Drawn::even(pigment, 6, (88.0, reach(pigment)));
        strip(pigment, loads, (0.16, 0.2 + 0.22 * at as f64), 0.12)
    });
    let scene = scene(drawn.collect(), &mut random, 4.0);
    let found = strips(&scene.photo(1), PAPER);
    assert_eq!(found.len(), 3);
    for (found, drawn) in found.iter().zip(&scene.strips) {
        assert!(off(found, drawn) < 1.5, "{}: {found:?}", off(found, drawn));
    }
}

#[test]
fn bare_paper_and_a_picture_of_something_else_hold_no_strip() {
    let mut random = Random::new(47);
    assert_eq!(strips(&scene(Vec::new(), &mut random, 0.0).photo(1), PAPER), []);
    let demo =
        Photo::open(tonefast_demo_like().as_slice(), &Default::default(), &crate::Progress::new()).unwrap();
    assert_eq!(strips(&demo, PAPER), []);
}

/// A picture without paper: colours everywhere, as a subject has.
fn tonefast_demo_like() -> Vec<u8> {
    let picture = image::RgbImage::from_fn(400, 300, |x, y| {
        image::Rgb([(x * 255 / 400) as u8, (y * 255 / 300) as u8, ((x * y) % 251) as u8])
    });
    let mut png = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut png, image::ImageFormat::Png).unwrap();
    png.into_inner()
}

#[test]
fn an_even_strip_is_called_even_and_an_uneven_one_says_where() {
    let mut random = Random::new(53);
    let even = scene(vec![strip(0, Drawn::even(0, 7, (90.0, 30.0)), (0.16, 0.43), 0.1)], &mut random, 0.0);
    let found = &strips(&even.photo(2), PAPER)[0];
    assert!(found.evenness > 0.85 && found.warnings.is_empty(), "{found:?}");
    let mut loads = Drawn::even(0, 7, (90.0, 30.0));
    loads.remove(3);
    let uneven = scene(vec![strip(0, loads, (0.16, 0.43), 0.1)], &mut random, 0.0);
    let found = &strips(&uneven.photo(3), PAPER)[0];
    assert!(found.warnings.contains(&StripWarning::TooFar(3, 4)), "{found:?}");
    assert!(found.evenness < 0.75, "{}", found.evenness);
}

#[test]
fn a_shadows_edge_is_told_and_steps_are_read_against_the_paper_beside_them() {
    let mut random = Random::new(59);
    let mut scene =
        scene(vec![strip(1, Drawn::even(1, 6, (88.0, 34.0)), (0.16, 0.43), 0.15)], &mut random, 0.0);
    scene.shadow = Some((0.5, 0.8));
    let found = strips(&scene.photo(4), PAPER);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].warnings.contains(&StripWarning::Shadow), "{found:?}");
    assert!(off(&found[0], &scene.strips[0]) < 4.0, "{found:?}");
}
