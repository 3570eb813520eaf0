//! Leaves: what a snapshot holds, drawn to be looked at without this program, on a phone or on paper.
//!
//! The picture is core's own view, pixel for pixel; all about it is laid out as SVG, which becomes pixels by resvg and
//! pages by krilla, so that there is one drawing of the tone ladder and one of the pins. Chrome is achromatic, and the
//! picture stands on middle grey.
//!
//! Out of scope: clocks and places (words come from the caller), and files.

mod bars;
mod card;
mod handout;
mod ladder;
mod png;
mod sheet;
mod sketch;
mod typefaces;
mod words;

pub use bars::paint_bars;
pub use card::tone_card;
pub use handout::{Handout, HandoutLayout, Paper};
pub use sheet::{Sheet, SheetForm};
pub use words::Captions;

use crate::area::Region;
use crate::studio::{Seen, StudioError};
use crate::{Bands, Frame, MIN_BANDS, Missing, Photo, SoftMap, View, ViewSettings, render};
use resvg::tiny_skia::{Pixmap, Transform};
use sketch::{Area, Sketch};
use words::{Words, placed};

/// The longer side of the picture, in pixels: 26 cm at the 200 to an inch that a print wants.
const LONGEST: u32 = 2048;

/// A leaf is at least this wide, so that its words are legible beside the smallest picture.
const NARROWEST: f64 = 1200.0;

/// The size of words, as a part of the leaf's width: 9 px on a phone's screen 390 px wide, 2.5 mm on a page 105 mm wide.
const WORDS: f64 = 0.024;

/// Middle grey about the picture, as a part of the leaf's width.
const MAT: f64 = 0.016;

/// The ladder is at least so many sizes of words high: twelve bands can then be told apart.
const LOWEST_LADDER: f64 = 22.0;

/// Draws a snapshot as a PNG: the view as it was seen with its pins, the tone ladder, and in words what was read and on
/// what that stood. `photo` is as it comes from its file.
///
/// # Errors
/// [`StudioError::Odd`] where the photo is not the one that was kept.
pub fn annotated(photo: &Photo, seen: &Seen, captions: &Captions) -> Result<Vec<u8>, StudioError> {
    let photo = seen.restored(photo)?;
    let bands = seen.division()?;
    let picture = Picture::of(&photo, seen, seen.view.into(), &bands, LONGEST)?;
    let words = Words::of(seen, captions, photo.noticed());
    let drawn = leaf(&picture, seen, &bands, &words)?;
    png::encoded(&drawn, captions, &words)
}

/// A view as pixels.
struct Picture {
    columns: u32,
    rows: u32,
    rgba: Vec<u8>,
    /// Its pixels to one of the working copy.
    scale: f64,
}

impl Picture {
    /// A view of a photo that was restored, its longer side of at most so many pixels, and never enlarged.
    fn of(photo: &Photo, seen: &Seen, view: View, bands: &Bands, longest: u32) -> Result<Self, StudioError> {
        let (width, height) = photo.size();
        let scale = (f64::from(longest) / f64::from(width.max(height))).min(1.0);
        let side = |side: u32| ((f64::from(side) * scale).round() as u32).max(1);
        let (columns, rows) = (side(width), side(height));
        let soft = seen.squint.map(|squint| SoftMap::of(photo, squint.into()));
        let frame: Option<Frame> = seen.counted()?;
        let line = (columns.max(rows) / 700).max(1);
        let settings = ViewSettings { view, bands, soft: soft.as_ref(), frame: frame.as_ref(), line };
        let mut rgba = render(photo, &settings, Region::whole(width, height), columns, rows);
        if let Some(missing) = photo.missing() {
            hatch(&mut rgba, (columns, rows), missing, (width, height));
        }
        Ok(Self { columns, rows, rgba, scale })
    }
}

impl Picture {
    /// A picture as it is, its longer side of at most so many pixels, and never enlarged.
    fn plain(photo: &Photo, longest: u32) -> Result<Self, StudioError> {
        let bands = Bands::even(MIN_BANDS).map_err(|error| StudioError::Odd(error.to_string()))?;
        let (width, height) = photo.size();
        let scale = (f64::from(longest) / f64::from(width.max(height))).min(1.0);
        let [columns, rows] = [width, height].map(|it| ((f64::from(it) * scale).round() as u32).max(1));
        let settings = ViewSettings { view: View::Colour, bands: &bands, soft: None, frame: None, line: 1 };
        let rgba = render(photo, &settings, Region::whole(width, height), columns, rows);
        Ok(Self { columns, rows, rgba, scale })
    }
}

/// Lays a leaf out and draws it.
fn leaf(picture: &Picture, seen: &Seen, bands: &Bands, words: &Words) -> Result<Pixmap, StudioError> {
    let (columns, rows) = (f64::from(picture.columns), f64::from(picture.rows));
    // The ladder's room and the mats are parts of the whole, which they are part of.
    let width = (columns / (1.0 - 2.0 * MAT - ladder::WIDTH * WORDS)).max(NARROWEST).ceil();
    let (size, mat) = (width * WORDS, (width * MAT).ceil());
    let ladder_width = ladder::WIDTH * size;
    let high = (rows + 2.0 * mat).max(LOWEST_LADDER * size);
    let matted = Area { x: 0.0, y: 0.0, width: width - ladder_width, height: high };
    // On whole pixels, so that it is not resampled.
    let left = ((matted.width - columns) / 2.0).floor();
    let top = ((high - rows) / 2.0).floor();
    let mut sketch = Sketch::new();
    let hole = Area { x: left, y: top, width: columns, height: rows };
    sketch.mat(&matted, &hole);
    for pin in placed(seen) {
        sketch.pin(pin, (left, top), picture.scale, size, &matted);
    }
    let standing = Area {
        x: matted.width + 0.9 * size,
        y: mat,
        width: ladder_width - 0.9 * size,
        height: high - 2.0 * mat,
    };
    ladder::draw(&mut sketch, &standing, size, bands, seen, words.turned);
    let inner = Area { x: size, y: high + 0.6 * size, width: width - 2.0 * size, height: f64::INFINITY };
    let bottom = words.draw(&mut sketch, &inner, size);
    let height = (bottom + 0.8 * size).ceil();
    let mut pixels = Pixmap::new(width as u32, height as u32)
        .ok_or_else(|| StudioError::Odd("it is too large to be drawn".to_owned()))?;
    pixels.fill(resvg::tiny_skia::Color::WHITE);
    paste(&mut pixels, picture, left as usize, top as usize);
    resvg::render(&sketch.tree(width, height)?, Transform::identity(), &mut pixels.as_mut());
    Ok(pixels)
}

/// Stripes of a hatching, in parts of the picture's longer side.
const STRIPE: f64 = 0.012;

/// Light and dark stripes over what the file does not have: no picture looks so, and nobody takes them for a tone.
fn hatch(rgba: &mut [u8], (columns, rows): (u32, u32), missing: Missing, size: (u32, u32)) {
    let stripe = ((f64::from(columns.max(rows)) * STRIPE) as usize).max(2);
    let fraction = |at: usize, side: u32| (at as f64 + 0.5) / f64::from(side);
    for (at, pixel) in rgba.as_chunks_mut::<4>().0.iter_mut().enumerate() {
        let (column, row) = (at % columns as usize, at / columns as usize);
        if missing.holds((fraction(column, columns), fraction(row, rows)), size) {
            let grey = if ((column + row) / stripe).is_multiple_of(2) { 0xd0 } else { 0x60 };
            pixel[..3].fill(grey);
        }
    }
}

/// Copies a picture into pixels, as it is.
fn paste(pixels: &mut Pixmap, picture: &Picture, left: usize, top: usize) {
    let (stride, run) = (4 * pixels.width() as usize, 4 * picture.columns as usize);
    for (row, from) in picture.rgba.chunks_exact(run).enumerate() {
        let at = (top + row) * stride + 4 * left;
        pixels.data_mut()[at..at + run].copy_from_slice(from);
    }
}

#[cfg(test)]
mod tests;
