//! Colours of measured reflectances, by tables and formulas apart from core's.

use crate::Fixtures;

/// The CIE 1931 2° observer under D65, every 10 nm from 380 to 780 nm, from colour-science's tables.
pub struct Observer {
    /// X, Y and Z of each band's light, Y of all summing to 1.
    bands: Vec<[f64; 3]>,
}

/// IEC 61966-2-1 with the primaries' own precision (colour-science 0.4.7).
const SRGB_FROM_XYZ: [[f64; 3]; 3] = [
    [3.240_969_9, -1.537_383_2, -0.498_610_8],
    [-0.969_243_6, 1.875_967_5, 0.041_555_1],
    [0.055_630_1, -0.203_977_0, 1.056_971_5],
];

impl Observer {
    /// From the tables.
    ///
    /// # Panics
    /// Where they cannot be fetched, or are not what they were.
    #[must_use]
    pub fn new(fixtures: &Fixtures) -> Self {
        let observers = fixtures.standard_observers();
        let illuminants = fixtures.illuminants();
        let mut bands: Vec<[f64; 3]> = (380..=780)
            .step_by(10)
            .map(|wavelength| {
                let power = entry(&illuminants, "\"D65\": {", wavelength)[0];
                let matching = entry(&observers, "\"CIE 1931 2 Degree Standard Observer\": {", wavelength);
                std::array::from_fn(|axis| matching[axis] * power)
            })
            .collect();
        let y: f64 = bands.iter().map(|band| band[1]).sum();
        bands.iter_mut().flatten().for_each(|value| *value /= y);
        Self { bands }
    }

    /// Linear sRGB of a reflectance of 41 bands.
    #[must_use]
    pub fn linear_srgb(&self, reflectance: &[f64]) -> [f64; 3] {
        assert_eq!(reflectance.len(), self.bands.len(), "a band each");
        let xyz: [f64; 3] = std::array::from_fn(|axis| {
            self.bands.iter().zip(reflectance).map(|(band, reflected)| band[axis] * reflected).sum()
        });
        SRGB_FROM_XYZ.map(|row| row[0] * xyz[0] + row[1] * xyz[1] + row[2] * xyz[2])
    }

    /// 8-bit sRGB of a reflectance, clipped.
    #[must_use]
    pub fn srgb(&self, reflectance: &[f64]) -> [u8; 3] {
        self.linear_srgb(reflectance).map(|linear| {
            let encoded =
                if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 };
            (255.0 * encoded).round() as u8
        })
    }

    /// Linear sRGB of the mean of reflectances.
    #[must_use]
    pub fn mean(&self, reflectances: &[&Vec<f64>]) -> [f64; 3] {
        let mean: Vec<f64> = (0..self.bands.len())
            .map(|band| reflectances.iter().map(|one| one[band]).sum::<f64>() / reflectances.len() as f64)
            .collect();
        self.linear_srgb(&mean)
    }

    /// Linear light of 8-bit sRGB (IEC 61966-2-1).
    #[must_use]
    pub fn decoded(srgb: [u8; 3]) -> [f64; 3] {
        srgb.map(|code| {
            let encoded = f64::from(code) / 255.0;
            if encoded <= 0.04045 { encoded / 12.92 } else { ((encoded + 0.055) / 1.055).powf(2.4) }
        })
    }
}

/// The numbers at a wavelength in the table that a heading begins, `380: (x, y, z),` or `380: power,`.
fn entry(tables: &str, heading: &str, wavelength: u32) -> Vec<f64> {
    let table = &tables[tables.find(heading).expect("the table is there")..];
    let begin = format!("{wavelength}: ");
    let line =
        table.lines().find_map(|line| line.trim().strip_prefix(&begin)).expect("every 5 nm have a line");
    let numbers = line.trim_matches(|c: char| "(), ".contains(c)).split(", ");
    numbers.map(|number| number.parse().expect("the table holds numbers")).collect()
}
