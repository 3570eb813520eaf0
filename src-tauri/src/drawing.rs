//! Pictures of snapshots, drawn one after the other away from everything else.

use crate::error::{Error, ErrorInfo};
use crate::photo::open;
use crate::state::{Shell, lock};
use crate::studio::{Door, counts_from_darkest};
use crate::worker::caught;
use image::{ExtendedColorType, ImageEncoder, codecs::png::PngEncoder};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;
use std::collections::HashSet;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use tauri::{AppHandle, Emitter, Manager, State};
use tonefast_core::{
    Captions, Handout, HandoutLayout, Moment, Paper, Photo, PhotoHash, Progress, Session, SessionAbout,
    SessionOrder, Snapshot, Studio, StudioError, Thumbnail, ViewSettings, annotated, render,
};

/// A snapshot that has no picture in the painter's folder.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct UndrawnInfo {
    snapshot: i64,
    /// Why; none where it is still to be drawn.
    trouble: Option<String>,
}

/// The longer side of a snapshot's small picture: a card's width on a phone's screen of two pixels to a point.
const SMALL_SIDE: u32 = 320;

/// What a picture is drawn from, and what it says.
#[derive(PartialEq)]
struct Subject {
    snapshot: Snapshot,
    session: Session,
    /// Whether bands are counted from the darkest.
    turned: bool,
}

/// Draws all that is to be drawn. One run at a time; whatever comes while one is under way is seen by it.
pub(crate) fn begin(app: &AppHandle) {
    let door = Arc::clone(&app.state::<Shell>().studio);
    if door.drawing.fetch_add(1, Ordering::AcqRel) > 0 {
        return;
    }
    let app = app.clone();
    tauri::async_runtime::spawn_blocking(move || {
        run(&door, &draw, |undrawn| {
            if let Err(error) = app.emit("drawn", undrawn) {
                tracing::error!(error = crate::log::names(&error), "it could not be told what was drawn");
            }
        });
    });
}

/// Draws a snapshot's pictures with the photo that was opened last; false where it was changed meanwhile.
type Draw<'a> = &'a dyn Fn(&Door, i64, &mut Option<(PhotoHash, Photo)>) -> Result<bool, Error>;

/// Draws and tells until nobody has asked meanwhile. A panic ends neither this run nor the next.
fn run(door: &Door, draw: Draw<'_>, tell: impl Fn(Vec<UndrawnInfo>)) {
    loop {
        let asked = door.drawing.load(Ordering::Acquire);
        let told = caught(|| {
            draw_all(door, draw);
            tell(undrawn(door)?);
            Ok(())
        });
        if let Err(error) = told {
            tracing::warn!(error = crate::log::names(&error), "what was drawn is not told");
        }
        if door.drawing.fetch_sub(asked, Ordering::AcqRel) == asked {
            break;
        }
    }
}

/// Snapshots that have no picture, and why.
#[tauri::command]
pub(crate) async fn list_undrawn(shell: State<'_, Shell>) -> Result<Vec<UndrawnInfo>, Error> {
    let door = Arc::clone(&shell.studio);
    crate::worker::blocking(move || undrawn(&door)).await
}

/// Tries again to draw what is not drawn.
#[tauri::command]
pub(crate) fn draw_again(app: AppHandle) {
    begin(&app);
}

/// The path of a snapshot's picture, if there is one.
#[tauri::command]
pub(crate) async fn picture_of(id: i64, shell: State<'_, Shell>) -> Result<Option<String>, Error> {
    crate::studio::in_studio(&shell, move |studio| Ok(studio.png(id)?.map(|path| path.display().to_string())))
        .await
}

/// The small picture of a snapshot, a PNG; it is made where it is not there, of the photo that was opened last where it
/// is of that.
pub(crate) fn small_picture(
    door: &Door,
    snapshot: i64,
    last: &mut Option<(PhotoHash, Photo)>,
) -> Result<Vec<u8>, Error> {
    let (there, subject) = door.with(|studio| {
        let subject = Subject::of(studio, snapshot)?;
        let mut there = studio.thumbnail(snapshot)?;
        if subject.snapshot.left_out && there.is_none() {
            there = studio.drawn(snapshot)?;
        }
        Ok((there, subject))
    })?;
    if let Some(png) = there {
        return Ok(png);
    }
    let photo = opened(door, &subject.snapshot.photo, last)?;
    let png = small(&subject.snapshot.seen.restored(photo)?, &subject.snapshot)?;
    door.with(|studio| {
        // Another studio may be present by now, in which this number is another snapshot's.
        if studio.snapshot(snapshot)?.uuid == subject.snapshot.uuid {
            studio.keep_thumbnail(snapshot, &png)?;
        }
        Ok(())
    })?;
    Ok(png)
}

/// The picture that came in with a snapshot whose photo was left out, a PNG: as drawn, or else its small one.
pub(crate) fn drawn_picture(door: &Door, snapshot: i64) -> Result<Vec<u8>, Error> {
    door.with(|studio| carried(studio, snapshot))
}

fn carried(studio: &Studio, snapshot: i64) -> Result<Vec<u8>, Error> {
    let drawn = studio.drawn(snapshot)?;
    let picture = if drawn.is_some() { drawn } else { studio.thumbnail(snapshot)? };
    Ok(picture.ok_or(StudioError::LeftOut)?)
}

/// What a picture says of its snapshot.
fn captions(Subject { snapshot, session, turned }: &Subject) -> Captions {
    let Snapshot { title, note, kept, .. } = snapshot;
    Captions {
        title: title.clone(),
        note: note.clone(),
        session: session.about.title.clone(),
        locality: session.about.locality.clone(),
        date: in_words(*kept),
        turned: *turned,
    }
}

/// Pages of snapshots, and what they are called.
pub(crate) fn handout(
    door: &Door,
    snapshots: &[i64],
    (paper, layout): (Paper, HandoutLayout),
    progress: &Progress,
) -> Result<(String, Vec<u8>), Error> {
    let first = snapshots.first().ok_or_else(|| Error::Caller("there is nothing to print".to_owned()))?;
    let Subject { session, .. } = door.with(|studio| Ok(Subject::of(studio, *first)?))?;
    let SessionAbout { title, day, .. } = &session.about;
    let is_named = !title.trim().is_empty();
    let head = if is_named { title.clone() } else { day_in_words(day) };
    let mut pages = Handout::new(paper, layout, &head);
    for (at, &snapshot) in snapshots.iter().enumerate() {
        progress.reach(at as f32 / snapshots.len() as f32).map_err(|_| StudioError::Cancelled)?;
        let (subject, bytes) = door.with(|studio| {
            let subject = Subject::of(studio, snapshot)?;
            let left_out = subject.snapshot.left_out;
            let bytes =
                if left_out { carried(studio, snapshot)? } else { studio.photo(&subject.snapshot.photo)? };
            Ok((subject, bytes))
        })?;
        let (photo, seen) = (open(&bytes, &Progress::new())?, &subject.snapshot.seen);
        if subject.snapshot.left_out {
            pages.add_drawn(&photo, seen, &captions(&subject))?;
        } else {
            pages.add(&photo, seen, &captions(&subject))?;
        }
    }
    // A file is named by the day as it sorts.
    Ok((if is_named { title } else { day }.clone(), pages.finish()?))
}

/// Has the pictures of a session's snapshots, or of all, ready to go along where photos stay; what can't be drawn goes
/// without.
pub(crate) fn make_ready(door: &Door, session: Option<i64>) -> Result<(), Error> {
    draw_all(door, &draw);
    let snapshots: Vec<i64> = door.with(|studio| {
        let sessions = match session {
            Some(session) => vec![session],
            None => studio.sessions(SessionOrder::Newest)?.iter().map(|session| session.id).collect(),
        };
        let mut snapshots = Vec::new();
        for session in sessions {
            snapshots.extend(studio.snapshots(session)?.iter().map(|snapshot| snapshot.id));
        }
        Ok(snapshots)
    })?;
    let mut last = None;
    for snapshot in snapshots {
        if let Err(error) = small_picture(door, snapshot, &mut last) {
            tracing::warn!(
                error = crate::log::names(&error),
                "a snapshot goes out without its small picture"
            );
        }
    }
    Ok(())
}

fn undrawn(door: &Door) -> Result<Vec<UndrawnInfo>, Error> {
    let undrawn = door.with(|studio| Ok(studio.undrawn()?))?;
    let undrawable = lock(&door.undrawable);
    let told = undrawn.into_iter().map(|it| UndrawnInfo {
        trouble: it.trouble.or_else(|| undrawable.get(&it.snapshot).cloned()),
        snapshot: it.snapshot,
    });
    Ok(told.collect())
}

/// Draws each that is to be drawn, once; what fails is noted, to be tried again another time.
fn draw_all(door: &Door, draw: Draw<'_>) {
    let mut tried = HashSet::new();
    let mut last: Option<(PhotoHash, Photo)> = None;
    loop {
        let next = door.with(|studio| {
            let next = studio.undrawn()?.into_iter().find(|it| !tried.contains(&it.snapshot));
            Ok(next.map(|it| it.snapshot))
        });
        let Ok(Some(snapshot)) = next else { return };
        match caught(|| draw(door, snapshot, &mut last)) {
            Ok(true) => drop(lock(&door.undrawable).remove(&snapshot)),
            // Its words were changed meanwhile: it is drawn again.
            Ok(false) => continue,
            Err(error) => {
                let ErrorInfo { message, .. } = error.info();
                lock(&door.undrawable).insert(snapshot, message);
            }
        }
        tried.insert(snapshot);
    }
}

/// Draws a snapshot's pictures; false where it was changed while they were drawn.
fn draw(door: &Door, snapshot: i64, last: &mut Option<(PhotoHash, Photo)>) -> Result<bool, Error> {
    let subject = door.with(|studio| Ok(Subject::of(studio, snapshot)?))?;
    let photo = opened(door, &subject.snapshot.photo, last)?;
    let Subject { snapshot: kept, session, turned: _ } = &subject;
    let png = annotated(photo, &kept.seen, &captions(&subject))?;
    let small = small(&kept.seen.restored(photo)?, kept)?;
    door.with(|studio| {
        if Subject::of(studio, snapshot)? != subject {
            return Ok(false);
        }
        studio.keep_thumbnail(snapshot, &small)?;
        studio.write_png(snapshot, &door.places()?.pictures, &name(kept, session), &png)?;
        Ok(true)
    })
}

/// A photo that is kept; it is opened where it is not the one that was opened last, which is let go first.
fn opened<'a>(
    door: &Door,
    hash: &PhotoHash,
    last: &'a mut Option<(PhotoHash, Photo)>,
) -> Result<&'a Photo, Error> {
    if last.as_ref().is_none_or(|(opened, _)| opened != hash) {
        *last = None;
        let bytes = door.with(|studio| Ok(studio.photo(hash)?))?;
        *last = Some((hash.clone(), open(&bytes, &Progress::new())?));
    }
    last.as_ref().map(|(_, photo)| photo).ok_or(Error::Program)
}

impl Subject {
    fn of(studio: &Studio, snapshot: i64) -> Result<Self, StudioError> {
        let snapshot = studio.snapshot(snapshot)?;
        // How many there are in the session, and which is its cover, is not said.
        let session = Session { snapshots: 0, cover: None, ..studio.session(snapshot.session)? };
        Ok(Self { snapshot, session, turned: counts_from_darkest(studio)? })
    }
}

/// A small copy of the view that was kept.
fn small(photo: &Photo, snapshot: &Snapshot) -> Result<Vec<u8>, Error> {
    let seen = &snapshot.seen;
    let (width, height) = Thumbnail::size(photo.size(), SMALL_SIDE);
    let bands = seen.division()?;
    let (soft, frame) =
        (seen.squint.map(|squint| tonefast_core::SoftMap::of(photo, squint.into())), seen.counted()?);
    let settings = ViewSettings {
        view: seen.view.into(),
        bands: &bands,
        soft: soft.as_ref(),
        frame: frame.as_ref(),
        line: 1,
    };
    let (columns, rows) = photo.size();
    let rgba = render(photo, &settings, tonefast_core::Region::whole(columns, rows), width, height);
    let rgb: Vec<u8> = rgba.as_chunks::<4>().0.iter().flat_map(|&[r, g, b, _]| [r, g, b]).collect();
    let mut png = Vec::new();
    PngEncoder::new(&mut png)
        .write_image(&rgb, width, height, ExtendedColorType::Rgb8)
        .map_err(|error| Error::Caller(error.to_string()))?;
    Ok(png)
}

/// What the file of a snapshot's picture is called.
fn name(snapshot: &Snapshot, session: &Session) -> String {
    let words = [&session.about.title, &snapshot.title].map(|it| it.trim());
    match words {
        ["", ""] => session.about.day.clone(),
        ["", title] | [title, ""] => title.to_owned(),
        [session, title] => format!("{session}, {title}"),
    }
}

/// A time as the painter's clock shows it.
fn in_words(Moment(milliseconds): Moment) -> String {
    Timestamp::from_millisecond(milliseconds)
        .map(|time| time.to_zoned_datetime(TimeZone::system()).strftime("%-d %B %Y, %H:%M").to_string())
        .unwrap_or_default()
}

/// A session's day in the form that captions have; as she wrote it where it is no year-month-day.
fn day_in_words(day: &str) -> String {
    Date::strptime("%Y-%m-%d", day.trim())
        .map_or_else(|_| day.to_owned(), |day| day.strftime("%-d %B %Y").to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::{Places, change_setting, now};
    #[test]
    fn a_day_has_one_form_on_a_page() {
        assert_eq!(day_in_words("2026-11-05"), "5 November 2026");
        assert_eq!(in_words(Moment(43_200_000)).split(',').next(), Some("1 January 1970"));
        assert_eq!(day_in_words("a week in May"), "a week in May");
    }

    use tonefast_core::{Bands, Reading, Seen, SeenBands, SeenPin, Spot};

    fn door(folder: &std::path::Path) -> Door {
        let door = Door::default();
        door.lies(Places::under(folder));
        door
    }

    /// A session that was handed out without its photos.
    #[test]
    fn what_came_in_without_its_photo_shows_its_pictures_and_prints() {
        let (here, there) = (tempfile::TempDir::new().unwrap(), tempfile::TempDir::new().unwrap());
        let (here, there) = (door(here.path()), (door(there.path()), there));
        let photo = open(tonefast_demo::SUBJECT_JPEG, &Progress::new()).unwrap();
        let bands = Bands::even(5).unwrap();
        let shares = photo.tonal_map().histogram(None).shares(&bands);
        let seen = Seen::plain(photo.size(), 0, (SeenBands::Even, &bands), shares);
        let picture = ("demo", tonefast_demo::SUBJECT_JPEG);
        let new =
            tonefast_core::NewSnapshot { photo: picture, title: "Hull", note: "", seen: &seen, at: now() };
        here.with(|studio| Ok(studio.keep(None, &SessionAbout::default(), &new)?)).unwrap();
        make_ready(&here, Some(1)).unwrap();
        let mut parcel = std::io::Cursor::new(Vec::new());
        here.with(|studio| {
            Ok(studio.hand_out(1, tonefast_core::Originals::Without, &Progress::new(), &mut parcel)?)
        })
        .unwrap();
        let there = &there.0;
        there.with(|studio| Ok(studio.bring_in(&Progress::new(), parcel)?)).unwrap();
        draw_all(there, &draw);
        assert!(undrawn(there).unwrap().is_empty(), "it is not tried to draw it");
        for png in [small_picture(there, 1, &mut None).unwrap(), drawn_picture(there, 1).unwrap()] {
            assert!(open(&png, &Progress::new()).is_ok());
        }
        for layout in [HandoutLayout::Grid, HandoutLayout::OneAPage] {
            let (_, pdf) = handout(there, &[1], (Paper::A4, layout), &Progress::new()).unwrap();
            assert!(pdf.len() > 20_000, "the picture is on the page: {} bytes", pdf.len());
        }
    }

    #[test]
    fn a_panic_in_drawing_is_told_and_the_next_snapshot_and_the_next_run_are_drawn() {
        let folder = tempfile::TempDir::new().unwrap();
        let door = door(folder.path());
        let photo = open(tonefast_demo::SUBJECT_JPEG, &Progress::new()).unwrap();
        let bands = Bands::even(5).unwrap();
        let shares = photo.tonal_map().histogram(None).shares(&bands);
        let seen = Seen::plain(photo.size(), 0, (SeenBands::Even, &bands), shares);
        let kept = door.with(|studio| {
            let session = studio.begin_session(&SessionAbout::default(), now())?;
            let hash = studio.keep_photo(session, "demo", tonefast_demo::SUBJECT_JPEG, now())?;
            let mut keep = |title| studio.keep_snapshot(session, &hash, (title, ""), &seen, now());
            Ok([keep("Hull")?, keep("Mast")?])
        });
        let [first, second] = kept.unwrap();
        let told = std::cell::RefCell::new(Vec::new());
        let run_by = |by: Draw<'_>| {
            assert_eq!(door.drawing.fetch_add(1, Ordering::AcqRel), 0, "the run before has ended");
            run(&door, by, |undrawn| *told.borrow_mut() = undrawn);
        };
        run_by(&|door, snapshot, last| {
            assert_ne!(snapshot, first, "as a test");
            draw(door, snapshot, last)
        });
        let is_drawn = |id| door.with(|studio| Ok(studio.png(id)?)).unwrap().is_some();
        assert!(!is_drawn(first) && is_drawn(second));
        let undrawn = told.take();
        let [UndrawnInfo { snapshot, trouble: Some(trouble) }] = &undrawn[..] else {
            panic!("the trouble is told: {undrawn:?}")
        };
        assert!(*snapshot == first && trouble.contains("inside the program"), "{trouble}");
        run_by(&draw);
        assert!(is_drawn(first) && told.borrow().is_empty());
    }

    /// Both ways round, and drawn anew when she changes her mind.
    #[test]
    fn pictures_and_handouts_count_bands_as_she_does() {
        let folder = tempfile::TempDir::new().unwrap();
        let door = door(folder.path());
        let photo = open(tonefast_demo::SUBJECT_JPEG, &Progress::new()).unwrap();
        let bands = Bands::even(5).unwrap();
        let spot = Spot { x: 700.0, y: 1000.0, radius: 20.0 };
        let reading = Reading::take(&photo, spot, &bands).unwrap();
        assert_ne!(reading.band, 3, "the middle one has one number");
        let pin = SeenPin::read(("A", ""), spot, &reading, "as the camera saw it", Vec::new());
        let shares = photo.tonal_map().histogram(None).shares(&bands);
        let plain = Seen::plain(photo.size(), 0, (SeenBands::Even, &bands), shares);
        let seen = Seen { pins: vec![pin], ..plain };
        let snapshot = door
            .with(|studio| {
                let session = studio.begin_session(&SessionAbout::default(), now())?;
                let hash = studio.keep_photo(session, "demo", tonefast_demo::SUBJECT_JPEG, now())?;
                Ok(studio.keep_snapshot(session, &hash, ("Hull", ""), &seen, now())?)
            })
            .unwrap();
        for (setting, band) in
            [("{}", reading.band), (r#"{"turned":true}"#, 6 - reading.band), ("{}", reading.band)]
        {
            door.with(|studio| Ok(change_setting(studio, "check", setting)?)).unwrap();
            draw_all(&door, &draw);
            assert!(undrawn(&door).unwrap().is_empty());
            let path = door.with(|studio| Ok(studio.png(snapshot)?)).unwrap().unwrap();
            let bytes = std::fs::read(path).unwrap();
            let said = format!("A: band {band}, L*");
            assert!(bytes.windows(said.len()).any(|it| it == said.as_bytes()), "{setting}: {said}");
            let subject = door.with(|studio| Ok(Subject::of(studio, snapshot)?)).unwrap();
            assert_eq!(captions(&subject).turned, setting != "{}", "on pages, too");
        }
    }
}
