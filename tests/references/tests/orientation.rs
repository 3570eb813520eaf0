//! Which way up: Pillow's test pictures, each held to Pillow's own upright decoding of the same file.

use std::fs;
use tonefast_core::{OpenOptions, Photo, Progress};
use tonefast_references::{Fixtures, lightness, upright};

/// Mean difference in L* that two decoders of the same lossy file may show; a wrong turn shows tens. JPEG's and WebP's
/// decoders differ in how they round and smooth chroma, .02 in the mean on photographs and more on small pictures.
const DECODERS: f64 = 0.5;

#[test]
fn all_eight_in_every_format_that_carries_them() {
    let fixtures = Fixtures::new(env!("CARGO_TARGET_TMPDIR"));
    let mut names: Vec<String> = Vec::new();
    for value in 2..=8 {
        names.extend(["jpg", "webp"].map(|ending| format!("hopper_orientation_{value}.{ending}")));
    }
    names.extend((1..=8).map(|value| format!("g4_orientation_{value}.tif")));
    names.push("xmp_tags_orientation.png".to_owned());
    for name in names {
        let path = fixtures.pillow_picture(&name);
        let reference = upright(&fixtures, &path);
        let options = OpenOptions { working_side: None };
        let photo = Photo::open(&fs::read(&path).unwrap(), &options, &Progress::new()).unwrap();
        assert_eq!(photo.size(), (reference.width, reference.height), "{name}");
        let luminances = reference.luminances();
        let difference = mean_difference(&photo, &luminances);
        println!("{name}: {difference:.3}");
        assert!(difference < DECODERS, "{name}: {difference}");
        // The picture would not match if it were turned once more.
        let turned = photo.turned(2);
        assert!(mean_difference(&turned, &luminances) > 4.0 * DECODERS, "{name} looks the same upside down");
    }
}

/// Mean |ΔL*| over all pixels.
fn mean_difference(photo: &Photo, luminances: &[f64]) -> f64 {
    let codes = photo.tonal_map().codes();
    let difference = |(&code, &y): (&u16, &f64)| {
        (lightness(f64::from(code) / 65_535.0) - lightness(y.clamp(0.0, 1.0))).abs()
    };
    codes.iter().zip(luminances).map(difference).sum::<f64>() / codes.len() as f64
}
