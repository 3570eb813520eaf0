//! Transparent paints, and how thickly one lies for a wanted tone.

use crate::scene::Region;
use crate::tone::luminance;
use crate::vector::{V3, mix, v3};

/// Linear reflectance of the bare paper.
pub(crate) const PAPER: V3 = v3(0.885, 0.875, 0.845);

/// How much of red, green and blue a wash of unit strength takes away (natural logarithm).
pub(crate) type Pigment = V3;

const TURQUOISE: Pigment = v3(1.15, 0.30, 0.24);
const COBALT: Pigment = v3(1.25, 0.78, 0.22);
const VIOLET: Pigment = v3(0.78, 1.15, 0.34);
const INDIGO: Pigment = v3(1.25, 0.95, 0.58);
const ROSE: Pigment = v3(0.14, 1.05, 0.55);
const CORAL: Pigment = v3(0.05, 0.72, 0.95);
const ORANGE: Pigment = v3(0.06, 0.52, 1.35);
const GOLD: Pigment = v3(0.05, 0.26, 1.15);
const SIENNA: Pigment = v3(0.35, 0.85, 1.25);
const TEAL: Pigment = v3(1.40, 0.66, 0.62);
const PLUM: Pigment = v3(0.72, 1.25, 0.72);

/// The paints of a part of the picture: in its lights, its middle tones and its darks, and how much they granulate.
pub(crate) fn palette(region: Region) -> ([Pigment; 3], f32) {
    match region {
        Region::Sky => ([mix(GOLD, CORAL, 0.4), mix(TURQUOISE, COBALT, 0.15), COBALT], 0.5),
        Region::FarHill => ([ROSE, VIOLET, VIOLET], 0.9),
        Region::NearHill => ([CORAL, mix(VIOLET, ROSE, 0.35), mix(VIOLET, INDIGO, 0.5)], 0.9),
        Region::Water => ([mix(GOLD, CORAL, 0.5), mix(TURQUOISE, TEAL, 0.2), mix(TEAL, INDIGO, 0.5)], 0.4),
        Region::Mud => ([mix(GOLD, ORANGE, 0.4), mix(ROSE, ORANGE, 0.45), mix(PLUM, VIOLET, 0.5)], 1.0),
        Region::Quay => ([ROSE, mix(VIOLET, COBALT, 0.45), INDIGO], 1.0),
        Region::Wall => ([GOLD, mix(ORANGE, ROSE, 0.3), VIOLET], 0.6),
        Region::Roof => ([TURQUOISE, mix(TURQUOISE, TEAL, 0.5), INDIGO], 0.6),
        Region::DarkHull => ([CORAL, mix(PLUM, VIOLET, 0.6), mix(INDIGO, PLUM, 0.45)], 0.7),
        Region::RedHull => ([GOLD, ORANGE, SIENNA], 0.3),
        Region::PaleHull => ([mix(GOLD, ROSE, 0.35), mix(COBALT, VIOLET, 0.4), INDIGO], 0.5),
        Region::Spar => ([ORANGE, SIENNA, mix(PLUM, INDIGO, 0.6)], 0.4),
        Region::Buoy => ([CORAL, mix(CORAL, ROSE, 0.3), PLUM], 0.2),
    }
}

/// Paper seen through a wash.
pub(crate) fn washed(pigment: Pigment, strength: f32) -> V3 {
    let through = |a: f32| libm::expf(-a * strength);
    PAPER.times(v3(through(pigment.x), through(pigment.y), through(pigment.z)))
}

/// The strength at which a wash has the relative luminance `y`; as strong as paint gets, if it cannot be so dark.
pub(crate) fn strength_for(pigment: Pigment, y: f32) -> f32 {
    const STRONGEST: f32 = 6.0;
    let (mut weak, mut strong) = (0.0, STRONGEST);
    for _ in 0..14 {
        let middle = 0.5 * (weak + strong);
        if luminance(washed(pigment, middle)) > y {
            weak = middle;
        } else {
            strong = middle;
        }
    }
    0.5 * (weak + strong)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Halving finds the strength; laid on, the wash must have the tone asked for. Pale paints are asked for no darks.
    #[test]
    fn a_wash_has_the_tone_it_was_mixed_for() {
        for (pigment, darkest) in [(TURQUOISE, 0.2), (VIOLET, 0.05), (ORANGE, 0.2), (INDIGO, 0.03)] {
            for y in [0.8, 0.5, 0.2, 0.05, 0.03] {
                let got = luminance(washed(pigment, strength_for(pigment, y)));
                if y >= darkest {
                    assert!((got - y).abs() < 0.002, "{pigment:?} {y} {got}");
                } else {
                    assert!(got >= y - 0.002, "{pigment:?} {y} {got}");
                }
            }
        }
    }
}
