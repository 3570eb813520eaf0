//! Check: a picture in, three views, two taps, their difference.

use tempfile::TempDir;
use tonefast_end_to_end::{Agreement, App, Error, Pin, Size, View};

use crate::pictures;

/// How far a reading may lie from the L* of the grey that was painted. The pictures are flat and without loss, so
/// only rounding is left: one digit behind the point on the screen, .008 in core's table of lightnesses.
const READING: f64 = 0.1;

/// How many pixels may lie on the other side of a band's edge than core puts them. A pixel within .05 L* of an edge
/// may take either side: the screen's own arithmetic has 24 bits, core's 53. Fine ramps put about one in a hundred there.
const AT_AN_EDGE: f64 = 0.015;

#[tokio::test]
async fn two_taps_tell_which_spot_is_darker() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::halves(folder.path(), 230, 60)]).await?;
    app.photo().await?;
    app.tap_picture(0.25, 0.5).await?;
    let a = app.reading(Pin::A).await?;
    app.tap_picture(0.75, 0.5).await?;
    let b = app.reading(Pin::B).await?;
    assert!((a.lightness - pictures::lightness(230)).abs() <= READING, "{a:?}");
    assert!((b.lightness - pictures::lightness(60)).abs() <= READING, "{b:?}");
    // Five even bands of 20 L* each, the lightest first.
    assert_eq!((a.band, b.band), (1, 4));
    let verdict = app.verdict().await?;
    assert!(verdict.contains("B is clearly darker"), "{verdict}");
    app.close().await
}

#[tokio::test]
async fn a_view_is_chosen_by_tap_and_by_key() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::halves(folder.path(), 230, 60)]).await?;
    app.photo().await?;
    for view in [View::Bands, View::Lightness, View::Colour] {
        app.choose(view).await?;
    }
    for (key, view) in [('2', View::Lightness), ('3', View::Bands), ('1', View::Colour)] {
        app.press(key).await?;
        app.chosen(view).await?;
    }
    app.close().await
}

#[tokio::test]
async fn the_screen_shows_what_core_draws() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::everything(folder.path(), 3000, 2000)]).await?;
    app.photo().await?;
    for size in [Size::Phone, Size::Desk] {
        app.resize(size).await?;
        for view in View::ALL {
            app.choose(view).await?;
            let Agreement { pixels, off, worst } = app.agreement().await?;
            let allowed = if view == View::Bands { (pixels as f64 * AT_AN_EDGE) as u64 } else { 0 };
            assert!(
                off <= allowed,
                "{view:?} at {size:?}: {off} of {pixels} pixels are off, by up to {worst}"
            );
        }
    }
    app.close().await
}
