//! Reads spots of a picture in a light that is told, at its full resolution, and prints one JSON object.
//!
//! `cargo run --release -p tonefast-core --example light -- PHOTO [--white X Y RADIUS [L]] [--dark X Y RADIUS L]
//! [--grey X Y RADIUS L ...] [--lifted] [--wet] [--beyond] [--difference] -- X Y RADIUS [X Y RADIUS ...]`
//!
//! L is the known L* of a patch (paper is 94.5 unless told). `--white` and `--dark` may be given more than once: paper
//! in three places and more evens the light out. Each spot's `plus_minus` is half of the 90 % interval, or null.
//! With `--difference`, `differences` holds every pair of spots: their numbers from 0, `delta_l` from the first to the
//! second, its `plus_minus`, and the verdict.

#[path = "spots/spots.rs"]
mod spots;

use serde_json::{Value, json};
use std::process::ExitCode;
use std::sync::Arc;
use tonefast_core::{Bands, Circumstances, Difference, Light, Patch, PatchKind, Reading, Spot};

const USAGE: &str = "usage: light PHOTO [--white X Y RADIUS [L]] [--dark X Y RADIUS L] [--grey X Y RADIUS L ...] \
                     [--lifted] [--wet] [--beyond] [--difference] -- X Y RADIUS [X Y RADIUS ...]";

fn main() -> ExitCode {
    match read(&std::env::args().skip(1).collect::<Vec<_>>()) {
        Ok(answer) => {
            println!("{answer}");
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("light: {message}");
            ExitCode::from(2)
        }
    }
}

fn read(arguments: &[String]) -> Result<Value, String> {
    let (path, rest) = arguments.split_first().ok_or(USAGE)?;
    let end = rest.iter().position(|argument| argument == "--").ok_or(USAGE)?;
    let options: Vec<String> =
        rest[..end].iter().filter(|&option| option != "--difference").cloned().collect();
    let (patches, circumstances) = told(&options)?;
    let spots = numbers(&rest[end + 1..])?;
    let (spots, odd) = spots.as_chunks::<3>();
    if !odd.is_empty() || spots.is_empty() {
        return Err("each spot needs X Y RADIUS".to_owned());
    }
    let mut photo = spots::open(path)?;
    if !patches.is_empty() {
        let light = Light::judge(&photo, &patches, circumstances).map_err(|error| error.to_string())?;
        photo = photo.lit(&Arc::new(light));
    }
    let bands = Bands::even(5).map_err(|error| error.to_string())?;
    let read = |&spot: &[f64; 3]| {
        let (mut value, reading) = spots::read_spot(&photo, spot, &bands)?;
        value["plus_minus"] = reading.doubt.as_ref().map(|doubt| doubt.plus_minus()).into();
        value["against"] = reading.against.to_string().into();
        Ok::<_, String>((value, reading))
    };
    let (values, readings): (Vec<Value>, Vec<Reading>) =
        spots.iter().map(read).collect::<Result<Vec<_>, _>>()?.into_iter().unzip();
    let (width, height) = photo.size();
    let mut answer = json!({
        "width": width,
        "height": height,
        "noticed": photo.noticed().iter().map(ToString::to_string).collect::<Vec<_>>(),
        "notes": photo.light().map_or(&[][..], Light::notes).iter().map(ToString::to_string).collect::<Vec<_>>(),
        "spots": values,
    });
    if options.len() < end {
        answer["differences"] = differences(&readings);
    }
    Ok(answer)
}

/// Of each spot to every later one.
fn differences(readings: &[Reading]) -> Value {
    let between = |(first, a): (usize, &Reading), (second, b): (usize, &Reading)| {
        let difference = Difference::between(a, b);
        json!({
            "first": first,
            "second": second,
            "delta_l": difference.lightness,
            "plus_minus": difference.doubt.map(|doubt| doubt.plus_minus()),
            "verdict": format!("{:?}", difference.verdict),
        })
    };
    readings
        .iter()
        .enumerate()
        .flat_map(|a| readings.iter().enumerate().skip(a.0 + 1).map(move |b| between(a, b)))
        .collect()
}

/// Patches and circumstances of the options.
fn told(options: &[String]) -> Result<(Vec<Patch>, Circumstances), String> {
    let mut patches = Vec::new();
    let mut circumstances = Circumstances::default();
    let starts: Vec<usize> = (0..options.len()).filter(|&at| options[at].starts_with("--")).collect();
    if starts.first().is_some_and(|&first| first > 0) || (starts.is_empty() && !options.is_empty()) {
        return Err(USAGE.to_owned());
    }
    for (at, &start) in starts.iter().enumerate() {
        let end = starts.get(at + 1).copied().unwrap_or(options.len());
        let values = numbers(&options[start + 1..end])?;
        let kind = match options[start].as_str() {
            "--white" => PatchKind::White,
            "--dark" => PatchKind::Dark,
            "--grey" => PatchKind::Step,
            "--lifted" => {
                circumstances.lifted = true;
                continue;
            }
            "--wet" => {
                circumstances.wet = true;
                continue;
            }
            "--beyond" => {
                circumstances.beyond_the_paper = true;
                continue;
            }
            other => return Err(format!("{other} is no option. {USAGE}")),
        };
        let patch =
            |&[x, y, radius, lightness]: &[f64; 4]| Patch { kind, spot: Spot { x, y, radius }, lightness };
        match (kind, values.as_slice(), values.as_chunks::<4>()) {
            (PatchKind::White, &[x, y, radius], _) => {
                patches.push(patch(&[x, y, radius, PatchKind::White.usual_lightness()]));
            }
            (_, _, (fours, [])) if !fours.is_empty() => patches.extend(fours.iter().map(patch)),
            _ => return Err(format!("{} needs X Y RADIUS L", options[start])),
        }
    }
    Ok((patches, circumstances))
}

fn numbers(texts: &[String]) -> Result<Vec<f64>, String> {
    texts.iter().map(|text| text.parse().map_err(|_| format!("{text} is no number"))).collect()
}
