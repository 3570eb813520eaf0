//! Table profiles (A2B tags of ICC.1:2022): from a pixel's samples to XYZ under D65.

use super::curve::{Curve, between};
use super::d65_from_d50;
use super::grid::Grid;
use crate::photo::encoding::{Depth, table_of};
use crate::photo::primaries::{D50_XYZ, D65, Matrix, times_vector, xyz_of};
use crate::photo::stored::Encoding;
use moxcms::{DataColorSpace, LutDataType, LutMultidimensionalType, LutStore, LutType, LutWarehouse};

/// A pipeline from device samples to 16-bit samples of an encoding that nothing real falls out of.
///
/// Its "RGB" is XYZ relative to D65's: a surface reflects at most all of each, so 0–1 holds every colour, equal values
/// are neutral, and Y stands in the second channel unmixed. Codes are square roots, which spaces them about as evenly
/// in L* as sRGB does and costs one exact operation.
pub(crate) struct Lookup {
    /// Curves before the grid, one an input, as tables over all codes of a sample.
    before: Vec<Vec<f32>>,
    grid: Option<Grid>,
    /// Curves, a matrix with an offset, and curves again, all after the grid.
    middle: Option<[Vec<f32>; 3]>,
    matrix: Option<(Matrix, [f64; 3])>,
    after: [Vec<f32>; 3],
    connection: Connection,
    d65_from_d50: Matrix,
}

/// How the pipeline's last numbers, 0–1, stand for a colour under D50.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Connection {
    /// Full scale is 1 + 32767/32768.
    Xyz,
    /// L* over 100; a* and b* from −128 to 127.
    Lab,
    /// The same, with full scale at 0xff00 of 16 bits: lut16Type only.
    LabLegacy,
}

impl Lookup {
    /// From a profile's A2B tag, for samples of `depth`.
    ///
    /// # Errors
    /// Why it cannot be used.
    pub(super) fn new(table: &LutWarehouse, pcs: DataColorSpace, depth: Depth) -> Result<Self, String> {
        let connection = match (pcs, table) {
            (DataColorSpace::Xyz, _) => Connection::Xyz,
            (DataColorSpace::Lab, LutWarehouse::Lut(lut)) if lut.lut_type == LutType::Lut16 => {
                Connection::LabLegacy
            }
            (DataColorSpace::Lab, _) => Connection::Lab,
            _ => return Err("its tables lead nowhere".to_owned()),
        };
        let stages = match table {
            LutWarehouse::Lut(lut) => Stages::of_plain(lut),
            LutWarehouse::Multidimensional(lut) => Stages::of_multidimensional(lut),
        };
        let damaged = || "its tables are damaged".to_owned();
        let Stages { before, grid, middle, matrix, after } = stages.ok_or_else(damaged)?;
        if grid.as_ref().is_some_and(|grid| grid.inputs() != before.len()) {
            return Err(damaged());
        }
        let last = (depth.codes() - 1) as f32;
        let before = before
            .iter()
            .map(|curve| (0..depth.codes()).map(|code| between(curve, code as f32 / last)).collect())
            .collect();
        let d65_from_d50 = d65_from_d50().ok_or_else(damaged)?;
        Ok(Self { before, grid, middle, matrix, after, connection, d65_from_d50 })
    }

    /// Samples that a pixel has: 3 or 4.
    pub(crate) fn inputs(&self) -> usize {
        self.before.len()
    }

    /// What the 16-bit samples mean.
    ///
    /// # Errors
    /// None that a profile can cause.
    pub(crate) fn encoding() -> Result<Encoding, String> {
        let incomplete = || "it is incomplete".to_owned();
        let table = table_of(|code| code * code, Depth::Sixteen).ok_or_else(incomplete)?;
        let [x, y, z] = xyz_of(D65);
        let xyz_from_relative = [[x, 0.0, 0.0], [0.0, y, 0.0], [0.0, 0.0, z]];
        Encoding::from_tables([table.clone(), table.clone(), table], &xyz_from_relative)
            .ok_or_else(incomplete)
    }

    /// The 16-bit samples of one pixel, from the codes of its device samples.
    pub(crate) fn codes(&self, device: &[usize]) -> [u16; 3] {
        let mut inputs = [0.0; 4];
        for ((input, curve), &code) in inputs.iter_mut().zip(&self.before).zip(device) {
            *input = curve[code];
        }
        let mut value = match &self.grid {
            Some(grid) => grid.at(&inputs[..self.before.len()]),
            None => [inputs[0], inputs[1], inputs[2]],
        };
        if let Some(curves) = &self.middle {
            value = std::array::from_fn(|channel| between(&curves[channel], value[channel]));
        }
        if let Some((matrix, offset)) = &self.matrix {
            let moved = times_vector(matrix, value.map(f64::from));
            value = std::array::from_fn(|channel| (moved[channel] + offset[channel]) as f32);
        }
        let value = std::array::from_fn(|channel| between(&self.after[channel], value[channel]));
        self.relative_d65(value).map(|linear| (linear.clamp(0.0, 1.0).sqrt() * 65_535.0 + 0.5) as u16)
    }

    /// XYZ over that of D65's white.
    fn relative_d65(&self, value: [f32; 3]) -> [f32; 3] {
        let d50 = self.connection.xyz_d50(value);
        let d65 = times_vector(&self.d65_from_d50, d50);
        let white = xyz_of(D65);
        std::array::from_fn(|channel| (d65[channel] / white[channel]) as f32)
    }
}

impl Connection {
    fn xyz_d50(self, [first, second, third]: [f32; 3]) -> [f64; 3] {
        let (lightness, scale) = match self {
            Self::Xyz => {
                let full = 1.0 + 32_767.0 / 32_768.0;
                return [first, second, third].map(|value| f64::from(value) * full);
            }
            Self::Lab => (first * 100.0, 255.0),
            Self::LabLegacy => (first * 100.0 * 65_535.0 / 65_280.0, 65_535.0 / 256.0),
        };
        let (a, b) = (second * scale - 128.0, third * scale - 128.0);
        let y = (lightness + 16.0) / 116.0;
        let relative = [y + a / 500.0, y, y - b / 200.0].map(relative_from_f);
        std::array::from_fn(|channel| f64::from(relative[channel]) * D50_XYZ[channel])
    }
}

/// The inverse of CIELAB's f (CIE 15): a tristimulus value over the white's.
pub(super) fn relative_from_f(f: f32) -> f32 {
    const KAPPA: f32 = 24_389.0 / 27.0;
    if f > 6.0 / 29.0 { f * f * f } else { (116.0 * f - 16.0) / KAPPA }
}

/// What the two kinds of table have in common.
struct Stages {
    before: Vec<Vec<f32>>,
    grid: Option<Grid>,
    middle: Option<[Vec<f32>; 3]>,
    matrix: Option<(Matrix, [f64; 3])>,
    after: [Vec<f32>; 3],
}

impl Stages {
    /// lut8Type and lut16Type. Their matrix holds for XYZ input only, which no device has.
    fn of_plain(lut: &LutDataType) -> Option<Self> {
        let inputs = usize::from(lut.num_input_channels);
        if lut.num_output_channels != 3 {
            return None;
        }
        let before = split(&lut.input_table, inputs, usize::from(lut.num_input_table_entries))?;
        let after = split(&lut.output_table, 3, usize::from(lut.num_output_table_entries))?;
        let grid = Grid::new(&vec![lut.num_clut_grid_points; inputs], numbers(&lut.clut_table).into_iter())?;
        Some(Self { before, grid: Some(grid), middle: None, matrix: None, after: after.try_into().ok()? })
    }

    /// lutAToBType: A curves, grid, M curves, matrix, B curves; only the last are sure to be there.
    fn of_multidimensional(lut: &LutMultidimensionalType) -> Option<Self> {
        let inputs = usize::from(lut.num_input_channels);
        if lut.num_output_channels != 3 {
            return None;
        }
        let sampled = |curves: &[moxcms::ToneReprCurve]| -> Option<Vec<Vec<f32>>> {
            curves.iter().map(|curve| Some(Curve::new(curve)?.sampled())).collect()
        };
        let straight = || vec![0.0, 1.0];
        let grid = match &lut.clut {
            Some(store) => Some(Grid::new(lut.grid_points.get(..inputs)?, numbers(store).into_iter())?),
            None if inputs == 3 => None,
            None => return None,
        };
        let before = if lut.a_curves.is_empty() || grid.is_none() {
            vec![straight(); inputs]
        } else {
            sampled(&lut.a_curves)?
        };
        let middle: Option<[Vec<f32>; 3]> = match lut.m_curves.len() {
            0 => None,
            _ => Some(sampled(&lut.m_curves)?.try_into().ok()?),
        };
        let matrix = middle.is_some().then_some((lut.matrix.v, lut.bias.v));
        let after: [Vec<f32>; 3] = sampled(&lut.b_curves)?.try_into().ok()?;
        let finite = |curve: &Vec<f32>| !curve.is_empty() && curve.iter().all(|value| value.is_finite());
        let sound = before.len() == inputs
            && before.iter().all(finite)
            && after.iter().all(finite)
            && middle.iter().flatten().all(finite);
        sound.then_some(Self { before, grid, middle, matrix, after })
    }
}

/// Numbers of a store, 0–1.
fn numbers(store: &LutStore) -> Vec<f32> {
    match store {
        LutStore::Store8(values) => values.iter().map(|&value| f32::from(value) / 255.0).collect(),
        LutStore::Store16(values) => values.iter().map(|&value| f32::from(value) / 65_535.0).collect(),
    }
}

/// Cuts a store into `count` curves of `entries`.
fn split(store: &LutStore, count: usize, entries: usize) -> Option<Vec<Vec<f32>>> {
    let all = numbers(store);
    if entries == 0 || all.len() != count * entries {
        return None;
    }
    Some(all.chunks_exact(entries).map(<[f32]>::to_vec).collect())
}
