//! Fits the family of cameras that readings reckon with, and prints what it finds.
//!
//! `cargo run --release -p tonefast-references --bin fit_cameras -- CURVES.csv [--write]`
//!
//! CURVES.csv holds measured tone curves, one a row: encoded value (columns e-2.75 to e0, a quarter apart) over log10 of
//! the recorded light. Their mean and main ways to vary are principal components; what they leave open is fitted to the
//! charts in `data/charts.csv` (cameras' own JPEGs and developed ones), once with all cameras and once without each.
//! `--write` writes core's `family.json` and `data/left-out.json`, which the test `cameras` judges each camera by.

#[path = "fit_cameras/curves.rs"]
mod curves;
#[path = "fit_cameras/search.rs"]
mod search;

use std::path::Path;
use tonefast_core::CameraFamily;
use tonefast_references::{Chart, ChartError, Group, Left, score};

fn main() -> Result<(), ChartError> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let path = arguments.first().ok_or("usage: fit_cameras CURVES.csv [--write]")?;
    let curves = curves::Curves::read(&std::fs::read_to_string(path)?)?;
    println!(
        "{} curves; {:.1} % of their variance in two components",
        curves.count,
        100.0 * curves.explained
    );
    let start =
        CameraFamily { at: curves.at, mean: curves.mean, shapes: curves.shapes, ..CameraFamily::measured() };
    let charts = Chart::all()?;
    let used: Vec<&Chart> =
        charts.iter().filter(|chart| matches!(chart.group, Group::Main | Group::Converter)).collect();
    let family = fitted(&used, &start, "all")?;
    let mut left = Vec::new();
    let mut cameras: Vec<u32> = used.iter().map(|chart| chart.camera).collect();
    cameras.dedup();
    for camera in cameras {
        let others: Vec<&Chart> = used.iter().copied().filter(|chart| chart.camera != camera).collect();
        let without = fitted(&others, &family, &format!("without camera {camera}"))?;
        left.push(Left { camera, left: without.left });
    }
    if arguments.iter().any(|argument| argument == "--write") {
        let top = Path::new(env!("CARGO_MANIFEST_DIR"));
        let family_path = top.join("../../core/src/lighting/camera/family.json");
        std::fs::write(family_path, serde_json::to_string_pretty(&family)? + "\n")?;
        std::fs::write(top.join("data/left-out.json"), serde_json::to_string_pretty(&left)? + "\n")?;
    }
    Ok(())
}

fn fitted(charts: &[&Chart], start: &CameraFamily, name: &str) -> Result<CameraFamily, ChartError> {
    let (family, reached) = search::climb(start, |family| score(charts, family))?;
    println!("{name}: {:?}, mean log density {reached:.3}", family.left);
    Ok(family)
}
