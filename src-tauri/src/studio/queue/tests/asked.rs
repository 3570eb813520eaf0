//! What waits is asked about before the window closes.

use super::leaving::{opened, refused};
use super::*;
use crate::studio::{CloseHow, ClosingInfo};
use std::sync::atomic::Ordering;
use std::thread;
use std::time::Duration;

fn answer_within(door: &Arc<Door>, how: CloseHow, milliseconds: u64) -> ClosingInfo {
    let longest = Duration::from_millis(milliseconds);
    tauri::async_runtime::block_on(how.answer_within(Arc::clone(door), longest))
}

#[test]
fn closing_asks_where_something_waits_and_sets_it_aside_or_says_that_it_is_lost() {
    let folder = TempDir::new().unwrap();
    let door = refused(folder.path());
    assert!(matches!(CloseHow::Ask.answer(&door), ClosingInfo::Closes), "nothing waits");
    let clay = PaintAbout { name: "Clay".to_owned(), ..PaintAbout::default() };
    let (open, read) = photo(0);
    door.keep(snapshot(&open));
    door.keep(strip(&open, &read, "Quay rose", false));
    door.keep(Some(ToKeep::About("a-paint".to_owned(), clay)));
    let ClosingInfo::Waits { answer } = CloseHow::Ask.answer(&door) else { panic!("three things wait") };
    assert_eq!(answer.kinds, WaitingKinds { snapshots: 1, strips: 1, paints: 1 });
    assert!(answer.trouble.is_some(), "it is said why");
    // Neither place takes it.
    fs::write(folder.path().join("cache"), b"").unwrap();
    assert!(matches!(CloseHow::SetAside.answer(&door), ClosingInfo::Lost { .. }));
    assert!(matches!(CloseHow::Lose.answer(&door), ClosingInfo::Closes));
    fs::remove_file(folder.path().join("cache")).unwrap();
    assert!(matches!(CloseHow::SetAside.answer(&door), ClosingInfo::Closes));
    assert!(folder.path().join("cache/waiting/000003.json").exists());
    // Or the studio takes it after all.
    fs::remove_file(folder.path().join("studio/photos")).unwrap();
    assert!(
        matches!(CloseHow::Ask.answer(&door), ClosingInfo::Waits { .. }),
        "no such paint: that is said once"
    );
    assert!(matches!(CloseHow::Ask.answer(&door), ClosingInfo::Closes));
}

#[test]
fn a_disk_that_does_not_answer_is_not_waited_for() {
    let folder = TempDir::new().unwrap();
    let door = Arc::new(refused(folder.path()));
    let held = lock(&door.waiting);
    for how in [CloseHow::Ask, CloseHow::SetAside] {
        assert!(matches!(answer_within(&door, how, 50), ClosingInfo::Busy), "{how:?}");
    }
    assert!(matches!(answer_within(&door, CloseHow::Lose, 10_000), ClosingInfo::Closes));
    drop(held);
    assert!(matches!(answer_within(&door, CloseHow::Ask, 60_000), ClosingInfo::Closes));
}

/// A snapshot is measured before it goes into the queue.
#[test]
fn what_is_made_ready_is_waited_for() {
    let folder = TempDir::new().unwrap();
    let door = Arc::new(refused(folder.path()));
    door.coming.fetch_add(1, Ordering::SeqCst);
    assert!(matches!(answer_within(&door, CloseHow::Ask, 50), ClosingInfo::Busy));
    let (other, open) = (Arc::clone(&door), opened());
    let measuring = thread::spawn(move || {
        other.keep(snapshot(&open));
        other.coming.fetch_sub(1, Ordering::SeqCst);
    });
    assert!(matches!(answer_within(&door, CloseHow::Ask, 60_000), ClosingInfo::Waits { .. }));
    measuring.join().unwrap();
}
