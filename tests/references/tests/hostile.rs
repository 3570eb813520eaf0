//! Broken, odd and hostile files, each opened in a child process under limits.

use std::fmt::Write;
use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;
use tonefast_references::Fixtures;

/// Mutations: a few seconds' worth.
const MUTATIONS: usize = 5_000;

/// Processor time for one file, in milliseconds.
const LONGEST: u64 = 1_000;

/// Memory for one file, in KiB, all of the process included.
const MOST: u64 = 512 * 1024;

/// Wall-clock time after which a child counts as stuck: far above [`LONGEST`], since the machine may be busy.
const STUCK: Duration = Duration::from_secs(60);

/// Files up to this size are damaged: the limits are promised for small files.
const SMALL: u64 = 300_000;

/// Pillow's whole collection, of which many are broken on purpose.
#[test]
fn every_test_picture_of_pillow_is_opened_or_refused() {
    let fixtures = Fixtures::new(env!("CARGO_TARGET_TMPDIR"));
    let pictures = fixtures.pillow_pictures();
    assert!(pictures.len() > 900, "only {} files were fetched", pictures.len());
    let results = run(&fixtures, "pillow", &pictures, None);
    let opened = results.iter().filter(|result| result.outcome == "opened").count();
    println!("{} files: {opened} opened", results.len());
    // 532 of 984 were opened by a first trial with the image crate; a fall tells of a format that was lost.
    assert!(opened >= 600, "only {opened} of {} were opened", results.len());
    judge(&results, |number| pictures[number].display().to_string());
}

/// HEIC files that are damaged or whose sizes contradict each other.
#[test]
fn damaged_heic_is_refused() {
    let fixtures = Fixtures::new(env!("CARGO_TARGET_TMPDIR"));
    let pictures: Vec<PathBuf> = fixtures
        .heic_pictures()
        .into_iter()
        .filter(|path| path.components().any(|part| part.as_os_str() == "heif_corrupted"))
        .collect();
    assert!(!pictures.is_empty());
    let results = run(&fixtures, "heic", &pictures, None);
    assert!(results.iter().all(|result| result.outcome.starts_with("refused")), "{results:?}");
    judge(&results, |number| pictures[number].display().to_string());
}

/// Sound files of every format, damaged by seed.
#[test]
fn seeded_mutations_are_opened_or_refused() {
    let fixtures = Fixtures::new(env!("CARGO_TARGET_TMPDIR"));
    let victims = victims(&fixtures);
    let results = run(&fixtures, "mutations", &victims, Some(MUTATIONS));
    assert_eq!(results.len(), MUTATIONS);
    let opened = results.iter().filter(|result| result.outcome == "opened").count();
    println!("{MUTATIONS} mutations of {} files: {opened} opened", victims.len());
    // Damage that is always refused, or never, would test one side only.
    assert!(opened > MUTATIONS / 10 && opened < MUTATIONS * 9 / 10, "{opened} opened");
    judge(&results, |number| format!("mutation {number}"));
}

/// A profile of 600 MB in a PNG of 600 kB is left out, not unpacked.
#[test]
fn a_profile_that_inflates_without_end_is_left_out() {
    let fixtures = Fixtures::new(env!("CARGO_TARGET_TMPDIR"));
    let path = fixtures.scratch("bomb").join("profile.png");
    let mut info = png::Info::with_size(1, 1);
    info.color_type = png::ColorType::Rgb;
    info.icc_profile = Some(vec![0; 600 << 20].into());
    let mut bytes = Vec::new();
    let mut writer = png::Encoder::with_info(&mut bytes, info).unwrap().write_header().unwrap();
    writer.write_image_data(&[1, 2, 3]).unwrap();
    writer.finish().unwrap();
    assert!(bytes.len() < 4 << 20);
    fs::write(&path, bytes).unwrap();
    let results = run(&fixtures, "bomb", &[path], None);
    assert_eq!(results[0].outcome, "opened");
    judge(&results, |_| "the bomb".to_owned());
}

/// How one file went.
#[derive(Debug)]
struct Outcome {
    number: usize,
    milliseconds: u64,
    kibibytes: u64,
    outcome: String,
}

/// Small files, so many of each format as the rarest format has, so that mutations spread evenly.
fn victims(fixtures: &Fixtures) -> Vec<PathBuf> {
    const EACH: usize = 12;
    let all: Vec<PathBuf> = fixtures.pillow_pictures().into_iter().chain(fixtures.heic_pictures()).collect();
    let mut victims = Vec::new();
    for endings in [
        &["jpg", "jpeg"][..],
        &["png", "apng"],
        &["webp"],
        &["tif", "tiff"],
        &["gif"],
        &["bmp"],
        &["heic", "heif", "hif"],
    ] {
        let of_kind: Vec<&PathBuf> = all
            .iter()
            .filter(|path| {
                let ending = path.extension().map(|ending| ending.to_string_lossy().into_owned());
                ending.is_some_and(|ending| endings.contains(&ending.as_str()))
                    && (200..=SMALL).contains(&fs::metadata(path).map_or(0, |data| data.len()))
            })
            .collect();
        assert!(of_kind.len() >= EACH, "{endings:?}: {} files", of_kind.len());
        // Evenly over the sorted names, which spreads them over what the collection tries out.
        victims.extend((0..EACH).map(|index| of_kind[index * of_kind.len() / EACH].clone()));
    }
    victims
}

/// Fails with all that broke a rule.
fn judge(results: &[Outcome], name: impl Fn(usize) -> String) {
    let mut complaint = String::new();
    for result in results {
        let Outcome { number, milliseconds, kibibytes, outcome } = result;
        if *milliseconds > LONGEST || *kibibytes > MOST || outcome.starts_with("died") {
            let _ = writeln!(complaint, "{}: {milliseconds} ms, {kibibytes} KiB, {outcome}", name(*number));
        }
        if outcome.starts_with("caught") {
            println!("{}: {outcome}", name(*number));
        }
    }
    let slowest = results.iter().map(|result| result.milliseconds).max().unwrap_or(0);
    let largest = results.iter().map(|result| result.kibibytes).max().unwrap_or(0);
    println!("slowest {slowest} ms, largest {} MiB", largest / 1024);
    assert!(complaint.is_empty(), "{complaint}");
}

/// Opens all in children; one that dies is replaced, and its file is noted.
fn run(fixtures: &Fixtures, name: &str, paths: &[PathBuf], mutations: Option<usize>) -> Vec<Outcome> {
    let list = fixtures.scratch(name).join("list");
    let lines: Vec<String> = paths.iter().map(|path| path.display().to_string()).collect();
    fs::write(&list, lines.join("\n")).expect("the build's own folder can be written");
    let count = mutations.unwrap_or(paths.len());
    let mut results = Vec::new();
    let mut next = 0;
    while next < count {
        let (mut child, lines) = start(&list, next, mutations.map(|count| count - 1));
        let begun = follow(&lines, &mut results);
        // A child that is stuck is ended; one that is done has ended by itself.
        let _ = child.kill();
        let status = child.wait().expect("it was started");
        next = results.last().map_or(0, |result| result.number + 1).max(next);
        if let Some(number) = begun.filter(|number| *number >= next) {
            let outcome = format!("died: {status}");
            results.push(Outcome { number, milliseconds: 0, kibibytes: 0, outcome });
            next = number + 1;
        } else {
            assert!(next == count, "a child ended early: {status}");
        }
    }
    results
}

/// Starts a child with an address space of 2 GiB: what asks for more dies instead of taking the machine along.
fn start(list: &Path, first: usize, last: Option<usize>) -> (Child, Receiver<String>) {
    const LIMITED: &str = "ulimit -v 2097152 && exec \"$0\" \"$@\"";
    let mut command = Command::new("sh");
    command.args(["-c", LIMITED, env!("CARGO_BIN_EXE_open_each")]).arg(list).arg(first.to_string());
    command.args(last.map(|last| last.to_string()));
    let mut child = command.stdout(Stdio::piped()).spawn().expect("sh is there");
    let output = BufReader::new(child.stdout.take().expect("it is piped"));
    let (sender, lines) = channel();
    std::thread::spawn(move || {
        for line in output.lines().map_while(Result::ok) {
            if sender.send(line).is_err() {
                break;
            }
        }
    });
    (child, lines)
}

/// Notes results until the child ends or is stuck; the number that was begun and not ended.
fn follow(lines: &Receiver<String>, results: &mut Vec<Outcome>) -> Option<usize> {
    let mut begun = None;
    loop {
        let line = match lines.recv_timeout(STUCK) {
            Ok(line) => line,
            Err(RecvTimeoutError::Disconnected | RecvTimeoutError::Timeout) => return begun,
        };
        let mut words = line.splitn(5, ' ');
        match (words.next(), words.next().and_then(|number| number.parse().ok())) {
            (Some("begin"), number) => begun = number,
            (Some("end"), Some(number)) => {
                let mut figure =
                    || words.next().and_then(|figure| figure.parse().ok()).expect("a child says two figures");
                let (milliseconds, kibibytes) = (figure(), figure());
                let outcome = words.next().unwrap_or_default().to_owned();
                results.push(Outcome { number, milliseconds, kibibytes, outcome });
                begun = None;
            }
            _ => panic!("a child said {line:?}"),
        }
    }
}
