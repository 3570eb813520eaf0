//! Drives the real app in its real window, as a person would: by taps, keys and looking.
//!
//! An [`App`] has a display, a driver, a window and a home of its own, so that any number can run side by side,
//! and takes all of them down with it.
//! What a test asks of a screen goes through the page's stable hooks (`data-part`, `data-view`, `data-pin`,
//! `data-reading`), never through its looks.

mod app;
mod camera;
mod check;
mod display;
mod driver;
mod error;
mod places;
mod sessions;

pub use app::{App, Size};
pub use camera::Counts;
pub use check::{Agreement, Pin, Reading, View};
pub use error::Error;
pub use places::{demo, pictures};
