//! A studio whose program is killed in the midst of saves: what was acknowledged is there, byte for byte.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, SystemTime};
use tempfile::TempDir;
use tonefast_core::{Moment, PhotoHash, Seen, SeenLight, SessionAbout, SessionOrder, Studio};

/// Names the child's folder; set, this program saves until it is killed.
const FOLDER: &str = "TONEFAST_SAVES_IN";

/// How often it is killed, unless the variable of this name says otherwise.
const KILLS: &str = "TONEFAST_KILLS";

/// Not a test of its own: the child that saves.
#[test]
fn child() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let mut studio = Studio::open(Path::new(&folder), SystemTime::now()).unwrap();
    let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
    for number in 0.. {
        let (name, bytes) = (format!("{session}-{number}"), photo(session, number));
        let hash = studio.keep_photo(session, &name, &bytes, Moment(number)).unwrap();
        studio.keep_snapshot(session, &hash, (&name, ""), &seen(number), Moment(number)).unwrap();
        println!("kept {session} {number}");
    }
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    let kills: u64 = std::env::var(KILLS).ok().and_then(|text| text.parse().ok()).unwrap_or(60);
    let folder = TempDir::new().unwrap();
    let mut acknowledged: Vec<(i64, i64)> = Vec::new();
    for kill in 0..kills {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["child", "--exact", "--nocapture"])
            .env(FOLDER, folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines =
            BufReader::new(child.stdout.take().unwrap()).lines().map_while(Result::ok).filter_map(|line| {
                let mut words = line.strip_prefix("kept ")?.split(' ').map(str::parse);
                Some((words.next()?.ok()?, words.next()?.ok()?))
            });
        // At another moment each time: after none to six saves, and then some way into the next, however slow the disk.
        acknowledged.extend(lines.by_ref().take(kill as usize % 7));
        std::thread::sleep(Duration::from_millis(kill * 7 % 40));
        child.kill().unwrap();
        child.wait().unwrap();
        acknowledged.extend(lines);
    }
    let studio = Studio::open(folder.path(), SystemTime::now()).unwrap();
    assert!(acknowledged.len() as u64 >= 2 * kills, "only {} saves were acknowledged", acknowledged.len());
    let kept: Vec<_> =
        studio.sessions(SessionOrder::Newest).unwrap().iter().flat_map(|session| studio.snapshots(session.id).unwrap()).collect();
    for &(session, number) in &acknowledged {
        let snapshot = kept
            .iter()
            .find(|snapshot| snapshot.session == session && snapshot.kept == Moment(number))
            .unwrap_or_else(|| panic!("{session} {number} was acknowledged and is gone"));
        assert_eq!(snapshot.seen, seen(number));
        assert_eq!(snapshot.photo, PhotoHash::of(&photo(session, number)));
    }
    for snapshot in &kept {
        let Moment(number) = snapshot.kept;
        assert_eq!(studio.photo(&snapshot.photo).unwrap(), photo(snapshot.session, number));
    }
    println!("{kills} kills, {} saves acknowledged, {} there", acknowledged.len(), kept.len());
}

fn photo(session: i64, number: i64) -> Vec<u8> {
    (0..20_000).map(|at| (at * 31 + session * 7 + number) as u8).collect()
}

fn seen(number: i64) -> Seen {
    Seen {
        format: Seen::FORMAT,
        core: env!("CARGO_PKG_VERSION").to_owned(),
        quarters: 0,
        size: (4, 3),
        view: "bands".to_owned(),
        squint: None,
        bands: "even".to_owned(),
        edges: vec![80.0, 60.0, 40.0, 20.0],
        shares: vec![1.0 / (number + 3) as f64; 5],
        frame: None,
        pins: Vec::new(),
        light: SeenLight::default(),
    }
}
