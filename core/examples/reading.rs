//! Reads spots of a picture, at its full resolution, and prints one JSON object.
//!
//! `cargo run --release -p tonefast-core --example reading -- PHOTO X Y RADIUS [X Y RADIUS ...]`
//!
//! X and Y are pixels of the upright picture, counted from 0; whole numbers are pixel centres. A spot holds the pixels
//! (i, j) with (i - X)² + (j - Y)² <= RADIUS². With no spot it gives the lightness of the whole picture's mean.

#[path = "spots/spots.rs"]
mod spots;

use serde_json::{Value, json};
use std::process::ExitCode;
use tonefast_core::{Bands, lightness_from_y};

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
    let photo = spots::open(&path)?;
    let (width, height) = photo.size();
    let noticed: Vec<String> = photo.noticed().iter().map(ToString::to_string).collect();
    let mut answer = json!({ "width": width, "height": height, "noticed": noticed });
    if spots.is_empty() {
        answer["l_of_mean"] = lightness_from_y(photo.tonal_map().mean_y()).into();
    } else {
        let bands = Bands::even(5).map_err(|error| error.to_string())?;
        answer["spots"] = spots
            .iter()
            .map(|&spot| Ok(spots::read_spot(&photo, spot, &bands)?.0))
            .collect::<Result<_, String>>()?;
    }
    Ok(answer)
}
