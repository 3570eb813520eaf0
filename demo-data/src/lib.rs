//! Invented pictures for the demo, and the seeded generator that draws them.
//!
//! A small tidal harbour that is nowhere, at low water, under a low sun from the left:
//!
//! - `low-water.jpg`, the subject: upright 3:4, stored on its side with EXIF orientation 6 and no other tag;
//! - `low-water-easel.jpg`: a watercolour of it, taped to a board on an easel, a grey card (18 %) clipped above.
//!   Its hues are free, its tones are the subject's but for three mistakes made on purpose;
//! - `truths.json`: what is known of both because they were drawn: tones of named spots, shares of bands, corners.
//!
//! `cargo run -p tonefast-demo` rewrites all three; a test holds the committed files to what the generator draws.
//! Every byte is the same on every machine: chance is SplitMix64 and a hash, transcendental functions are libm's,
//! the rest is IEEE 754 arithmetic without fusing, rows share nothing, and the JPEG encoder works in integers.
//!
//! The subject is ray traced from a model (`scene`); the painting is made from what the model shows (`painting`),
//! wash over wash, each as strong as its tone asks; the photograph of it (`easel`) is a plane seen in perspective.

mod canvas;
mod easel;
mod jpeg;
mod mesh;
mod noise;
mod painting;
mod plane;
mod scene;
mod tone;
mod truths;
mod vector;

pub use truths::{EaselTruths, MistakeTruth, PairTruth, Spot, SubjectTruths, Truths};

/// The subject as committed: JPEG, EXIF orientation 6, upright 1500 x 2000 pixels.
pub const SUBJECT_JPEG: &[u8] = include_bytes!("../low-water.jpg");
/// The painting on its easel as committed: JPEG without EXIF, 1500 x 2000 pixels.
pub const EASEL_JPEG: &[u8] = include_bytes!("../low-water-easel.jpg");
/// What is known of both, as committed; [`truths`] parses it.
pub const TRUTHS_JSON: &str = include_str!("../truths.json");

/// The command that rewrites the committed files.
pub const REWRITE: &str = "cargo run -p tonefast-demo";

/// Freshly drawn files.
pub struct Drawn {
    /// The bytes of `low-water.jpg`.
    pub subject: Vec<u8>,
    /// The bytes of `low-water-easel.jpg`.
    pub easel: Vec<u8>,
    /// The text of `truths.json`.
    pub truths: String,
}

/// Why the files could not be drawn.
#[derive(Debug, thiserror::Error)]
pub enum DrawError {
    /// The JPEG encoder refused a picture.
    #[error("could not encode a picture: {0}")]
    Encode(#[from] jpeg_encoder::EncodingError),
    /// The truths could not be written as JSON.
    #[error("could not write the truths: {0}")]
    Truths(#[from] serde_json::Error),
}

/// Width of the subject and of the flat painting, pixels.
const SUBJECT_WIDTH: usize = 1500;
const PAINTING_WIDTH: usize = 1000;
/// Of the JPEG encoder, 1–100.
const QUALITY: u8 = 90;
/// Grain of the two photographs, as a share of the square root of light.
const GRAIN: f32 = 0.007;

/// Draws both pictures and takes their truths; some ten seconds on two cores.
///
/// # Errors
/// [`DrawError`], if the encoder or the JSON writer refuses; neither depends on any input.
pub fn draw() -> Result<Drawn, DrawError> {
    let scene = scene::Scene::new();
    let subject = scene.photograph(SUBJECT_WIDTH).with_grain(0x10e7_a7e5, GRAIN);
    let flat = painting::paint(&scene, PAINTING_WIDTH);
    let easel = easel::photograph(&flat).with_grain(0xea5e_17a7, GRAIN);
    let truths = Truths::of(&subject, &easel);
    Ok(Drawn {
        subject: jpeg::encode(&subject, jpeg::Stored::OnItsSide, QUALITY)?,
        easel: jpeg::encode(&easel, jpeg::Stored::Upright, QUALITY)?,
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
