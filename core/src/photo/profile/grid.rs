//! Tables of colours in three or four dimensions, and what lies between their entries.

/// A grid of output triples over inputs from 0 to 1; the last input varies fastest.
pub(super) struct Grid {
    /// Points along each input, 2 or more.
    points: Vec<usize>,
    /// Entries apart from one point to the next, per input.
    strides: Vec<usize>,
    values: Vec<[f32; 3]>,
}

impl Grid {
    /// From the counts along each of three or four inputs, and all entries.
    ///
    /// `None` where the counts and the entries do not agree.
    pub(super) fn new(points: &[u8], values: impl ExactSizeIterator<Item = f32>) -> Option<Self> {
        if !(3..=4).contains(&points.len()) || points.iter().any(|&count| count < 2) {
            return None;
        }
        let points: Vec<usize> = points.iter().map(|&count| usize::from(count)).collect();
        let entries = points.iter().try_fold(1_usize, |product, &count| product.checked_mul(count))?;
        if values.len() != entries.checked_mul(3)? {
            return None;
        }
        let mut strides = vec![1; points.len()];
        for input in (0..points.len() - 1).rev() {
            strides[input] = strides[input + 1] * points[input + 1];
        }
        let flat: Vec<f32> = values.collect();
        Some(Self { points, strides, values: flat.as_chunks::<3>().0.to_vec() })
    }

    /// Inputs: 3 or 4.
    pub(super) fn inputs(&self) -> usize {
        self.points.len()
    }

    /// The value at `inputs` (0–1 each; as many as the grid has): tetrahedra over the last three, straight lines over
    /// the first of four. That is what colour management systems commonly do, so that readings agree with theirs.
    pub(super) fn at(&self, inputs: &[f32]) -> [f32; 3] {
        match *inputs {
            [first, a, b, c] => {
                let (below, fraction, step) = self.cell(0, first);
                let near = self.tetrahedron(below, 1, [a, b, c]);
                if fraction == 0.0 {
                    return near;
                }
                let far = self.tetrahedron(below + step, 1, [a, b, c]);
                std::array::from_fn(|channel| near[channel] + (far[channel] - near[channel]) * fraction)
            }
            [a, b, c] => self.tetrahedron(0, 0, [a, b, c]),
            _ => [0.0; 3],
        }
    }

    /// Entry at or below, the fraction above it, and the step to the next entry along one input.
    fn cell(&self, input: usize, value: f32) -> (usize, f32, usize) {
        let last = self.points[input] - 1;
        let position = value.clamp(0.0, 1.0) * last as f32;
        let below = (position as usize).min(last);
        let step = if below == last { 0 } else { self.strides[input] };
        (below * self.strides[input], position - below as f32, step)
    }

    /// Sakamoto's scheme: from the cell's first corner to its last along the edges, the largest fraction first.
    fn tetrahedron(&self, origin: usize, first_input: usize, inputs: [f32; 3]) -> [f32; 3] {
        let mut edges = [(0.0, 0); 3];
        let mut corner = origin;
        for (axis, value) in inputs.into_iter().enumerate() {
            let (below, fraction, step) = self.cell(first_input + axis, value);
            corner += below;
            edges[axis] = (fraction, step);
        }
        edges.sort_by(|one, other| other.0.total_cmp(&one.0));
        let mut value = self.values[corner];
        let mut from = value;
        for (fraction, step) in edges {
            corner += step;
            let to = self.values[corner];
            for channel in 0..3 {
                value[channel] += (to[channel] - from[channel]) * fraction;
            }
            from = to;
        }
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever is linear in the inputs comes out exactly, wherever it is asked for.
    #[test]
    fn a_linear_table_is_linear_between_its_points() {
        let value = |a: f32, b: f32, c: f32| [0.2 * a + 0.3 * b + 0.4 * c, a, 1.0 - c];
        let mut values = Vec::new();
        for a in 0..3 {
            for b in 0..4 {
                for c in 0..5 {
                    values.extend(value(a as f32 / 2.0, b as f32 / 3.0, c as f32 / 4.0));
                }
            }
        }
        let grid = Grid::new(&[3, 4, 5], values.into_iter()).unwrap();
        for (a, b, c) in
            [(0.0_f32, 0.0_f32, 0.0), (1.0, 1.0, 1.0), (0.3, 0.9, 0.1), (0.51, 0.2, 0.77), (2.0, -1.0, 0.5)]
        {
            let expected = value(a.clamp(0.0, 1.0), b.clamp(0.0, 1.0), c);
            for (found, wanted) in grid.at(&[a, b, c]).iter().zip(expected) {
                assert!((found - wanted).abs() < 1e-6, "{a} {b} {c}");
            }
        }
    }

    #[test]
    fn the_first_of_four_inputs_varies_slowest() {
        let values = (0..16).flat_map(|index| [(index >> 3) as f32, (index & 1) as f32, 0.0]);
        let values: Vec<f32> = values.collect();
        let grid = Grid::new(&[2; 4], values.into_iter()).unwrap();
        assert_eq!(grid.inputs(), 4);
        let found = grid.at(&[0.25, 0.5, 0.5, 0.75]);
        assert!((found[0] - 0.25).abs() < 1e-6 && (found[1] - 0.75).abs() < 1e-6);
    }

    #[test]
    fn counts_that_do_not_fit_are_refused() {
        assert!(Grid::new(&[2, 2, 2], vec![0.0; 23].into_iter()).is_none());
        assert!(Grid::new(&[2, 2, 1], vec![0.0; 12].into_iter()).is_none());
        assert!(Grid::new(&[2, 2], vec![0.0; 12].into_iter()).is_none());
        assert!(Grid::new(&[255, 255, 255, 255], vec![0.0; 12].into_iter()).is_none());
    }
}
