//! Reduces a picture by area and in linear light, and takes from the file's own pixels what is lost by it.

use super::code::{Code, clipped};
use super::relay::relay;
use crate::area::{AreaAverage, Region};
use crate::lightness::{Y_CODES, code_from_y};
use crate::photo::OpenError;
use crate::photo::stored::{Encoding, Rows};
use rayon::prelude::*;
use std::ops::Range;

/// How a picture is reduced.
pub(super) struct Reduction<'a> {
    size: (u32, u32),
    working: (u32, u32),
    encoding: &'a Encoding,
    plan: AreaAverage,
    codes_from_linear: [Vec<u16>; 3],
}

/// A reduced picture, row-major.
pub(super) struct Reduced<T> {
    pub(super) samples: Vec<T>,
    /// Y of every pixel as a 16-bit code.
    pub(super) codes: Vec<u16>,
    /// Shares of the file's pixels under every pixel that are clipped, as in [`super::Clipping::Shares`].
    pub(super) shares: Vec<u8>,
}

/// Some rows of it, which one thread fills.
struct Part<'a, T> {
    rows: Range<usize>,
    samples: &'a mut [T],
    codes: &'a mut [u16],
    shares: &'a mut [u8],
}

/// Rows that one thread fills in one go.
const ROWS_A_GO: usize = 32;

/// Pixels of a row among which clipped ones are looked for at once.
const STRETCH: usize = 64;

impl<'a> Reduction<'a> {
    /// From a picture of `size` to one of `working`, which is smaller.
    pub(super) fn new(size: (u32, u32), working: (u32, u32), encoding: &'a Encoding) -> Self {
        Self {
            size,
            working,
            encoding,
            plan: AreaAverage::new(size, Region::whole(size.0, size.1), working),
            codes_from_linear: encoding.codes_from_linear(),
        }
    }

    /// Of samples that are all there.
    pub(super) fn of<T: Code>(&self, stored: &[T]) -> Reduced<T> {
        let mut reduced = Reduced::new(self.working);
        reduced.parts(self.working).into_par_iter().for_each(|part| self.fill(part, 0, stored));
        reduced
    }

    /// Of rows as they come; what comes out is the same, to the bit.
    pub(super) fn of_rows(&self, rows: &mut dyn Rows) -> Result<Reduced<u8>, OpenError> {
        let mut reduced = Reduced::new(self.working);
        let parts = reduced.parts(self.working).into_iter();
        let parts = parts.map(|part| (self.plan.source_rows(part.rows.clone()), part)).collect();
        relay(rows, 3 * self.size.0 as usize, parts, |part, stored| {
            let begin = self.plan.source_rows(part.rows.clone()).start;
            self.fill(part, begin, stored);
        })?;
        Ok(reduced)
    }

    /// Fills a part; `stored` are the file's rows from `begin` on, as far as it needs them.
    fn fill<T: Code>(&self, part: Part<'_, T>, begin: usize, stored: &[T]) {
        let (width, columns) = (self.size.0 as usize, self.working.0 as usize);
        let Part { rows, samples, codes, shares } = part;
        let first = rows.start;
        let [red, green, blue] = &self.codes_from_linear;
        let (red, green, blue) = (&red[..Y_CODES], &green[..Y_CODES], &blue[..Y_CODES]);
        let y_row = self.encoding.y_row;
        let mut steps = vec![0; 3 * columns];
        self.plan.rows::<3>(
            rows,
            |row, reach, linear| {
                let at = 3 * (row - begin) * width;
                let row = &stored[at + 3 * reach.start..at + 3 * reach.end];
                self.encoding.linear(row, T::CODES, |code| code.index(), linear);
            },
            |row, averages| {
                let at = (row - first) * columns;
                // First those steps alone: so the compiler takes several at once.
                for (step, &linear) in steps.iter_mut().zip(averages) {
                    *step = code_from_y(linear);
                }
                let out = samples[3 * at..][..3 * columns].as_chunks_mut().0;
                for ((out, code), (steps, &[r, g, b])) in out
                    .iter_mut()
                    .zip(&mut codes[at..])
                    .zip(steps.as_chunks::<3>().0.iter().zip(averages.as_chunks().0))
                {
                    *code = code_from_y(y_row[0] * r + y_row[1] * g + y_row[2] * b);
                    let [r, g, b] = steps.map(usize::from);
                    *out = [red[r], green[g], blue[b]].map(T::from_index);
                }
            },
        );
        self.count_clipped(first, begin, stored, shares);
    }

    /// Counts the clipped pixels of the file under each pixel of the working copy, from row `first` on; `stored` begins
    /// at the file's row `begin`.
    fn count_clipped<T: Code>(&self, first: usize, begin: usize, stored: &[T], shares: &mut [u8]) {
        let (size, working) = (self.size, self.working);
        let (width, columns) = (size.0 as usize, working.0 as usize);
        let ratio = f64::from(size.1) / f64::from(working.1);
        let border = |row: usize| ((row as f64 * ratio).round() as usize).min(size.1 as usize);
        let scale = f64::from(working.0) / f64::from(size.0);
        let mut counts = vec![(0u32, 0u32); columns];
        for (row, shares) in shares.chunks_exact_mut(columns).enumerate() {
            let (from, to) = (border(first + row), border(first + row + 1));
            let mut any = false;
            for stored_row in from..to {
                let samples = &stored[3 * (stored_row - begin) * width..3 * (stored_row + 1 - begin) * width];
                for (piece, samples) in samples.chunks(3 * STRETCH).enumerate() {
                    // Most of a picture is not clipped: a quick look at all samples of a stretch rules it out.
                    if !samples
                        .iter()
                        .fold(false, |any, &code| any | (code == T::FULL) | (code == T::default()))
                    {
                        continue;
                    }
                    for (column, rgb) in (piece * STRETCH..).zip(samples.chunks_exact(3)) {
                        let (light, dark) = clipped(rgb);
                        if light || dark {
                            any = true;
                            let cell = ((column as f64 + 0.5) * scale) as usize;
                            counts[cell].0 += u32::from(light);
                            counts[cell].1 += u32::from(dark);
                        }
                    }
                }
            }
            if any {
                let under = (to - from) as f64 / scale;
                let fifteenths = |count: u32| (f64::from(count) * 15.0 / under).ceil().min(15.0) as u8;
                for (share, count) in shares.iter_mut().zip(&mut counts) {
                    *share = fifteenths(count.0) << 4 | fifteenths(count.1);
                    *count = (0, 0);
                }
            }
        }
    }
}

impl<T: Code> Reduced<T> {
    fn new(working: (u32, u32)) -> Self {
        let pixels = working.0 as usize * working.1 as usize;
        Self { samples: vec![T::default(); 3 * pixels], codes: vec![0; pixels], shares: vec![0; pixels] }
    }

    fn parts(&mut self, working: (u32, u32)) -> Vec<Part<'_, T>> {
        let columns = working.0 as usize;
        let pixels = columns * ROWS_A_GO;
        let pieces = self
            .samples
            .chunks_mut(3 * pixels)
            .zip(self.codes.chunks_mut(pixels))
            .zip(self.shares.chunks_mut(pixels));
        pieces
            .enumerate()
            .map(|(nth, ((samples, codes), shares))| {
                let first = nth * ROWS_A_GO;
                Part { rows: first..first + codes.len() / columns, samples, codes, shares }
            })
            .collect()
    }
}
