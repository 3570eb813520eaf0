//! Carries the job through in the real window: opens a photograph, shows the three views, taps two spots and tells
//! them apart. Prints the readings, and leaves a picture of each screen.
//!
//! `demo PHOTO FOLDER`: the pictures go to FOLDER.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Instant;

use tonefast_end_to_end::{App, Error, Pin, Size, View};

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

/// Two spots that lie well apart in the demo's picture, in fractions of the picture on the screen.
const SPOTS: [(f64, f64); 2] = [(0.5, 0.25), (0.5, 0.75)];

async fn carry_through(photo: &Path, folder: &Path) -> Result<(), Error> {
    fs::create_dir_all(folder)?;
    let start = Instant::now();
    let app = App::open(&[photo]).await?;
    app.resize(Size::Phone).await?;
    app.photo().await?;
    println!("opened {} in {:.1} s", photo.display(), start.elapsed().as_secs_f64());
    for view in View::ALL {
        app.choose(view).await?;
        app.picture(&folder.join(format!("{}.png", view.word()))).await?;
    }
    println!("looked at it by {}", View::ALL.map(View::word).join(", by "));
    for (pin, (x, y)) in [Pin::A, Pin::B].into_iter().zip(SPOTS) {
        app.tap_picture(x, y).await?;
        let reading = app.reading(pin).await?;
        println!("{pin:?}: L* {:.1}, band {}", reading.lightness, reading.band);
    }
    println!("{}", app.verdict().await?);
    for size in Size::ALL {
        app.resize(size).await?;
        app.picture(&folder.join(format!("difference-{}.png", size.word()))).await?;
    }
    app.close().await?;
    println!("pictures of each screen lie in {}", folder.display());
    Ok(())
}
