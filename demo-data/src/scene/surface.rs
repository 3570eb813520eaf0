//! What things are made of: colour before light falls on it.

use crate::noise::{cell, fbm, noise};
use crate::vector::{V3, grey, mix, smoothstep, v3};

/// What a place in the picture belongs to; the painting gives each its own pigments.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Region {
    Sky,
    FarHill,
    NearHill,
    Water,
    Mud,
    Quay,
    Wall,
    Roof,
    DarkHull,
    RedHull,
    PaleHull,
    Spar,
    Buoy,
}

/// How a surface varies over its own coordinates `u`, `v` (metres, unless said).
#[derive(Clone, Copy)]
pub(crate) enum Finish {
    Plain,
    /// Boat's planks: `u` metres along, `v` metres above the keel; below `water` it is `below`.
    Planks {
        below: V3,
        line: V3,
        water: f32,
    },
    /// Grain along `v`.
    Timber,
    /// Coursed stone, `v` metres up; weed grows below `weed`.
    Masonry {
        weed: f32,
    },
    Slates,
    /// Old limewash.
    Limewash,
    Glass,
}

#[derive(Clone, Copy)]
pub(crate) struct Surface {
    pub(crate) finish: Finish,
    /// Linear reflectance.
    pub(crate) colour: V3,
    pub(crate) region: Region,
}

impl Surface {
    /// Reflectance and gloss (share of a mirror's light, seen square on) at `u`, `v`.
    pub(crate) fn at(&self, u: f32, v: f32) -> (V3, f32) {
        let c = self.colour;
        match self.finish {
            Finish::Plain => (c * (1.0 + 0.12 * fbm(5, u * 3.0, v * 3.0, 3)), 0.01),
            Finish::Planks { below, line, water } => planks(c, below, line, v - water, u, v),
            Finish::Timber => (c * (1.0 + 0.35 * fbm(31, u * 9.0, v * 0.9, 3)), 0.01),
            Finish::Masonry { weed } => (masonry(c, weed, u, v), 0.015),
            Finish::Slates => (slates(c, u, v), 0.03),
            Finish::Limewash => {
                let stain = smoothstep(0.1, 0.6, fbm(52, u * 0.7, v * 0.25, 4));
                let damp = smoothstep(0.9, 0.0, v + 0.4 * noise(53, u * 1.3, 0.0));
                let worn =
                    c * (1.0 - 0.16 * stain - 0.25 * damp) * (1.0 + 0.06 * noise(54, u * 6.0, v * 6.0));
                (worn, 0.0)
            }
            Finish::Glass => (c, 0.12),
        }
    }
}

fn planks(top: V3, below: V3, line: V3, above: f32, u: f32, v: f32) -> (V3, f32) {
    let edge = 0.012 * noise(11, u * 4.0, 0.0);
    let mut c = if above < edge {
        below * (1.0 + 0.5 * fbm(12, u * 2.5, v * 5.0, 4))
    } else if above < 0.07 + edge {
        line
    } else {
        top * (1.0 + 0.18 * fbm(13, u * 1.1, v * 2.0, 4))
    };
    // A seam every 17 cm, and streaks of rust and wet that run down from it.
    let seam = (v / 0.17).fract();
    if above > 0.07 && (!(0.05..=0.97).contains(&seam)) {
        c = c * 0.72;
    }
    let streak = smoothstep(0.15, 0.75, fbm(14, u * 3.2, v * 0.35, 4));
    c = mix(c, v3(0.09, 0.06, 0.04), 0.35 * streak);
    // Mud has dried on the lowest planks.
    let caked = smoothstep(0.12, -0.3, above + 0.16 * fbm(15, u * 2.0, v * 2.0, 4));
    (mix(c, v3(0.10, 0.085, 0.065), 0.75 * caked), 0.045 * (1.0 - caked))
}

fn masonry(stone: V3, weed: f32, u: f32, v: f32) -> V3 {
    let course = (v / 0.42).floor();
    let shift = cell(21, course as i32, 0) * 0.9;
    let long = 0.75 + 0.5 * cell(22, course as i32, 1);
    let block = ((u + shift) / long).floor();
    let (fu, fv) = ((u + shift) / long - block, v / 0.42 - course);
    let tone = 0.7 + 0.6 * cell(23, block as i32, course as i32);
    let warm = mix(v3(1.06, 1.0, 0.9), v3(0.92, 1.0, 1.08), cell(24, block as i32, course as i32));
    let joint = fu.min(1.0 - fu) * long < 0.035 || fv.min(1.0 - fv) < 0.075;
    let mut c = stone.times(warm) * (tone * (1.0 + 0.3 * fbm(25, u * 3.0, v * 3.0, 4)));
    if joint {
        c = c * 0.45;
    }
    let line = weed + 0.35 * fbm(26, u * 0.6, 0.0, 4) + 0.25 * noise(27, u * 3.0, v);
    let grown = smoothstep(line + 0.15, line - 0.15, v);
    let green =
        mix(v3(0.022, 0.026, 0.012), v3(0.05, 0.055, 0.018), 0.5 + 0.8 * fbm(28, u * 4.0, v * 2.0, 3));
    let stained = mix(c, c * 0.55, smoothstep(weed + 1.1, weed, v));
    mix(stained, green, 0.9 * grown)
}

fn slates(slate: V3, u: f32, v: f32) -> V3 {
    let course = (v / 0.24).floor();
    let column = (u / 0.32 + 0.5 * (course - 2.0 * (course / 2.0).floor())).floor();
    let tone = 0.82 + 0.36 * cell(41, column as i32, course as i32);
    let lap = if (v / 0.24).fract() < 0.16 { 0.62 } else { 1.0 };
    let moss = smoothstep(0.2, 0.6, fbm(42, u * 0.5, v * 0.5, 4));
    mix(slate * (tone * lap), v3(0.16, 0.15, 0.05), 0.5 * moss) + grey(0.004)
}
