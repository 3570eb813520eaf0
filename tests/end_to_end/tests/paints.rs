//! Paints: a strip is photographed, measured, corrected and kept; what stands in for what, and what runs together.

use std::fs;
use std::path::Path;

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
    let path = written.as_str().and_then(|it| it.strip_prefix("Written: ")).unwrap_or_default();
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

/// The starter box: bars on one ladder, a tone asked for, pairs, a caution; deleted and brought back.
#[tokio::test]
async fn paints_stand_in_for_each_other_and_run_together() -> Result<(), Error> {
    let app = App::open(&[&demo("low-water.jpg")]).await?;
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
    let path = written.as_str().and_then(|it| it.strip_prefix("Written: ")).unwrap_or_default();
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
    app.close().await
}

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
