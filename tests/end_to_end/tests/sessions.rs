//! Sessions: what was seen is kept, found again in another window, compared, handed out, and never lost.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use tempfile::TempDir;
use tonefast_end_to_end::{App, Error, Pin, Size, View, demo};

/// Kept, closed, and opened in another window as it was: view, squint, frame, pins with their names, light, readings.
#[tokio::test]
async fn a_snapshot_stands_in_another_window_as_it_was() -> Result<(), Error> {
    let home = TempDir::new()?;
    let app = App::open_at(home.path(), &[&demo("low-water-easel.jpg")]).await?;
    app.photo().await?;
    app.resize(Size::Phone).await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=turn-right]").await?;
    app.click("[data-part=done]").await?;
    app.tap_picture(0.5, 0.4).await?;
    app.reading(Pin::A).await?;
    app.click("[data-part=light]").await?;
    app.tell_light("white", 0.4677, 0.1655).await?;
    app.click("[data-part=done]").await?;
    app.tap_picture(0.3, 0.6).await?;
    app.reading(Pin::B).await?;
    app.click("[data-band='3']").await?;
    app.click("[data-part=done]").await?;
    app.choose(View::Bands).await?;
    let before = state(&app).await?;
    let stands = before["against"].as_str().unwrap_or_default();
    assert!(stands.contains("paper"), "{before}");
    let kept = app.keep().await?;
    app.close().await?;

    let app = App::open_at(home.path(), &[]).await?;
    app.resize(Size::Phone).await?;
    app.click("[data-part=sessions]").await?;
    app.click("[data-session]").await?;
    app.click(&format!("[data-snapshot='{kept}']")).await?;
    app.photo().await?;
    app.until(
        "the readings",
        "return document.querySelectorAll('[data-reading][data-lightness]').length >= 2",
        &[],
    )
    .await?;
    app.chosen(View::Bands).await?;
    assert_eq!(state(&app).await?, before);
    app.close().await?;

    let pngs = drawn(home.path(), 1).await?;
    let bytes = fs::read(&pngs[0])?;
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("sRGB") && text.contains("A: band") && !text.contains("eXIf"));
    let mode = std::os::unix::fs::PermissionsExt::mode(&fs::metadata(&pngs[0])?.permissions());
    assert_eq!(mode & 0o777, 0o644);
    Ok(())
}

/// Named, found, duplicated, deleted and brought back; two laid side by side; handed out, and brought in elsewhere.
#[tokio::test]
async fn sessions_are_found_compared_and_handed_out() -> Result<(), Error> {
    let (home, elsewhere) = (TempDir::new()?, TempDir::new()?);
    let app = App::open_at(home.path(), &[&demo("low-water.jpg")]).await?;
    app.photo().await?;
    app.resize(Size::Phone).await?;
    app.tap_picture(0.507, 0.52).await?;
    app.reading(Pin::A).await?;
    app.keep().await?;
    app.choose(View::Lightness).await?;
    app.keep().await?;
    app.click("[data-part=name-it]").await?;
    fill(&app, "kept-title", "Hull & mast").await?;
    app.click("[data-part=sessions]").await?;
    app.click("[data-session]").await?;
    app.click("[data-part=describe]").await?;
    fill(&app, "title", "Low water").await?;
    fill(&app, "place", "The old quay").await?;
    app.click("[data-part=done]").await?;
    snapshots(&app, 2).await?;

    app.click("[data-choose]").await?;
    app.click("[data-choose][aria-pressed=false]").await?;
    app.click("[data-part=side-by-side]").await?;
    let change =
        app.until("the pins", "return document.querySelector('[data-pin-change]')?.innerText", &[]).await?;
    assert!(change.as_str().is_some_and(|it| it.starts_with("A: same tone")), "{change}");
    app.until(
        "both pictures",
        "return document.querySelectorAll('.pictures canvas[width]').length === 2",
        &[],
    )
    .await?;
    app.click("[data-in-turns=true]").await?;
    app.click("[data-part=runs]").await?;
    let seconds = turns(&app).await?;
    assert!(seconds > 0.34, "it turned after {seconds} s: flicker stays under 3 Hz");
    app.click("[data-part=back]").await?;

    app.click("[data-choose][aria-pressed=true]").await?;
    app.click("[data-choose][aria-pressed=true]").await?;
    app.click("[data-part=paper]").await?;
    app.click("[data-part=print]").await?;
    assert!(fs::read(told(&app).await?)?.starts_with(b"%PDF-"));

    app.click("[data-about]").await?;
    app.click("[data-part=duplicate]").await?;
    snapshots(&app, 3).await?;
    app.click("[data-part=delete]").await?;
    app.click("[data-part=delete-all]").await?;
    snapshots(&app, 2).await?;
    app.click("[data-part=undo-delete] [data-part=bring-back]").await?;
    snapshots(&app, 3).await?;

    app.click("[data-part=out]").await?;
    let words = app.part("originals-words").await?.text().await?;
    assert!(words.contains("no place"), "a handout is without originals unless she asks: {words}");
    app.click("[data-originals=true]").await?;
    app.click("[data-part=hand-out]").await?;
    let parcel = told(&app).await?;
    app.click("[data-part=back]").await?;
    app.click("[data-part=more-kept]").await?;
    app.click("[data-part=back-up]").await?;
    app.click("[data-part=hand-out]").await?;
    let backup = told(&app).await?;
    fill(&app, "search", "MÂST").await?;
    app.until(
        "what was found",
        "return document.querySelector('[data-snapshot] strong')?.innerText === 'Hull & mast'",
        &[],
    )
    .await?;
    app.close().await?;

    let app = App::open_at(elsewhere.path(), &[&parcel]).await?;
    app.resize(Size::Desk).await?;
    let words = app.part("told").await?.text().await?;
    assert!(words.contains("Low water is here"), "{words}");
    app.click("[data-session]").await?;
    snapshots(&app, 3).await?;
    app.click("[data-snapshot]").await?;
    app.photo().await?;
    app.reading(Pin::A).await?;
    app.close().await?;
    drawn(elsewhere.path(), 3).await?;

    // A backup takes the place of what is there, and what was there comes back.
    let app = App::open_at(elsewhere.path(), &[&backup]).await?;
    app.click("[data-part=restore]").await?;
    let asides = "return document.querySelector('[data-part=sessions-screen]') !== null
        && document.querySelector('[data-part=restore-sheet]') === null && document.querySelector('[data-session]') !== null";
    app.until("the restored sessions", asides, &[]).await?;
    app.click("[data-part=more-kept]").await?;
    app.click("[data-part=asides]").await?;
    let words = app.part("asides-sheet").await?.text().await?;
    assert!(words.contains("One session"), "{words}");
    app.click("[data-part=studio-back]").await?;
    app.until("the former sessions", "return document.querySelector('[data-session]') !== null", &[]).await?;
    app.close().await
}

/// What can't be kept yet waits, and is kept once it can be.
#[tokio::test]
async fn what_can_t_be_kept_waits_in_memory() -> Result<(), Error> {
    let home = TempDir::new()?;
    let app = App::open_at(home.path(), &[&demo("low-water.jpg")]).await?;
    app.photo().await?;
    // A file where the photos' folder should be: no photo can be written.
    let photos = home.path().join("data/app.tonefast/studio/photos");
    fs::write(&photos, b"")?;
    app.click("[data-part=keep]").await?;
    let words = app.part("not-kept").await?.text().await?;
    assert!(words.contains("in memory"), "{words}");
    fs::remove_file(&photos)?;
    app.click("[data-part=keep-again]").await?;
    let gone = "return document.querySelector('[data-part=not-kept]') === null";
    app.until("what waited to be kept", gone, &[]).await?;
    app.click("[data-part=sessions]").await?;
    app.click("[data-session]").await?;
    snapshots(&app, 1).await?;
    app.close().await
}

/// A database that is none is told and set aside; a second window says that another has it.
#[tokio::test]
async fn a_foreign_database_and_a_second_window_are_told() -> Result<(), Error> {
    let home = TempDir::new()?;
    let studio = home.path().join("data/app.tonefast/studio");
    fs::create_dir_all(&studio)?;
    let foreign = b"This is no database of anybody's.\n".repeat(40);
    fs::write(studio.join("studio.sqlite"), &foreign)?;
    let app = App::open_at(home.path(), &[&demo("low-water.jpg")]).await?;
    app.photo().await?;
    app.click("[data-part=sessions]").await?;
    let words = app.part("studio-trouble").await?.text().await?;
    assert!(words.contains("none of this program's"), "{words}");
    assert_eq!(fs::read(studio.join("studio.sqlite"))?, foreign, "it is left as it is");
    app.click("[data-part=set-aside]").await?;
    app.part("no-sessions").await?;
    assert_eq!(fs::read(studio.join("studio.sqlite"))?, foreign, "it is set aside as it is");
    // It is brought back as it was, and set aside again.
    app.click("[data-part=more-kept]").await?;
    app.click("[data-part=asides]").await?;
    app.click("[data-part=studio-back]").await?;
    app.part("studio-trouble").await?;
    app.click("[data-part=set-aside]").await?;
    app.part("no-sessions").await?;

    let second = App::open_at(home.path(), &[&demo("low-water.jpg")]).await?;
    second.photo().await?;
    second.click("[data-part=sessions]").await?;
    let words = second.part("studio-trouble").await?.text().await?;
    assert!(words.contains("another window"), "{words}");
    app.close().await?;
    // The lock goes with the process, which ends a moment after its window.
    let script = "document.querySelector('[data-part=studio-again]')?.click();
        return document.querySelector('[data-part=no-sessions]') !== null";
    second.until("the studio of a window that was closed", script, &[]).await?;
    second.close().await
}

/// What is on the screen that a snapshot keeps.
async fn state(app: &App) -> Result<Value, Error> {
    let script = "
        const done = arguments[0];
        const one = (selector) => document.querySelector(selector)?.innerText ?? null;
        done({
            readings: [...document.querySelectorAll('[data-reading]')].map((it) => [it.dataset.reading, it.dataset.lightness, it.dataset.band, it.innerText]),
            verdict: one('[data-part=verdict]'),
            against: one('[data-part=light]'),
            rungs: [...document.querySelectorAll('[data-part=ladder] .rung')].map((it) => it.innerText),
            view: document.querySelector('[data-view][aria-pressed=true]').dataset.view,
        });";
    app.ask(script, Vec::new()).await
}

/// Types into a field, and rests until it is kept.
async fn fill(app: &App, field: &str, words: &str) -> Result<(), Error> {
    let input = app.find(&format!("[data-field='{field}']")).await?;
    input.click().await?;
    input.clear().await?;
    input.send_keys(words).await?;
    app.ask("setTimeout(arguments[0], 600)", Vec::new()).await?;
    Ok(())
}

/// Waits until the session has so many snapshots.
async fn snapshots(app: &App, count: usize) -> Result<(), Error> {
    let script = "return document.querySelectorAll('[data-part=snapshot-list] [data-snapshot]').length === arguments[0]";
    app.until(&format!("{count} snapshots"), script, &[json!(count)]).await?;
    Ok(())
}

/// The file that the page says something is saved in.
async fn told(app: &App) -> Result<PathBuf, Error> {
    let script = "return document.querySelector('[data-part=told]')?.innerText.match(/[Ss]aved in (.*?)(\\. \\d+ of its|$)/m)?.[1]";
    let answer = app.until("where it lies", script, &[]).await?;
    let path = PathBuf::from(answer.as_str().unwrap_or_default());
    app.click("[data-part=told-done]").await?;
    Ok(path)
}

/// Seconds from one turn of the pictures to the next.
async fn turns(app: &App) -> Result<f64, Error> {
    let script = "
        const done = arguments[0];
        const shown = () => document.querySelector('[data-shown]')?.dataset.shown;
        const times = [];
        let last = shown();
        const look = () => {
            if (shown() !== last) { last = shown(); times.push(performance.now()); }
            if (times.length < 2) requestAnimationFrame(look); else done((times[1] - times[0]) / 1000);
        };
        look();";
    Ok(app.ask(script, Vec::new()).await?.as_f64().unwrap_or_default())
}

/// The pictures in the painter's folder; what was cut off by closing the window is drawn the next time.
async fn drawn(home: &Path, count: usize) -> Result<Vec<PathBuf>, Error> {
    let app = App::open_at(home, &[]).await?;
    let pngs = app.pngs(count).await?;
    app.close().await?;
    Ok(pngs)
}
