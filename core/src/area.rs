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
    columns: Spans,
    rows: Spans,
}

impl AreaAverage {
    /// From `region` of a picture of `size` (width, height) to `cells` (columns, rows). What of the region lies outside
    /// the picture repeats its edge.
    pub(crate) fn new(size: (u32, u32), region: Region, cells: (u32, u32)) -> Self {
        Self {
            columns: Spans::new(size.0, region.x, region.width, cells.0),
            rows: Spans::new(size.1, region.y, region.height, cells.1),
        }
    }

    /// Averages the output rows `rows`, one after the other, for pixels of `C` channels.
    ///
    /// `fetch(row, columns, linear)` writes the linear light of a source row's `columns` into `linear`, interleaved;
    /// `emit(row, averages)` takes each output row. Every source row is fetched once.
    pub(crate) fn rows<const C: usize>(
        &self,
        rows: Range<usize>,
        mut fetch: impl FnMut(usize, Range<usize>, &mut [f32]),
        mut emit: impl FnMut(usize, &[f32]),
    ) {
        let columns = self.columns.reach();
        let mut linear = vec![0.0; C * columns.len()];
        let mut across = vec![0.0; C * self.columns.len()];
        let mut sum = vec![0.0; C * self.columns.len()];
        let mut held = None;
        for row in rows {
            sum.fill(0.0);
            let (first, weights) = self.rows.of(row);
            for (source, &weight) in (first..).zip(weights) {
                if held != Some(source) {
                    fetch(source, columns.clone(), &mut linear);
                    self.columns.average::<C>(columns.start, &linear, &mut across);
                    held = Some(source);
                }
                for (sum, value) in sum.iter_mut().zip(&across) {
                    *sum += weight * value;
                }
            }
            emit(row, &sum);
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

    fn len(&self) -> usize {
        self.firsts.len()
    }

    fn of(&self, cell: usize) -> (usize, &[f32]) {
        (self.firsts[cell], &self.weights[self.begins[cell]..self.begins[cell + 1]])
    }

    /// The source pixels that any cell needs.
    fn reach(&self) -> Range<usize> {
        let last = self.len() - 1;
        self.firsts[0]..self.firsts[last] + self.of(last).1.len()
    }

    /// `linear` begins at source pixel `start`.
    fn average<const C: usize>(&self, start: usize, linear: &[f32], across: &mut [f32]) {
        for (cell, out) in across.chunks_exact_mut(C).enumerate() {
            let (first, weights) = self.of(cell);
            let from = (first - start) * C;
            let mut sum = [0.0; C];
            for (pixel, &weight) in linear[from..from + weights.len() * C].chunks_exact(C).zip(weights) {
                for channel in 0..C {
                    sum[channel] += weight * pixel[channel];
                }
            }
            out.copy_from_slice(&sum);
        }
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
