//! How fast strips are found and read: `cargo bench -p tonefast-core --bench strips`.

use divan::Bencher;
use tonefast_core::{Photo, Quad, Strip, strips, swatch_at};

fn main() {
    divan::main();
}

/// Width and height: 12 MP.
const SIZE: (u32, u32) = (4000, 3000);

/// L* of a measured watercolour paper (Chen et al. 2019, arXiv:1904.00275).
const PAPER: f64 = 94.53;

/// Strips on the sheet, and steps of each.
const STRIPS: u32 = 4;
const STEPS: u32 = 8;

/// A swatch's upper left corner, its width and its height.
fn swatch(strip: u32, step: u32) -> (u32, u32, u32, u32) {
    (500 + step * 380, 400 + strip * 620, 340, 380)
}

/// A sheet with strips in a light that falls off, with grain.
fn sheet() -> Photo {
    let mut samples = Vec::with_capacity(3 * SIZE.0 as usize * SIZE.1 as usize);
    let mut noise = 1_u32;
    for y in 0..SIZE.1 {
        for x in 0..SIZE.0 {
            let load = (0..STRIPS * STEPS).find_map(|at| {
                let (left, top, width, height) = swatch(at / STEPS, at % STEPS);
                let inside = (left..left + width).contains(&x) && (top..top + height).contains(&y);
                inside.then_some((at / STEPS, f64::from(at % STEPS + 1) / f64::from(STEPS)))
            });
            let light = 235.0 - 40.0 * f64::from(x) / f64::from(SIZE.0);
            noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let grain = f64::from(noise >> 24) / 64.0 - 2.0;
            for channel in 0..3 {
                let taken = load.map_or(
                    0.0,
                    |(strip, load)| {
                        if channel == strip % 3 { 0.3 * load } else { 0.8 * load }
                    },
                );
                samples.push((light * (1.0 - taken) + grain) as u8);
            }
        }
    }
    Photo::from_srgb(SIZE, samples)
}

/// Found, put in order and read.
#[divan::bench(sample_count = 20)]
fn strips_of_12_mp(bencher: Bencher<'_, '_>) {
    let photo = sheet();
    assert_eq!(strips(&photo, PAPER).len(), STRIPS as usize);
    bencher.bench(|| strips(&photo, PAPER));
}

/// One that is marked by hand.
#[divan::bench(sample_count = 20)]
fn marked_strip_of_12_mp(bencher: Bencher<'_, '_>) {
    let photo = sheet();
    let quads: Vec<Quad> = (0..STEPS)
        .map(|step| {
            let (left, top, width, height) = swatch(0, step);
            let (left, top) = (f64::from(left), f64::from(top));
            let (right, bottom) = (left + f64::from(width), top + f64::from(height));
            [[left, top], [right, top], [right, bottom], [left, bottom]]
        })
        .collect();
    bencher.bench(|| Strip::marked(&photo, PAPER, &quads).expect("it lies on the sheet"));
}

/// A swatch that is tapped.
#[divan::bench(sample_count = 20)]
fn tapped_swatch_of_12_mp(bencher: Bencher<'_, '_>) {
    let photo = sheet();
    bencher.bench(|| swatch_at(&photo, [1000.0, 600.0], &[]));
}
