//! The light: patches of known tone are tapped, and readings stand on them.

use serde_json::json;
use tempfile::TempDir;
use tonefast_end_to_end::{Agreement, App, Error, Pin, Size, View};

use crate::pictures;

/// How near a reading must come to the truth once the light is told: the board is without noise, and the light falls
/// off in a straight line, as the model has it.
const TOLD: f64 = 1.0;

#[tokio::test]
async fn paper_and_a_dark_patch_make_readings_true() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::board(folder.path())]).await?;
    app.photo().await?;
    app.resize(Size::Desk).await?;
    let (truth, _) = pictures::BOARD[3];
    app.tap_picture(0.7, 0.5).await?;
    let before = app.reading(Pin::A).await?.lightness;
    assert!((before - truth).abs() > 2.0 * TOLD, "{before}: the light must matter");
    app.part("light").await?.click().await?;
    // The darkest surface, stated as paper, is asked about and does not count.
    app.tell_light("white", 0.9, 0.5).await?;
    let asked = app.part("light-question").await?.text().await?;
    assert!(asked.contains("darker than most of the picture. Is it white paper?"), "{asked}");
    assert_eq!(app.told_light().await?, "As the camera saw it");
    let photo = app.photo().await?;
    app.part("light-no").await?.click().await?;
    app.other_photo(&photo).await?;
    for (x, y) in [(0.06, 0.06), (0.94, 0.06), (0.06, 0.94), (0.94, 0.94)] {
        app.tell_light("white", x, y).await?;
    }
    app.tell_light("dark", 0.9, 0.5).await?;
    let photo = app.photo().await?;
    app.ask(TONE, vec![json!(pictures::BOARD[4].0)]).await?;
    app.other_photo(&photo).await?;
    let stands = app.told_light().await?;
    assert_eq!(stands, "Against paper 94.5 and a dark patch, light evened out by 4 papers");
    println!(
        "12 megapixels in another light, from the tap to the screen: {} ms",
        app.ask(TIMED, Vec::new()).await?
    );
    app.part("done").await?.click().await?;
    let after = app.reading(Pin::A).await?.lightness;
    assert!((after - truth).abs() < TOLD, "{before} became {after}, and {truth} is true");
    for view in View::ALL {
        app.choose(view).await?;
        let Agreement { pixels, off, worst } = app.agreement().await?;
        // As on the screen's own test, with room for bands' edges.
        assert!(
            off as f64 <= 0.001 * pixels as f64,
            "{view:?}: {off} of {pixels} pixels, the worst by {worst}"
        );
    }
    app.close().await
}

/// Gives the chosen patch its tone.
const TONE: &str = "
    const [tone, done] = arguments;
    const input = document.querySelector('[data-part=patch-tone]');
    input.value = tone;
    input.dispatchEvent(new Event('change', { bubbles: true }));
    done();";

/// Makes the chosen patch lighter and back, and answers how long that took to be drawn exactly, in the mean.
const TIMED: &str = "
    const done = arguments[0];
    const go = async (label) => {
        const before = document.body.dataset.photo;
        const start = performance.now();
        [...document.querySelectorAll('[data-part=light-sheet] button')].find((button) => button.ariaLabel === label || button.innerText.trim() === label).click();
        while (document.body.dataset.photo === before || document.body.dataset.ready !== 'true') await new Promise(requestAnimationFrame);
        return performance.now() - start;
    };
    (async () => {
        let sum = 0;
        for (const label of ['Lighter', 'Darker', 'Lighter', 'Darker']) sum += await go(label);
        return Math.round(sum / 4);
    })().then(done, (error) => done(String(error)));";
