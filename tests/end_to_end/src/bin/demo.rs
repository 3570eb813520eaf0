//! Carries the job through in the real window: opens a photograph, shows the three views, taps two spots and tells
//! them apart, keeps two snapshots, and measures strips of paint. Prints the readings, and leaves a picture of each
//! screen.
//!
//! `demo PHOTO FOLDER`: the pictures go to FOLDER.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Instant;

use tonefast_end_to_end::{App, Error, Pin, Reading, Size, View, demo};

#[tokio::main(flavor = "current_thread")]
async fn main() -> ExitCode {
    let arguments: Vec<PathBuf> = env::args_os().skip(1).map(PathBuf::from).collect();
    let [photo, folder] = arguments.as_slice() else {
        eprintln!("demo PHOTO FOLDER");
        return ExitCode::from(2);
    };
    match carry_through(photo, folder).await {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

/// Two spots in fractions of the picture's width and height. In the demo's picture they lie on the hull in its own
/// shadow and on the sunlit wheelhouse above it.
const SPOTS: [(f64, f64); 2] = [(0.507, 0.52), (0.75, 0.475)];

async fn carry_through(photo: &Path, folder: &Path) -> Result<(), Error> {
    fs::create_dir_all(folder)?;
    let picture = |name: &str| folder.join(format!("{name}.png"));
    let start = Instant::now();
    let home = folder.join("home");
    if home.exists() {
        fs::remove_dir_all(&home)?;
    }
    let app = App::open_at(&home, &[photo]).await?;
    app.photo().await?;
    println!("opened {} in {:.1} s", photo.display(), start.elapsed().as_secs_f64());
    app.resize(Size::Phone).await?;
    for view in View::ALL {
        app.choose(view).await?;
        fs::write(picture(view.word()), app.picture().await?)?;
    }
    println!("looked at it by {}", View::ALL.map(View::word).join(", by "));
    for (pin, (x, y)) in [Pin::A, Pin::B].into_iter().zip(SPOTS) {
        app.tap_picture(x, y).await?;
        let Reading { lightness, band } = app.reading(pin).await?;
        let (across, down) = (100.0 * x, 100.0 * y);
        println!("{pin:?}, {across:.0} % across and {down:.0} % down: L* {lightness:.1}, band {band}");
    }
    println!("{}", app.verdict().await?);
    for size in Size::ALL {
        app.resize(size).await?;
        fs::write(picture(&format!("difference-{}", size.word())), app.picture().await?)?;
    }
    app.resize(Size::Phone).await?;
    keep(&app, &picture).await?;
    app.close().await?;
    tell_light(&picture("light")).await?;
    paints(&picture).await?;
    println!("pictures of the window lie in {}", folder.display());
    Ok(())
}

/// Keeps the two spots in bands and in colour, and looks at what was kept.
async fn keep(app: &App, picture: &dyn Fn(&str) -> PathBuf) -> Result<(), Error> {
    app.keep().await?;
    app.choose(View::Colour).await?;
    app.keep().await?;
    let pngs = app.pngs(2).await?;
    println!("kept two snapshots, drawn as");
    // The second has a number, which comes before the ending.
    for (png, name) in pngs.iter().zip(["kept-colour", "kept-bands"]) {
        println!("  {}", png.display());
        let small = image::open(png).map_err(std::io::Error::other)?.thumbnail(SMALL, SMALL);
        small.save(picture(name)).map_err(std::io::Error::other)?;
    }
    app.click("[data-part=sessions]").await?;
    app.click("[data-session]").await?;
    app.until(
        "small pictures",
        "return [...document.querySelectorAll('[data-snapshot] img')].every((it) => it.naturalWidth > 0)",
        &[],
    )
    .await?;
    fs::write(picture("session"), app.picture().await?)?;
    app.click("[data-choose][aria-pressed=false]").await?;
    app.click("[data-choose][aria-pressed=false]").await?;
    app.click("[data-part=side-by-side]").await?;
    app.until(
        "both pictures",
        "return document.querySelectorAll('.pictures canvas[width]').length === 2",
        &[],
    )
    .await?;
    fs::write(picture("pair"), app.picture().await?)?;
    Ok(())
}

/// Measures the demo's strips, keeps one, and looks at the starter box's paints at a tone and in pairs.
async fn paints(picture: &dyn Fn(&str) -> PathBuf) -> Result<(), Error> {
    let app = App::open(&[&demo("strips.jpg")]).await?;
    app.photo().await?;
    app.resize(Size::Phone).await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=strips]").await?;
    app.find("[data-part=strips-sheet] [data-steps]").await?;
    fs::write(picture("strips"), app.picture().await?)?;
    let read = "return [...document.querySelectorAll('[data-step][data-lightness]')]
        .map((it) => Math.round(it.dataset.lightness)).join(', ')";
    let steps = app.until("its steps", read, &[]).await?;
    println!("the first strip's steps: L* {}", steps.as_str().unwrap_or_default());
    app.click("[data-part=done]").await?;
    app.click("[data-part=more]").await?;
    app.click("[data-part=paints]").await?;
    app.click("[data-part=starter]").await?;
    app.click(".paints [data-band='3']").await?;
    app.find("[data-stand-in]").await?;
    fs::write(picture("paints"), app.picture().await?)?;
    app.click("[data-paints-view=pairs]").await?;
    app.click("[data-pair='Demo red + Demo green']").await?;
    app.find("[data-part=over]").await?;
    fs::write(picture("passage"), app.picture().await?)?;
    app.close().await
}

/// The longer side of a kept picture's copy for the README, in pixels.
const SMALL: u32 = 720;

/// On the demo's painting at its easel: the bare margin of the paper, the grey card, and a spot of the quay wall, in
/// fractions of the picture.
const PAPER: (f64, f64) = (0.1655, 0.5323);
const CARD: (f64, f64) = (0.7268, 0.1472);
const WALL: (f64, f64) = (0.4464, 0.4771);

/// Tells the light of the painting at its easel, and reads the same spot before and after.
async fn tell_light(picture: &Path) -> Result<(), Error> {
    let app = App::open(&[&demo("low-water-easel.jpg")]).await?;
    app.photo().await?;
    app.resize(Size::Phone).await?;
    app.tap_picture(WALL.0, WALL.1).await?;
    let before = app.reading(Pin::A).await?.lightness;
    app.part("light").await?.click().await?;
    app.tell_light("white", PAPER.0, PAPER.1).await?;
    app.tell_light("card", CARD.0, CARD.1).await?;
    let stands = app.told_light().await?;
    fs::write(picture, app.picture().await?)?;
    app.part("done").await?.click().await?;
    let after = app.reading(Pin::A).await?.lightness;
    println!("the painting's quay wall: L* {before:.1} as the camera saw it, {after:.1} once told: {stands}");
    app.close().await
}
