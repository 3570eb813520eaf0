//! The bed of the harbour at low water: banks, the channel, pools, and the wet skin over all.

use crate::noise::{cell, fbm, noise};
use crate::scene::village::{END, FACE};
use crate::vector::{V3, lerp, mix, smoothstep, v3};

/// The water that is left stands at this height, metres.
pub(super) const WATER: f32 = -0.16;

/// Where a hull lies, in plan.
struct Berth {
    x: f32,
    z: f32,
    /// Unit, from its middle to its bow.
    bow: (f32, f32),
    half_length: f32,
    half_beam: f32,
}

/// Boats sink a little and the ebb scours a pool about them.
const BERTHS: [Berth; 5] = [
    Berth { x: 2.45, z: 13.6, bow: (-0.765, -0.644), half_length: 3.7, half_beam: 1.0 },
    Berth { x: -4.7, z: 20.5, bow: (0.778, -0.628), half_length: 2.7, half_beam: 0.85 },
    Berth { x: 0.6, z: 35.0, bow: (-0.946, -0.323), half_length: 3.7, half_beam: 0.95 },
    Berth { x: -9.5, z: 37.5, bow: (0.976, 0.219), half_length: 2.9, half_beam: 0.9 },
    Berth { x: -2.1, z: 9.2, bow: (0.581, 0.814), half_length: 1.3, half_beam: 0.5 },
];

/// The middle of the channel at a distance: through these points, smoothly.
const COURSE: [(f32, f32); 9] = [
    (0.0, 2.4),
    (4.0, 1.5),
    (8.0, -0.75),
    (14.0, -1.75),
    (20.0, -0.2),
    (27.0, 3.3),
    (40.0, 7.5),
    (62.0, 13.0),
    (120.0, 24.0),
];

fn channel(z: f32) -> f32 {
    let i = COURSE.iter().rposition(|k| k.0 <= z).unwrap_or(0).min(COURSE.len() - 2);
    let at = |k: usize| COURSE[k.min(COURSE.len() - 1)];
    let (a, b) = (at(i), at(i + 1));
    let (before, after) = (at(i.saturating_sub(1)), at(i + 2));
    // Cubic Hermite, with the slope at a point taken from its neighbours.
    let width = b.0 - a.0;
    let slope = |p: (f32, f32), q: (f32, f32)| (q.1 - p.1) / (q.0 - p.0).max(1e-3);
    let (m0, m1) = (slope(before, b) * width, slope(a, after) * width);
    let t = ((z - a.0) / width).clamp(0.0, 1.0);
    let (t2, t3) = (t * t, t * t * t);
    (2.0 * t3 - 3.0 * t2 + 1.0) * a.1
        + (t3 - 2.0 * t2 + t) * m0
        + (3.0 * t2 - 2.0 * t3) * b.1
        + (t3 - t2) * m1
}

/// How far a place lies outside the nearest hull's footprint: 0 under it, 1 its own half width away.
fn off_berth(x: f32, z: f32) -> f32 {
    BERTHS.iter().fold(9.0, |least: f32, berth| {
        let (dx, dz) = (x - berth.x, z - berth.z);
        if dx.abs() + dz.abs() > 2.0 * berth.half_length + 1.0 {
            return least;
        }
        let along = (dx * berth.bow.0 + dz * berth.bow.1) / berth.half_length;
        let aside = (dx * berth.bow.1 - dz * berth.bow.0) / berth.half_beam;
        least.min((along * along + aside * aside).sqrt() - 1.0).max(0.0)
    })
}

/// Height of the bed, metres.
pub(super) fn height(x: f32, z: f32) -> f32 {
    let fade = 1.0 / (1.0 + z * z * 0.0011);
    let broad = 0.20 * fbm(91, x * 0.23, z * 0.19, 3);
    let fine = 0.085 * fade * fbm(92, x * 1.1, z * 1.0, 4);
    let wobble = 0.5 * noise(93, x * 0.2, z * 0.45) + 0.25 * noise(94, x * 0.9, z * 1.1);
    let wide = 0.85 + 0.055 * z + wobble * (0.5 + 0.02 * z);
    let off = (x - channel(z)).abs() / wide.max(0.3);
    let carved = -0.38 * smoothstep(1.9, 0.2, off) + 0.05 * smoothstep(3.2, 1.9, off);
    let scour = -0.12 * smoothstep(0.9, 0.1, off_berth(x, z));
    // The open water beyond the moorings, and a beach under the quay.
    let sea = -0.6 * smoothstep(46.0, 66.0, z - 0.25 * x) * smoothstep(END - 2.0, END + 4.0, x);
    let beach = 0.9 * smoothstep(7.0, 0.0, FACE - z) * smoothstep(END + 3.0, END - 2.0, x);
    broad + fine + carved + scour + sea + beach + 0.015
}

/// What the bed is like where it lies bare.
pub(super) struct Bed {
    pub(super) normal: V3,
    pub(super) colour: V3,
    /// Share of a mirror's light that the wet film throws back (before Fresnel's factor).
    pub(super) shine: f32,
    /// What is left of the open sky's light near hulls, 0–1.
    pub(super) open: f32,
}

pub(super) fn bed(x: f32, z: f32, h: f32) -> Bed {
    let step = 0.03 + 0.002 * z;
    let (hx, hz) = (height(x + step, z) - h, height(x, z + step) - h);
    let fade = 1.0 / (1.0 + z * 0.06);
    // Ripple marks and worm casts.
    let marks = smoothstep(-0.2, 0.3, noise(95, x * 0.5, z * 0.4));
    let tiny = |x: f32, z: f32| {
        let bend = 0.5 * noise(59, x * 0.8, z * 0.8);
        0.022 * fbm(51, x * 5.5, z * 6.5, 4) + 0.007 * marks * noise(96, x * 2.2 + z, z * 15.0 + 3.0 * bend)
    };
    let t = tiny(x, z);
    let (tx, tz) = (tiny(x + 0.015, z) - t, tiny(x, z + 0.015) - t);
    let rough = |slope: f32| slope / (1.0 + 0.8 * slope.abs());
    let normal = v3(-rough(hx / step + fade * tx / 0.015), 1.0, -rough(hz / step + fade * tz / 0.015)).unit();

    let wet = smoothstep(0.20, -0.12, h + 0.10 * fbm(97, x * 0.8, z * 0.8, 4));
    let dry = v3(0.235, 0.19, 0.135);
    let soaked = v3(0.085, 0.070, 0.052);
    let mut colour = mix(dry, soaked, wet) * (1.0 + 0.5 * fbm(98, x * 3.2, z * 3.2, 5));
    let mut shine = lerp(0.22, 1.0, wet);
    // Shells and pebbles.
    let (gx, gz) = ((x * 14.0).floor(), (z * 10.0).floor());
    let chance = cell(50, gx as i32, gz as i32);
    if chance > 0.962 && z < 16.0 {
        let (dx, dz) = ((x * 14.0 - gx - 0.5) * 1.2, z * 10.0 - gz - 0.5);
        if dx * dx + dz * dz < 0.16 * (chance - 0.955) / 0.045 {
            colour = mix(v3(0.035, 0.033, 0.03), v3(0.5, 0.47, 0.4), smoothstep(0.965, 1.0, chance));
            shine *= 0.4;
        }
    }
    // Weed in ribbons, thicker along the banks and under the quay.
    let weed = smoothstep(0.16, 0.36, fbm(99, x * 0.9, z * 0.55, 5) + 0.25 * smoothstep(6.0, 1.0, FACE - z));
    let torn = weed * smoothstep(-0.25, 0.2, noise(90, x * 7.0, z * 5.0));
    colour = mix(colour, v3(0.030, 0.034, 0.012), 0.85 * torn);
    shine *= 1.0 - 0.75 * torn;
    let open = 0.35 + 0.65 * smoothstep(-0.05, 0.8, off_berth(x, z));
    Bed { normal, colour, shine, open }
}

/// The slight unrest of the water: the direction of its surface.
pub(super) fn ripples(x: f32, z: f32) -> V3 {
    let gust = smoothstep(0.0, 0.5, fbm(55, x * 0.25, z * 0.08, 3));
    let strength = (0.006 + 0.05 * gust) / (1.0 + 0.02 * z);
    let a = noise(56, x * 1.6, z * 6.0) + 0.6 * noise(57, x * 4.0, z * 15.0);
    let b = noise(58, x * 2.4, z * 2.0);
    v3(0.4 * strength * b, 1.0, strength * a).unit()
}
