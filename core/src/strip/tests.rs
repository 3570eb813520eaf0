//! Strips on drawn photographs, against their truth.

use super::scene::{Drawn, PIGMENTS, Scene, Shadow};
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
        size: (1280, 960),
        strips,
        look: look(degrees, (random.within((-0.08, 0.08)), random.within((-0.08, 0.08)))),
        light: [random.within((0.95, 1.1)) * 0.8, 0.8, random.within((0.7, 1.0)) * 0.8],
        falls: (random.within((-0.1, 0.15)), random.within((-0.1, 0.15))),
        noise: 0.01,
        shadow: None,
        cockled: 0.0,
        table: None,
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
        numbered: false,
        bloom: None,
    };
    drawn.truth()[0].max(28.0)
}

fn strip(pigment: usize, loads: Vec<f64>, corner: (f64, f64), gap: f64) -> Drawn {
    Drawn {
        pigment,
        loads,
        corner,
        length: 0.68,
        breadth: 0.13,
        gap,
        rough: 1.0,
        numbered: false,
        bloom: None,
    }
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
        let kinds = [(7, 0.14), (9, 0.0)];
        for (steps, gap) in kinds.into_iter().take(1 + pigment % 2) {
            // A yellow's short span leaves no room for nine that can be told apart.
            let steps = if [2, 6].contains(&pigment) { steps.min(5) } else { steps };
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

/// Patches in a row that get darker and darker, each of which is as uneven as they are apart: a page of print, a moon.
#[test]
fn what_varies_more_within_than_between_is_no_strip() {
    let picture = image::RgbImage::from_fn(1000, 400, |x, y| {
        let (column, within) = (x / 150, x % 150);
        let is_patch = (20..130).contains(&within) && (140..260).contains(&y) && (1..6).contains(&column);
        let tile = if (x / 40 + y / 40) % 2 == 0 { 0 } else { 70 };
        image::Rgb([if is_patch { 200 - 8 * column as u8 - tile } else { 235 }; 3])
    });
    let soft = image::imageops::blur(&picture, 4.0);
    let mut png = std::io::Cursor::new(Vec::new());
    soft.write_to(&mut png, image::ImageFormat::Png).unwrap();
    let photo = Photo::open(&png.into_inner(), &Default::default(), &crate::Progress::new()).unwrap();
    assert_eq!(strips(&photo, PAPER), []);
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
    scene.shadow = Some(Shadow { edge: 0.5, leans: 0.0, soft: 0.0, light: 0.8, broad: f64::INFINITY });
    let found = strips(&scene.photo(4), PAPER);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].warnings.contains(&StripWarning::Shadow), "{found:?}");
    assert!(off(&found[0], &scene.strips[0]) < 4.0, "{found:?}");
}

/// Six strips of as many paints under each other, read along them though they stand as near across; numbers are no
/// swatches, and the palest washes, of L* 92, are.
#[test]
fn rows_of_strips_are_read_along_them() {
    let mut random = Random::new(61);
    let drawn = [10, 3, 8, 5, 1, 7].into_iter().enumerate().map(|(at, pigment)| {
        let mut loads = Drawn::even(pigment, 8, (92.0, reach(pigment)));
        if at % 2 == 1 {
            loads.reverse();
        }
        let corner = (0.16, 0.1 + 0.135 * at as f64);
        Drawn { breadth: 0.068, numbered: true, ..strip(pigment, loads, corner, 0.25) }
    });
    let scene = scene(drawn.collect(), &mut random, -7.0);
    let found = strips(&scene.photo(5), PAPER);
    assert_eq!(found.len(), 6);
    for (found, drawn) in found.iter().zip(&scene.strips) {
        assert!(off(found, drawn) < 1.5, "{}: {found:?}", off(found, drawn));
    }
}

/// A sheet that is less than the table about it, cockled, in a light that falls off by 30 %.
#[test]
fn a_small_sheet_on_a_table_is_followed_and_the_table_holds_no_strip() {
    let mut random = Random::new(67);
    for (at, table) in [[0.03, 0.03, 0.035], [0.32, 0.2, 0.1], [0.22; 3]].into_iter().enumerate() {
        let drawn = strip(8, Drawn::even(8, 6, (90.0, reach(8))), (0.28, 0.46), 0.15);
        let mut scene = scene(vec![Drawn { length: 0.44, breadth: 0.09, ..drawn }], &mut random, 12.0);
        (scene.table, scene.cockled, scene.falls) = (Some((0.22, table)), 0.02, (0.2, 0.1));
        let found = strips(&scene.photo(6 + at as u64), PAPER);
        assert_eq!(found.len(), 1, "{table:?}: {found:?}");
        assert!(off(&found[0], &scene.strips[0]) < 1.5, "{table:?}: {found:?}");
        assert!(found[0].warnings.is_empty(), "{table:?}: {:?}", found[0].warnings);
    }
}

/// A shadow with a soft edge, aslant, and one whose edge is sharp.
#[test]
fn strips_are_followed_through_soft_shadows() {
    let mut random = Random::new(71);
    for (at, soft) in [0.15, 0.05].into_iter().enumerate() {
        let drawn = [0, 9].into_iter().enumerate().map(|(row, pigment)| {
            let loads = Drawn::even(pigment, 6, (88.0, reach(pigment)));
            strip(pigment, loads, (0.16, 0.28 + 0.28 * row as f64), 0.2)
        });
        let mut scene = scene(drawn.collect(), &mut random, 3.0);
        scene.shadow = Some(Shadow { edge: 0.3, leans: 0.4, soft, light: 0.65, broad: f64::INFINITY });
        let found = strips(&scene.photo(10 + at as u64), PAPER);
        assert_eq!(found.len(), 2, "{soft}");
        for (found, drawn) in found.iter().zip(&scene.strips) {
            assert!(off(found, drawn) < 4.0, "{soft}: {}", off(found, drawn));
            assert!(found.warnings.contains(&StripWarning::Shadow), "{soft}: {:?}", found.warnings);
        }
    }
}

/// A shadow whose edge is hard, aslant across swatches that touch, and one that bends: paper beside a swatch on both
/// sides does not tell where the edge crosses it.
#[test]
fn hard_shadows_across_touching_swatches_are_followed_under_the_paint() {
    let mut random = Random::new(73);
    for (at, (leans, soft)) in [(0.35, 0.0), (-0.5, 0.01), (0.9, 0.03)].into_iter().enumerate() {
        let drawn = [3, 2, 8].into_iter().enumerate().map(|(row, pigment)| {
            let loads = Drawn::even(pigment, 5, (88.0, reach(pigment)));
            strip(pigment, loads, (0.16, 0.16 + 0.27 * row as f64), 0.0)
        });
        let mut scene = scene(drawn.collect(), &mut random, 8.0);
        scene.shadow =
            Some(Shadow { edge: 0.5 - leans / 2.0, leans, soft, light: 0.6, broad: f64::INFINITY });
        let found = strips(&scene.photo(20 + at as u64), PAPER);
        assert_eq!(found.len(), 3, "{leans}");
        for (found, drawn) in found.iter().zip(&scene.strips) {
            assert!(off(found, drawn) < 1.5, "{leans}: {}", off(found, drawn));
            assert!(found.warnings.contains(&StripWarning::Shadow), "{leans}: {:?}", found.warnings);
        }
    }
}

/// The shadow of a rail: no light that falls off with one edge across it explains both of its sides.
#[test]
fn a_shadow_with_two_edges_is_followed_part_by_part() {
    let mut random = Random::new(89);
    let drawn = [0, 9].into_iter().enumerate().map(|(row, pigment)| {
        let loads = Drawn::even(pigment, 6, (88.0, reach(pigment)));
        strip(pigment, loads, (0.16, 0.28 + 0.28 * row as f64), 0.2)
    });
    let mut scene = scene(drawn.collect(), &mut random, 3.0);
    scene.shadow = Some(Shadow { edge: 0.3, leans: 0.2, soft: 0.03, light: 0.65, broad: 0.3 });
    let found = strips(&scene.photo(50), PAPER);
    assert_eq!(found.len(), 2);
    for (found, drawn) in found.iter().zip(&scene.strips) {
        assert!(off(found, drawn) < 4.0, "{}", off(found, drawn));
        assert!(found.warnings.contains(&StripWarning::Shadow), "{:?}", found.warnings);
    }
}

/// A wash that single pixels don't tell from paper, at the light end of a paint that granulates.
#[test]
fn the_palest_wash_is_found_beyond_the_light_end() {
    let mut random = Random::new(79);
    for (at, pigment) in [3, 7, 5].into_iter().enumerate() {
        let mut drawn = strip(pigment, Drawn::even(pigment, 6, (92.6, 40.0)), (0.16, 0.43), 0.2);
        drawn.rough = 2.0;
        let mut scene = scene(vec![drawn], &mut random, 5.0);
        scene.noise = 0.02;
        let found = strips(&scene.photo(30 + at as u64), PAPER);
        assert_eq!(found.len(), 1, "{pigment}");
        assert!(off(&found[0], &scene.strips[0]) < 1.5, "{pigment}: {:?}", found[0].steps);
    }
}

/// Common practice: a swatch is read beside its backruns.
#[test]
fn a_backrun_neither_splits_a_swatch_nor_lightens_it() {
    let mut random = Random::new(83);
    for (at, gap) in [0.0, 0.2].into_iter().enumerate() {
        let drawn = Drawn { bloom: Some(3), ..strip(1, Drawn::even(1, 6, (88.0, 30.0)), (0.16, 0.43), gap) };
        let scene = scene(vec![drawn], &mut random, -6.0);
        let found = strips(&scene.photo(40 + at as u64), PAPER);
        assert_eq!(found.len(), 1, "{gap}");
        assert!(off(&found[0], &scene.strips[0]) < 1.5, "{gap}: {}", off(&found[0], &scene.strips[0]));
    }
}
