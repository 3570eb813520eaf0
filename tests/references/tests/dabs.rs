//! Test dabs of measured watercolours (Chen et al. 2019, arXiv:1904.00275) against strips of them: a dab of the paint is
//! never called another, and a dab of a paint of another hue always is.

use std::collections::BTreeMap;
use tonefast_core::{Curve, DabReading, PaintBox, Stranger, WashColour};
use tonefast_references::{Fixtures, Measured, MeasuredPaint, measured_paints};

/// Half of the 90 % interval of a dab's L* in a stated light.
const PLUS_MINUS: f64 = 3.0;

/// How far a camera moves a colour once its neutrals are right, in C*ab: the rms on photographs of charts.
const CAMERA: f64 = 4.0;

/// Paints that no painter takes for each other, a pair of hues each.
const OTHERS: [(&str, &str); 8] = [
    ("lemon yellow", "ultramarine"),
    ("lemon yellow", "alizarin crimson"),
    ("lemon yellow", "cerulean blue"),
    ("cadmium yellow", "cobalt blue"),
    ("cadmium red", "cobalt blue"),
    ("cadmium red", "cerulean blue"),
    ("cadmium red", "lemon yellow"),
    ("raw sienna", "cobalt blue"),
];

/// A strip of every other load, as its curve.
fn curve(paint: &MeasuredPaint) -> Curve {
    let colour = |wash: &Measured| WashColour::of(wash.linear_srgb);
    let mut steps: Vec<WashColour> = paint.washes.iter().step_by(2).map(colour).collect();
    steps.sort_by(|a, b| b.lightness.total_cmp(&a.lightness));
    let step = |colour: &WashColour| {
        let hue = colour.hue.unwrap_or(0.0).to_radians();
        let (a, b) = (colour.chroma * hue.cos(), colour.chroma * hue.sin());
        format!(r#"{{"lightness":{},"plusMinus":1.0,"tint":[{a},{b}]}}"#, colour.lightness)
    };
    let steps: Vec<String> = steps.iter().map(step).collect();
    let json = format!(
        r#"{{"schema":"tonefast paints","version":1,"paints":[{{"about":{{"name":"it"}},"strips":[{{"laid":"washes","paperLightness":94.5,"steps":[{}]}}]}}]}}"#,
        steps.join(",")
    );
    let paints = PaintBox::read(json.as_bytes()).expect("a box of one paint");
    Curve::through(&paints.paints[0].strips).expect("loads differ in tone")
}

/// A wash as a camera may read it: its colour moved by [`CAMERA`] towards an angle.
fn read(wash: &Measured, towards: Option<f64>) -> DabReading {
    let colour = WashColour::of(wash.linear_srgb);
    let hue = colour.hue.unwrap_or(0.0).to_radians();
    let off = towards
        .map_or((0.0, 0.0), |angle| (CAMERA * angle.to_radians().cos(), CAMERA * angle.to_radians().sin()));
    let (a, b) = (colour.chroma * hue.cos() + off.0, colour.chroma * hue.sin() + off.1);
    let chroma = a.hypot(b);
    let hue = (chroma >= 3.0).then(|| b.atan2(a).to_degrees().rem_euclid(360.0));
    DabReading { lightness: colour.lightness, plus_minus: Some(PLUS_MINUS), chroma, hue }
}

fn stranger(curve: &Curve, dab: DabReading) -> Option<Stranger> {
    curve.dab(1.0, dab, None).stranger
}

#[test]
fn a_dab_of_the_paint_itself_is_not_called_another() {
    let (paints, _) = measured_paints(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    let (mut dabs, mut widest) = (0, 0.0_f64);
    for paint in &paints {
        let curve = curve(paint);
        // The loads that its strip does not hold.
        for wash in paint.washes.iter().skip(1).step_by(2) {
            let (own, there) = (WashColour::of(wash.linear_srgb), read(wash, None).lightness);
            let strength = curve.strength(there).unwrap_or(if there > curve.range().0 { 0.0 } else { 1.0 });
            if let Some((own, on_strip)) =
                own.hue.zip(curve.at(strength).colour.hue).filter(|_| own.chroma > 11.0)
            {
                let apart = (own - on_strip).rem_euclid(360.0);
                widest = widest.max(apart.min(360.0 - apart));
            }
            for towards in std::iter::once(None).chain((0..8).map(|at| Some(45.0 * f64::from(at)))) {
                let said = stranger(&curve, read(wash, towards));
                assert_eq!(said, None, "{} {own:?}, moved towards {towards:?}", paint.name);
                dabs += 1;
            }
        }
    }
    println!("{dabs} dabs of 13 paints; a load's hue lies up to {widest:.0}° off its strip's");
}

#[test]
fn a_dab_of_another_hue_is_told_in_its_own_tone() {
    let (paints, _) = measured_paints(&Fixtures::new(env!("CARGO_TARGET_TMPDIR")));
    let by_name: BTreeMap<&str, &MeasuredPaint> = paints.iter().map(|paint| (paint.name, paint)).collect();
    let mut told = 0;
    for (one, other) in OTHERS.into_iter().flat_map(|(one, other)| [(one, other), (other, one)]) {
        let curve = curve(by_name[one]);
        for wash in &by_name[other].washes {
            for towards in std::iter::once(None).chain((0..8).map(|at| Some(45.0 * f64::from(at)))) {
                let said = stranger(&curve, read(wash, towards));
                assert!(
                    matches!(said, Some(Stranger::Hue(_))),
                    "{other} for {one}: {:?}",
                    read(wash, towards)
                );
                told += 1;
            }
        }
    }
    println!("{told} dabs of another hue, all told");
}
