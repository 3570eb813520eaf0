//! The part of a picture that its file does not have: it was cut off, or broke off, before the last row.

use super::Orientation;
use crate::Spot;

/// A strip along one side of the working copy, in its pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Missing {
    /// From the left.
    pub x: u32,
    /// From the top.
    pub y: u32,
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
}

impl Missing {
    /// What is missing of a working copy of `working` pixels, as its file stores it, where only the first `decoded` of
    /// `rows` came. A row of the working copy that a missing row is part of is missing.
    pub(super) fn after(decoded: Option<u32>, rows: u32, working: (u32, u32)) -> Option<Self> {
        let decoded = decoded.filter(|&decoded| decoded < rows)?;
        let y = (u64::from(decoded) * u64::from(working.1) / u64::from(rows)) as u32;
        Some(Self { x: 0, y, width: working.0, height: working.1 - y })
    }

    /// The same part of a picture of this size as stored, once turned.
    pub(super) fn turned(self, (width, height): (u32, u32), orientation: Orientation) -> Self {
        let upright = orientation.upright_size(width, height);
        let stored = |x: u32, y: u32| orientation.stored_from_upright(x, y, width, height);
        let lies_in = |(column, row): (u32, u32)| {
            let across = self.x..self.x + self.width;
            let down = self.y..self.y + self.height;
            if orientation.transposes() {
                (down.contains(&row), across.contains(&column))
            } else {
                (across.contains(&column), down.contains(&row))
            }
        };
        let (x, width) = run((0..upright.0).filter(|&x| lies_in(stored(x, 0)).0));
        let (y, height) = run((0..upright.1).filter(|&y| lies_in(stored(0, y)).1));
        Self { x, y, width, height }
    }

    /// Whether a spot on a picture of this size has a pixel in it.
    pub(crate) fn meets(self, spot: Spot, size: (u32, u32)) -> bool {
        spot.rows(size).any(|(row, columns)| {
            let cut = self.columns(row);
            columns.start < cut.end && cut.start < columns.end
        })
    }

    /// The columns of a row that lie in it.
    pub(crate) fn columns(self, row: u32) -> std::ops::Range<u32> {
        if (self.y..self.y + self.height).contains(&row) { self.x..self.x + self.width } else { 0..0 }
    }

    /// Whether a place in fractions of a picture of this size lies in it.
    pub(crate) fn holds(self, (x, y): (f64, f64), size: (u32, u32)) -> bool {
        let within = |at: f64, side: u32, start: u32, length: u32| {
            let at = at * f64::from(side);
            at >= f64::from(start) && at < f64::from(start + length)
        };
        within(x, size.0, self.x, self.width) && within(y, size.1, self.y, self.height)
    }
}

/// Where numbers that follow on each other begin, and how many there are.
fn run(numbers: impl Iterator<Item = u32>) -> (u32, u32) {
    numbers.fold((0, 0), |(first, count), number| (if count == 0 { number } else { first }, count + 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_that_never_came_lie_where_they_would_stand_upright() {
        let missing = Missing::after(Some(30), 40, (80, 40)).unwrap();
        assert_eq!(missing, Missing { x: 0, y: 30, width: 80, height: 10 });
        assert_eq!(Missing::after(Some(40), 40, (80, 40)), None);
        assert_eq!(Missing::after(None, 40, (80, 40)), None);
        // By the orientations' own meaning (EXIF 2.32, table 7): 3 is half round; 6 stands by a quarter to the right, so
        // that the last stored row is the left column.
        let turned = |exif: u32| missing.turned((80, 40), Orientation::from_exif(exif));
        assert_eq!(turned(3), Missing { x: 0, y: 0, width: 80, height: 10 });
        assert_eq!(turned(6), Missing { x: 0, y: 0, width: 10, height: 80 });
        assert_eq!(turned(8), Missing { x: 30, y: 0, width: 10, height: 80 });
        let spot = |y: f64| Spot { x: 40.0, y, radius: 4.0 };
        assert!(missing.meets(spot(27.0), (80, 40)) && !missing.meets(spot(24.0), (80, 40)));
    }
}
