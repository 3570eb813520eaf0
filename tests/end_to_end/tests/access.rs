//! For everybody: by keyboard, by screen reader, in a narrow window and with large text.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use tempfile::TempDir;
use tonefast_end_to_end::{App, Error, Pin, Size, View, demo};

use crate::pictures;

/// Runs axe-core, which is the rules of WCAG that a program can check, and answers with what it finds.
/// It also answers with what is wider than the window: nothing may have to be scrolled sideways.
const LOOK: &str = "
    const done = arguments[0];
    axe.run(document, { resultTypes: ['violations'] }).then(({ violations }) => {
        const found = violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(' ')).join(', ')}`);
        const wide = document.scrollingElement.scrollWidth - innerWidth;
        if (wide > 0) found.push(`the page is ${wide} px wider than the window`);
        return found;
    }).catch((error) => [String(error)]).then(done);";

#[tokio::test]
async fn axe_finds_nothing_and_nothing_scrolls_sideways() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::halves(folder.path(), 230, 60)]).await?;
    app.photo().await?;
    bring_axe(&app).await?;
    app.tap_picture(0.25, 0.5).await?;
    app.tap_picture(0.75, 0.5).await?;
    app.verdict().await?;
    let mut found = look(&app).await?;
    app.part("light").await?.click().await?;
    app.tell_light("white", 0.25, 0.5).await?;
    app.tell_light("dark", 0.75, 0.5).await?;
    found.extend(look(&app).await?.into_iter().map(|fault| format!("light: {fault}")));
    assert!(found.is_empty(), "{}", found.join("\n"));
    app.close().await
}

#[tokio::test]
async fn axe_finds_nothing_among_sessions() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::halves(folder.path(), 230, 60)]).await?;
    app.photo().await?;
    bring_axe(&app).await?;
    app.tap_picture(0.25, 0.5).await?;
    app.reading(Pin::A).await?;
    app.keep().await?;
    // The same view is kept once.
    app.choose(View::Lightness).await?;
    app.keep().await?;
    let mut found = look(&app).await?;
    app.click("[data-part=sessions]").await?;
    app.find("[data-session]").await?;
    found.extend(look(&app).await?.into_iter().map(|fault| format!("sessions: {fault}")));
    app.click("[data-session]").await?;
    for sheet in ["describe", "into", "paper", "out", "more-kept", "about"] {
        let opens = if sheet == "about" { "[data-about]".to_owned() } else { format!("[data-part={sheet}]") };
        app.click(&opens).await?;
        found.extend(look(&app).await?.into_iter().map(|fault| format!("{sheet}: {fault}")));
    }
    app.click("[data-part=done]").await?;
    app.click("[data-choose][aria-pressed=false]").await?;
    app.click("[data-choose][aria-pressed=false]").await?;
    app.click("[data-part=side-by-side]").await?;
    app.find("[data-part=share-changes]").await?;
    found.extend(look(&app).await?.into_iter().map(|fault| format!("pair: {fault}")));
    assert!(found.is_empty(), "{}", found.join("\n"));
    app.close().await
}

#[tokio::test]
async fn axe_finds_nothing_among_paints() -> Result<(), Error> {
    let app = App::open(&[&demo("strips.jpg")]).await?;
    app.photo().await?;
    bring_axe(&app).await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=strips]").await?;
    app.find("[data-part=strips-sheet] [data-steps]").await?;
    let mut found = look(&app).await?;
    app.click("[data-part=done]").await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=paints]").await?;
    app.find("[data-part=no-paints]").await?;
    found.extend(look(&app).await?.into_iter().map(|fault| format!("no paints: {fault}")));
    app.click("[data-part=starter]").await?;
    app.click(".paints [data-band='3']").await?;
    app.find("[data-stand-in]").await?;
    for (opens, shows) in [
        ("[data-paints-view=ranges]", "[data-bar]"),
        ("[data-paints-view=bands]", "[data-cell]"),
        ("[data-paints-view=pairs]", ".paints [data-pair]"),
        (".paints [data-pair]", "[data-part=over]"),
    ] {
        app.click(opens).await?;
        app.find(shows).await?;
        found.extend(look(&app).await?.into_iter().map(|fault| format!("{opens}: {fault}")));
    }
    app.click("[data-part=passage-sheet] [data-part=done]").await?;
    app.click("[data-paints-view=ranges]").await?;
    app.click("[data-paint='Demo yellow']").await?;
    app.find("[data-part=caution]").await?;
    found.extend(look(&app).await?.into_iter().map(|fault| format!("a paint: {fault}")));
    app.click("[data-part=back]").await?;
    app.click("[data-part=back]").await?;
    app.tap_picture(0.5, 0.46).await?;
    app.click("[data-reading=A]").await?;
    app.click("[data-part=match]").await?;
    app.click("[data-stand-in][data-kind=reaches]").await?;
    app.find("[data-part=dab]").await?;
    found.extend(look(&app).await?.into_iter().map(|fault| format!("a dab: {fault}")));
    assert!(found.is_empty(), "{}", found.join("\n"));
    app.close().await
}

#[tokio::test]
async fn axe_finds_nothing_while_the_camera_is_open() -> Result<(), Error> {
    let app = App::open_with_cameras(&[]).await?;
    app.open_camera().await?;
    bring_axe(&app).await?;
    app.tap_picture(0.25, 0.3).await?;
    app.tap_picture(0.75, 0.3).await?;
    app.verdict().await?;
    let mut found = look(&app).await?;
    for (button, sheet) in [("paper", "paper-sheet"), ("title", "camera-sheet")] {
        app.part(button).await?.click().await?;
        app.part(sheet).await?;
        found.extend(look(&app).await?.into_iter().map(|fault| format!("{sheet}: {fault}")));
        app.part("done").await?.click().await?;
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    app.close().await
}

async fn bring_axe(app: &App) -> Result<(), Error> {
    let axe = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../ui/node_modules/axe-core/axe.min.js");
    app.ask(&format!("{}; arguments[0]()", fs::read_to_string(axe)?), Vec::new()).await?;
    Ok(())
}

/// What axe-core finds at every size, with text as it is and twice as large; it is as it is again afterwards.
async fn look(app: &App) -> Result<Vec<String>, Error> {
    let mut found = Vec::new();
    for size in Size::ALL {
        app.resize(size).await?;
        for percent in [100, 200] {
            let enlarge = "document.documentElement.style.fontSize = `${arguments[0]}%`; arguments[1]()";
            app.ask(enlarge, vec![json!(percent)]).await?;
            app.drawn().await?;
            if let Value::Array(faults) = app.ask(LOOK, Vec::new()).await? {
                found.extend(faults.iter().map(|fault| format!("{size:?}, text {percent} %: {fault}")));
            }
        }
    }
    app.ask("document.documentElement.style.fontSize = ''; arguments[0]()", Vec::new()).await?;
    Ok(found)
}
