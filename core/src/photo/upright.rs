//! From decoded samples to an upright working copy: reduced in linear light, measured, turned.

mod code;
mod reduction;
mod relay;
mod turn;

use super::stored::{Encoding, Rows, Samples};
use super::{OpenError, Orientation};
use crate::lightness::code_from_y;
use code::{Code, clipped};
use rayon::prelude::*;
use reduction::{Reduced, Reduction};
use relay::relay;
use turn::{turn, turn_rgb};

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

/// Rows that one thread measures in one go.
const ROWS_A_GO: usize = 32;

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
        let reduction = Reduction::new(size, working, encoding);
        match &samples {
            Samples::Rgb8(stored) => Self::of(working, reduction.of(stored), Samples::Rgb8),
            Samples::Rgb16(stored) => Self::of(working, reduction.of(stored), Samples::Rgb16),
        }
    }

    /// As [`Self::reduced`], of rows as they come. With `y`, Y is taken on the way even if nothing is reduced: better so
    /// unless it has to be turned.
    pub(super) fn fetched(
        size: (u32, u32),
        rows: &mut dyn Rows,
        encoding: &Encoding,
        side: Option<u32>,
        y: bool,
    ) -> Result<Self, OpenError> {
        let working = side.map_or(size, |side| fit(size, side));
        if working != size {
            let reduced = Reduction::new(size, working, encoding).of_rows(rows)?;
            return Ok(Self::of(working, reduced, Samples::Rgb8));
        }
        let (samples, codes) = kept(size, rows, encoding, y)?;
        Ok(Self { size, samples: Samples::Rgb8(samples), codes, clipping: Clipping::AskTheSamples })
    }

    fn of<T>(size: (u32, u32), reduced: Reduced<T>, samples: impl Fn(Vec<T>) -> Samples) -> Self {
        let clipping = if reduced.shares.iter().all(|&share| share == 0) {
            Clipping::None
        } else {
            Clipping::Shares(reduced.shares)
        };
        Self { size, samples: samples(reduced.samples), codes: Some(reduced.codes), clipping }
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
    codes
        .par_chunks_mut(piece)
        .zip(samples.par_chunks(3 * piece))
        .for_each(|(codes, samples)| measure(codes, samples, &tables));
}

/// All rows, and with `y` a 16-bit code of Y for every pixel. Copying them here leaves it to other threads than the
/// decoder's to be the first in fresh memory, which takes as long as a third of the decoding.
fn kept(
    size: (u32, u32),
    rows: &mut dyn Rows,
    encoding: &Encoding,
    y: bool,
) -> Result<(Vec<u8>, Option<Vec<u16>>), OpenError> {
    let across = size.0 as usize;
    let pixels = across * size.1 as usize;
    let (mut samples, mut codes) = (vec![0; 3 * pixels], y.then(|| vec![0; pixels]));
    let tables = encoding.y_tables();
    let mut rest = codes.as_deref_mut().unwrap_or_default().chunks_mut(across * ROWS_A_GO);
    let parts = samples.chunks_mut(3 * across * ROWS_A_GO).enumerate().map(|(nth, samples)| {
        let first = nth * ROWS_A_GO;
        (first..first + samples.len() / (3 * across), (samples, rest.next()))
    });
    relay(rows, 3 * across, parts.collect(), |(samples, codes), stored| {
        samples.copy_from_slice(stored);
        if let Some(codes) = codes {
            measure(codes, stored, &tables);
        }
    })?;
    Ok((samples, codes))
}

fn measure<T: Code>(codes: &mut [u16], samples: &[T], tables: &[Vec<f32>; 3]) {
    // A length known to the compiler saves a check at every sample.
    let [red, green, blue] = tables;
    let (red, green, blue) = (&red[..T::CODES], &green[..T::CODES], &blue[..T::CODES]);
    for (code, [r, g, b]) in codes.iter_mut().zip(samples.as_chunks().0) {
        *code = code_from_y(red[r.index()] + green[g.index()] + blue[b.index()]);
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

    /// Rows out of memory.
    struct Told<'a>(&'a [u8]);

    impl Rows for Told<'_> {
        fn next(&mut self, rows: &mut [u8]) -> Result<(), OpenError> {
            let (these, rest) = self.0.split_at(rows.len());
            rows.copy_from_slice(these);
            self.0 = rest;
            Ok(())
        }

        fn noticed(&self) -> Option<super::super::Noticed> {
            None
        }

        fn decoded(&self) -> Option<u32> {
            None
        }
    }

    #[test]
    fn rows_that_come_one_by_one_give_the_same_to_the_bit_for_any_number_of_threads() {
        let encoding = &Encoding::srgb_encoded(Depth::Eight);
        let size = (310, 233);
        let samples: Vec<u8> = (0..3 * size.0 * size.1).map(|at| (at * 7919 % 256) as u8).collect();
        for (side, turn) in [(310, 1), (310, 6), (309, 1), (200, 3), (155, 1), (7, 1)] {
            let orientation = Orientation::from_exif(turn);
            let held = Lying::reduced(size, Samples::Rgb8(samples.clone()), encoding, Some(side))
                .turned(orientation, encoding);
            for threads in [1, 2, 5] {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
                let is_upright = orientation == Orientation::UPRIGHT;
                let fetch =
                    || Lying::fetched(size, &mut Told(&samples), encoding, Some(side), is_upright).unwrap();
                let came = pool.install(fetch).turned(orientation, encoding);
                assert_eq!((came.size, &came.codes), (held.size, &held.codes), "{side}, {threads}");
                let (Samples::Rgb8(ours), Samples::Rgb8(theirs)) = (&came.samples, &held.samples) else {
                    panic!("16 bits")
                };
                assert_eq!(ours, theirs);
                for at in 0..came.codes.len() {
                    assert_eq!(came.clipping.at(at, &came.samples), held.clipping.at(at, &held.samples));
                }
            }
        }
    }

    #[test]
    fn a_small_copy_keeps_its_proportions() {
        assert_eq!(fit((8000, 6000), 4096), (4096, 3072));
        assert_eq!(fit((3000, 4000), 4096), (3000, 4000));
        assert_eq!(fit((60_000, 3), 4096), (4096, 1));
    }
}
