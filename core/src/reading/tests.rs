use super::*;
use crate::lightness::grey_from_y;
use crate::y_from_lightness;

const SIDE: u32 = 100;
const SPOT: Spot = Spot { x: 50.0, y: 50.0, radius: 20.0 };

/// A picture of greys by their L*.
fn greys(lightness: impl Fn(u32, u32) -> f64) -> Photo {
    let pixels =
        (0..SIDE * SIDE).flat_map(|at| [grey_from_y(y_from_lightness(lightness(at % SIDE, at / SIDE))); 3]);
    Photo::from_srgb((SIDE, SIDE), pixels.collect())
}

fn take(photo: &Photo, spot: Spot) -> Reading {
    Reading::take(photo, spot, &Bands::even(5).unwrap()).unwrap()
}

/// A reproducible sign for each pixel: the low bits of Knuth's multiplicative hash (TAOCP 3, 6.4).
fn sign(x: u32, y: u32) -> f64 {
    if (x * 7919 + y).wrapping_mul(2_654_435_769) >> 31 == 0 { 1.0 } else { -1.0 }
}

/// By hand: half of the light of black and white stripes is Y .5, L* 76.07 (colour-science 0.4.7); the median of as many
/// blacks as whites lies between them, and so does the spread.
#[test]
fn the_mean_is_taken_in_linear_light() {
    let stripes = greys(|x, _| if x % 2 == 0 { 0.0 } else { 100.0 });
    let reading = take(&stripes, Spot { x: 49.5, y: 49.5, radius: 30.0 });
    assert!((reading.lightness - 76.07).abs() < 0.01, "{}", reading.lightness);
    assert!((reading.spread - 50.0).abs() < 0.01 && (reading.median - 50.0).abs() < 0.01, "{reading:?}");
    assert_eq!((reading.band, reading.hue), (2, None));
}

#[test]
fn a_spot_holds_the_pixels_whose_centres_lie_in_it() {
    let photo = greys(|_, _| 50.0);
    for (x, y, radius) in
        [(50.0, 50.0, 0.0), (50.0, 50.0, 1.0), (50.0, 50.0, 7.3), (3.0, 96.5, 12.0), (-2.0, 40.0, 9.0)]
    {
        let counted = (0..SIDE * SIDE)
            .filter(|at| {
                let (right, down) = (f64::from(at % SIDE) - x, f64::from(at / SIDE) - y);
                right * right + down * down <= radius * radius
            })
            .count();
        assert_eq!(take(&photo, Spot { x, y, radius }).pixels, counted, "{x}, {y}, {radius}");
    }
    let outside = Spot { x: -50.0, y: 50.0, radius: 20.0 };
    assert_eq!(Reading::take(&photo, outside, &Bands::even(5).unwrap()), Err(NoReading::Outside));
}

#[test]
fn granulation_is_texture_and_a_second_wash_is_uneven() {
    let uneven =
        |reading: &Reading| reading.warnings.iter().any(|warning| matches!(warning, Warning::Uneven(_)));
    let grain = take(&greys(|x, y| 50.0 + 8.0 * sign(x, y)), SPOT);
    assert!((grain.spread - 8.0).abs() < 0.3, "{}", grain.spread);
    assert!(!uneven(&grain), "{:?}", grain.warnings);
    let clumps = take(&greys(|x, y| 50.0 + 6.0 * sign(x / 3, y / 3)), SPOT);
    assert!(!uneven(&clumps), "{:?}", clumps.warnings);
    let two_washes = take(&greys(|x, _| if x < 50 { 45.0 } else { 55.0 }), SPOT);
    assert!(uneven(&two_washes), "{:?}", two_washes.warnings);
    let graded = take(&greys(|x, _| 50.0 + f64::from(x) * 0.3), SPOT);
    assert!(uneven(&graded), "{:?}", graded.warnings);
}

#[test]
fn clipping_edges_and_few_pixels_are_told() {
    let clipped = take(&greys(|x, _| if x < 50 { 100.0 } else { 0.0 }), SPOT);
    let shares = |reading: &Reading| {
        reading.warnings.iter().fold((0.0, 0.0), |found, warning| match warning {
            Warning::ClippedLight(share) => (*share, found.1),
            Warning::ClippedDark(share) => (found.0, *share),
            _ => found,
        })
    };
    let (light, dark) = shares(&clipped);
    assert!((light + dark - 1.0).abs() < 1e-9 && (light - 0.5).abs() < 0.05, "{light}, {dark}");
    assert_eq!(take(&greys(|_, _| 60.2), SPOT).warnings, [Warning::OnEdge(3)]);
    assert_eq!(take(&greys(|_, _| 50.0), Spot { radius: 2.0, ..SPOT }).warnings, [Warning::FewPixels(13)]);
    assert_eq!(take(&greys(|_, _| 50.0), SPOT).warnings, []);
}

#[test]
fn neighbours_push_and_never_change_the_reading() {
    let inside = |x: u32, y: u32| {
        let (right, down) = (f64::from(x) - 50.0, f64::from(y) - 50.0);
        right * right + down * down <= 20.0 * 20.0
    };
    let on_light = take(&greys(|x, y| if inside(x, y) { 50.0 } else { 95.0 }), Spot { radius: 15.0, ..SPOT });
    let on_dark = take(&greys(|x, y| if inside(x, y) { 50.0 } else { 5.0 }), Spot { radius: 15.0, ..SPOT });
    assert_eq!(on_light.lightness.to_bits(), on_dark.lightness.to_bits());
    assert!(on_light.look.pushed.unwrap().by < -3.0, "{:?}", on_light.look);
    assert!(on_dark.look.pushed.unwrap().by > 3.0, "{:?}", on_dark.look);
}

#[test]
fn a_large_dark_shape_is_not_pushed_by_itself() {
    assert_eq!(take(&greys(|_, _| 15.0), SPOT).look.pushed, None);
}

/// sRGB red: L* 53.24, C* 104.6, h 40.0 (colour-science 0.4.7).
#[test]
fn a_vivid_red_measures_as_it_is_and_looks_lighter() {
    let red = Photo::from_srgb((SIDE, SIDE), [255, 0, 0].repeat((SIDE * SIDE) as usize));
    let reading = take(&red, SPOT);
    assert!((reading.lightness - 53.24).abs() < 0.02 && (reading.chroma - 104.6).abs() < 0.1, "{reading:?}");
    assert_eq!((reading.hue_name, reading.intensity), (Some(Hue::Red), Intensity::Vivid));
    let (least, most) = reading.look.lighter_by.unwrap();
    assert!(least > 10.0 && most < 35.0, "{least} to {most}");
}

/// Student's t, two-sided 95 %: the table in Abramowitz & Stegun, 26.10.
#[test]
fn quantiles_agree_with_the_table() {
    for (freedom, quantile) in [(3.0, 3.182), (5.0, 2.571), (10.0, 2.228), (20.0, 2.086), (60.0, 2.000)] {
        assert!((student_95(freedom) / quantile - 1.0).abs() < 0.015, "{freedom}: {}", student_95(freedom));
    }
}
