//! Uneven light: how it falls off over the picture, from paper tapped in several places.
//!
//! Model: light relative to its mean over the papers is a plane over the picture from three places on, and a quadratic
//! surface from six on, fitted by least squares. It is good for a window's or a lamp's falling off and for a lens's
//! vignette; not for dappled light, nor for the edge of a shadow, and it is held between [`LEAST`] and [`MOST`]
//! outside the papers.

/// Light over the picture relative to its mean over the papers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Field {
    /// Of 1, x, y, x², xy, y²; x and y in fractions of the picture from its middle.
    terms: [f64; 6],
}

/// Papers from which there is a field.
pub(super) const PLACES: usize = 3;

const QUADRATIC_PLACES: usize = 6;

/// The field is taken to be no darker than this: beyond, its corners are guesses.
const LEAST: f64 = 0.4;

/// The field is taken to be no lighter than this.
const MOST: f64 = 2.5;

/// Pulls slopes that the papers say nothing about (all in one line) to 0, and moves those that they do tell by less
/// than a thousandth.
const RIDGE: f64 = 1e-4;

impl Field {
    /// Through relative light `(x, y, light)`, x and y in fractions of the picture. `None` for fewer than three places.
    pub(super) fn through(places: &[(f64, f64, f64)]) -> Option<Self> {
        let used = match places.len() {
            count if count < PLACES => return None,
            count if count < QUADRATIC_PLACES => 3,
            _ => 6,
        };
        let mut normal = [[0.0; 7]; 6];
        for &(x, y, light) in places {
            let row = terms_at(x, y);
            for (i, line) in normal.iter_mut().enumerate().take(used) {
                for (j, sum) in line.iter_mut().enumerate().take(used) {
                    *sum += row[i] * row[j];
                }
                line[6] += row[i] * light;
            }
        }
        for (i, line) in normal.iter_mut().enumerate().take(used).skip(1) {
            line[i] += RIDGE * places.len() as f64;
        }
        Some(Self { terms: solve(normal, used) })
    }

    /// Relative light at fractions of the picture.
    pub(super) fn at(&self, x: f64, y: f64) -> f64 {
        terms_at(x, y)
            .iter()
            .zip(&self.terms)
            .map(|(value, term)| value * term)
            .sum::<f64>()
            .clamp(LEAST, MOST)
    }

    /// Relative light along the row at `y`, as a function of x: for going over many pixels.
    pub(super) fn along(&self, y: f64) -> impl Fn(f32) -> f32 + use<> {
        let [constant, x, down, xx, xy, yy] = self.terms;
        let y = y - 0.5;
        let start = (constant + y * (down + yy * y)) as f32;
        let (slope, bend) = ((x + xy * y) as f32, xx as f32);
        move |x| {
            let x = x - 0.5;
            (start + x * (slope + bend * x)).clamp(LEAST as f32, MOST as f32)
        }
    }

    /// The least and the most light in the picture, over a grid that takes in its corners.
    pub(super) fn range(&self) -> (f64, f64) {
        const SIDE: usize = 8;
        let mut range = (f64::INFINITY, 0.0f64);
        for at in 0..=SIDE * (SIDE + 2) {
            let light =
                self.at((at % (SIDE + 1)) as f64 / SIDE as f64, (at / (SIDE + 1)) as f64 / SIDE as f64);
            range = (range.0.min(light), range.1.max(light));
        }
        range
    }
}

fn terms_at(x: f64, y: f64) -> [f64; 6] {
    let (x, y) = (x - 0.5, y - 0.5);
    [1.0, x, y, x * x, x * y, y * y]
}

/// Gauss-Jordan elimination of the first `used` equations, the right side in column 6. They are positive definite, so
/// that no pivoting is needed.
fn solve(mut normal: [[f64; 7]; 6], used: usize) -> [f64; 6] {
    for pivot in 0..used {
        let line = normal[pivot].map(|value| value / normal[pivot][pivot]);
        normal[pivot] = line;
        for (other, row) in normal.iter_mut().enumerate().take(used) {
            if other != pivot {
                let factor = row[pivot];
                for (value, lead) in row.iter_mut().zip(line) {
                    *value -= factor * lead;
                }
            }
        }
    }
    std::array::from_fn(|at| if at < used { normal[at][6] } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn planes_and_quadratics_are_found_again() {
        let plane = |x: f64, y: f64| 1.0 + 0.2 * (x - 0.5) - 0.1 * (y - 0.5);
        let bowl = |x: f64, y: f64| plane(x, y) - 0.3 * ((x - 0.5) * (x - 0.5) + (y - 0.5) * (y - 0.5));
        let places = [(0.1, 0.1), (0.9, 0.2), (0.5, 0.9), (0.1, 0.8), (0.8, 0.8), (0.5, 0.5), (0.3, 0.4)];
        for (light, used) in [(&plane as &dyn Fn(f64, f64) -> f64, 3), (&bowl, 7)] {
            let field =
                Field::through(&places[..used].iter().map(|&(x, y)| (x, y, light(x, y))).collect::<Vec<_>>())
                    .unwrap();
            for x in [0.0, 0.4, 1.0] {
                for y in [0.0, 0.6, 1.0] {
                    assert!((f64::from(field.along(y)(x as f32)) - field.at(x, y)).abs() < 1e-6);
                    assert!(
                        (field.at(x, y) - light(x, y)).abs() < 0.004,
                        "{used} at {x}, {y}: {}",
                        field.at(x, y)
                    );
                }
            }
        }
    }

    #[test]
    fn papers_in_one_line_say_nothing_of_what_lies_beside_it() {
        let field = Field::through(&[(0.1, 0.5, 0.9), (0.5, 0.5, 1.0), (0.9, 0.5, 1.1)]).unwrap();
        assert!((field.at(0.5, 0.0) - 1.0).abs() < 0.01);
        assert!((field.at(1.0, 0.5) - 1.125).abs() < 0.01);
        assert!(Field::through(&[(0.1, 0.5, 0.9), (0.5, 0.5, 1.0)]).is_none());
    }
}
