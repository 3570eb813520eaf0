//! A spot's reading as JSON, for the examples that read.

use serde_json::{Value, json};
use tonefast_core::{Bands, Photo, Reading, Spot, Warning};

/// What is measured in the disc about (x, y).
pub(crate) fn read_spot(
    photo: &Photo,
    [x, y, radius]: [f64; 3],
    bands: &Bands,
) -> Result<(Value, Reading), String> {
    let reading = Reading::take(photo, Spot { x, y, radius }, bands).map_err(|error| error.to_string())?;
    let value = json!({
        "l_mean": reading.lightness,
        "l_median": reading.median,
        "spread": reading.spread,
        "chroma": reading.chroma,
        "hue": reading.hue,
        "band": reading.band,
        "warnings": reading.warnings.iter().map(in_words).collect::<Vec<_>>(),
    });
    Ok((value, reading))
}

/// Opens a picture at its full resolution.
pub(crate) fn open(path: &str) -> Result<Photo, String> {
    let bytes = std::fs::read(path).map_err(|error| format!("{path}: {error}"))?;
    let options = tonefast_core::OpenOptions { working_side: None };
    Photo::open(&bytes, &options, &tonefast_core::Progress::new())
        .map_err(|error| format!("{path}: {error}. {}", error.hint()))
}

fn in_words(warning: &Warning) -> String {
    match warning {
        Warning::ClippedLight(share) => format!("{:.0} % clipped light", share * 100.0),
        Warning::ClippedDark(share) => format!("{:.0} % clipped dark", share * 100.0),
        Warning::Uneven(spread) => format!("uneven: its parts differ by {spread:.1} L*"),
        Warning::OnEdge(band) => format!("on the edge to band {band}"),
        Warning::AboveWhite(share) => format!("{:.0} % lighter than white", share * 100.0),
        Warning::FewPixels(pixels) => format!("only {pixels} pixels"),
    }
}
