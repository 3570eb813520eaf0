//! Views: a photo as colour, lightness or bands. What is saved and printed, and the truth that the screen is held to.

use crate::area::Region;
use crate::lightness::{GREY_FROM_CODE, LIGHTNESS_FROM_CODE, code_from_y};
use crate::{Bands, Frame, Photo, SoftMap};
use rayon::prelude::*;

/// What is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum View {
    /// The picture's colours in sRGB.
    Colour,
    /// Every pixel as the neutral grey of its L*.
    Lightness,
    /// Every pixel as the flat grey of its band.
    Bands,
    /// The picture's colours, with a line wherever the band changes.
    Outlines,
}

/// All that a view is set to.
#[derive(Debug, Clone)]
pub struct ViewSettings<'a> {
    /// What is shown.
    pub view: View,
    /// The bands.
    pub bands: &'a Bands,
    /// The softened picture to show instead, if any: it must be the photo's own.
    pub soft: Option<&'a SoftMap>,
    /// What counts: the rest is dimmed.
    pub frame: Option<&'a Frame>,
    /// Width of outlines in pixels of the output.
    pub line: u32,
}

/// How a dimmed pixel is made: this much of its own light, the rest middle grey (L* 50), so that it recedes into the
/// surround and is never tinted.
const DIMMED: f64 = 0.2;

/// Luminance of L* 50.
const MIDDLE_Y: f64 = 0.184_187;

/// L* under which an outline is white, above which it is black.
const OUTLINE_TURNS: f32 = 50.0;

/// Output rows that one thread draws in one go.
const ROWS_A_GO: usize = 16;

/// Draws `region` of a photo as `columns` x `rows` RGBA pixels of 8 bits, sRGB, opaque, row-major.
#[must_use]
pub fn render(
    photo: &Photo,
    settings: &ViewSettings<'_>,
    region: Region,
    columns: u32,
    rows: u32,
) -> Vec<u8> {
    let picture = Sampled::new(photo, settings, region, columns, rows);
    let greys = settings.bands.greys();
    let table = settings.bands.table();
    let across = columns as usize;
    let dim = dimmed();
    let mut out = vec![255; 4 * across * rows as usize];
    out.par_chunks_mut(4 * across * ROWS_A_GO).enumerate().for_each(|(part, out)| {
        for (at, pixel) in out.as_chunks_mut::<4>().0.iter_mut().enumerate() {
            let at = part * ROWS_A_GO * across + at;
            let code = picture.codes[at];
            let band = table[usize::from(code)];
            let mut rgb = match settings.view {
                View::Colour => picture.rgb(at),
                View::Lightness => [GREY_FROM_CODE[usize::from(code)]; 3],
                View::Bands => [greys[usize::from(band) - 1]; 3],
                View::Outlines if picture.on_outline(at, band, &table, settings.line) => {
                    [if LIGHTNESS_FROM_CODE[usize::from(code)] < OUTLINE_TURNS { 255 } else { 0 }; 3]
                }
                View::Outlines => picture.rgb(at),
            };
            if !picture.counts(at, settings.frame) {
                rgb = rgb.map(|code| dim[usize::from(code)]);
            }
            pixel[..3].copy_from_slice(&rgb);
        }
    });
    out
}

/// The 8-bit code of each 8-bit code once dimmed.
#[must_use]
pub fn dimmed() -> [u8; 256] {
    std::array::from_fn(|code| {
        let own = crate::lightness::srgb_decode(code as f64 / 255.0);
        crate::lightness::grey_from_y(DIMMED * own + (1.0 - DIMMED) * MIDDLE_Y)
    })
}

/// The 8-bit sRGB colours of `region` in `columns` x `rows` cells, RGBA, opaque: what lies outside sRGB is clipped
/// here and only here.
#[must_use]
pub fn colours(photo: &Photo, region: Region, columns: u32, rows: u32) -> Vec<u8> {
    let linear = photo.averaged_colour(region, columns, rows);
    let mut out = vec![255; 4 * columns as usize * rows as usize];
    out.par_chunks_mut(1 << 14).zip(linear.par_chunks(3 << 12)).for_each(|(out, linear)| {
        for (out, rgb) in out.as_chunks_mut::<4>().0.iter_mut().zip(linear.as_chunks::<3>().0) {
            out[..3].copy_from_slice(&encode(*rgb));
        }
    });
    out
}

fn encode(linear: [f32; 3]) -> [u8; 3] {
    linear.map(|channel| GREY_FROM_CODE[usize::from(code_from_y(channel))])
}

/// The codes of Y and the colours under each pixel of the output.
struct Sampled {
    region: Region,
    size: (u32, u32),
    columns: usize,
    rows: usize,
    codes: Vec<u16>,
    /// RGBA; empty where the view shows no colour.
    colours: Vec<u8>,
}

impl Sampled {
    fn new(photo: &Photo, settings: &ViewSettings<'_>, region: Region, columns: u32, rows: u32) -> Self {
        let coloured = matches!(settings.view, View::Colour | View::Outlines);
        let (codes, colours) = match settings.soft {
            Some(soft) => softened(soft, photo.size(), region, columns, rows),
            None => (
                photo.tonal_map().averaged(region, columns, rows),
                if coloured { colours(photo, region, columns, rows) } else { Vec::new() },
            ),
        };
        Self { region, size: photo.size(), columns: columns as usize, rows: rows as usize, codes, colours }
    }

    fn rgb(&self, at: usize) -> [u8; 3] {
        let pixel = &self.colours[4 * at..4 * at + 3];
        [pixel[0], pixel[1], pixel[2]]
    }

    /// Whether the band changes within `line` pixels to the right or below.
    fn on_outline(&self, at: usize, band: u8, table: &[u8], line: u32) -> bool {
        let (column, row) = (at % self.columns, at / self.columns);
        let differs = |at: usize| table[usize::from(self.codes[at])] != band;
        (1..=line as usize).any(|step| {
            (column + step < self.columns && differs(at + step))
                || (row + step < self.rows && differs(at + step * self.columns))
        })
    }

    fn counts(&self, at: usize, frame: Option<&Frame>) -> bool {
        let Some(frame) = frame else { return true };
        let x = (at % self.columns) as f64 + 0.5;
        let y = (at / self.columns) as f64 + 0.5;
        frame.holds(
            (self.region.x + x * self.region.width / self.columns as f64) / f64::from(self.size.0),
            (self.region.y + y * self.region.height / self.rows as f64) / f64::from(self.size.1),
        )
    }
}

fn softened(
    soft: &SoftMap,
    size: (u32, u32),
    region: Region,
    columns: u32,
    rows: u32,
) -> (Vec<u16>, Vec<u8>) {
    let pixels = columns as usize * rows as usize;
    let (mut codes, mut colours) = (vec![0; pixels], vec![255; 4 * pixels]);
    let place = |at: usize, start: f64, length: f64, cells: u32, side: u32| {
        ((start + (at as f64 + 0.5) * length / f64::from(cells)) / f64::from(side)) as f32
    };
    codes
        .par_chunks_mut(columns as usize)
        .zip(colours.par_chunks_mut(4 * columns as usize))
        .enumerate()
        .for_each(|(row, (codes, colours))| {
            let y = place(row, region.y, region.height, rows, size.1);
            for (column, (code, colour)) in codes.iter_mut().zip(colours.as_chunks_mut::<4>().0).enumerate() {
                let [r, g, b, luminance] = soft.at(place(column, region.x, region.width, columns, size.0), y);
                *code = code_from_y(luminance);
                colour[..3].copy_from_slice(&encode([r, g, b]));
            }
        });
    (codes, colours)
}
