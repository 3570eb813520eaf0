//! From decoded samples to an upright working copy: reduced in linear light, measured, turned.

use super::Orientation;
use super::stored::{Encoding, Samples};
use crate::area::{AreaAverage, Region};
use crate::lightness::{Y_CODES, code_from_y};
use rayon::prelude::*;

/// A working copy that still lies as its file stores it.
pub(super) struct Lying {
    pub(super) size: (u32, u32),
    pub(super) samples: Samples,
    /// Y of every pixel as a 16-bit code, where it was taken already: before samples were rounded anew.
    pub(super) codes: Option<Vec<u16>>,
    pub(super) clipping: Clipping,
}

/// A working copy that stands upright.
pub(super) struct Standing {
    pub(super) size: (u32, u32),
    pub(super) samples: Samples,
    /// Y of every pixel as a 16-bit code.
    pub(super) codes: Vec<u16>,
    pub(super) clipping: Clipping,
}

/// Which of the file's own pixels were clipped.
#[derive(Clone)]
pub(super) enum Clipping {
    /// The working copy has the file's own pixels: ask them.
    AskTheSamples,
    /// No pixel of the file is clipped.
    None,
    /// For each pixel of the working copy, the share of the file's pixels under it in fifteenths: clipped light in the
    /// upper four bits, clipped dark in the lower.
    Shares(Vec<u8>),
}

/// Rows that one thread takes in one go.
const ROWS_A_GO: usize = 32;

/// Side of the square blocks in which a picture is turned: 64 rows of 64 pixels fit the first cache.
const BLOCK: usize = 64;

impl Lying {
    /// Reduces samples so that no side is longer than `side`, by area and in linear light.
    pub(super) fn reduced(
        size: (u32, u32),
        samples: Samples,
        encoding: &Encoding,
        side: Option<u32>,
    ) -> Self {
        let working = side.map_or(size, |side| fit(size, side));
        if working == size {
            return Self { size, samples, codes: None, clipping: Clipping::AskTheSamples };
        }
        let (reduced, codes, shares) = match &samples {
            Samples::Rgb8(stored) => {
                let (out, codes, shares) = reduce(size, working, stored, encoding);
                (Samples::Rgb8(out), codes, shares)
            }
            Samples::Rgb16(stored) => {
                let (out, codes, shares) = reduce(size, working, stored, encoding);
                (Samples::Rgb16(out), codes, shares)
            }
        };
        let clipping =
            if shares.iter().all(|&share| share == 0) { Clipping::None } else { Clipping::Shares(shares) };
        Self { size: working, samples: reduced, codes: Some(codes), clipping }
    }

    /// The same copy, upright. Where its Y was not taken it is taken last, so that one plane less is turned.
    pub(super) fn turned(self, orientation: Orientation, encoding: &Encoding) -> Standing {
        let Self { size, samples, codes, clipping } = self;
        let upright = orientation.upright_size(size.0, size.1);
        let samples = match samples {
            samples if orientation == Orientation::UPRIGHT => samples,
            Samples::Rgb8(samples) => Samples::Rgb8(turn_rgb(&samples, size, orientation)),
            Samples::Rgb16(samples) => Samples::Rgb16(turn_rgb(&samples, size, orientation)),
        };
        let codes = match codes {
            None => codes_of(upright, &samples, encoding),
            Some(codes) if orientation == Orientation::UPRIGHT => codes,
            Some(codes) => turn(&codes, size, orientation),
        };
        let clipping = match clipping {
            Clipping::Shares(shares) if orientation != Orientation::UPRIGHT => {
                Clipping::Shares(turn(&shares, size, orientation))
            }
            other => other,
        };
        Standing { size: upright, samples, codes, clipping }
    }
}

impl Clipping {
    /// Shares of the file's pixels under the pixel `at` that are clipped: light, dark.
    pub(super) fn at(&self, at: usize, samples: &Samples) -> (f32, f32) {
        match self {
            Self::None => (0.0, 0.0),
            Self::Shares(shares) => (f32::from(shares[at] >> 4) / 15.0, f32::from(shares[at] & 15) / 15.0),
            Self::AskTheSamples => {
                let (light, dark) = match samples {
                    Samples::Rgb8(samples) => clipped(&samples[3 * at..3 * at + 3]),
                    Samples::Rgb16(samples) => clipped(&samples[3 * at..3 * at + 3]),
                };
                (f32::from(u8::from(light)), f32::from(u8::from(dark)))
            }
        }
    }
}

/// A sample of 8 or 16 bits.
trait Code: Copy + Default + Ord + Send + Sync {
    /// The largest.
    const FULL: Self;
    /// How many there are.
    const CODES: usize;
    /// As an index into the encoding's tables.
    fn index(self) -> usize;
    /// From such an index.
    fn from_index(index: u16) -> Self;
}

impl Code for u8 {
    const FULL: Self = Self::MAX;
    const CODES: usize = 256;
    fn index(self) -> usize {
        usize::from(self)
    }
    fn from_index(index: u16) -> Self {
        index as Self
    }
}

impl Code for u16 {
    const FULL: Self = Self::MAX;
    const CODES: usize = 65_536;
    fn index(self) -> usize {
        usize::from(self)
    }
    fn from_index(index: u16) -> Self {
        index
    }
}

/// Light: any channel at its end, since then its true value is not known. Dark: all of them.
fn clipped<T: Code>(rgb: &[T]) -> (bool, bool) {
    (rgb.contains(&T::FULL), rgb.iter().all(|&code| code == T::default()))
}

/// The size with the same proportions whose longer side is at most `side`.
fn fit(size: (u32, u32), side: u32) -> (u32, u32) {
    let longer = size.0.max(size.1);
    if longer <= side {
        return size;
    }
    let scaled = |length: u32| {
        let exact = f64::from(length) * f64::from(side) / f64::from(longer);
        (exact.round() as u32).max(1)
    };
    (scaled(size.0), scaled(size.1))
}

/// Y of every pixel as a 16-bit code.
pub(super) fn codes_of(size: (u32, u32), samples: &Samples, encoding: &Encoding) -> Vec<u16> {
    let mut codes = vec![0; size.0 as usize * size.1 as usize];
    match samples {
        Samples::Rgb8(samples) => codes_into(&mut codes, samples, encoding),
        Samples::Rgb16(samples) => codes_into(&mut codes, samples, encoding),
    }
    codes
}

fn codes_into<T: Code>(codes: &mut [u16], samples: &[T], encoding: &Encoding) {
    let tables = encoding.y_tables();
    let piece = codes.len().div_ceil(rayon::current_num_threads()).max(1);
    codes.par_chunks_mut(piece).zip(samples.par_chunks(3 * piece)).for_each(|(codes, samples)| {
        // A length known to the compiler saves a check at every sample.
        let [red, green, blue] = &tables;
        let (red, green, blue) = (&red[..T::CODES], &green[..T::CODES], &blue[..T::CODES]);
        for (code, [r, g, b]) in codes.iter_mut().zip(samples.as_chunks().0) {
            *code = code_from_y(red[r.index()] + green[g.index()] + blue[b.index()]);
        }
    });
}

/// Samples, codes of Y and clipped shares of the reduced picture.
fn reduce<T: Code>(
    size: (u32, u32),
    working: (u32, u32),
    stored: &[T],
    encoding: &Encoding,
) -> (Vec<T>, Vec<u16>, Vec<u8>) {
    let (width, columns) = (size.0 as usize, working.0 as usize);
    let pixels = columns * working.1 as usize;
    let (mut samples, mut codes, mut shares) =
        (vec![T::default(); 3 * pixels], vec![0; pixels], vec![0; pixels]);
    let plan = AreaAverage::new(size, Region::whole(size.0, size.1), working);
    let codes_from_linear = encoding.codes_from_linear();
    let y_row = encoding.y_row;
    samples
        .par_chunks_mut(3 * columns * ROWS_A_GO)
        .zip(codes.par_chunks_mut(columns * ROWS_A_GO))
        .zip(shares.par_chunks_mut(columns * ROWS_A_GO))
        .enumerate()
        .for_each(|(part, ((samples, codes), shares))| {
            let first = part * ROWS_A_GO;
            let [red, green, blue] = &codes_from_linear;
            let (red, green, blue) = (&red[..Y_CODES], &green[..Y_CODES], &blue[..Y_CODES]);
            plan.rows::<3>(
                first..first + codes.len() / columns,
                |row, reach, linear| {
                    let row = &stored[3 * (row * width + reach.start)..3 * (row * width + reach.end)];
                    encoding.linear(row, T::CODES, |code| code.index(), linear);
                },
                |row, averages| {
                    let at = (row - first) * columns;
                    let out = samples[3 * at..][..3 * columns].as_chunks_mut().0;
                    for ((out, code), &[r, g, b]) in
                        out.iter_mut().zip(&mut codes[at..]).zip(averages.as_chunks().0)
                    {
                        *code = code_from_y(y_row[0] * r + y_row[1] * g + y_row[2] * b);
                        let nearest =
                            |table: &[u16], linear| T::from_index(table[usize::from(code_from_y(linear))]);
                        *out = [nearest(red, r), nearest(green, g), nearest(blue, b)];
                    }
                },
            );
            count_clipped(first, size, working, stored, shares);
        });
    (samples, codes, shares)
}

/// Counts the clipped pixels of the file under each pixel of the working copy, from row `first` on.
fn count_clipped<T: Code>(
    first: usize,
    size: (u32, u32),
    working: (u32, u32),
    stored: &[T],
    shares: &mut [u8],
) {
    let (width, columns) = (size.0 as usize, working.0 as usize);
    let ratio = f64::from(size.1) / f64::from(working.1);
    let begin = |row: usize| ((row as f64 * ratio).round() as usize).min(size.1 as usize);
    let scale = f64::from(working.0) / f64::from(size.0);
    let mut counts = vec![(0u32, 0u32); columns];
    for (row, shares) in shares.chunks_exact_mut(columns).enumerate() {
        let (from, to) = (begin(first + row), begin(first + row + 1));
        let mut any = false;
        for stored_row in from..to {
            let samples = &stored[3 * stored_row * width..3 * (stored_row + 1) * width];
            for (piece, samples) in samples.chunks(3 * BLOCK).enumerate() {
                // Most of a picture is not clipped: a quick look at all samples of a stretch rules it out.
                if !samples.iter().fold(false, |any, &code| any | (code == T::FULL) | (code == T::default()))
                {
                    continue;
                }
                for (column, rgb) in (piece * BLOCK..).zip(samples.chunks_exact(3)) {
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

fn turn_rgb<T: Copy + Default + Send + Sync>(
    samples: &[T],
    size: (u32, u32),
    orientation: Orientation,
) -> Vec<T> {
    let mut out = vec![T::default(); samples.len()];
    turn_into(samples.as_chunks::<3>().0, out.as_chunks_mut::<3>().0, size, orientation);
    out
}

fn turn<T: Copy + Default + Send + Sync>(pixels: &[T], size: (u32, u32), orientation: Orientation) -> Vec<T> {
    let mut out = vec![T::default(); pixels.len()];
    turn_into(pixels, &mut out, size, orientation);
    out
}

fn turn_into<T: Copy + Send + Sync>(pixels: &[T], out: &mut [T], size: (u32, u32), orientation: Orientation) {
    let width = size.0 as usize;
    let across = orientation.upright_size(size.0, size.1).0 as usize;
    // Along an upright row, the stored place moves by a fixed step.
    let place = |x: usize, y: usize| {
        let (column, row) = orientation.stored_from_upright(x as u32, y as u32, size.0, size.1);
        (row as usize * width + column as usize) as isize
    };
    let step = if across > 1 { place(1, 0) - place(0, 0) } else { 0 };
    out.par_chunks_mut(across * BLOCK).enumerate().for_each(|(part, out)| {
        for left in (0..across).step_by(BLOCK) {
            let right = (left + BLOCK).min(across);
            for (row, out) in out.chunks_exact_mut(across).enumerate() {
                let from = place(left, part * BLOCK + row);
                turn_row(pixels, &mut out[left..right], from, step);
            }
        }
    });
}

/// Fetches `out` from every `step`th pixel, from the place `from` on.
fn turn_row<T: Copy>(pixels: &[T], out: &mut [T], from: isize, step: isize) {
    let (from, stride) = (from as usize, step.unsigned_abs().max(1));
    if step < 0 {
        let first = from - stride * (out.len() - 1);
        for (out, &pixel) in out.iter_mut().rev().zip(pixels[first..=from].iter().step_by(stride)) {
            *out = pixel;
        }
    } else {
        for (out, &pixel) in out.iter_mut().zip(pixels[from..].iter().step_by(stride)) {
            *out = pixel;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::encoding::Depth;
    use super::*;
    use crate::lightness_from_y;

    fn reduced(size: (u32, u32), side: u32, turn: u32, rgb: impl Fn(u32, u32) -> [u8; 3]) -> Standing {
        let encoding = Encoding::srgb_encoded(Depth::Eight);
        let samples = (0..size.0 * size.1).flat_map(|at| rgb(at % size.0, at / size.0)).collect();
        Lying::reduced(size, Samples::Rgb8(samples), &encoding, Some(side))
            .turned(Orientation::from_exif(turn), &encoding)
    }

    /// Half of the light of black and white is L* 76.07 (colour-science 0.4.7), at whole and at fractional ratios.
    #[test]
    fn fine_stripes_keep_their_light_and_both_ends_are_told_as_clipped() {
        for side in [200, 100, 50] {
            let standing = reduced((400, 40), side, 1, |x, _| [if x % 2 == 0 { 0 } else { 255 }; 3]);
            for (at, &code) in standing.codes.iter().enumerate() {
                let lightness = lightness_from_y(f64::from(code) / 65_535.0);
                assert!((lightness - 76.069).abs() < 0.01, "{side}: {lightness}");
                let (light, dark) = standing.clipping.at(at, &standing.samples);
                assert!((light - 0.5).abs() < 0.07 && (dark - 0.5).abs() < 0.07, "{side}: {light}, {dark}");
            }
        }
    }

    #[test]
    fn a_reduced_copy_is_the_same_whichever_way_it_lay() {
        let ramp = |x: u32, y: u32| [(x * 5) as u8, (y * 7) as u8, (x + y) as u8];
        let standing = reduced((50, 30), 25, 1, ramp);
        // Turned a quarter to the right, the pixel that lies at (x, y) stands at (49 - y, x).
        let lay = reduced((30, 50), 25, 6, |x, y| ramp(49 - y, x));
        assert_eq!(lay.size, standing.size);
        let away = lay.codes.iter().zip(&standing.codes).map(|(&a, &b)| a.abs_diff(b)).max();
        // The order of adding differs: one step of 65,535.
        assert!(away <= Some(1), "{away:?}");
    }

    #[test]
    fn a_small_copy_keeps_its_proportions() {
        assert_eq!(fit((8000, 6000), 4096), (4096, 3072));
        assert_eq!(fit((3000, 4000), 4096), (3000, 4000));
        assert_eq!(fit((60_000, 3), 4096), (4096, 1));
    }
}
