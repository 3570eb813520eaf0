//! Exact area averages: each output cell is the mean of the source pixels under it, by the area that it covers.
//!
//! Common "box" filters weigh pixels by whether their centres fall inside and so are off by whole pixels at fractional
//! ratios; a tonal map reduced that way puts 1-2 % of its pixels into another band. Hence this one of our own.

use std::ops::Range;

/// A rectangle of a picture, in pixels from its upper left corner; pixel (0, 0) covers 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Region {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width, above 0.
    pub width: f64,
    /// Height, above 0.
    pub height: f64,
}

impl Region {
    /// A whole picture of this size.
    #[must_use]
    pub fn whole(width: u32, height: u32) -> Self {
        Self { x: 0.0, y: 0.0, width: f64::from(width), height: f64::from(height) }
    }
}

/// The plan of an average: which source columns and rows make which output cell, and by what weight.
///
/// Where a cell is smaller than a pixel it takes the pixel under its centre: magnified pixels stay what they are.
pub(crate) struct AreaAverage {
    columns: Taps,
    rows: Spans,
}

/// Floats that are handled at a time, of which a pixel's channels are the first ones: a vector of every processor.
const LANES: usize = 4;

impl AreaAverage {
    /// From `region` of a picture of `size` (width, height) to `cells` (columns, rows). What of the region lies outside
    /// the picture repeats its edge.
    pub(crate) fn new(size: (u32, u32), region: Region, cells: (u32, u32)) -> Self {
        Self {
            columns: Taps::new(&Spans::new(size.0, region.x, region.width, cells.0)),
            rows: Spans::new(size.1, region.y, region.height, cells.1),
        }
    }

    /// The source rows under the output rows `rows`, of which there is at least one.
    pub(crate) fn source_rows(&self, rows: Range<usize>) -> Range<usize> {
        let (last, weights) = self.rows.of(rows.end - 1);
        self.rows.of(rows.start).0..last + weights.len()
    }

    /// Averages the output rows `rows`, one after the other, for pixels of `C` channels, at most 4.
    ///
    /// `fetch(row, columns, linear)` writes the linear light of a source row's `columns` into `linear`, interleaved;
    /// `emit(row, averages)` takes each output row. Every source row is fetched once.
    pub(crate) fn rows<const C: usize>(
        &self,
        rows: Range<usize>,
        mut fetch: impl FnMut(usize, Range<usize>, &mut [f32]),
        mut emit: impl FnMut(usize, &[f32]),
    ) {
        let reach = &self.columns.reach;
        let samples = C * reach.len();
        // Down first: whole rows add up quickly, and what goes across is then one row for each that comes out.
        let mut linear = vec![0.0; samples + LANES];
        let mut sum = vec![0.0; samples + LANES];
        let mut averages = vec![0.0; C * self.columns.firsts.len()];
        let mut held = None;
        for row in rows {
            let (first, weights) = self.rows.of(row);
            if let [_] = weights {
                if held != Some(first) {
                    fetch(first, reach.clone(), &mut linear[..samples]);
                    held = Some(first);
                }
                self.columns.average::<C>(&linear, &mut averages);
            } else {
                for (nth, &weight) in weights.iter().enumerate() {
                    let source = first + nth;
                    if held != Some(source) {
                        fetch(source, reach.clone(), &mut linear[..samples]);
                        held = Some(source);
                    }
                    let pairs = sum.iter_mut().zip(&linear);
                    if nth == 0 {
                        pairs.for_each(|(sum, value)| *sum = weight * value);
                    } else {
                        pairs.for_each(|(sum, value)| *sum += weight * value);
                    }
                }
                self.columns.average::<C>(&sum, &mut averages);
            }
            emit(row, &averages);
        }
    }
}

/// Spans of columns as a loop likes them: the same count of weights for every cell, some of them 0.
struct Taps {
    /// The source pixels that any cell needs.
    reach: Range<usize>,
    /// Where each cell's pixels begin, counted from the reach's start.
    firsts: Vec<usize>,
    /// Weights a cell.
    count: usize,
    weights: Vec<f32>,
}

impl Taps {
    fn new(spans: &Spans) -> Self {
        let cells = spans.firsts.len();
        let last = cells - 1;
        let reach = spans.firsts[0]..spans.firsts[last] + spans.of(last).1.len();
        let count = (0..cells).map(|cell| spans.of(cell).1.len()).max().unwrap_or(1);
        let mut taps =
            Self { firsts: Vec::with_capacity(cells), count, weights: vec![0.0; cells * count], reach };
        for (cell, out) in taps.weights.chunks_exact_mut(count).enumerate() {
            let (first, weights) = spans.of(cell);
            // Near the end, the pixels of weight 0 come before.
            let begin = (first - taps.reach.start).min(taps.reach.len() - count);
            let before = first - taps.reach.start - begin;
            out[before..before + weights.len()].copy_from_slice(weights);
            taps.firsts.push(begin);
        }
        taps
    }

    /// `row` begins at the reach's start and has [`LANES`] floats more than the reach has samples.
    fn average<const C: usize>(&self, row: &[f32], averages: &mut [f32]) {
        match self.count {
            1 => self.average_by::<C, 1>(row, averages),
            2 => self.average_by::<C, 2>(row, averages),
            3 => self.average_by::<C, 3>(row, averages),
            _ => self.average_of_many::<C>(row, averages),
        }
    }

    /// As [`Self::average_of_many`], for the few weights of most pictures: `N` of them.
    fn average_by<const C: usize, const N: usize>(&self, row: &[f32], averages: &mut [f32]) {
        let cells = averages.as_chunks_mut::<C>().0.iter_mut().zip(&self.firsts);
        for ((out, &first), weights) in cells.zip(self.weights.as_chunks::<N>().0) {
            let pixels = &row[first * C..(first + N - 1) * C + LANES];
            let mut sum = [0.0; LANES];
            for (nth, &weight) in weights.iter().enumerate() {
                for lane in 0..LANES {
                    sum[lane] += weight * pixels[nth * C + lane];
                }
            }
            out.copy_from_slice(&sum[..C]);
        }
    }

    fn average_of_many<const C: usize>(&self, row: &[f32], averages: &mut [f32]) {
        let cells = averages.as_chunks_mut::<C>().0.iter_mut().zip(&self.firsts);
        for ((out, &first), weights) in cells.zip(self.weights.chunks_exact(self.count)) {
            let pixels = row[first * C..].windows(LANES).step_by(C);
            let mut sum = [0.0; LANES];
            for (pixel, &weight) in pixels.zip(weights) {
                for lane in 0..LANES {
                    sum[lane] += weight * pixel[lane];
                }
            }
            out.copy_from_slice(&sum[..C]);
        }
    }
}

/// For each output cell along one axis, the source pixels under it and their weights, which sum to 1.
struct Spans {
    firsts: Vec<usize>,
    /// Where each cell's weights begin in `weights`; one more at the end.
    begins: Vec<usize>,
    weights: Vec<f32>,
}

impl Spans {
    fn new(pixels: u32, start: f64, length: f64, cells: u32) -> Self {
        let mut spans = Self { firsts: Vec::new(), begins: vec![0], weights: Vec::new() };
        let step = length / f64::from(cells);
        for cell in 0..cells {
            let from = start + f64::from(cell) * step;
            if step <= 1.0 {
                spans.push_one(from + step / 2.0, pixels);
            } else {
                spans.push_area(from, from + step, pixels);
            }
        }
        spans
    }

    fn push_one(&mut self, centre: f64, pixels: u32) {
        self.firsts.push(centre.floor().clamp(0.0, f64::from(pixels - 1)) as usize);
        self.weights.push(1.0);
        self.begins.push(self.weights.len());
    }

    fn push_area(&mut self, from: f64, to: f64, pixels: u32) {
        let end = f64::from(pixels);
        let (from, to) = (from.clamp(0.0, end), to.clamp(0.0, end));
        if to - from < 1e-9 {
            return self.push_one(from, pixels);
        }
        let first = from.floor();
        self.firsts.push(first as usize);
        let mut left = first;
        while left < to {
            let share = (to.min(left + 1.0) - from.max(left)) / (to - from);
            self.weights.push(share as f32);
            left += 1.0;
        }
        self.begins.push(self.weights.len());
    }

    fn of(&self, cell: usize) -> (usize, &[f32]) {
        (self.firsts[cell], &self.weights[self.begins[cell]..self.begins[cell + 1]])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn averaged(source: &[f32], width: u32, region: Region, cells: (u32, u32)) -> Vec<f32> {
        let height = source.len() as u32 / width;
        let mut out = Vec::new();
        AreaAverage::new((width, height), region, cells).rows::<1>(
            0..cells.1 as usize,
            |row, columns, linear| {
                let at = row * width as usize;
                linear.copy_from_slice(&source[at + columns.start..at + columns.end]);
            },
            |_, row| out.extend_from_slice(row),
        );
        out
    }

    /// By hand: 3 x 1 pixels into 2 cells, each one and a half pixels wide.
    #[test]
    fn fractional_cells_share_the_pixel_between_them() {
        let out = averaged(&[0.0, 0.3, 0.9], 3, Region::whole(3, 1), (2, 1));
        assert!((out[0] - 0.1).abs() < 1e-6 && (out[1] - 0.7).abs() < 1e-6, "{out:?}");
    }

    /// By hand: 3 x 3 into one cell.
    #[test]
    fn one_cell_is_the_mean_of_all() {
        let source: Vec<f32> = (0..9).map(|value| value as f32).collect();
        let out = averaged(&source, 3, Region::whole(3, 3), (1, 1));
        assert!((out[0] - 4.0).abs() < 1e-5, "{out:?}");
    }

    /// The integral itself, in float64: every pixel weighs as much of it as the cell covers. The ratios take every way
    /// that weights are laid out, from one across to all of them.
    #[test]
    fn three_channels_agree_with_the_integral_at_any_ratio() {
        let (width, height) = (22, 15);
        let source: Vec<f32> = (0..3 * width * height).map(|at| (at * 7919 % 1009) as f32 / 1009.0).collect();
        let cover = |cell: f64, step: f64, pixel: u32| {
            let (from, pixel) = (cell * step, f64::from(pixel));
            ((from + step).min(pixel + 1.0) - from.max(pixel)).max(0.0) / step
        };
        for (columns, rows) in [(22, 15), (21, 14), (20, 9), (11, 5), (9, 15), (3, 2), (1, 1)] {
            let steps = (f64::from(width) / f64::from(columns), f64::from(height) / f64::from(rows));
            let plan = AreaAverage::new((width, height), Region::whole(width, height), (columns, rows));
            plan.rows::<3>(
                0..rows as usize,
                |row, reach, linear| {
                    let at = 3 * row * width as usize;
                    linear.copy_from_slice(&source[at + 3 * reach.start..at + 3 * reach.end]);
                },
                |row, averages| {
                    for (at, &average) in averages.iter().enumerate() {
                        let mut expected = 0.0;
                        for (pixel, rgb) in (0..).zip(source.as_chunks::<3>().0) {
                            expected += f64::from(rgb[at % 3])
                                * cover(row as f64, steps.1, pixel / width)
                                * cover((at / 3) as f64, steps.0, pixel % width);
                        }
                        assert!(
                            (f64::from(average) - expected).abs() < 1e-6,
                            "{columns} x {rows}: {average}"
                        );
                    }
                },
            );
        }
    }

    #[test]
    fn a_part_is_averaged_as_the_whole_is() {
        let source: Vec<f32> = (0..64).map(|value| (value * 37 % 64) as f32).collect();
        let whole = averaged(&source, 8, Region::whole(8, 8), (4, 4));
        let part = averaged(&source, 8, Region { x: 2.0, y: 4.0, width: 4.0, height: 4.0 }, (2, 2));
        assert_eq!(part, [whole[9], whole[10], whole[13], whole[14]]);
    }

    #[test]
    fn magnified_pixels_stay_what_they_are() {
        let out = averaged(&[0.25, 0.75], 2, Region::whole(2, 1), (8, 1));
        assert_eq!(out, [0.25, 0.25, 0.25, 0.25, 0.75, 0.75, 0.75, 0.75]);
    }

    #[test]
    fn what_lies_outside_repeats_the_edge() {
        let out = averaged(&[0.25, 0.75], 2, Region { x: -4.0, y: 0.0, width: 8.0, height: 1.0 }, (4, 1));
        assert_eq!(out, [0.25, 0.25, 0.5, 0.75]);
    }
}
