//! Squint: a picture softened as by half-closed eyes, by a fixed chain in linear light.
//!
//! 1. The picture is averaged by area to a few cells, a fixed number along its long side.
//! 2. Between cells it is a uniform cubic B-spline, evaluated at the place asked for.
//!
//! Box and spline together blur by a standard deviation of sqrt(1/12 + 4/12) = .645 cells in the mean, whatever the zoom. The
//! shader follows step 2 from the same cells.

use crate::Photo;
use crate::area::Region;

/// How far the eyes are closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Squint {
    /// Texture goes: a blur of .5 % of the long side.
    Slight,
    /// Small shapes run together: 1 %.
    Half,
    /// Only the big masses stay: 2 %.
    Nearly,
}

/// The cells of a softened picture, row-major.
#[derive(Debug, Clone, PartialEq)]
pub struct SoftMap {
    columns: u32,
    rows: u32,
    /// Linear sRGB (not clipped) and Y of each cell.
    cells: Vec<[f32; 4]>,
}

impl Squint {
    /// Cells along the picture's long side.
    #[must_use]
    pub fn cells(self) -> u32 {
        match self {
            Self::Slight => 128,
            Self::Half => 64,
            Self::Nearly => 32,
        }
    }

    /// Columns and rows of cells for a picture of this size.
    #[must_use]
    pub fn size(self, (width, height): (u32, u32)) -> (u32, u32) {
        let longer = f64::from(width.max(height));
        let cells = |side: u32| ((f64::from(side) * f64::from(self.cells()) / longer).round() as u32).max(1);
        (cells(width), cells(height))
    }
}

impl SoftMap {
    /// Softens a photo.
    #[must_use]
    pub fn of(photo: &Photo, squint: Squint) -> Self {
        let (width, height) = photo.size();
        let (columns, rows) = squint.size((width, height));
        let region = Region::whole(width, height);
        let colours = photo.averaged_colour(region, columns, rows);
        let ys = photo.tonal_map().averaged_y(region, columns, rows);
        let cells = colours.as_chunks().0.iter().zip(ys).map(|(&[r, g, b], y)| [r, g, b, y]).collect();
        Self { columns, rows, cells }
    }

    /// Columns and rows of cells.
    #[must_use]
    pub fn size(&self) -> (u32, u32) {
        (self.columns, self.rows)
    }

    /// Linear sRGB and Y of each cell, row-major.
    #[must_use]
    pub fn cells(&self) -> &[[f32; 4]] {
        &self.cells
    }

    /// Linear sRGB and Y at a place in fractions of the picture's width and height.
    #[must_use]
    pub fn at(&self, x: f32, y: f32) -> [f32; 4] {
        let (columns, across) = taps(x, self.columns);
        let (rows, down) = taps(y, self.rows);
        let mut sum = [0.0; 4];
        for (row, v) in rows.into_iter().zip(down) {
            for (column, u) in columns.into_iter().zip(across) {
                let cell = self.cells[row * self.columns as usize + column];
                for channel in 0..4 {
                    sum[channel] += u * v * cell[channel];
                }
            }
        }
        sum
    }
}

/// The four cells about a place along one axis, edges repeated, and their B-spline weights.
fn taps(place: f32, cells: u32) -> ([usize; 4], [f32; 4]) {
    let at = place * cells as f32 - 0.5;
    let first = at.floor();
    let t = at - first;
    let s = 1.0 - t;
    let weights = [
        s * s * s / 6.0,
        (3.0 * t * t * t - 6.0 * t * t + 4.0) / 6.0,
        (3.0 * s * s * s - 6.0 * s * s + 4.0) / 6.0,
        t * t * t / 6.0,
    ];
    let nth = |offset: f32| (first + offset).clamp(0.0, (cells - 1) as f32) as usize;
    ([nth(-1.0), nth(0.0), nth(1.0), nth(2.0)], weights)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_of_a_spline_sum_to_one_and_match_at_the_joints() {
        for step in 0..=100 {
            let (_, weights) = taps(step as f32 / 100.0, 32);
            assert!((weights.iter().sum::<f32>() - 1.0).abs() < 1e-6);
        }
        // At a cell's centre: 1/6, 4/6, 1/6 (de Boor, A Practical Guide to Splines).
        let (cells, weights) = taps(10.5 / 32.0, 32);
        assert_eq!(cells, [9, 10, 11, 12]);
        for (weight, expected) in weights.into_iter().zip([1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0, 0.0]) {
            assert!((weight - expected).abs() < 1e-5, "{weights:?}");
        }
    }

    /// An edge between two cells comes out as the integral of the quadratic B-spline, whose variance is 3/12 (de Boor).
    #[test]
    fn an_edge_is_as_soft_as_the_spline() {
        let cells: Vec<[f32; 4]> =
            (0..32).map(|column| [0.0, 0.0, 0.0, if column < 16 { 0.0 } else { 1.0 }]).collect();
        let soft = SoftMap { columns: 32, rows: 1, cells };
        let steps = 32_000;
        let (mut mean, mut square, mut before) = (0.0, 0.0, 0.0);
        for step in 0..steps {
            let place = (f64::from(step) + 0.5) / f64::from(steps);
            let value = f64::from(soft.at(place as f32, 0.5)[3]);
            let (rise, cell) = (value - before, place * 32.0 - 16.0);
            mean += rise * cell;
            square += rise * cell * cell;
            before = value;
        }
        assert!(mean.abs() < 1e-2, "{mean}");
        assert!((square - 3.0 / 12.0).abs() < 1e-2, "{square}");
    }
}
