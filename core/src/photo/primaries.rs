//! Colour spaces by their primaries, and the change of white between them.

/// Rows by columns.
pub(crate) type Matrix = [[f64; 3]; 3];

/// A point of the chromaticity diagram, CIE 1931 2°.
pub(crate) type Chromaticity = [f64; 2];

/// Primaries and white of a colour space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Primaries {
    pub(crate) red: Chromaticity,
    pub(crate) green: Chromaticity,
    pub(crate) blue: Chromaticity,
    pub(crate) white: Chromaticity,
}

/// D65 as ITU-R BT.709 and IEC 61966-2-1 round it.
pub(crate) const D65: Chromaticity = [0.3127, 0.3290];

/// XYZ of D50 as ICC.1:2022 gives it for the profile connection space.
pub(crate) const D50_XYZ: [f64; 3] = [0.9642, 1.0, 0.8249];

impl Primaries {
    /// ITU-R BT.709-6; those of sRGB (IEC 61966-2-1).
    pub(crate) const BT709: Self =
        Self { red: [0.64, 0.33], green: [0.30, 0.60], blue: [0.15, 0.06], white: D65 };
    /// ITU-R BT.2020-2.
    pub(crate) const BT2020: Self =
        Self { red: [0.708, 0.292], green: [0.170, 0.797], blue: [0.131, 0.046], white: D65 };
    /// SMPTE EG 432-1 (P3 with D65); those of Display P3.
    pub(crate) const P3_D65: Self =
        Self { red: [0.680, 0.320], green: [0.265, 0.690], blue: [0.150, 0.060], white: D65 };

    /// XYZ under D65 (Y of white = 1) from linear RGB; another white is adapted by Bradford.
    pub(crate) fn xyz_d65_from_rgb(&self) -> Option<Matrix> {
        let columns = [self.red, self.green, self.blue].map(xyz_of);
        let unscaled = transposed(&columns);
        let white = xyz_of(self.white);
        let scale = times_vector(&inverse(&unscaled)?, white);
        let xyz_from_rgb = unscaled.map(|row| [row[0] * scale[0], row[1] * scale[1], row[2] * scale[2]]);
        Some(times(&bradford(white, xyz_of(D65))?, &xyz_from_rgb))
    }
}

/// XYZ with Y = 1 of a chromaticity.
pub(crate) fn xyz_of([x, y]: Chromaticity) -> [f64; 3] {
    [x / y, 1.0, (1.0 - x - y) / y]
}

/// Adapts XYZ from one white to another by Bradford's linear transform (ICC.1:2022, annex E).
///
/// `None` where a white is degenerate.
pub(crate) fn bradford(from: [f64; 3], to: [f64; 3]) -> Option<Matrix> {
    const CONES: Matrix = [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
    let (before, after) = (times_vector(&CONES, from), times_vector(&CONES, to));
    if before.iter().any(|cone| cone.abs() < 1e-9) {
        return None;
    }
    let gains = [after[0] / before[0], after[1] / before[1], after[2] / before[2]];
    let scaled = [0, 1, 2].map(|row| CONES[row].map(|value| value * gains[row]));
    Some(times(&inverse(&CONES)?, &scaled))
}

/// `left` after `right`.
pub(crate) fn times(left: &Matrix, right: &Matrix) -> Matrix {
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| (0..3).map(|i| left[row][i] * right[i][column]).sum()))
}

/// The matrix applied to a column.
pub(crate) fn times_vector(matrix: &Matrix, vector: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * vector[0] + row[1] * vector[1] + row[2] * vector[2])
}

/// Rows and columns exchanged.
pub(crate) fn transposed(matrix: &Matrix) -> Matrix {
    [0, 1, 2].map(|row| [0, 1, 2].map(|column| matrix[column][row]))
}

/// The inverse, by cofactors; `None` where there is none worth the name.
pub(crate) fn inverse(matrix: &Matrix) -> Option<Matrix> {
    let minor = |row: usize, column: usize| {
        let (r, s) = ((row + 1) % 3, (row + 2) % 3);
        let (c, d) = ((column + 1) % 3, (column + 2) % 3);
        matrix[r][c] * matrix[s][d] - matrix[r][d] * matrix[s][c]
    };
    let determinant: f64 = (0..3).map(|column| matrix[0][column] * minor(0, column)).sum();
    if !determinant.is_finite() || determinant.abs() < 1e-9 {
        return None;
    }
    Some([0, 1, 2].map(|row| [0, 1, 2].map(|column| minor(column, row) / determinant)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Y rows of sRGB and Display P3 as colour-science 0.4.7 computes them from the standards' primaries.
    #[test]
    fn luminance_rows_agree_with_an_independent_library() {
        for (primaries, expected) in [
            (Primaries::BT709, [0.212639, 0.715169, 0.072192]),
            (Primaries::P3_D65, [0.228975, 0.691739, 0.079287]),
        ] {
            let row = primaries.xyz_d65_from_rgb().unwrap()[1];
            for (value, wanted) in row.iter().zip(expected) {
                assert!((value - wanted).abs() < 1e-5, "{row:?} against {expected:?}");
            }
        }
    }

    /// ITU-R BT.2020-2, table 4: Y' = 0.2627 R' + 0.6780 G' + 0.0593 B'.
    #[test]
    fn luminance_row_of_bt2020_is_the_standards() {
        let row = Primaries::BT2020.xyz_d65_from_rgb().unwrap()[1];
        for (value, wanted) in row.iter().zip([0.2627, 0.6780, 0.0593]) {
            assert!((value - wanted).abs() < 5e-5, "{row:?}");
        }
    }

    #[test]
    fn bradford_carries_white_to_white_and_back() {
        let d65 = xyz_of(D65);
        let there = times_vector(&bradford(D50_XYZ, d65).unwrap(), D50_XYZ);
        for (value, wanted) in there.iter().zip(d65) {
            assert!((value - wanted).abs() < 1e-12);
        }
        assert!(bradford([0.0; 3], d65).is_none());
    }

    #[test]
    fn a_degenerate_matrix_has_no_inverse() {
        assert!(inverse(&[[1.0, 2.0, 3.0], [2.0, 4.0, 6.0], [0.0, 1.0, 0.0]]).is_none());
        assert!(inverse(&[[f64::NAN; 3]; 3]).is_none());
    }
}
