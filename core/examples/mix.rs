//! What two washes make, run together: `-- '#rrggbb' '#rrggbb' [SHARE]`, SHARE of the second by volume, .5 if left out.
//! Without arguments it reads such pairs, a line each, and answers each with a line of JSON.

use serde_json::{Value, json};
use std::io::{self, BufRead};
use std::process::ExitCode;
use tonefast_core::{Wash, WashColour, mixed};

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let asked: Vec<String> = if arguments.is_empty() {
        match io::stdin().lock().lines().collect() {
            Ok(lines) => lines,
            Err(error) => return refused(&error.to_string()),
        }
    } else {
        vec![arguments.join(" ")]
    };
    for line in asked.iter().filter(|line| !line.trim().is_empty()) {
        match answer(line) {
            Ok(answer) => println!("{answer}"),
            Err(why) => return refused(&why),
        }
    }
    ExitCode::SUCCESS
}

fn refused(why: &str) -> ExitCode {
    eprintln!("{why}\nmix '#rrggbb' '#rrggbb' [SHARE of the second, 0 to 1]");
    ExitCode::from(2)
}

fn answer(line: &str) -> Result<Value, String> {
    let words: Vec<&str> = line.split_whitespace().map(|word| word.trim_matches(['\'', '"', ','])).collect();
    let (first, second, share) = match words[..] {
        [first, second] => (first, second, 0.5),
        [first, second, share] => (first, second, share.parse().map_err(|_| format!("{share} is no share"))?),
        _ => return Err(format!("two colours are needed, and there are {} words", words.len())),
    };
    if !(0.0..=1.0).contains(&share) {
        return Err(format!("{share} is no share: it goes from 0 to 1"));
    }
    let mixture = mixed(&Wash::of(colour(first)?), &Wash::of(colour(second)?), share);
    let [r, g, b] = mixture.colour.to_srgb();
    let (lightness, chroma, _) = mixture.colour.lch();
    Ok(json!({
        "srgb": format!("#{r:02x}{g:02x}{b:02x}"),
        "l": lightness,
        "chroma": chroma,
        "dull": mixture.dullness > 0.5,
        "dullness": mixture.dullness,
    }))
}

fn colour(word: &str) -> Result<WashColour, String> {
    let digits = word.trim_start_matches('#');
    let code = |at: usize| digits.get(at..at + 2).and_then(|pair| u8::from_str_radix(pair, 16).ok());
    match (digits.len(), code(0), code(2), code(4)) {
        (6, Some(r), Some(g), Some(b)) => Ok(WashColour::from_srgb([r, g, b])),
        _ => Err(format!("{word} is no colour like #rrggbb")),
    }
}
