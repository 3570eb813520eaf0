//! What the screen shows is what core draws, to the pixel.

use std::path::Path;

use tempfile::TempDir;
use tonefast_end_to_end::{Agreement, App, Error, Size, View};

use crate::pictures;

/// The share of pixels that may lie on the other side of a band's edge than core puts them. The shader looks
/// lightnesses up in core's own table, but compares them as 32-bit numbers, so a pixel that lies on an edge to the
/// seventh digit may take either side. With software drawing none does; this leaves room for other graphics, and is
/// far less than any mistake in the reduction would cost.
const AT_AN_EDGE: f64 = 0.001;

#[tokio::test]
async fn an_srgb_photo_of_12_megapixels() -> Result<(), Error> {
    let folder = TempDir::new()?;
    agrees_everywhere(&pictures::everything(folder.path(), 4096, 3000)).await
}

#[tokio::test]
async fn a_display_p3_photo() -> Result<(), Error> {
    let folder = TempDir::new()?;
    agrees_everywhere(&pictures::everything_in_display_p3(folder.path(), 1800, 1200)).await
}

#[tokio::test]
async fn a_photo_of_16_bits() -> Result<(), Error> {
    let folder = TempDir::new()?;
    agrees_everywhere(&pictures::everything_in_16_bits(folder.path(), 1800, 1200)).await
}

/// Where WebGL2 fails core draws the view, and nobody should see a difference but the wait.
#[tokio::test]
async fn without_graphics_the_view_stays() -> Result<(), Error> {
    let folder = TempDir::new()?;
    let app = App::open(&[&pictures::everything(folder.path(), 1800, 1200)]).await?;
    app.photo().await?;
    app.choose(View::Lightness).await?;
    let before = pixels(&app).await?;
    app.lose_graphics().await?;
    let after = pixels(&app).await?;
    assert_eq!(before.dimensions(), after.dimensions());
    let steps = |(a, b): (&u8, &u8)| a.abs_diff(*b);
    let worst = before.as_raw().iter().zip(after.as_raw()).map(steps).max().unwrap_or(u8::MAX);
    assert!(worst <= 1, "the window differs by up to {worst}");
    app.close().await
}

/// At fit, 1:1 and 400 %, with squint off and at its strongest, each view is within one 8-bit step of core's.
async fn agrees_everywhere(photo: &Path) -> Result<(), Error> {
    let app = App::open(&[photo]).await?;
    app.photo().await?;
    for size in [Size::Phone, Size::Desk] {
        app.resize(size).await?;
        agrees(&app, &format!("whole, {size:?}")).await?;
    }
    for scale in [1.0, 4.0] {
        app.zoom(scale).await?;
        agrees(&app, &format!("{} %", 100.0 * scale)).await?;
    }
    for _ in ["slight", "half", "nearly"] {
        app.press('s').await?;
    }
    agrees(&app, "400 %, squinting").await?;
    app.zoom(0.0).await?;
    agrees(&app, "whole, squinting").await?;
    app.close().await
}

async fn agrees(app: &App, what: &str) -> Result<(), Error> {
    for view in View::ALL {
        app.choose(view).await?;
        let Agreement { pixels, off, worst } = app.agreement().await?;
        println!(
            "{what}, {view:?}: {off} of {pixels} pixels differ by more than one step, the worst by {worst}"
        );
        let allowed = if view == View::Bands { AT_AN_EDGE * pixels as f64 } else { 0.0 };
        assert!(
            off as f64 <= allowed,
            "{what}, {view:?}: {off} of {pixels} pixels are off, by up to {worst}"
        );
    }
    Ok(())
}

async fn pixels(app: &App) -> Result<image::RgbImage, Error> {
    Ok(image::load_from_memory(&app.picture().await?).expect("a PNG").into_rgb8())
}
