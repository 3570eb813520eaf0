//! The camera: the web view's own mock ones, which draw a moving test picture, 15 frames a second.

use std::fs;
use std::time::{Duration, Instant};

use serde_json::json;
use tempfile::TempDir;
use tokio::time::sleep;
use tonefast_core::{
    Bands, FramePatch, Gains, Photo, Region, SoftMap, Squint, View as CoreView, ViewSettings, render,
};
use tonefast_end_to_end::{App, Error, Pin, Size, View};

use crate::pictures;

/// As for stills: the share of pixels that may lie on the other side of a band's edge.
const AT_AN_EDGE: f64 = 0.001;

#[tokio::test]
async fn a_frame_is_shown_as_core_draws_it() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    let (width, height) = app.open_camera().await?;
    let drawn = pictures::eight_bits(width, height);
    let rgba: Vec<u8> = drawn.pixels().flat_map(|pixel| [pixel[0], pixel[1], pixel[2], 255]).collect();
    let photo = Photo::from_srgb((width, height), drawn.into_raw());
    let bands = Bands::even(5).expect("five bands");
    for squint in [None, Some(Squint::Nearly)] {
        if squint.is_some() {
            for _ in ["slight", "half", "nearly"] {
                app.press('s').await?;
            }
            app.drawn().await?;
        }
        let soft = squint.map(|squint| SoftMap::of(&photo, squint));
        for (view, core) in [
            (View::Colour, CoreView::Colour),
            (View::Lightness, CoreView::Lightness),
            (View::Bands, CoreView::Bands),
        ] {
            app.choose_live(view).await?;
            let (columns, rows, shown) = app.shown_of(&rgba, (width, height), [1.0; 3]).await?;
            // Sharp, a texel of the frame is a pixel of the canvas.
            assert!(squint.is_some() || (columns, rows) == (width, height));
            let settings =
                ViewSettings { view: core, bands: &bands, soft: soft.as_ref(), frame: None, line: 1 };
            let truth = render(&photo, &settings, Region::whole(width, height), columns, rows);
            assert_eq!(shown.len(), truth.len());
            let steps = |(a, b): (&u8, &u8)| a.abs_diff(*b);
            let off = shown.chunks(4).zip(truth.chunks(4)).map(|(a, b)| a.iter().zip(b).map(steps).max());
            let off = off.filter(|worst| *worst > Some(1)).count() as f64;
            let pixels = f64::from(columns * rows);
            println!(
                "{columns} x {rows}, {view:?}, squint {squint:?}: {off} of {pixels} pixels differ by more than one step"
            );
            let allowed = if view == View::Bands { AT_AN_EDGE * pixels } else { 0.0 };
            assert!(off <= allowed, "{view:?}, {squint:?}: {off} pixels are off");
        }
    }
    app.close().await
}

/// What the shader makes of gains is what core makes of them: a patch's worth in the frame's upper left corner.
#[tokio::test]
async fn a_frame_held_to_paper_is_shown_as_core_reads_it() -> Result<(), Error> {
    // None over 1: a held patch has 8 bits, which end at white.
    const GAINS: [f64; 3] = [0.8, 0.95, 0.6];
    let app = App::open_with_cameras(&[]).await?;
    let (width, height) = app.open_camera().await?;
    let drawn = pictures::eight_bits(64, 64);
    let rgb = |x: u32, y: u32| drawn.get_pixel(x.min(63), y.min(63)).0;
    let rgba: Vec<u8> = (0..width * height)
        .flat_map(|at| {
            let [r, g, b] = rgb(at % width, at / width);
            [r, g, b, 255]
        })
        .collect();
    let patch: Vec<u8> = drawn.pixels().flat_map(|pixel| [pixel[0], pixel[1], pixel[2], 255]).collect();
    let held = FramePatch::new((64, 64), &patch).expect("a patch").held(Gains(GAINS));
    let bands = Bands::even(5).expect("five bands");
    for (view, core) in [(View::Colour, CoreView::Colour), (View::Lightness, CoreView::Lightness)] {
        app.choose_live(view).await?;
        let (_, _, shown) = app.shown_of(&rgba, (width, height), GAINS).await?;
        let settings = ViewSettings { view: core, bands: &bands, soft: None, frame: None, line: 1 };
        let truth = render(&held, &settings, Region::whole(64, 64), 64, 64);
        let row = |row: usize| &shown[4 * row * width as usize..][..4 * 64];
        let worst = (0..64)
            .flat_map(|at| row(at).iter().zip(&truth[4 * 64 * at..]).map(|(a, b)| a.abs_diff(*b)))
            .max();
        println!("held, {view:?}: the worst differs by {worst:?}");
        assert!(worst <= Some(1), "{view:?}: {worst:?}");
    }
    app.close().await
}

#[tokio::test]
async fn opened_looked_through_tapped_held_and_off() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    app.resize(Size::Phone).await?;
    app.open_camera().await?;
    let folder = tonefast_end_to_end::pictures("camera")?;
    fs::write(folder.join("opened.png"), app.picture().await?)?;
    assert!(!app.part("caution").await?.text().await?.is_empty());
    // So that the test sees what becomes of the camera's track.
    let track = "window.track = document.querySelector('video').srcObject.getVideoTracks()[0]; arguments[0](window.track.readyState)";
    assert_eq!(app.ask(track, Vec::new()).await?, json!("live"));
    for view in View::ALL {
        app.choose_live(view).await?;
    }
    app.tap_picture(0.2, 0.3).await?;
    app.tap_picture(0.8, 0.7).await?;
    app.reading(Pin::A).await?;
    app.reading(Pin::B).await?;
    app.verdict().await?;
    app.stands_on("camera").await?;
    for size in Size::ALL {
        app.resize(size).await?;
        fs::write(folder.join(format!("live-{}.png", size.word())), app.picture().await?)?;
    }
    app.resize(Size::Phone).await?;
    app.part("hold").await?.click().await?;
    app.photo().await?;
    let title = "return document.querySelector('[data-part=sessions] > span').textContent.trim().startsWith('From the camera, ')";
    app.until("the time as its name", title, &[]).await?;
    // Pins and view came along, and the camera is off.
    app.reading(Pin::A).await?;
    app.verdict().await?;
    app.chosen(View::Bands).await?;
    assert_eq!(app.ask("arguments[0](window.track.readyState)", Vec::new()).await?, json!("ended"));
    fs::write(folder.join("held.png"), app.picture().await?)?;
    app.close().await
}

#[tokio::test]
async fn readings_are_held_to_tapped_paper() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    app.resize(Size::Phone).await?;
    app.open_camera().await?;
    // The mock's ground is one grey all over, which may stand in for paper.
    app.tap_picture(0.15, 0.42).await?;
    let before = app.reading(Pin::A).await?;
    app.part("paper").await?.click().await?;
    app.part("paper-sheet").await?;
    app.tap_picture(0.5, 0.15).await?;
    app.until(
        "paper followed",
        "return document.querySelector('[data-part=paper-state]').dataset.followed === 'true'",
        &[],
    )
    .await?;
    fs::write(tonefast_end_to_end::pictures("camera")?.join("paper.png"), app.picture().await?)?;
    app.part("done").await?.click().await?;
    app.stands_on("paper").await?;
    let held = app.reading(Pin::A).await?;
    assert!(
        (held.lightness - 94.5).abs() < 0.5 && held.lightness > before.lightness + 10.0,
        "{before:?}, {held:?}"
    );
    // Held, it is a photo that stands on the same paper.
    app.part("hold").await?.click().await?;
    let lit = "return document.querySelector('[data-part=light]')?.innerText.includes('Against paper 94.5') ?? false";
    app.until("the held frame in the paper's light", lit, &[]).await?;
    let photo = app.reading(Pin::A).await?;
    assert!((photo.lightness - 94.5).abs() < 0.5, "{photo:?}");
    app.open_camera().await?;
    app.tap_picture(0.15, 0.42).await?;
    app.reading(Pin::A).await?;
    app.stands_on("camera").await?;
    // Its white bar is blown out, which no paper may be.
    app.part("paper").await?.click().await?;
    app.tap_picture(0.07, 0.7).await?;
    app.until("a word on it", "return document.querySelector('[data-part=light-note]') !== null", &[])
        .await?;
    app.part("paper-remove").await?.click().await?;
    app.part("done").await?.click().await?;
    app.stands_on("camera").await?;
    app.close().await
}

#[tokio::test]
async fn another_camera_may_be_chosen_and_one_may_be_unplugged() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    app.open_camera().await?;
    app.part("title").await?.click().await?;
    let other = app.find("[data-camera][aria-pressed='false']").await?;
    let id = other.attr("data-camera").await?.unwrap_or_default();
    other.click().await?;
    let script = "const video = document.querySelector('video');
        return video?.srcObject?.getVideoTracks()[0].getSettings().deviceId === arguments[0] && video.videoWidth > 0";
    app.until("the other camera", script, &[json!(id)]).await?;
    // A mock can't be pulled out; the page hears of it by the track's own event.
    app.ask("document.querySelector('video').srcObject.getVideoTracks()[0].dispatchEvent(new Event('ended')); arguments[0]()", Vec::new())
        .await?;
    let trouble = app.part("camera-trouble").await?;
    assert_eq!(trouble.attr("data-why").await?.as_deref(), Some("unplugged"));
    fs::write(tonefast_end_to_end::pictures("camera")?.join("trouble.png"), app.picture().await?)?;
    app.part("camera-again").await?.click().await?;
    app.until("the camera", "return document.body.dataset.camera === 'running'", &[]).await?;
    app.close().await
}

/// Out of sight, the camera is off; a test can't hide a window without a window manager, so the page is told that it is.
#[tokio::test]
async fn out_of_sight_the_camera_is_off() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    app.open_camera().await?;
    let hide = "const track = document.querySelector('video').srcObject.getVideoTracks()[0];
        Object.defineProperty(document, 'hidden', { configurable: true, get: () => true });
        document.dispatchEvent(new Event('visibilitychange'));
        delete document.hidden;
        arguments[0](track.readyState);";
    assert_eq!(app.ask(hide, Vec::new()).await?, json!("ended"));
    assert_eq!(app.part("camera-trouble").await?.attr("data-why").await?.as_deref(), Some("away"));
    app.close().await
}

/// Refusals can't be had from the shell, which grants its own page the camera; the page is handed the platform's words.
#[tokio::test]
async fn refused_or_held_by_another_there_is_a_word_and_a_way_on() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    for (name, why) in
        [("NotAllowedError", "refused"), ("NotReadableError", "held"), ("OverconstrainedError", "none")]
    {
        let refuse = "const [name, done] = arguments;
            navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', name)); done();";
        app.ask(refuse, vec![json!(name)]).await?;
        app.part("camera").await?.click().await?;
        app.find(&format!("[data-part='camera-trouble'][data-why='{why}']")).await?;
        app.part("take-still").await?;
        app.part("camera-close").await?.click().await?;
    }
    app.close().await
}

#[tokio::test]
async fn without_graphics_a_still_may_be_taken() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    app.open_camera().await?;
    let lose = "document.querySelector('[data-part=picture] canvas').getContext('webgl2')
        .getExtension('WEBGL_lose_context').loseContext(); arguments[0]()";
    app.ask(lose, Vec::new()).await?;
    let trouble = app.part("camera-trouble").await?;
    assert_eq!(trouble.attr("data-why").await?.as_deref(), Some("graphics"));
    app.part("take-still").await?;
    app.close().await
}

/// The page is loaded anew, as it is when a system short of memory has ended the app.
#[tokio::test]
async fn what_stood_there_is_taken_up_again() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    app.open_camera().await?;
    app.choose_live(View::Lightness).await?;
    app.tap_picture(0.3, 0.3).await?;
    app.reading(Pin::A).await?;
    app.ask("arguments[0](); setTimeout(() => location.reload())", Vec::new()).await?;
    app.part("interrupted").await?;
    app.open_camera().await?;
    app.find("[data-view='lightness'][aria-pressed='true']").await?;
    app.reading(Pin::A).await?;
    app.close().await
}

#[tokio::test]
async fn closed_again_the_photo_is_there_as_it_was() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open_with_cameras(&[&pictures::halves(folder.path(), 230, 60)]).await?;
    let photo = app.photo().await?;
    app.tap_picture(0.25, 0.5).await?;
    let before = app.reading(Pin::A).await?;
    app.open_camera().await?;
    app.part("camera-close").await?.click().await?;
    app.until("the camera off", "return document.body.dataset.camera === 'off'", &[]).await?;
    assert_eq!(app.photo().await?, photo);
    assert_eq!(app.reading(Pin::A).await?, before);
    app.close().await
}

#[tokio::test]
async fn without_a_camera_there_is_a_word_and_a_way_on() -> Result<(), Error> {
    let app = App::open(&[]).await?;
    app.part("camera").await?.click().await?;
    let trouble = app.part("camera-trouble").await?;
    assert_eq!(trouble.attr("data-why").await?.as_deref(), Some("none"));
    app.part("take-still").await?;
    app.part("camera-close").await?.click().await?;
    app.part("demo").await?;
    app.close().await
}

/// Frames a second that software drawing must keep up with, of the mock camera's 15, while the machine does other things.
const LEAST_RATE: f64 = 10.0;

/// What the app may grow by in a minute: a frame is 3.7 MB, so a leak of one in a hundred would be 33 MB.
const MOST_GROWTH: u64 = 32 << 20;

#[tokio::test]
async fn a_minute_neither_lags_nor_leaks() -> Result<(), Error> {
    let minutes = if std::env::var_os("TONEFAST_LONG").is_some() { 10 } else { 1 };
    let app = App::open_with_cameras(&[]).await?;
    app.resize(Size::Phone).await?;
    app.open_camera().await?;
    app.tap_picture(0.2, 0.3).await?;
    app.tap_picture(0.8, 0.7).await?;
    app.choose_live(View::Bands).await?;
    // What is set up once has been.
    sleep(Duration::from_secs(10)).await;
    let (start, memory, counts) = (Instant::now(), app.memory()?, app.counts().await?);
    sleep(Duration::from_secs(60 * minutes)).await;
    let (seconds, after) = (start.elapsed().as_secs_f64(), app.counts().await?);
    let grown = app.memory()?.saturating_sub(memory);
    let rate = (after.frames - counts.frames) as f64 / seconds;
    let sent = (after.sent - counts.sent) as f64 / seconds;
    println!(
        "{rate:.1} frames and {sent:.1} messages a second; {} MB, grown by {} MB",
        memory >> 20,
        grown >> 20
    );
    assert!(rate >= LEAST_RATE, "{rate:.1} frames a second");
    for squint in ["slight", "half", "nearly"] {
        app.press('s').await?;
        app.drawn().await?;
        let (start, before) = (Instant::now(), app.counts().await?);
        sleep(Duration::from_secs(5)).await;
        let rate = (app.counts().await?.frames - before.frames) as f64 / start.elapsed().as_secs_f64();
        println!("{rate:.1} frames a second, squint {squint}");
        assert!(rate >= LEAST_RATE, "{rate:.1} frames a second, squint {squint}");
    }
    assert!((2.5..=5.0).contains(&sent), "{sent:.1} messages a second");
    assert!(grown <= MOST_GROWTH, "grown by {} MB in {minutes} min", grown >> 20);
    app.close().await
}
