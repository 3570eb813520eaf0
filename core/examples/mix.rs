//! What two washes make when they run together: prints one JSON object.
//!
//! `cargo run --release -p tonefast-core --example mix -- '#rrggbb' '#rrggbb' [SHARE]`
//!
//! The colours are sRGB, as measured on paper; SHARE is the second's share of the volume, from 0 to 1, .5 if left out.
//! With no argument it reads such lines from standard input and prints a line of JSON for each.

use serde_json::{Value, json};
use std::io::{BufRead, Write};
use std::process::ExitCode;
use tonefast_core::{Outcome, Wash};

const USAGE: &str = "usage: mix '#rrggbb' '#rrggbb' [SHARE], or such lines on standard input";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let done = if arguments.is_empty() {
        mix_lines()
    } else {
        mix(&arguments.iter().map(String::as_str).collect::<Vec<_>>()).and_then(|answer| print(&answer))
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("mix: {message}");
            ExitCode::from(2)
        }
    }
}

fn mix_lines() -> Result<(), String> {
    for (at, line) in std::io::stdin().lock().lines().enumerate() {
        let line = line.map_err(|error| format!("standard input: {error}"))?;
        let words: Vec<&str> = line.split_whitespace().collect();
        if !words.is_empty() {
            mix(&words)
                .map_err(|message| format!("line {}: {message}", at + 1))
                .and_then(|answer| print(&answer))?;
        }
    }
    Ok(())
}

fn print(answer: &Value) -> Result<(), String> {
    writeln!(std::io::stdout(), "{answer}").map_err(|error| format!("standard output: {error}"))
}

fn mix(words: &[&str]) -> Result<Value, String> {
    let (first, second, share) = match *words {
        [first, second] => (first, second, 0.5),
        [first, second, share] => {
            (first, second, share.parse().map_err(|_| format!("{share} is no number"))?)
        }
        _ => return Err(USAGE.to_owned()),
    };
    let mixture = wash(first)?.mixed(&wash(second)?, share).map_err(|error| error.to_string())?;
    let [r, g, b] = mixture.colour.srgb();
    Ok(json!({
        "srgb": format!("#{r:02x}{g:02x}{b:02x}"),
        "l": mixture.colour.lightness,
        "chroma": mixture.colour.chroma,
        "hue": mixture.colour.hue,
        "dull": mixture.outcome == Outcome::Dull,
        "dullness": mixture.dullness,
        "sureness": mixture.sureness,
    }))
}

/// The wash of `#rrggbb`.
fn wash(hex: &str) -> Result<Wash, String> {
    let digits = hex.strip_prefix('#').unwrap_or(hex);
    if digits.len() != 6 || !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return Err(format!("{hex} is no colour like #bf3735"));
    }
    let code = u32::from_str_radix(digits, 16).map_err(|error| error.to_string())?;
    let [_, r, g, b] = code.to_be_bytes();
    Ok(Wash::from_srgb([r, g, b]))
}
