//! Opens pictures one after another and says how each went; runs under limits that its parent sets.
//!
//! Arguments: a file with one path a line, and optionally the first and last number of a mutation. Without them every
//! path is opened; with them, each number from first to last seeds damage to one of the files, chosen by the number.
//! For each: `begin N`, then `end N MILLISECONDS KIBIBYTES OUTCOME`. A panic ends the process.

use std::fs;
use std::io::Write;
use std::process::exit;
use tonefast_core::{OpenError, OpenOptions, Photo, Progress};
use tonefast_references::Damage;

fn main() {
    // The decoders' own panics are caught in core; what they print would only drown the results.
    std::panic::set_hook(Box::new(|_| ()));
    let mut arguments = std::env::args().skip(1);
    let Some(list) = arguments.next() else {
        eprintln!("usage: open_each LIST [FIRST LAST]");
        exit(2);
    };
    let text = fs::read_to_string(&list).unwrap_or_else(|error| {
        eprintln!("{list}: {error}");
        exit(2);
    });
    let paths: Vec<&str> = text.lines().collect();
    let numbers: Vec<usize> = arguments.filter_map(|number| number.parse().ok()).collect();
    match numbers[..] {
        [] => (0..paths.len()).for_each(|number| report(number, &read(paths[number]))),
        [first] => (first..paths.len()).for_each(|number| report(number, &read(paths[number]))),
        [first, last, ..] => {
            for number in first..=last {
                let mut damage = Damage::new(number as u64);
                let mut bytes = read(paths[damage.below(paths.len())]);
                damage.inflict(&mut bytes);
                report(number, &bytes);
            }
        }
    }
}

fn read(path: &str) -> Vec<u8> {
    fs::read(path).unwrap_or_else(|error| {
        eprintln!("{path}: {error}");
        exit(2);
    })
}

/// Opens one, and says what it took.
fn report(number: usize, bytes: &[u8]) {
    println!("begin {number}");
    let _ = std::io::stdout().flush();
    // Writing 5 sets the peak back to what is held now (proc(5), clear_refs).
    let _ = fs::write("/proc/self/clear_refs", "5");
    let before = milliseconds();
    let outcome = match Photo::open(bytes, &OpenOptions::default(), &Progress::new()) {
        Ok(photo) => {
            let (width, height) = photo.size();
            assert_eq!(photo.tonal_map().codes().len(), width as usize * height as usize);
            "opened".to_owned()
        }
        Err(OpenError::DecoderFailed { format }) => format!("caught a panic of the {format} decoder"),
        Err(error) => format!("refused: {error}").replace('\n', " "),
    };
    println!("end {number} {} {} {outcome}", milliseconds() - before, peak_kibibytes());
}

/// Time on the processor, of all threads. Linux counts it in hundredths of a second (proc(5), stat).
fn milliseconds() -> u64 {
    let stat = fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // The name may hold anything, so fields are counted after its closing bracket: 14 and 15 of all.
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let ticks: u64 =
        after_name.split_whitespace().skip(11).take(2).filter_map(|field| field.parse::<u64>().ok()).sum();
    ticks * 10
}

/// The most memory held since it was last set back.
fn peak_kibibytes() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM:")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|number| number.parse().ok()).unwrap_or(0)
}
