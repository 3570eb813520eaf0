//! The frame: what of a picture counts, the painting and not the easel.

use std::ops::Range;

/// A convex four-sided part of a picture, its corners in fractions of the picture's width and height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Corners [x, y], clockwise as seen on the screen.
    corners: [[f64; 2]; 4],
}

/// Why four corners make no frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum FrameError {
    /// A corner bends inwards, the sides cross, or there is hardly any area.
    #[error("the four corners must go round one area without bending inwards")]
    NotConvex,
    /// A corner is no number, or far outside the picture.
    #[error("a corner lies outside the picture")]
    Outside,
}

/// The smallest turn at a corner, as twice the area of its triangle in fractions of the picture: below it the corner
/// can't be told from a straight side, and a hand-set frame was a slip.
const FLATTEST: f64 = 1e-4;

impl Frame {
    /// From four corners [x, y] in fractions of the width and height, in order round the area, either way.
    ///
    /// # Errors
    /// [`FrameError`].
    pub fn new(corners: [[f64; 2]; 4]) -> Result<Self, FrameError> {
        if corners.iter().flatten().any(|part| !(-0.001..=1.001).contains(part)) {
            return Err(FrameError::Outside);
        }
        let turns: [f64; 4] =
            std::array::from_fn(|at| turn(corners[at], corners[(at + 1) % 4], corners[(at + 2) % 4]));
        if turns.iter().all(|&turn| turn > FLATTEST) {
            Ok(Self { corners })
        } else if turns.iter().all(|&turn| turn < -FLATTEST) {
            let [a, b, c, d] = corners;
            Ok(Self { corners: [a, d, c, b] })
        } else {
            Err(FrameError::NotConvex)
        }
    }

    /// Corners [x, y] in fractions, clockwise.
    #[must_use]
    pub fn corners(&self) -> [[f64; 2]; 4] {
        self.corners
    }

    /// Whether a point, in fractions of the width and height, counts.
    #[must_use]
    pub fn holds(&self, x: f64, y: f64) -> bool {
        (0..4).all(|at| turn(self.corners[at], self.corners[(at + 1) % 4], [x, y]) >= 0.0)
    }

    /// The columns of `row` whose pixel centres count, in a picture of this size.
    pub(crate) fn span(&self, row: u32, width: u32, height: u32) -> Range<usize> {
        let y = (f64::from(row) + 0.5) / f64::from(height);
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        for at in 0..4 {
            let ([x0, y0], [x1, y1]) = (self.corners[at], self.corners[(at + 1) % 4]);
            if (y0 <= y) != (y1 <= y) {
                let x = x0 + (x1 - x0) * (y - y0) / (y1 - y0);
                from = from.min(x);
                to = to.max(x);
            }
        }
        if from > to {
            return 0..0;
        }
        let column = |x: f64| (x * f64::from(width) - 0.5).ceil().clamp(0.0, f64::from(width)) as usize;
        column(from)..column(to)
    }
}

/// Twice the signed area of a triangle: above 0 where c lies to the right of the way from a to b, y pointing down.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn either_way_round_is_the_same_frame() {
        let clockwise = Frame::new([[0.1, 0.1], [0.9, 0.2], [0.8, 0.9], [0.2, 0.8]]).unwrap();
        let other = Frame::new([[0.1, 0.1], [0.2, 0.8], [0.8, 0.9], [0.9, 0.2]]).unwrap();
        assert_eq!(clockwise, other);
    }

    #[test]
    fn crossed_dented_and_flat_ones_are_refused() {
        let crossed = [[0.1, 0.1], [0.9, 0.9], [0.9, 0.1], [0.1, 0.9]];
        let dented = [[0.1, 0.1], [0.9, 0.1], [0.2, 0.2], [0.1, 0.9]];
        let flat = [[0.1, 0.1], [0.5, 0.1], [0.9, 0.1], [0.5, 0.1]];
        for corners in [crossed, dented, flat] {
            assert_eq!(Frame::new(corners), Err(FrameError::NotConvex), "{corners:?}");
        }
        assert_eq!(Frame::new([[f64::NAN; 2]; 4]), Err(FrameError::Outside));
    }

    #[test]
    fn spans_hold_just_the_pixels_whose_centres_lie_inside() {
        let frame = Frame::new([[0.13, 0.05], [0.92, 0.22], [0.81, 0.97], [0.2, 0.8]]).unwrap();
        let (width, height) = (40, 30);
        for row in 0..height {
            let span = frame.span(row, width, height);
            for column in 0..width {
                let (x, y) = ((f64::from(column) + 0.5) / 40.0, (f64::from(row) + 0.5) / 30.0);
                assert_eq!(span.contains(&(column as usize)), frame.holds(x, y), "{column}, {row}");
            }
        }
    }
}
