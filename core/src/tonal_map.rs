//! The tonal map: how light every pixel of a picture is, and nothing else.

use crate::area::{AreaAverage, Region};
use crate::lightness::{Y_CODES, code_from_y};
use crate::photo::Missing;
use crate::{Bands, Frame};
use rayon::prelude::*;

/// Linear luminance Y of every pixel, as a 16-bit code (65,535 is the white), row-major, upright.
///
/// One table of 65,536 entries gives L* ([`crate::LIGHTNESS_FROM_CODE`]), another the band ([`Bands::table`]).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TonalMap {
    width: u32,
    height: u32,
    codes: Vec<u16>,
    /// What the file does not have, so that it does not count.
    missing: Option<Missing>,
}

/// How many pixels have each code of Y.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Histogram {
    counts: Vec<u32>,
}

/// Output rows that one thread averages in one go: few enough to share the work, enough to seldom fetch a row twice.
const ROWS_A_GO: usize = 16;

impl TonalMap {
    /// From `width * height` codes.
    pub(crate) fn new(width: u32, height: u32, codes: Vec<u16>) -> Self {
        assert_eq!(codes.len(), width as usize * height as usize, "one code a pixel");
        Self { width, height, codes, missing: None }
    }

    /// The same, of which a part is missing.
    pub(crate) fn without(self, missing: Option<Missing>) -> Self {
        Self { missing, ..self }
    }

    pub(crate) fn missing(&self) -> Option<Missing> {
        self.missing
    }

    /// Columns.
    #[must_use]
    pub fn width(&self) -> u32 {
        self.width
    }

    /// Rows.
    #[must_use]
    pub fn height(&self) -> u32 {
        self.height
    }

    /// Every code, row-major.
    #[must_use]
    pub fn codes(&self) -> &[u16] {
        &self.codes
    }

    /// One row's codes.
    #[must_use]
    pub fn row(&self, row: u32) -> &[u16] {
        let at = row as usize * self.width as usize;
        &self.codes[at..at + self.width as usize]
    }

    /// Mean Y of all pixels.
    #[must_use]
    pub fn mean_y(&self) -> f64 {
        let sum: u64 = self.codes.iter().map(|&code| u64::from(code)).sum();
        sum as f64 / self.codes.len() as f64 / (Y_CODES - 1) as f64
    }

    /// Mean Y of `region` in `columns` x `rows` cells, as codes: averaged by area where a cell is larger than a pixel,
    /// the pixel under its centre where it is smaller.
    #[must_use]
    pub fn averaged(&self, region: Region, columns: u32, rows: u32) -> Vec<u16> {
        let mut codes = vec![0; columns as usize * rows as usize];
        self.average_into(region, columns, rows, &mut codes, code_from_y);
        codes
    }

    /// As [`Self::averaged`], as Y itself.
    pub(crate) fn averaged_y(&self, region: Region, columns: u32, rows: u32) -> Vec<f32> {
        let mut ys = vec![0.0; columns as usize * rows as usize];
        self.average_into(region, columns, rows, &mut ys, |y| y);
        ys
    }

    /// The band of every pixel, 1 = lightest.
    #[must_use]
    pub fn banded(&self, bands: &Bands) -> Vec<u8> {
        let table = bands.table();
        let mut out = vec![0; self.codes.len()];
        let piece = self.codes.len().div_ceil(rayon::current_num_threads()).max(1);
        out.par_chunks_mut(piece).zip(self.codes.par_chunks(piece)).for_each(|(out, codes)| {
            for (band, &code) in out.iter_mut().zip(codes) {
                *band = table[usize::from(code)];
            }
        });
        out
    }

    /// Counts the pixels whose centres lie in `frame`, or all of them; what is missing does not count.
    #[must_use]
    pub fn histogram(&self, frame: Option<&Frame>) -> Histogram {
        let rows = (self.height as usize).div_ceil(rayon::current_num_threads()).max(1);
        let width = self.width as usize;
        let parts: Vec<Vec<u32>> = self
            .codes
            .par_chunks(rows * width)
            .enumerate()
            .map(|(part, codes)| {
                let mut counts = vec![0u32; Y_CODES];
                for (row, codes) in codes.chunks_exact(width).enumerate() {
                    let row = (part * rows + row) as u32;
                    let span = frame.map_or(0..width, |frame| frame.span(row, self.width, self.height));
                    let cut = self.missing.map_or(0..0, |missing| missing.columns(row));
                    let (cut, end) = (cut.start as usize..cut.end as usize, span.end.max(span.start));
                    let before =
                        span.start..if cut.is_empty() { end } else { cut.start.clamp(span.start, end) };
                    let after = if cut.is_empty() { end..end } else { cut.end.clamp(before.end, end)..end };
                    for &code in codes[before].iter().chain(&codes[after]) {
                        counts[usize::from(code)] += 1;
                    }
                }
                counts
            })
            .collect();
        let mut counts = vec![0; Y_CODES];
        for part in parts {
            for (count, more) in counts.iter_mut().zip(part) {
                *count += more;
            }
        }
        Histogram { counts }
    }

    fn average_into<T: Send>(
        &self,
        region: Region,
        columns: u32,
        rows: u32,
        out: &mut [T],
        from_y: impl Fn(f32) -> T + Sync,
    ) {
        let plan = AreaAverage::new((self.width, self.height), region, (columns, rows));
        let (width, across) = (self.width as usize, columns as usize);
        out.par_chunks_mut(across * ROWS_A_GO).enumerate().for_each(|(part, out)| {
            let first = part * ROWS_A_GO;
            plan.rows::<1>(
                first..first + out.len() / across,
                |row, columns, linear| {
                    let codes = &self.codes[row * width + columns.start..row * width + columns.end];
                    for (y, &code) in linear.iter_mut().zip(codes) {
                        *y = f32::from(code) * (1.0 / (Y_CODES - 1) as f32);
                    }
                },
                |row, ys| {
                    for (out, &y) in out[(row - first) * across..].iter_mut().zip(ys) {
                        *out = from_y(y);
                    }
                },
            );
        });
    }
}

impl Histogram {
    /// From a count for each of the 65,536 codes.
    ///
    /// # Panics
    /// If there are not 65,536.
    #[must_use]
    pub fn new(counts: Vec<u32>) -> Self {
        assert_eq!(counts.len(), Y_CODES, "a count for every code");
        Self { counts }
    }

    /// Pixels of each code.
    #[must_use]
    pub fn counts(&self) -> &[u32] {
        &self.counts
    }

    /// Pixels in all.
    #[must_use]
    pub fn total(&self) -> u64 {
        self.counts.iter().map(|&count| u64::from(count)).sum()
    }

    /// The share of each band, lightest first; they sum to 1, or are all 0 where nothing was counted.
    #[must_use]
    pub fn shares(&self, bands: &Bands) -> Vec<f64> {
        let mut pixels = vec![0u64; bands.count()];
        for (&count, band) in self.counts.iter().zip(bands.table()) {
            pixels[usize::from(band) - 1] += u64::from(count);
        }
        let total = self.total().max(1) as f64;
        pixels.into_iter().map(|pixels| pixels as f64 / total).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lightness_from_y;

    /// Stripes of black and white hold half the light: Y .5, L* 76.07 (colour-science 0.4.7), never the 54 of a mean
    /// of encoded values.
    /// By hand: ten columns and ten rows, of which the last four rows are missing.
    #[test]
    fn what_is_missing_does_not_count() {
        let codes = (0..100).map(|at| if at < 60 { 65_535 } else { 14_000 }).collect();
        let map = TonalMap::new(10, 10, codes);
        assert_eq!(map.histogram(None).counts()[14_000], 40);
        let missing = Missing { x: 0, y: 6, width: 10, height: 4 };
        let counted = map.clone().without(Some(missing)).histogram(None);
        assert_eq!((counted.total(), counted.counts()[65_535]), (60, 60));
        let beside = map.without(Some(Missing { x: 7, y: 0, width: 3, height: 10 })).histogram(None);
        assert_eq!((beside.total(), beside.counts()[65_535]), (70, 42));
    }

    #[test]
    fn stripes_read_as_half_the_light_after_any_reduction() {
        let codes: Vec<u16> = (0..512 * 512).map(|at| if at % 512 % 2 == 0 { 0 } else { 65_535 }).collect();
        let map = TonalMap::new(512, 512, codes);
        for cells in [(256, 256), (128, 64), (2, 2), (1, 1)] {
            for code in map.averaged(Region::whole(512, 512), cells.0, cells.1) {
                let lightness = lightness_from_y(f64::from(code) / 65_535.0);
                assert!((lightness - 76.069).abs() < 0.01, "{cells:?}: {lightness}");
            }
        }
    }

    #[test]
    fn shares_count_what_lies_in_the_frame() {
        let codes: Vec<u16> = (0..100).map(|at| if at % 10 < 3 { 65_535 } else { 0 }).collect();
        let map = TonalMap::new(10, 10, codes);
        let bands = Bands::even(2).unwrap();
        assert_eq!(map.histogram(None).shares(&bands), [0.3, 0.7]);
        let left = Frame::new([[0.0, 0.0], [0.5, 0.0], [0.5, 1.0], [0.0, 1.0]]).unwrap();
        assert_eq!(map.histogram(Some(&left)).shares(&bands), [0.6, 0.4]);
    }

    #[test]
    fn bands_of_a_map_follow_the_table() {
        let map = TonalMap::new(3, 1, vec![0, 12_000, 65_535]);
        assert_eq!(map.banded(&Bands::even(5).unwrap()), [5, 3, 1]);
    }
}
