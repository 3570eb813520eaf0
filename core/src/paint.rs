//! Paints: what colours washes have, and what becomes of them together.
//!
//! A wash is known by its measured colour alone, as it lies on its paper: what it is made of is not. A reflectance is
//! guessed from it (`spectrum.rs`), and washes are mixed as Kubelka and Munk have it (`mixing.rs`), which is held
//! against measured mixtures in `tests/references`.

mod mixing;
mod optics;
mod spectrum;
mod tables;

pub use mixing::{Mixture, Together, glazed, mixed, passage};
pub use spectrum::{Wash, WashColour};
