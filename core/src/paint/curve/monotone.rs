//! A cubic through points that rises and falls only where they do.

/// Piecewise cubic with the slopes of Fritsch & Butland 1984, "A method for constructing local monotone piecewise cubic
/// interpolants", SIAM J. Sci. Stat. Comput. 5(2), 300-304: the weighted harmonic mean of both neighbours' slopes, and
/// none where they differ in sign.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Monotone {
    places: Vec<f64>,
    values: Vec<f64>,
    slopes: Vec<f64>,
}

impl Monotone {
    /// Through at least two points, whose places rise.
    pub(super) fn through(places: Vec<f64>, values: Vec<f64>) -> Self {
        let widths: Vec<f64> = places.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let rises: Vec<f64> =
            values.windows(2).zip(&widths).map(|(pair, width)| (pair[1] - pair[0]) / width).collect();
        let last = values.len() - 1;
        let slopes = (0..=last)
            .map(|at| match at {
                _ if last == 1 => rises[0],
                0 => end([widths[0], widths[1]], [rises[0], rises[1]]),
                at if at == last => end([widths[at - 1], widths[at - 2]], [rises[at - 1], rises[at - 2]]),
                at => inner([widths[at - 1], widths[at]], [rises[at - 1], rises[at]]),
            })
            .collect();
        Self { places, values, slopes }
    }

    /// At a place between the first and the last.
    pub(super) fn at(&self, place: f64) -> f64 {
        let from = self.before(place);
        let width = self.places[from + 1] - self.places[from];
        let s = (place - self.places[from]) / width;
        let (before, after) = (self.values[from], self.values[from + 1]);
        let (leaves, comes) = (self.slopes[from] * width, self.slopes[from + 1] * width);
        // Hermite's form.
        let rest = 1.0 - s;
        before * (1.0 + 2.0 * s) * rest * rest + leaves * s * rest * rest + after * s * s * (3.0 - 2.0 * s)
            - comes * s * s * rest
    }

    /// The difference of the points on both sides of a place, and how far along between them it lies, 0 to 1.
    pub(super) fn stretch(&self, place: f64) -> (f64, f64) {
        let from = self.before(place);
        let width = self.places[from + 1] - self.places[from];
        (self.values[from + 1] - self.values[from], (place - self.places[from]) / width)
    }

    fn before(&self, place: f64) -> usize {
        self.places.iter().rposition(|&at| at <= place).unwrap_or(0).min(self.places.len() - 2)
    }
}

fn inner([before, after]: [f64; 2], [came, goes]: [f64; 2]) -> f64 {
    if came * goes <= 0.0 {
        return 0.0;
    }
    let (one, other) = (2.0 * after + before, after + 2.0 * before);
    (one + other) / (one / came + other / goes)
}

/// At an end: that of the parabola through three points, kept from overshooting.
fn end([near, far]: [f64; 2], [first, second]: [f64; 2]) -> f64 {
    let slope = ((2.0 * near + far) * first - near * second) / (near + far);
    if slope * first <= 0.0 {
        0.0
    } else if first * second <= 0.0 && slope.abs() > 3.0 * first.abs() {
        3.0 * first
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `scipy.interpolate.PchipInterpolator([0, 1, 2.5, 3, 5], [90, 70, 66, 40, 38])`, scipy 1.17.1, to six decimals.
    #[test]
    fn it_is_the_same_as_a_reference_librarys() {
        let line = Monotone::through(vec![0.0, 1.0, 2.5, 3.0, 5.0], vec![90.0, 70.0, 66.0, 40.0, 38.0]);
        for (place, value) in PCHIP {
            assert!((line.at(place) - value).abs() < 1e-6, "{place}: {} {value}", line.at(place));
        }
    }

    const PCHIP: [(f64, f64); 9] = [
        (0.0, 90.0),
        (0.25, 83.319_938),
        (0.9, 70.719_253),
        (1.7, 68.252_708),
        (2.5, 66.0),
        (2.75, 52.778_663),
        (3.5, 39.004_089),
        (4.9, 38.002_958),
        (5.0, 38.0),
    ];
}
