//! Reads spots of a picture, at its full resolution, and prints one JSON object.
//!
//! `cargo run --release -p tonefast-core --example reading -- PHOTO X Y RADIUS [X Y RADIUS ...]`
//!
//! X and Y are pixels of the upright picture, counted from 0; whole numbers are pixel centres. A spot holds the pixels
//! (i, j) with (i - X)² + (j - Y)² <= RADIUS². With no spot it gives the lightness of the whole picture's mean.

use serde_json::{Value, json};
use std::process::ExitCode;
use tonefast_core::{Bands, OpenOptions, Photo, Progress, Reading, Spot, Warning, lightness_from_y};

fn main() -> ExitCode {
    match read(std::env::args().skip(1)) {
        Ok(answer) => {
            println!("{answer}");
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("reading: {message}");
            ExitCode::from(2)
        }
    }
}

fn read(mut arguments: impl Iterator<Item = String>) -> Result<Value, String> {
    let path = arguments.next().ok_or("usage: reading PHOTO X Y RADIUS [X Y RADIUS ...]")?;
    let numbers = arguments
        .map(|text| text.parse::<f64>().map_err(|_| format!("{text} is no number")))
        .collect::<Result<Vec<_>, _>>()?;
    let (spots, rest) = numbers.as_chunks::<3>();
    if !rest.is_empty() {
        return Err("each spot needs X Y RADIUS".to_owned());
    }
    let bytes = std::fs::read(&path).map_err(|error| format!("{path}: {error}"))?;
    let options = OpenOptions { working_side: None };
    let photo = Photo::open(&bytes, &options, &Progress::new())
        .map_err(|error| format!("{path}: {error}. {}", error.hint()))?;
    let (width, height) = photo.size();
    let noticed: Vec<String> = photo.noticed().iter().map(ToString::to_string).collect();
    let mut answer = json!({ "width": width, "height": height, "noticed": noticed });
    if spots.is_empty() {
        answer["l_of_mean"] = lightness_from_y(photo.tonal_map().mean_y()).into();
    } else {
        let bands = Bands::even(5).map_err(|error| error.to_string())?;
        answer["spots"] =
            spots.iter().map(|&spot| read_spot(&photo, spot, &bands)).collect::<Result<_, _>>()?;
    }
    Ok(answer)
}

fn read_spot(photo: &Photo, [x, y, radius]: [f64; 3], bands: &Bands) -> Result<Value, String> {
    let reading = Reading::take(photo, Spot { x, y, radius }, bands).map_err(|error| error.to_string())?;
    Ok(json!({
        "l_mean": reading.lightness,
        "l_median": reading.median,
        "spread": reading.spread,
        "chroma": reading.chroma,
        "hue": reading.hue,
        "band": reading.band,
        "warnings": reading.warnings.iter().map(in_words).collect::<Vec<_>>(),
    }))
}

fn in_words(warning: &Warning) -> String {
    match warning {
        Warning::ClippedLight(share) => format!("{:.0} % clipped light", share * 100.0),
        Warning::ClippedDark(share) => format!("{:.0} % clipped dark", share * 100.0),
        Warning::Uneven(spread) => format!("uneven: its parts differ by {spread:.1} L*"),
        Warning::OnEdge(band) => format!("on the edge to band {band}"),
        Warning::FewPixels(pixels) => format!("only {pixels} pixels"),
    }
}
