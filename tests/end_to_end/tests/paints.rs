//! Paints: a strip is photographed, measured, corrected and kept; what stands in for what, and what runs together.

use std::fs;
use std::path::Path;
use std::time::Instant;

use serde_json::{Value, json};
use tempfile::TempDir;
use tonefast_end_to_end::{App, Error, Pin, Size, demo};

/// From a photograph of strips to a test dab, by way of a wrong file; all of it is there in another window.
#[tokio::test]
async fn a_strip_becomes_a_paint_that_a_dab_is_judged_by() -> Result<(), Error> {
    let home = TempDir::new()?;
    let app = App::open_at(home.path(), &[&demo("strips.jpg")]).await?;
    app.photo().await?;
    app.resize(Size::Phone).await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=strips]").await?;
    steps(&app, 8).await?;

    // One that is begun by hand and given up is none.
    app.click("[data-part=by-hand]").await?;
    app.part("no-strip").await?;
    app.click("[data-part=strips-sheet] [data-part=done]").await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=strips]").await?;
    steps(&app, 8).await?;
    let title = app.find("[data-part=strips-sheet] h2").await?.text().await?;
    assert_eq!(title, "Strip 1 of 3");

    // Corrected: one taken out, one cut in two, and the whole looked for again by a tap on the bare place.
    app.click("[data-steps] [data-step='8']").await?;
    app.click("[data-part=remove-swatch]").await?;
    steps(&app, 7).await?;
    app.click("[data-steps] [data-step='2']").await?;
    app.click("[data-part=split-swatch]").await?;
    steps(&app, 8).await?;
    let alike = app
        .until("the warning", "return document.querySelector('[data-warning=alike]')?.innerText", &[])
        .await?;
    assert!(alike.as_str().is_some_and(|it| it.contains("2 and 3")), "{alike}");
    app.click("[data-part=strip-next]").await?;
    steps(&app, 8).await?;
    fill(&app, "strip-paint", "Rose of the quay").await?;
    app.click("[data-part=keep-strip]").await?;
    let told = app
        .until("that it is kept", "return document.querySelector('[data-part=strip-told]')?.innerText", &[])
        .await?;
    assert!(told.as_str().is_some_and(|it| it.contains("Rose of the quay")), "{told}");
    steps(&app, 7).await?;
    app.click("[data-part=done]").await?;

    // A spot of the second strip's fifth swatch is as dark as its fifth step.
    app.tap_picture(ROSE.0, ROSE.1).await?;
    app.reading(Pin::A).await?;
    app.click("[data-part=light]").await?;
    app.tell_light("white", PAPER.0, PAPER.1).await?;
    app.click("[data-part=done]").await?;
    app.click("[data-reading]").await?;
    app.click("[data-part=match]").await?;
    app.click("[data-stand-in='Rose of the quay'][data-kind=reaches]").await?;
    let says =
        app.until("the dab", "return document.querySelector('[data-part=dab]')?.dataset.says", &[]).await?;
    assert_eq!(says, json!("right"));
    app.close().await?;

    let app = App::open_at(home.path(), &[]).await?;
    app.click("[data-part=paints]").await?;
    app.find("[data-bar='Rose of the quay']").await?;
    app.click("[data-part=more-paints]").await?;
    app.click("[data-part=out-csv]").await?;
    let written =
        app.until("the table", "return document.querySelector('[data-part=told] p')?.innerText", &[]).await?;
    let path = written.as_str().and_then(|it| it.strip_prefix("Saved in ")).unwrap_or_default();
    assert_eq!(fs::read_to_string(path)?.matches("Rose of the quay").count(), 8);
    app.click("[data-paint='Rose of the quay']").await?;
    app.click("[data-part=open-strip]").await?;
    app.photo().await?;
    steps(&app, 8).await?;
    app.close().await?;

    // The table goes in where it is new, and a wrong one is refused with its line.
    let wrong = home.path().join("wrong.csv");
    fs::write(&wrong, "paint,lightness\nClay,ninety\n")?;
    let app = App::open(&[&wrong]).await?;
    assert_eq!(app.fault().await?, "file");
    let told = "return document.querySelector('[data-part=error]')?.innerText.includes('line 2')";
    app.until("its line", told, &[]).await?;
    app.close().await?;
    let app = App::open(&[Path::new(path)]).await?;
    app.find("[data-bar='Rose of the quay']").await?;
    app.close().await
}

/// The starter box: bars on one ladder, a tone asked for, pairs, a caution; deleted and brought back; dabs under the
/// camera.
#[tokio::test]
async fn paints_stand_in_for_each_other_and_run_together() -> Result<(), Error> {
    let app = App::open_with_cameras(&[&demo("low-water.jpg")]).await?;
    app.photo().await?;
    app.resize(Size::Phone).await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=paints]").await?;
    app.click("[data-part=starter]").await?;
    app.find("[data-bar='Demo violet']").await?;
    let span =
        "const bar = document.querySelector(`[data-bar='${arguments[0]}']`); return bar && bar.offsetHeight";
    let yellow = app.until("a bar", span, &[json!("Demo yellow")]).await?.as_f64().unwrap_or_default();
    let violet = app.until("a bar", span, &[json!("Demo violet")]).await?.as_f64().unwrap_or_default();
    // Common practice: light-valued hues have the shortest range, half of a dark violet's or less.
    assert!(yellow > 0.0 && 2.0 * yellow < violet, "{yellow} {violet}");

    app.click(".paints [data-band='4']").await?;
    app.find("[data-stand-in='Demo violet'][data-kind=reaches]").await?;
    app.find("[data-stand-in='Demo yellow'][data-kind=staysLighter]").await?;
    app.click("[data-paints-view=bands]").await?;
    app.find("[data-cell='Demo violet 4']").await?;
    app.click("[data-paints-view=pairs]").await?;
    app.click("[data-part=own-tone]").await?;
    app.click(".paints [data-pair='Demo orange + Demo yellow']").await?;
    let outcome = app.part("outcome").await?;
    assert_eq!(outcome.attr("data-outcome").await?.as_deref(), Some("clean"));
    app.click("[data-part=passage-sheet] [data-part=done]").await?;

    app.click("[data-part=more-paints]").await?;
    app.click("[data-part=print-paints]").await?;
    app.click("[data-print=ranges]").await?;
    app.click("[data-part=print]").await?;
    let told = "return document.querySelector('[data-part=told] p')?.innerText";
    let written = app.until("the page", told, &[]).await?;
    let path = written.as_str().and_then(|it| it.strip_prefix("Saved in ")).unwrap_or_default();
    assert!(fs::read(path)?.starts_with(b"%PDF-"), "{written}");

    app.click("[data-paints-view=ranges]").await?;
    app.click("[data-paint='Demo yellow']").await?;
    let caution = app.part("caution").await?;
    assert_eq!(caution.attr("data-harmful").await?.as_deref(), Some("true"));
    app.click("[data-part=delete-paint]").await?;
    app.click("[data-part=bring-back]").await?;
    app.click("[data-paint='Demo yellow']").await?;
    // Where the picture has a step's tone: bands about it.
    app.click(".paints [data-step='3']").await?;
    app.until("three bands", "return document.querySelectorAll('.check [data-band]').length === 3", &[])
        .await?;
    app.click("[data-part=own-bands]").await?;
    app.until("her own bands", "return document.querySelectorAll('.check [data-band]').length === 5", &[])
        .await?;
    dabs_are_judged_under_the_camera(&app).await?;
    app.close().await
}

/// Each way from the camera's first frame to a verdict that has settled; paints must be there.
async fn dabs_are_judged_under_the_camera(app: &App) -> Result<(), Error> {
    // A paint that no dab was judged of yet, and no light: spot, reading, paints, paint.
    app.open_camera().await?;
    let start = Instant::now();
    app.tap_picture(GROUND.0, GROUND.1).await?;
    app.click("[data-reading=A]").await?;
    app.click("[data-part=match]").await?;
    app.click("[data-stand-in='Demo violet'][data-kind=reaches]").await?;
    let (seen, words, stands) = dab(app, 5).await?;
    in_time("a new paint, four taps", start);
    // The mock's ground is a grey, and the paint a violet.
    let asked = "Right tone for step 5, but this is a grey: is it the right paint?";
    assert!(words == asked && stands.contains("if the camera is right"), "{words} {stands}");
    app.click("[aria-label='Darker step']").await?;
    let (_, words, _) = dab(app, 6).await?;
    assert!(words.contains(" pale "), "{words}");

    // The same again: spot, dab again.
    app.click("[data-part=dab-sheet] [data-part=done]").await?;
    app.click("[data-part=camera-close]").await?;
    app.open_camera().await?;
    app.until("a frame's size", "return !document.querySelector('[data-part=hold]').disabled", &[]).await?;
    let start = Instant::now();
    app.tap_picture(GROUND.0, GROUND.1).await?;
    app.click("[data-part=dab-again]").await?;
    dab(app, 6).await?;
    in_time("the paint and step of before, two taps", start);

    // In the light of white paper, which the mock's grey ground stands in for: paper, its place, dab again, the dab.
    app.click("[data-part=dab-sheet] [data-part=done]").await?;
    app.click("[data-part=camera-close]").await?;
    app.open_camera().await?;
    app.until("a frame's size", "return !document.querySelector('[data-part=hold]').disabled", &[]).await?;
    let start = Instant::now();
    app.click("[data-part=paper]").await?;
    app.tap_picture(0.5, 0.15).await?;
    app.click("[data-part=dab-again]").await?;
    app.tap_picture(GROUND.0, GROUND.1).await?;
    let (lit, words, stands) = dab(app, 6).await?;
    in_time("in the light of paper, four taps", start);
    // As light as paper, it is no wash at all.
    assert!((lit - 94.5).abs() <= 1.0 && lit > seen + 10.0, "{seen}, {lit}");
    assert!(words.ends_with(" pale for step 6: more paint."), "{words}");
    assert!(!stands.contains("if the camera is right"), "{stands}");
    fs::write(tonefast_end_to_end::pictures("camera")?.join("dab.png"), app.picture().await?)?;

    // The next dab: one tap, and no second pin.
    let start = Instant::now();
    app.tap_picture(BLUE.0, BLUE.1).await?;
    app.until("another tone", DARKER, &[json!(lit)]).await?;
    dab(app, 6).await?;
    in_time("the next dab, one tap", start);
    let pins = "arguments[0](document.querySelectorAll('.check [data-pin]').length)";
    assert_eq!(app.ask(pins, Vec::new()).await?, json!(1));
    Ok(())
}

/// What the dab reads, the verdict and what it stands on, once it has settled and is meant for that step.
async fn dab(app: &App, step: u32) -> Result<(f64, String, String), Error> {
    let script = "const dab = document.querySelector('[data-part=dab][data-settled=true]');
        const [words, stands] = [...(dab?.querySelectorAll('p') ?? [])].map((it) => it.innerText);
        return words?.includes(` for step ${arguments[0]}`) && [Number(dab.dataset.lightness), words, stands]";
    let told = app.until("a verdict on the dab", script, &[json!(step)]).await?;
    let text = |at: usize| told[at].as_str().unwrap_or_default().to_owned();
    let words = text(1);
    let form = words == format!("Right for step {step}.")
        || ["Half a step", "A step"].iter().any(|much| words.starts_with(much))
        || words
            .split_once(" steps ")
            .is_some_and(|(much, _)| much.trim_end_matches('½').parse::<u32>().is_ok());
    let does = words.rsplit_once(": ").map(|(off, does)| {
        (off.ends_with(&format!("pale for step {step}"))
            && ["more paint.", "a little more paint."].contains(&does))
            || (off.ends_with(&format!("dark for step {step}"))
                && ["more water.", "a little more water."].contains(&does))
    });
    // Of another hue than the paint: the tone first, and then the question.
    let asks = words.ends_with(": is it the right paint?")
        && words.contains("this is a ")
        && words.contains(&format!(" for step {step}"));
    assert!(asks || (form && does.unwrap_or(words.starts_with("Right"))), "{words}");
    Ok((told[0].as_f64().unwrap_or_default(), words, text(2)))
}

/// Seconds that a dab may take: then the wash in the brush has begun to dry, and the guess by eye was quicker.
const MOST_SECONDS: f64 = 10.0;

fn in_time(way: &str, start: Instant) {
    let seconds = start.elapsed().as_secs_f64();
    println!("a dab, {way}: {seconds:.1} s");
    assert!(seconds < MOST_SECONDS, "{way}: {seconds:.1} s");
}

/// Whether the dab reads well below an L*.
const DARKER: &str =
    "return Number(document.querySelector('[data-part=dab]')?.dataset.lightness) < arguments[0] - 10";

/// A place in the mock camera's grey ground that nothing is drawn on, in fractions of its picture.
const GROUND: (f64, f64) = (0.15, 0.42);

/// In its blue bar.
const BLUE: (f64, f64) = (0.268, 0.694);

/// A place in the fifth swatch of the demo's second strip, in fractions of its picture.
const ROSE: (f64, f64) = (0.532, 0.464);

/// Bare paper above it.
const PAPER: (f64, f64) = (0.532, 0.335);

/// Waits until the strip that is shown has so many steps.
async fn steps(app: &App, count: usize) -> Result<Value, Error> {
    let script = "return document.querySelector('[data-steps]')?.dataset.steps === String(arguments[0])";
    app.until("the steps", script, &[json!(count)]).await
}

async fn fill(app: &App, field: &str, value: &str) -> Result<Value, Error> {
    let script = "const field = document.querySelector(`[data-field='${arguments[0]}']`);
        if (!field) return false;
        field.value = arguments[1];
        field.dispatchEvent(new Event('input', { bubbles: true }));
        return true;";
    app.until("a field", script, &[json!(field), json!(value)]).await
}
