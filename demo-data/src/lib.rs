//! Invented pictures for the demo, and the seeded generator that draws them.
//!
//! A small tidal harbour that is nowhere, at low water, under a low sun from the left:
//!
//! - `low-water.jpg`, the subject: upright 3:4, stored on its side with EXIF orientation 6 and no other tag;
//! - `low-water-easel.jpg`: a watercolour of it, taped to a board on an easel, a grey card (18 %) clipped above.
//!   Its hues are free, its tones are the subject's but for three mistakes made on purpose;
//!
//! And on a table indoors:
//!
//! - `starter-paints.json`: a box of invented paints, with strips of each, as the app takes paints in;
//! - `strips.jpg`: three strips of these paints on a sheet of paper;
//! - `truths.json`: what is known of the pictures because they were drawn: tones of named spots and of steps, shares of
//!   bands, corners.
//!
//! `cargo run -p tonefast-demo` rewrites them all; a test holds the committed files to what the generator draws.
//! Every byte is the same on every machine: chance is SplitMix64 and a hash, transcendental functions are libm's,
//! the rest is IEEE 754 arithmetic without fusing, rows share nothing, and the JPEG encoder works in integers.
//!
//! The subject is ray traced from a model (`scene`); the painting is made from what the model shows (`painting`),
//! wash over wash, each as strong as its tone asks; the photograph of it (`easel`) is a plane seen in perspective, and so
//! is that of the strips (`strips`). The starter's paints (`starter`) are layers after Kubelka and Munk (`layer`).

mod canvas;
mod easel;
mod jpeg;
mod layer;
mod mesh;
mod noise;
mod painting;
mod plane;
mod scene;
mod starter;
mod strips;
mod tone;
mod truths;
mod vector;

pub use truths::{
    EaselTruths, MistakeTruth, PairTruth, Spot, StepTruth, StripTruth, StripsTruths, SubjectTruths, Truths,
};

/// The subject as committed: JPEG, EXIF orientation 6, upright 1500 x 2000 pixels.
pub const SUBJECT_JPEG: &[u8] = include_bytes!("../low-water.jpg");
/// The painting on its easel as committed: JPEG without EXIF, 1500 x 2000 pixels.
pub const EASEL_JPEG: &[u8] = include_bytes!("../low-water-easel.jpg");
/// The starter's box of invented paints as committed: JSON, the app's own form for paints.
pub const STARTER_PAINTS: &[u8] = include_bytes!("../starter-paints.json");
/// Three strips of them as committed: JPEG without EXIF, 1600 x 1200 pixels.
pub const STRIPS_JPEG: &[u8] = include_bytes!("../strips.jpg");
/// What is known of the pictures, as committed; [`truths`] parses it.
pub const TRUTHS_JSON: &str = include_str!("../truths.json");

/// The command that rewrites the committed files.
pub const REWRITE: &str = "cargo run -p tonefast-demo";

/// Freshly drawn files.
pub struct Drawn {
    /// The bytes of `low-water.jpg`.
    pub subject: Vec<u8>,
    /// The bytes of `low-water-easel.jpg`.
    pub easel: Vec<u8>,
    /// The text of `starter-paints.json`.
    pub starter: String,
    /// The bytes of `strips.jpg`.
    pub strips: Vec<u8>,
    /// The text of `truths.json`.
    pub truths: String,
}

/// Why the files could not be drawn.
#[derive(Debug, thiserror::Error)]
pub enum DrawError {
    /// The JPEG encoder refused a picture.
    #[error("could not encode a picture: {0}")]
    Encode(#[from] jpeg_encoder::EncodingError),
    /// The truths or the paints could not be written as JSON.
    #[error("could not write the truths or the paints: {0}")]
    Json(#[from] serde_json::Error),
}

/// Width of the subject and of the flat painting, pixels.
const SUBJECT_WIDTH: usize = 1500;
const PAINTING_WIDTH: usize = 1000;
/// Of the JPEG encoder, 1–100.
const QUALITY: u8 = 90;
/// Grain of the harbour's photographs, as a share of the square root of light.
const GRAIN: f32 = 0.007;
/// Of the photograph of strips: nearer, and in better light.
const STRIPS_QUALITY: u8 = 88;
const STRIPS_GRAIN: f32 = 0.004;

/// Draws all pictures and takes their truths; some fifteen seconds on two cores.
///
/// # Errors
/// [`DrawError`], if the encoder or the JSON writer refuses; neither depends on any input.
pub fn draw() -> Result<Drawn, DrawError> {
    let scene = scene::Scene::new();
    let subject = scene.photograph(SUBJECT_WIDTH).with_grain(0x10e7_a7e5, GRAIN);
    let flat = painting::paint(&scene, PAINTING_WIDTH);
    let easel = easel::photograph(&flat).with_grain(0xea5e_17a7, GRAIN);
    let sheet = strips::Sheet::painted();
    let strips = sheet.photographed().with_grain(0x57a1_95ee, STRIPS_GRAIN);
    let truths = Truths::of(&subject, &easel, &sheet);
    Ok(Drawn {
        subject: jpeg::encode(&subject, jpeg::Stored::OnItsSide, QUALITY)?,
        easel: jpeg::encode(&easel, jpeg::Stored::Upright, QUALITY)?,
        starter: starter::written()?,
        strips: jpeg::encode(&strips, jpeg::Stored::Upright, STRIPS_QUALITY)?,
        truths: serde_json::to_string_pretty(&truths)? + "\n",
    })
}

/// The committed truths.
///
/// # Panics
/// Never, as long as the tests pass: they hold the committed text to what the generator writes.
pub fn truths() -> Truths {
    serde_json::from_str(TRUTHS_JSON).expect("the committed truths parse")
}
