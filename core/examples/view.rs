//! Draws a view of a picture, at the working copy's size, as a PNG.
//!
//! `cargo run --release -p tonefast-core --example view -- PHOTO colour|lightness|bands[:N] OUT.png`

use std::process::ExitCode;
use tonefast_core::{Bands, OpenOptions, Photo, Progress, Region, View, ViewSettings, render};

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let drawn = match arguments.as_slice() {
        [photo, view, out] => draw(photo, view, out),
        _ => Err("usage: view PHOTO colour|lightness|bands[:N] OUT.png".to_owned()),
    };
    match drawn {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("view: {message}");
            ExitCode::from(2)
        }
    }
}

fn draw(path: &str, view: &str, out: &str) -> Result<(), String> {
    let (name, count) = match view.split_once(':') {
        Some((name, count)) => (name, count.parse().map_err(|_| format!("{count} is no number of bands"))?),
        None => (view, 5),
    };
    let view = match name {
        "colour" => View::Colour,
        "lightness" => View::Lightness,
        "bands" => View::Bands,
        _ => return Err(format!("there is no view called {name}")),
    };
    let bands = Bands::even(count).map_err(|error| error.to_string())?;
    let bytes = std::fs::read(path).map_err(|error| format!("{path}: {error}"))?;
    let photo = Photo::open(&bytes, &OpenOptions::default(), &Progress::new())
        .map_err(|error| format!("{path}: {error}. {}", error.hint()))?;
    let (width, height) = photo.size();
    let settings = ViewSettings { view, bands: &bands, soft: None, frame: None, line: 1 };
    let pixels = render(&photo, &settings, Region::whole(width, height), width, height);
    image::save_buffer_with_format(
        out,
        &pixels,
        width,
        height,
        image::ColorType::Rgba8,
        image::ImageFormat::Png,
    )
    .map_err(|error| format!("{out}: {error}"))
}
