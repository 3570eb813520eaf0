//! Check: a picture in, three views, two taps, their difference.

use tempfile::TempDir;
use tonefast_end_to_end::{App, Error, Pin, View};

use crate::pictures;

/// How far a reading may lie from the L* of the grey that was painted. The pictures are flat and without loss, so
/// only rounding is left: one digit behind the point on the screen, .008 in core's table of lightnesses.
const READING: f64 = 0.1;

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
    assert!(verdict.starts_with("B is ") && verdict.ends_with(" darker"), "{verdict}");
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
async fn a_file_that_is_no_picture_is_told_and_the_picture_stays() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::halves(folder.path(), 230, 60)]).await?;
    let before = app.photo().await?;
    app.paste("broken.jpg", b"This is no picture.\n").await?;
    assert_eq!(app.fault().await?, "file");
    assert_eq!(app.photo().await?, before);
    app.tap_picture(0.25, 0.5).await?;
    let reading = app.reading(Pin::A).await?;
    assert!((reading.lightness - pictures::lightness(230)).abs() <= READING, "{reading:?}");
    app.close().await
}

#[tokio::test]
async fn an_argument_that_is_no_picture_is_told() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::broken(folder.path())]).await?;
    assert_eq!(app.fault().await?, "file");
    app.close().await
}
