//! Opens one photograph a few times and prints how long each took, for `tests/speed/compare.py`.
//!
//! Arguments: `draw`, which prints the names and files of the photographs; or `open FILE TIMES [MAP]`, which prints
//! milliseconds, a line each, then the process's peak memory in MB, and leaves the tonal map in MAP as u16.

mod photos;

use std::fs;
use std::time::Instant;
use tonefast_core::{OpenOptions, Photo, Progress, Region, colours};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|argument| argument != "--bench").collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["draw"] => {
            for size in photos::SIZES {
                println!("{}\t{}", size.name, photos::file(size).display());
            }
        }
        ["open", file, times, rest @ ..] => {
            open(file, times.parse().expect("a number"), rest.first().copied());
        }
        _ => println!("draw, or open FILE TIMES [MAP]: see tests/speed/compare.py"),
    }
}

fn open(file: &str, times: usize, map: Option<&str>) {
    let bytes = fs::read(file).expect("the file is there");
    for _ in 0..times {
        let begun = Instant::now();
        let photo = Photo::open(&bytes, &OpenOptions::default(), &Progress::new()).expect("a picture");
        let (width, height) = photo.size();
        let copy = colours(&photo, Region::whole(width, height), width / 5, height / 5);
        println!("{:.1}", begun.elapsed().as_secs_f64() * 1000.0);
        assert!(!copy.is_empty(), "a picture has pixels");
        if let Some(map) = map {
            let codes: Vec<u8> =
                photo.tonal_map().codes().iter().flat_map(|code| code.to_le_bytes()).collect();
            fs::write(map, codes).expect("the map can be written");
        }
    }
    println!("peak {}", peak_megabytes());
}

/// `VmHWM` of proc(5).
fn peak_megabytes() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kilobytes = status.lines().find_map(|line| line.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB"));
    kilobytes.and_then(|text| text.trim().parse::<u64>().ok()).unwrap_or(0) / 1000
}
