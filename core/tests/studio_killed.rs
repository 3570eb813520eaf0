//! A studio whose program is killed in the midst of what it does, and one that two programs write to: what was
//! acknowledged is there, byte for byte, and nothing is corrupt.

#![allow(clippy::disallowed_types, reason = "the parcel is a file, as a painter has it")]
#![allow(clippy::unwrap_used, reason = "in a test, what fails fails it")]

use rusqlite::Connection;
use std::fs::{self, File};
use std::io::{BufRead, BufReader, Cursor};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, SystemTime};
use tempfile::TempDir;
use tonefast_core::{
    Bands, Kept, Laid, Moment, NewFile, Originals, PaintAbout, PaintedStep, PaintedStrip, PhotoHash,
    Progress, Seen, SeenBands, SessionAbout, SessionOrder, Studio, StudioError, sweep_leftovers,
};
use tonefast_tally::fault;

/// Names the child's folder; set, this program does its deed there.
const FOLDER: &str = "TONEFAST_STUDIO";

/// Names the child's deed.
const DEED: &str = "TONEFAST_DEED";

/// Names the parcel that it brings in.
const PARCEL: &str = "TONEFAST_PARCEL";

/// How often it is killed, unless the variable of this name says otherwise.
const KILLS: &str = "TONEFAST_KILLS";

/// The day, counted from the first, on which what was deleted on the first is purged: thirty days have gone by, on each of
/// which the studio was opened.
const PURGED: u64 = 31;

/// How many saves each of two programs makes.
const SAVES: i64 = 200;

/// Of how many it makes at a stretch before it lets the other in.
const STRETCH: i64 = 10;

/// Snapshots in a database that is brought up to the newest version: so many that it takes a while.
const OLD_SNAPSHOTS: i64 = 3_000;

/// Not a test of its own: the child.
#[test]
fn child() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let folder = Path::new(&folder);
    match std::env::var(DEED).unwrap().as_str() {
        "save" => save(&mut opened(folder), 0, i64::MAX),
        "paint" => paint(&mut opened(folder), 0, i64::MAX),
        "migrate" => {
            println!("kept 0 0");
            drop(opened(folder));
        }
        "bring in" => {
            let mut studio = opened(folder);
            println!("kept 0 0");
            let parcel = File::open(std::env::var_os(PARCEL).unwrap()).unwrap();
            studio.bring_in(&Progress::new(), parcel).unwrap();
        }
        "restore" => {
            let studio = opened(folder);
            println!("kept 0 0");
            let parcel = File::open(std::env::var_os(PARCEL).unwrap()).unwrap();
            let mut beside = studio.beside(Moment(1)).unwrap();
            beside.bring_in(&Progress::new(), parcel).unwrap();
            beside.take_place_of(studio).unwrap();
        }
        "purge" => {
            println!("kept 0 0");
            drop(opened_on(folder, day(PURGED)));
        }
        "set" => {
            let mut studio = opened(folder);
            for number in 0.. {
                studio.keep_setting("check", &settings(number)).unwrap();
                println!("kept 0 {number}");
            }
        }
        "hand out" => {
            let studio = opened(folder);
            let session = studio.sessions(SessionOrder::Newest).unwrap()[0].id;
            for number in 0.. {
                let mut file = NewFile::begin(&folder.join("hers")).unwrap();
                studio.hand_out(session, Originals::With, &Progress::new(), &mut file).unwrap();
                file.finish("Low water", "session", "zip").unwrap();
                println!("kept 0 {number}");
            }
        }
        "hold" => {
            let mut studio = opened(folder);
            println!("kept 0 0");
            save(&mut studio, 0, SAVES);
        }
        "share" => {
            for from in (0..SAVES).step_by(STRETCH as usize) {
                save(&mut opened(folder), from, from + STRETCH);
            }
        }
        deed => panic!("there is no {deed}"),
    }
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    let kills = kills();
    let folder = TempDir::new().unwrap();
    let acknowledged = acknowledged_until_killed(folder.path(), "save", kills);
    let there = all_are_there(folder.path(), &acknowledged);
    println!("{kills} kills, {} saves acknowledged, {there} there", acknowledged.len());
}

/// Paints, what is said of them anew, and strips with their photo and without.
#[test]
fn paints_that_were_acknowledged_survive_a_kill() {
    let kills = kills();
    let folder = TempDir::new().unwrap();
    let acknowledged = acknowledged_until_killed(folder.path(), "paint", kills);
    let there = all_paints_are_there(folder.path(), &acknowledged);
    println!("{kills} kills, {} strips acknowledged, {there} there", acknowledged.len());
}

/// The migration is killed, and done by the next who opens.
#[test]
fn a_migration_survives_a_kill() {
    let old = TempDir::new().unwrap();
    old_database(&old.path().join("studio.sqlite"));
    let mut halfway = 0;
    let kills = kills() / 3;
    for kill in 0..kills {
        let folder = TempDir::new().unwrap();
        fs::copy(old.path().join("studio.sqlite"), folder.path().join("studio.sqlite")).unwrap();
        let (mut child, output) = started(folder.path(), "migrate");
        let mut lines = lines(output);
        assert_eq!(lines.next(), Some((0, 0)));
        std::thread::sleep(somewhere(kill, 60));
        child.kill().unwrap();
        if !child.wait().unwrap().success() {
            halfway += 1;
            fault("kill -9 during migration");
        }
        drop(lines);
        let studio = opened(folder.path());
        let sessions = studio.sessions(SessionOrder::Newest).unwrap();
        assert_eq!(studio.snapshots(sessions[0].id).unwrap().len() as i64, OLD_SNAPSHOTS + 1);
        assert_eq!(studio.search("hull").unwrap().snapshots.len() as i64, OLD_SNAPSHOTS + 1);
        drop(studio);
        is_whole(folder.path());
    }
    assert!(halfway > 0, "every migration was done before it was killed");
    println!("{kills} migrations, {halfway} of them killed before they ended");
}

/// Of a parcel that was being brought in there is all or nothing, and it comes in at the next try.
#[test]
fn what_is_brought_in_survives_a_kill() {
    let source = TempDir::new().unwrap();
    let mut studio = Studio::open(source.path(), SystemTime::now()).unwrap();
    save(&mut studio, 0, 40);
    let mut parcel = Cursor::new(Vec::new());
    studio.back_up(Originals::With, &Progress::new(), &mut parcel).unwrap();
    let path = source.path().join("parcel.zip");
    fs::write(&path, parcel.get_ref()).unwrap();
    let (mut halfway, mut came) = (0, 0);
    let kills = kills() / 3;
    for kill in 0..kills {
        let folder = TempDir::new().unwrap();
        let (mut child, output) = started_with(folder.path(), "bring in", &path);
        let mut lines = lines(output);
        assert_eq!(lines.next(), Some((0, 0)));
        std::thread::sleep(somewhere(kill, 60));
        child.kill().unwrap();
        if !child.wait().unwrap().success() {
            halfway += 1;
            fault("kill -9 during bringing in");
        }
        drop(lines);
        let mut studio = opened(folder.path());
        if studio.sessions(SessionOrder::Newest).unwrap().is_empty() {
            let left: Vec<_> = files(folder.path());
            assert_eq!(left, [] as [PathBuf; 0], "nothing of it is left");
            studio.bring_in(&Progress::new(), Cursor::new(parcel.get_ref())).unwrap();
        } else {
            came += 1;
        }
        let mut again = Cursor::new(Vec::new());
        studio.back_up(Originals::With, &Progress::new(), &mut again).unwrap();
        assert!(again.get_ref() == parcel.get_ref());
        drop(studio);
        assert_eq!(all_are_there(folder.path(), &[]), 40);
    }
    assert!(halfway > 0, "all was brought in before it was killed");
    println!("{kills} parcels, {halfway} programs killed before they ended, {came} parcels there by then");
}

/// A backup that is restored beside what is here takes its place whole, or leaves no file; what was here is whole.
#[test]
fn a_restore_beside_survives_a_kill() {
    let source = TempDir::new().unwrap();
    let mut studio = Studio::open(source.path(), SystemTime::now()).unwrap();
    save(&mut studio, 0, 40);
    let path = source.path().join("parcel.zip");
    studio.back_up(Originals::With, &Progress::new(), File::create(&path).unwrap()).unwrap();
    let (mut halfway, mut came) = (0, 0);
    let kills = kills() / 3;
    for kill in 0..kills {
        let folder = TempDir::new().unwrap();
        save(&mut opened(folder.path()), 0, 1);
        let before = files(folder.path());
        let (mut child, output) = started_with(folder.path(), "restore", &path);
        let mut lines = lines(output);
        assert_eq!(lines.next(), Some((0, 0)));
        std::thread::sleep(somewhere(kill, 120));
        child.kill().unwrap();
        if !child.wait().unwrap().success() {
            halfway += 1;
            fault("kill -9 during restore");
        }
        drop(lines);
        let there = opened(folder.path());
        let session = there.sessions(SessionOrder::Newest).unwrap()[0].id;
        let count = there.snapshots(session).unwrap().len();
        drop(there);
        if count == 1 {
            assert_eq!(files(folder.path()), before);
        } else {
            assert_eq!(count, 40);
            came += 1;
            bring_back(folder.path());
        }
        assert_eq!(all_are_there(folder.path(), &[(session, 0)]), 1);
    }
    assert!(halfway > 0, "all was restored before it was killed");
    println!("{kills} restores, {halfway} killed before they ended, {came} backups in place by then");
}

/// What was to be purged is gone at the next opening; what was not is whole.
#[test]
fn a_purge_survives_a_kill() {
    let template = TempDir::new().unwrap();
    let mut studio = opened_on(template.path(), day(0));
    save(&mut studio, 0, 20);
    save(&mut studio, 20, 60);
    let sessions = studio.sessions(SessionOrder::Newest).unwrap();
    let (gone, stays) = (sessions[0].id, sessions[1].id);
    studio.delete(Kept::Session(gone), Moment::of(day(0))).unwrap();
    drop(studio);
    for later in 1..PURGED - 1 {
        drop(opened_on(template.path(), day(later)));
    }
    let mut halfway = 0;
    let kills = kills() / 3;
    for kill in 0..kills {
        let folder = TempDir::new().unwrap();
        copy_all(template.path(), folder.path());
        let (mut child, output) = started(folder.path(), "purge");
        let mut lines = lines(output);
        assert_eq!(lines.next(), Some((0, 0)));
        std::thread::sleep(somewhere(kill, 40));
        child.kill().unwrap();
        if !child.wait().unwrap().success() {
            halfway += 1;
            fault("kill -9 during purge");
        }
        drop(lines);
        let studio = opened_on(folder.path(), day(PURGED));
        assert_eq!(studio.deleted().unwrap(), []);
        assert!(studio.session(gone).is_err());
        drop(studio);
        let kept = whole(&opened_on(folder.path(), day(PURGED)), &[(stays, 0), (stays, 19)]);
        assert_eq!(kept, 20);
        is_whole(folder.path());
    }
    assert!(halfway > 0, "all was purged before it was killed");
    println!("{kills} purges, {halfway} of them killed before they ended");
}

/// The last that was acknowledged, or a later one, and always a whole one.
#[test]
fn settings_that_were_acknowledged_survive_a_kill() {
    let folder = TempDir::new().unwrap();
    let mut acknowledged_in_all = 0;
    let kills = kills() / 3;
    for kill in 0..kills {
        let (mut child, output) = started(folder.path(), "set");
        let mut lines = lines(output);
        let mut last = lines.by_ref().take(1 + kill as usize % 7).last().unwrap().1;
        std::thread::sleep(somewhere(kill, 20));
        child.kill().unwrap();
        child.wait().unwrap();
        fault("kill -9 during settings");
        for (_, number) in lines {
            last = number;
        }
        acknowledged_in_all += last + 1;
        let kept = opened(folder.path()).setting("check").unwrap().unwrap();
        assert!(kept == settings(last) || kept == settings(last + 1), "{last}: {}", kept.len());
        is_whole(folder.path());
    }
    println!("{kills} kills, {acknowledged_in_all} settings acknowledged");
}

/// Each hand-out is whole or not there; what is left of the last goes at the next start.
#[test]
fn what_is_handed_out_is_whole_whenever_it_is_killed() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    save(&mut studio, 0, 20);
    let session = studio.sessions(SessionOrder::Newest).unwrap()[0].id;
    let mut parcel = Cursor::new(Vec::new());
    studio.hand_out(session, Originals::With, &Progress::new(), &mut parcel).unwrap();
    drop(studio);
    let hers = folder.path().join("hers");
    let (mut acknowledged, mut left) = (0, 0);
    let kills = kills() / 3;
    for kill in 0..kills {
        let (mut child, output) = started(folder.path(), "hand out");
        let mut lines = lines(output);
        acknowledged += lines.by_ref().take(1 + kill as usize % 3).count();
        std::thread::sleep(somewhere(kill, 20));
        child.kill().unwrap();
        child.wait().unwrap();
        fault("kill -9 during hand-out");
        acknowledged += lines.count();
        let before = files(&hers).len();
        sweep_leftovers(&hers).unwrap();
        left += before - files(&hers).len();
    }
    let files = files(&hers);
    assert!(files.len() >= acknowledged, "{acknowledged} were acknowledged, {} are there", files.len());
    for file in &files {
        assert!(fs::read(file).unwrap() == *parcel.get_ref(), "{}", file.display());
    }
    assert!(left > 0, "none was killed while it was written");
    println!("{kills} kills, {acknowledged} hand-outs acknowledged, {left} half files removed");
}

#[test]
fn two_programs_take_turns() {
    let folder = TempDir::new().unwrap();
    let children = [(); 2].map(|()| started(folder.path(), "share"));
    let acknowledged = children.map(|(mut child, output)| {
        let saved: Vec<_> = lines(output).collect();
        assert!(child.wait().unwrap().success());
        saved
    });
    let acknowledged = acknowledged.concat();
    assert_eq!(acknowledged.len() as i64, 2 * SAVES);
    assert_eq!(all_are_there(folder.path(), &acknowledged) as i64, 2 * SAVES);
}

/// Where the lock is of no use, as on some shares of a network: both write at once.
#[test]
fn two_programs_at_once_lose_nothing() {
    let folder = TempDir::new().unwrap();
    let (mut first, output) = started(folder.path(), "hold");
    let mut first_lines = lines(output);
    assert_eq!(first_lines.next(), Some((0, 0)));
    fs::remove_file(folder.path().join("studio.lock")).unwrap();
    let (mut second, output) = started(folder.path(), "hold");
    let acknowledged: Vec<_> = first_lines.chain(lines(output).skip(1)).collect();
    assert!(first.wait().unwrap().success() && second.wait().unwrap().success());
    assert_eq!(acknowledged.len() as i64, 2 * SAVES);
    assert_eq!(all_are_there(folder.path(), &acknowledged) as i64, 2 * SAVES);
}

/// What children acknowledged that did a deed one after the other, each until it was killed.
fn acknowledged_until_killed(folder: &Path, deed: &str, kills: u64) -> Vec<(i64, i64)> {
    let mut acknowledged = Vec::new();
    for kill in 0..kills {
        let (mut child, output) = started(folder, deed);
        let mut lines = lines(output);
        // At another moment each time: after none to six, and then some way into the next, however slow the disk.
        acknowledged.extend(lines.by_ref().take(kill as usize % 7));
        std::thread::sleep(somewhere(kill, 40));
        child.kill().unwrap();
        child.wait().unwrap();
        fault(if deed == "save" { "kill -9 during keep" } else { "kill -9 during paints" });
        acknowledged.extend(lines);
    }
    assert!(acknowledged.len() as u64 >= 2 * kills, "only {} were acknowledged", acknowledged.len());
    acknowledged
}

fn kills() -> u64 {
    std::env::var(KILLS).ok().and_then(|text| text.parse().ok()).unwrap_or(60)
}

/// Some time below so many milliseconds, another for each kill: multiples of the golden ratio fall evenly everywhere.
fn somewhere(kill: u64, below: u64) -> Duration {
    let fraction = (kill as f64 * 0.618_033_988_749_895).fract();
    Duration::from_micros((fraction * 1000.0 * below as f64) as u64)
}

fn started(folder: &Path, deed: &str) -> (Child, ChildStdout) {
    started_with(folder, deed, Path::new(""))
}

fn started_with(folder: &Path, deed: &str, parcel: &Path) -> (Child, ChildStdout) {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["child", "--exact", "--nocapture"])
        .env(FOLDER, folder)
        .env(DEED, deed)
        .env(PARCEL, parcel)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let output = child.stdout.take().unwrap();
    (child, output)
}

/// What a child acknowledges.
fn lines(output: ChildStdout) -> impl Iterator<Item = (i64, i64)> {
    BufReader::new(output).lines().map_while(Result::ok).filter_map(|line| {
        let mut words = line.strip_prefix("kept ")?.split(' ').map(str::parse);
        Some((words.next()?.ok()?, words.next()?.ok()?))
    })
}

/// Opens a studio that nobody has: a child that another test starts at this very moment holds on to all that is open
/// here, locks too, until it is a program of its own.
fn opened(folder: &Path) -> Studio {
    opened_on(folder, SystemTime::now())
}

fn opened_on(folder: &Path, time: SystemTime) -> Studio {
    loop {
        match Studio::open(folder, time) {
            Err(StudioError::InUse) => std::thread::sleep(Duration::from_millis(1)),
            studio => return studio.unwrap(),
        }
    }
}

/// As [`opened`]: until no child holds on to the lock.
fn bring_back(folder: &Path) {
    while let Err(error) = Studio::bring_studio_back(folder, "") {
        assert!(matches!(error, StudioError::InUse), "{error}");
        std::thread::sleep(Duration::from_millis(1));
    }
}

fn save(studio: &mut Studio, from: i64, to: i64) {
    let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
    for number in from..to {
        let (name, bytes) = (format!("{session}-{number}"), photo(session, number));
        let hash = studio.keep_photo(session, &name, &bytes, Moment(number)).unwrap();
        studio.keep_snapshot(session, &hash, (&name, ""), &seen(number), Moment(number)).unwrap();
        println!("kept {session} {number}");
    }
}

/// Begins a paint, says more of it, and gives it strips, each of which is read dry after it was read wet; what is
/// acknowledged is all of a strip.
fn paint(studio: &mut Studio, from: i64, to: i64) {
    let paint = studio.begin_paint(&begun(), Moment(0)).unwrap();
    studio.describe_paint(paint, &about(paint)).unwrap();
    for number in from..to {
        let bytes = photo(paint, number);
        let with = has_photo(number).then_some(("strip.png", &bytes[..]));
        let wet = PaintedStrip { wet: true, ..strip(number, 0.5) };
        let id = studio.keep_strip(paint, &wet, with, Moment(number)).unwrap();
        studio.change_strip(id, &wet.dried(&strip(number, 0.0).steps).unwrap()).unwrap();
        println!("kept {paint} {number}");
    }
}

/// As for snapshots: every strip that was acknowledged is there, dry, and what was cut off is whole as far as it came.
fn all_paints_are_there(folder: &Path, acknowledged: &[(i64, i64)]) -> usize {
    let studio = opened(folder);
    let paints = studio.paints().unwrap();
    let kept: Vec<_> =
        paints.iter().flat_map(|paint| paint.strips.iter().map(|strip| (paint.id, strip))).collect();
    for &(paint, number) in acknowledged {
        let mut here = kept.iter().filter(|(of, strip)| *of == paint && strip.kept == Moment(number));
        let Some((_, strip)) = here.next() else { panic!("{paint} {number} was acknowledged and is gone") };
        assert!(!strip.painted.wet, "that {paint} {number} had dried was acknowledged and is gone");
    }
    for paint in &paints {
        let described = paint.about == about(paint.id);
        assert!(described || (paint.about == begun() && paint.strips.is_empty()), "{:?}", paint.about);
    }
    for &(paint, there) in &kept {
        let Moment(number) = there.kept;
        let wet = PaintedStrip { wet: true, ..strip(number, 0.5) };
        let dry = wet.dried(&strip(number, 0.0).steps).unwrap();
        assert_eq!(there.painted, if there.painted.wet { wet } else { dry });
        let bytes = photo(paint, number);
        assert_eq!(there.photo, has_photo(number).then(|| PhotoHash::of(&bytes)));
        if let Some(hash) = &there.photo {
            assert_eq!(studio.photo(hash).unwrap(), bytes);
        }
    }
    let there = kept.len();
    drop(studio);
    is_whole(folder);
    there
}

/// All that was acknowledged is there, and all that is there is whole; answers with how many snapshots there are.
fn all_are_there(folder: &Path, acknowledged: &[(i64, i64)]) -> usize {
    let there = whole(&opened(folder), acknowledged);
    is_whole(folder);
    there
}

fn whole(studio: &Studio, acknowledged: &[(i64, i64)]) -> usize {
    let sessions = studio.sessions(SessionOrder::Newest).unwrap();
    let kept: Vec<_> = sessions.iter().flat_map(|session| studio.snapshots(session.id).unwrap()).collect();
    for &(session, number) in acknowledged {
        assert!(
            kept.iter().any(|snapshot| snapshot.session == session && snapshot.kept == Moment(number)),
            "{session} {number} was acknowledged and is gone"
        );
    }
    for snapshot in &kept {
        let Moment(number) = snapshot.kept;
        assert_eq!(snapshot.seen, seen(number));
        assert_eq!(snapshot.photo, PhotoHash::of(&photo(snapshot.session, number)));
        assert_eq!(studio.photo(&snapshot.photo).unwrap(), photo(snapshot.session, number));
    }
    kept.len()
}

/// All files below a folder but the databases' own.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
            } else if !path.to_string_lossy().contains("studio.") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

fn copy_all(from: &Path, to: &Path) {
    for path in fs::read_dir(from).unwrap().map(|entry| entry.unwrap().path()) {
        let there = to.join(path.file_name().unwrap());
        if path.is_dir() {
            fs::create_dir(&there).unwrap();
            copy_all(&path, &there);
        } else {
            fs::copy(&path, &there).unwrap();
        }
    }
}

/// Some days after the first.
fn day(later: u64) -> SystemTime {
    SystemTime::UNIX_EPOCH + Duration::from_secs((20_000 + later) * 24 * 60 * 60)
}

/// As long as many pages of the database.
fn settings(number: i64) -> String {
    format!("{number} ").repeat(3_000)
}

/// By SQLite's own checks.
fn is_whole(folder: &Path) {
    let database = Connection::open(folder.join("studio.sqlite")).unwrap();
    let check: String = database.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
    assert_eq!(check, "ok");
    let broken: i64 =
        database.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0)).unwrap();
    assert_eq!(broken, 0);
}

/// A database of the first version, with many more snapshots than it was dumped with.
fn old_database(path: &Path) {
    let old = Connection::open(path).unwrap();
    old.execute_batch(include_str!("../src/studio/tests/version-1.sql")).unwrap();
    old.execute(
        "WITH RECURSIVE number (at) AS (SELECT 2 UNION ALL SELECT at + 1 FROM number WHERE at <= ?1)
         INSERT INTO snapshot (uuid, place, session, photo, title, note, kept, seen)
         SELECT uuid || at, at, session, photo, title, note, kept, seen FROM number, snapshot WHERE snapshot.id = 1",
        [OLD_SNAPSHOTS],
    )
    .unwrap();
}

fn photo(session: i64, number: i64) -> Vec<u8> {
    (0..20_000).map(|at| (at * 31 + session * 7 + number * 13 + (at % 97) * number) as u8).collect()
}

fn seen(number: i64) -> Seen {
    let bands = Bands::even(5).unwrap();
    Seen::plain((4, 3), 0, (SeenBands::Even, &bands), vec![1.0 / (number + 3) as f64; 5])
}

fn begun() -> PaintAbout {
    PaintAbout { name: "river blue".to_owned(), ..PaintAbout::default() }
}

fn about(paint: i64) -> PaintAbout {
    PaintAbout { notes: format!("tube {paint}"), granulating: true, ..begun() }
}

/// Whether a strip came with its photo: two of three do.
fn has_photo(number: i64) -> bool {
    number % 3 != 2
}

/// A strip whose numbers are no short decimals, so much darker than it is when it is dry.
fn strip(number: i64, darker: f64) -> PaintedStrip {
    let step = |at: i64| PaintedStep {
        lightness: 90.0 - darker - 80.0 * (at as f64 + 1.0 / (number + 3) as f64) / 5.0,
        plus_minus: 1.0 + 1.0 / (at + 3) as f64,
        tint: [10.0 / (number + 7) as f64, -30.0 / (at + 7) as f64],
        quad: Some([[0.0, 0.0], [10.5, 0.0], [10.5, 20.5], [1.0 / 3.0, number as f64]]),
    };
    PaintedStrip {
        laid: Laid::Washes,
        wet: false,
        day: "2026-05-02".to_owned(),
        paper: "cold pressed".to_owned(),
        paper_lightness: 94.5,
        quarters: 1,
        steps: (0..5).map(step).collect(),
        wet_lightness: None,
    }
}
