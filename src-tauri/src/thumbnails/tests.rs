//! Scrolling through many snapshots whose small pictures are not there.

use super::*;
use crate::drawing::small_picture;
use crate::studio::{Door, Places, now};
use jpeg_encoder::{ColorType, Encoder};
use std::sync::mpsc::{Sender, channel};
use std::time::{Duration, Instant};
use tonefast_core::{Bands, Seen, SeenBands, SessionAbout, Studio};

/// Asks that tell when they are answered.
fn ask(number: usize, tell: &Sender<(usize, Turn)>, work: impl FnOnce() + Send + 'static) -> Ask {
    let tell = tell.clone();
    Box::new(move |turn| {
        if turn == Turn::Now {
            work();
        }
        let _ = tell.send((number, turn));
    })
}

#[test]
fn one_is_made_at_a_time_the_last_first_and_what_was_scrolled_past_is_given_up() {
    let (line, one, (tell, told)) = (Arc::<Line>::default(), Arc::<Mutex<()>>::default(), channel());
    let (open, gate) = channel::<()>();
    line.join(ask(0, &tell, move || {
        let _ = gate.recv();
    }));
    for number in 1..5000 {
        let one = Arc::clone(&one);
        line.join(ask(number, &tell, move || {
            let alone = one.try_lock();
            assert!(alone.is_ok(), "two are made at once");
            std::thread::sleep(Duration::from_millis(2));
        }));
    }
    drop((open, tell));
    let answers: Vec<(usize, Turn)> = told.iter().collect();
    let mut numbers: Vec<usize> = answers.iter().map(|(number, _)| *number).collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (0..5000).collect::<Vec<_>>(), "each is answered, once");
    let made: Vec<usize> =
        answers.iter().filter(|(_, turn)| *turn == Turn::Now).map(|(number, _)| *number).collect();
    // The first may begin before the others come, or be given up with them.
    let screen: Vec<usize> = (5000 - MOST_WAITING..5000).rev().collect();
    assert!(made.ends_with(&screen) && made.len() <= MOST_WAITING + 2, "{made:?}");
}

#[test]
fn a_panic_ends_the_line_for_nobody_else() {
    let (line, (tell, told)) = (Arc::<Line>::default(), channel());
    line.join(Box::new(|_| panic!("as a test")));
    line.join(ask(1, &tell, || ()));
    assert_eq!(told.recv_timeout(Duration::from_secs(10)), Ok((1, Turn::Now)));
}

/// What the shell may hold at its peak, beside what it held before.
const MOST_MEMORY: u64 = 600 << 20;

/// Snapshots in a row on a large screen.
const ROW: usize = 4;

/// How many pictures that are made alone the row that is looked at may take: itself, one that was begun before it, and as
/// much again for what else this machine does.
const MOST_ALONE: u32 = 2 * (ROW as u32 + 1);

/// In full (`TONEFAST_LONG=1`, on its own and in a release build): 5,000 snapshots of 48 megapixels.
#[test]
fn scrolling_past_originals_stays_within_its_bound() {
    let is_long = std::env::var_os("TONEFAST_LONG").is_some();
    let (count, size) = if is_long { (5000, (8000, 6000)) } else { (100, (2000, 1500)) };
    let folder = tempfile::TempDir::new().unwrap();
    let door = Arc::new(Door::default());
    door.lies(Places::under(folder.path()));
    let snapshots = door.with(|studio| Ok(kept(studio, count, size))).unwrap();
    let (line, (tell, told), before) = (Arc::<Line>::default(), channel(), peak_from_now());
    let begun = Instant::now();
    drop(small_picture(&door, snapshots[0], &mut None).unwrap());
    let alone = begun.elapsed();
    let begun = Instant::now();
    for (number, snapshot) in snapshots.into_iter().enumerate() {
        let (door, served) = (Arc::clone(&door), Arc::clone(&line));
        line.join(ask(number, &tell, move || {
            drop(small_picture(&door, snapshot, &mut lock(&served.last)).unwrap());
        }));
    }
    drop(tell);
    let (mut made, mut row) = (0, Duration::ZERO);
    for (number, turn) in &told {
        made += usize::from(turn == Turn::Now);
        if number >= count - ROW {
            row = row.max(begun.elapsed());
        }
    }
    let peak = peak().saturating_sub(before);
    println!(
        "{made} of {count} made, the row in sight after {row:?}, one alone {alone:?}, peak {} MB",
        peak >> 20
    );
    assert!(made <= MOST_WAITING + count / 10, "{made} were made");
    assert!(peak < MOST_MEMORY, "{} MB", peak >> 20);
    assert!(row < alone * MOST_ALONE, "the row took {row:?}, and one alone {alone:?}");
}

/// Snapshots of two photos of this size by turns, so that none is of the photo that was opened last; no small pictures.
fn kept(studio: &mut Studio, count: usize, (width, height): (u32, u32)) -> Vec<i64> {
    let jpeg = |shade: u32| {
        let pixel = |at| [at % 251, at / width % 241, at % 7 * shade].map(|it| it as u8);
        let pixels: Vec<u8> = (0..width * height).flat_map(pixel).collect();
        let mut jpeg = Vec::new();
        Encoder::new(&mut jpeg, 90).encode(&pixels, width as u16, height as u16, ColorType::Rgb).unwrap();
        jpeg
    };
    let longest = width.max(height).min(tonefast_core::WORKING_SIDE);
    let working = (longest, longest * height / width);
    let bands = Bands::even(5).unwrap();
    let seen = Seen::plain(working, 0, (SeenBands::Even, &bands), vec![0.2; 5]);
    let session = studio.begin_session(&SessionAbout::default(), now()).unwrap();
    let photos = [36, 30].map(|shade| studio.keep_photo(session, "demo", &jpeg(shade), now()).unwrap());
    let mut keep =
        |number: usize| studio.keep_snapshot(session, &photos[number % 2], ("", ""), &seen, now()).unwrap();
    (0..count).map(&mut keep).collect()
}

/// Forgets the peak of before; what is held now.
fn peak_from_now() -> u64 {
    // proc(5): 5 sets the peak back.
    drop(std::fs::write("/proc/self/clear_refs", "5"));
    peak()
}

/// The most that this process has held.
fn peak() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find(|line| line.starts_with("VmHWM:")).unwrap();
    line.split_whitespace().nth(1).unwrap().parse::<u64>().unwrap() << 10
}
