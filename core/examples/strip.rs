//! Strips of swatches in a photograph, measured: `-- PHOTO [--paper L]`, the paper's L* 94.53 if left out.

use serde_json::{Value, json};
use std::process::ExitCode;
use tonefast_core::{OpenOptions, Photo, Progress, Strip, StripStep, StripWarning, strips};

/// L* of a measured watercolour paper (Chen et al. 2019, arXiv:1904.00275).
const PAPER: f64 = 94.53;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let (path, paper) = match arguments.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        [path] => (path, Some(PAPER)),
        [path, "--paper", paper] | ["--paper", paper, path] => {
            (path, paper.parse().ok().filter(|paper: &f64| (1.0..=100.0).contains(paper)))
        }
        _ => ("", None),
    };
    let Some(paper) = paper else {
        eprintln!("strip PHOTO [--paper L], L between 1 and 100");
        return ExitCode::from(2);
    };
    let opened = std::fs::read(path).map_err(|error| error.to_string()).and_then(|bytes| {
        Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).map_err(|error| error.to_string())
    });
    match opened {
        Ok(photo) => {
            let strips: Vec<Value> = strips(&photo, paper).iter().map(|strip| told(strip, &photo)).collect();
            println!("{}", json!({ "strips": strips }));
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{path}: {error}");
            ExitCode::from(2)
        }
    }
}

fn told(strip: &Strip, photo: &Photo) -> Value {
    let (working, full) = (photo.size(), photo.full_size());
    let scale = [f64::from(full.0) / f64::from(working.0), f64::from(full.1) / f64::from(working.1)];
    let place = |at: [f64; 2]| [0, 1].map(|axis| (at[axis] + 0.5) * scale[axis] - 0.5);
    let steps: Vec<Value> = strip
        .steps
        .iter()
        .map(|step| {
            let StripStep { quad, lightness, plus_minus, repeatable, chroma, hue } = *step;
            let centre = [0, 1].map(|axis| quad.iter().map(|corner| corner[axis]).sum::<f64>() / 4.0);
            json!({
                "centre": place(centre), "quad": quad.map(place), "l": lightness, "plus_minus": plus_minus,
                "repeatable": repeatable, "chroma": chroma, "hue": hue,
            })
        })
        .collect();
    let lightness = |step: Option<&StripStep>| step.map(|step| step.lightness);
    json!({
        "steps": steps,
        "evenness": strip.evenness,
        "distinct": strip.distinct(),
        "reach": [lightness(strip.steps.first()), lightness(strip.steps.last())],
        "warnings": strip.warnings.iter().map(words).collect::<Vec<_>>(),
    })
}

fn words(warning: &StripWarning) -> String {
    match warning {
        StripWarning::TooClose(first, second) => format!("steps {first} and {second} stand too close"),
        StripWarning::TooFar(first, second) => {
            format!("between {first} and {second} a strength is missing")
        }
        StripWarning::Alike(first, second) => format!("steps {first} and {second} cannot be told apart"),
        StripWarning::TurnsBack(first, second) => format!("step {second} is lighter than {first}"),
        StripWarning::Shadow => "the paper beside it changes at once: a shadow's edge, or a fold".to_owned(),
        StripWarning::Glare(step) => format!("step {step} shines"),
    }
}
