//! A reflectance for a colour: what a wash may do to each wavelength, when only its colour was measured.

mod observer;

use self::observer::{FIRST, OBSERVER_AND_D65};
use libm::{atanh, tanh};
use palette::convert::IntoColorUnclamped;
use palette::{LinSrgb, Xyz, white_point::D65};
use std::sync::LazyLock;

pub use self::observer::BANDS;

/// Reflectance, 0 to 1, every 10 nm from 380 to 730 nm.
///
/// Infinitely many reflectances have one colour. This one is, of those between 0 and 1, that of least slope in
/// hyperbolic tangent: S. A. Burns, *Numerical methods for smoothest reflectance reconstruction* (arXiv:1710.05732),
/// there LHTSS. Pigments' reflectances are smooth, and Newton's method finds it in a few steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Reflectance([f64; BANDS]);

/// Unknowns: z of each band, reflectance being (1 + tanh z) / 2, and a Lagrange multiplier each for X, Y and Z.
const UNKNOWNS: usize = BANDS + 3;

/// Newton's steps before a colour counts as one that no reflectance has. The slowest of sRGB takes 20.
const STEPS: usize = 60;

/// Largest step of any z: tanh is all but flat beyond 2, and longer steps overshoot.
const STRIDE: f64 = 2.0;

/// By how much X, Y and Z may be missed: a hundred-thousandth of what an eye can tell in the dark.
const MISSED: f64 = 1e-9;

/// Luminance that a reflectance is looked for at: at 0 and 1 tanh would need infinite z. Darker and lighter greys take
/// the nearest; half a tone of L* at most is lost.
const LUMINANCES: (f64, f64) = (0.0005, 0.995);

/// How much of a colour's difference from grey is tried, where no reflectance has the colour itself.
const PULLED: [f64; 9] = [1.0, 0.98, 0.95, 0.9, 0.8, 0.6, 0.4, 0.2, 0.0];

/// X, Y and Z of each band's light, thrown back whole. Summed they are D65's white, to the last digit that the colour
/// spaces here share; the tables' own sum differs from it by .0003, for want of the bands beyond.
static XYZ_OF_BAND: LazyLock<[[f64; 3]; BANDS]> = LazyLock::new(|| {
    let of = OBSERVER_AND_D65.map(|[x, y, z, power]| [x * power, y * power, z * power]);
    let white = white();
    let scale: [f64; 3] =
        std::array::from_fn(|axis| white[axis] / of.iter().map(|band| band[axis]).sum::<f64>());
    of.map(|band| std::array::from_fn(|axis| band[axis] * scale[axis]))
});

impl Reflectance {
    /// A smooth reflectance of linear sRGB, which may lie outside its gamut.
    ///
    /// A colour that no reflectance has (beyond the optimal colours, or with not a number in it) is drawn towards the
    /// grey of its own luminance until one has it.
    #[must_use]
    pub fn upsampled(linear_srgb: [f64; 3]) -> Self {
        let [r, g, b] = linear_srgb;
        let xyz: Xyz<D65, f64> = LinSrgb::new(r, g, b).into_color_unclamped();
        let within = xyz.y.max(LUMINANCES.0).min(LUMINANCES.1);
        let grey = white().map(|axis| axis * within);
        // A colour darker or lighter than can be is a grey.
        let chromatic = if within == xyz.y { [xyz.x, xyz.y, xyz.z] } else { grey };
        PULLED
            .iter()
            .find_map(|share| {
                smoothest(std::array::from_fn(|axis| grey[axis] + share * (chromatic[axis] - grey[axis])))
            })
            .unwrap_or(Self([within; BANDS]))
    }

    /// A measured reflectance: one number a band.
    #[must_use]
    pub fn measured(bands: [f64; BANDS]) -> Self {
        Self(bands)
    }

    /// One number a band, from 380 nm.
    #[must_use]
    pub fn bands(&self) -> &[f64; BANDS] {
        &self.0
    }

    /// Its colour under D65 for the 2° observer, as linear sRGB, which may lie outside the gamut.
    #[must_use]
    pub fn linear_srgb(&self) -> [f64; 3] {
        let [x, y, z] = xyz(&self.0);
        let rgb: LinSrgb<f64> = Xyz::<D65, f64>::new(x, y, z).into_color_unclamped();
        [rgb.red, rgb.green, rgb.blue]
    }

    /// Luminance Y relative to the white.
    #[must_use]
    pub fn luminance(&self) -> f64 {
        xyz(&self.0)[1]
    }

    /// Wavelength of a band in nm.
    #[must_use]
    pub fn wavelength(band: usize) -> f64 {
        FIRST + 10.0 * band as f64
    }
}

/// D65 as sRGB has it.
fn white() -> [f64; 3] {
    let white: Xyz<D65, f64> = LinSrgb::new(1.0, 1.0, 1.0).into_color_unclamped();
    [white.x, white.y, white.z]
}

fn xyz(reflectance: &[f64; BANDS]) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for (reflected, light) in reflectance.iter().zip(XYZ_OF_BAND.iter()) {
        for axis in 0..3 {
            sum[axis] += reflected * light[axis];
        }
    }
    sum
}

/// The reflectance of least slope in z with that colour, by Newton's method; `None` where it doesn't get there.
///
/// With D the differences of neighbours, 2 DᵀD z + (light · λ) dρ/dz = 0 and light · ρ = XYZ are solved together.
fn smoothest(wanted: [f64; 3]) -> Option<Reflectance> {
    let light = &*XYZ_OF_BAND;
    let mut z = [atanh(2.0 * wanted[1] - 1.0); BANDS];
    let mut multiplier = [0.0; 3];
    for _ in 0..STEPS {
        let tangent = z.map(tanh);
        let reflectance = tangent.map(|t| 0.5 * (1.0 + t));
        let missed = xyz(&reflectance);
        let mut system = [[0.0; UNKNOWNS + 1]; UNKNOWNS];
        let mut worst = 0.0_f64;
        for at in 0..BANDS {
            let slope = 0.5 * (1.0 - tangent[at] * tangent[at]);
            let bend = -2.0 * slope * tangent[at];
            let pull: f64 = (0..3).map(|axis| light[at][axis] * multiplier[axis]).sum();
            let mut tension = pull * slope;
            system[at][at] = pull * bend;
            for neighbour in [at.wrapping_sub(1), at + 1] {
                if neighbour < BANDS {
                    tension += 2.0 * (z[at] - z[neighbour]);
                    system[at][at] += 2.0;
                    system[at][neighbour] = -2.0;
                }
            }
            for axis in 0..3 {
                system[at][BANDS + axis] = light[at][axis] * slope;
                system[BANDS + axis][at] = light[at][axis] * slope;
            }
            system[at][UNKNOWNS] = -tension;
            worst = worst.max(tension.abs());
        }
        for axis in 0..3 {
            system[BANDS + axis][UNKNOWNS] = wanted[axis] - missed[axis];
            worst = worst.max((wanted[axis] - missed[axis]).abs());
        }
        if worst < MISSED {
            return Some(Reflectance(reflectance));
        }
        let step = solved(&mut system)?;
        let longest = step[..BANDS].iter().fold(0.0_f64, |longest, step| longest.max(step.abs()));
        let share = (STRIDE / longest).min(1.0);
        for (z, step) in z.iter_mut().chain(&mut multiplier).zip(step) {
            *z += share * step;
        }
    }
    None
}

/// Gauss's elimination with partial pivoting; `None` where the system is singular or not finite.
fn solved(system: &mut [[f64; UNKNOWNS + 1]; UNKNOWNS]) -> Option<[f64; UNKNOWNS]> {
    for column in 0..UNKNOWNS {
        let larger = |&a: &usize, &b: &usize| system[a][column].abs().total_cmp(&system[b][column].abs());
        let pivot = (column..UNKNOWNS).max_by(larger)?;
        system.swap(column, pivot);
        let row = system[column];
        if !row[column].is_finite() || row[column] == 0.0 {
            return None;
        }
        for below in &mut system[column + 1..] {
            let factor = below[column] / row[column];
            // Most of the system is 0: neighbours only.
            if factor != 0.0 {
                for (value, above) in below[column..].iter_mut().zip(&row[column..]) {
                    *value -= factor * above;
                }
            }
        }
    }
    let mut solution = [0.0; UNKNOWNS];
    for row in (0..UNKNOWNS).rev() {
        let known: f64 = (row + 1..UNKNOWNS).map(|at| system[row][at] * solution[at]).sum();
        solution[row] = (system[row][UNKNOWNS] - known) / system[row][row];
    }
    solution.iter().all(|value| value.is_finite()).then_some(solution)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lightness::srgb_decode;
    use palette::Lab;

    /// A tenth of a ΔE00 (1.0 is about what an eye can tell) is under what 8 bits a channel cost.
    const ROUND_TRIP: f64 = 0.1;

    fn difference(one: [f64; 3], other: [f64; 3]) -> f64 {
        let lab = |[r, g, b]: [f64; 3]| -> Lab<D65, f64> { LinSrgb::new(r, g, b).into_color_unclamped() };
        palette::color_difference::Ciede2000::difference(lab(one), lab(other))
    }

    fn decoded(srgb: [u8; 3]) -> [f64; 3] {
        srgb.map(|code| srgb_decode(f64::from(code) / 255.0))
    }

    #[test]
    fn colours_of_srgb_come_back() {
        // Below 2, luminance is raised to the least that is looked for.
        let codes = [2_u8, 20, 51, 102, 153, 204, 254];
        let mut worst = 0.0_f64;
        for r in codes {
            for g in codes {
                for b in codes {
                    let rgb = decoded([r, g, b]);
                    let reflectance = Reflectance::upsampled(rgb);
                    assert!(reflectance.bands().iter().all(|value| (0.0..=1.0).contains(value)));
                    worst = worst.max(difference(reflectance.linear_srgb(), rgb));
                }
            }
        }
        println!("worst round trip {worst:.4} ΔE00");
        assert!(worst < ROUND_TRIP, "{worst}");
    }

    /// Colours outside sRGB that a paint has: cerulean's linear red is below 0.
    #[test]
    fn so_do_colours_outside_it() {
        for rgb in [[-0.04, 0.19, 0.56], [0.95, 0.42, -0.02], [-0.1, 0.3, 0.25]] {
            let back = Reflectance::upsampled(rgb).linear_srgb();
            assert!(difference(back, rgb) < ROUND_TRIP, "{rgb:?}: {back:?}");
        }
    }

    #[test]
    fn a_grey_is_flat() {
        for y in [0.01, 0.184_187, 0.9] {
            let reflectance = Reflectance::upsampled([y; 3]);
            assert!(reflectance.bands().iter().all(|value| (value - y).abs() < 1e-6), "{reflectance:?}");
        }
    }

    /// Black, white, a colour beyond the optimal ones, and nonsense have a reflectance all the same.
    #[test]
    fn what_no_paint_has_takes_the_nearest() {
        for rgb in [[0.0; 3], [1.0; 3], [1.4; 3], [-0.5, 1.2, -0.5], [2.0, -1.0, 3.0], [f64::NAN, 0.0, 0.5]] {
            let reflectance = Reflectance::upsampled(rgb);
            assert!(
                reflectance.bands().iter().all(|value| (0.0..=1.0).contains(value)),
                "{rgb:?}: {reflectance:?}"
            );
        }
        let white = Reflectance::upsampled([1.0; 3]).luminance();
        assert!((white - LUMINANCES.1).abs() < 1e-6, "{white}");
    }

    /// Colours of the daylight tables: illuminant D65 is x = .31272, y = .32903 (CIE 15), the tables' own to 10 nm.
    #[test]
    fn the_tables_have_the_white_of_d65() {
        let sums: [f64; 3] =
            std::array::from_fn(|axis| OBSERVER_AND_D65.iter().map(|band| band[axis] * band[3]).sum::<f64>());
        let sum: f64 = sums.iter().sum();
        assert!((sums[0] / sum - 0.312_72).abs() < 2e-4, "{}", sums[0] / sum);
        assert!((sums[1] / sum - 0.329_03).abs() < 2e-4, "{}", sums[1] / sum);
    }
}
