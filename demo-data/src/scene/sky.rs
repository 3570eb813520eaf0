//! The sky and the hills under it: all that is too far away to have a place, only a direction.

use crate::noise::{cell, fbm, noise};
use crate::scene::surface::Region;
use crate::vector::{V3, lerp, mix, smoothstep, v3};

/// The colour that distance fades to.
pub(super) const HAZE: V3 = v3(0.66, 0.66, 0.66);

/// Light from the sky alone along a unit direction.
pub(super) fn sky(along: V3) -> V3 {
    let up = along.y.max(0.0);
    let side = along.x / (along.z.abs() + 0.12);
    let low = mix(v3(0.84, 0.74, 0.60), v3(0.60, 0.68, 0.74), smoothstep(0.0, 0.2, up));
    let base = mix(low, v3(0.235, 0.40, 0.60), smoothstep(0.08, 0.52, up));
    // The sun stands out of the picture on the left.
    let near_sun = smoothstep(0.5, -0.75, side);
    let glow = near_sun * near_sun / (1.0 + 22.0 * up * up);
    let clear = base + v3(0.26, 0.17, 0.06) * glow;

    // Clouds lie in banks that flatten towards the horizon.
    let depth = 1.0 / (up + 0.10);
    let (x, y) = (side * (0.35 * depth + 1.1), depth * 1.15);
    let here = cloud(x, y, up);
    if here < 0.005 {
        return clear;
    }
    let sunward = cloud(x - 0.22, y - 0.10, up + 0.012);
    let lit = (0.55 + 0.95 * (here - sunward) + 0.18 * near_sun).clamp(0.0, 1.0);
    let shade = mix(v3(0.50, 0.52, 0.575), v3(0.62, 0.60, 0.60), smoothstep(0.3, 0.03, up));
    let bright = v3(0.97, 0.91, 0.81);
    let thick = smoothstep(0.0, 0.55, here);
    mix(clear, mix(shade, bright, smoothstep(0.08, 0.85, lit)), 0.92 * thick)
}

fn cloud(x: f32, y: f32, up: f32) -> f32 {
    let (wx, wy) = (noise(61, x * 0.9, y * 0.9), noise(62, x * 0.9, y * 0.9));
    let d = fbm(63, x * 0.62 + 0.35 * wx, y * 0.95 + 0.3 * wy, 6);
    // Two banks: one over the hills, one high up on the right.
    let bank =
        0.24 * smoothstep(0.16, 0.22, up) * smoothstep(0.36, 0.27, up) + 0.12 * smoothstep(0.14, 0.06, up);
    (d * 1.25 + bank - 0.05).max(0.0) * smoothstep(0.015, 0.07, up)
}

/// The foremost hill along a direction, if one hides the sky there.
pub(super) fn hills(along: V3, sun: V3) -> Option<(V3, Region)> {
    if along.z < 0.05 {
        return None;
    }
    let (a, e) = (along.x / along.z, along.y / along.z);
    if e > 0.26 {
        return None;
    }
    let near = 0.015 + 0.155 * smoothstep(0.14, -0.42, a) + 0.013 * fbm(71, a * 5.0, 0.3, 5);
    if e < near {
        return Some((near_hill(a, e, near, sun), Region::NearHill));
    }
    let middle = 0.020 + 0.072 * smoothstep(-0.02, 0.42, a) + 0.012 * fbm(72, a * 6.0, 0.7, 5);
    if e < middle {
        let c = slope(73, a, e, 16.0, v3(0.125, 0.15, 0.085), v3(0.20, 0.19, 0.10));
        let haze = lerp(0.62, 0.42, smoothstep(0.0, middle, e));
        return Some((mix(c, v3(0.53, 0.57, 0.62), haze), Region::NearHill));
    }
    let far = 0.078 + 0.05 * noise(74, a * 2.6 + 0.4, 0.0) + 0.012 * fbm(75, a * 9.0, 0.2, 5);
    if e < far {
        let c = slope(76, a, e, 12.0, v3(0.12, 0.15, 0.18), v3(0.2, 0.2, 0.2));
        let haze = lerp(0.84, 0.66, smoothstep(0.0, far, e));
        return Some((mix(c, v3(0.57, 0.61, 0.67), haze), Region::FarHill));
    }
    None
}

/// Hillside in side light: dark where it turns to the right, `lit` where to the left.
fn slope(seed: u32, a: f32, e: f32, scale: f32, dark: V3, lit: V3) -> V3 {
    let h = |a: f32, e: f32| fbm(seed, a * scale, e * scale * 1.6, 5);
    let turn = h(a, e) - h(a - 0.012, e + 0.006);
    mix(dark, lit, (0.5 + 3.2 * turn).clamp(0.0, 1.0))
}

fn near_hill(a: f32, e: f32, top: f32, sun: V3) -> V3 {
    // Fields: a slanted, wobbly chequer with hedges between.
    let (u, v) = (
        a * 17.0 + 0.8 * fbm(81, a * 7.0, e * 9.0, 3),
        e * 44.0 + a * 8.0 + 0.9 * fbm(82, a * 8.0, e * 12.0, 3),
    );
    let row = v.floor();
    let column = (u + 0.5 * row).floor();
    let kind = cell(83, column as i32, row as i32);
    let grass = mix(v3(0.12, 0.16, 0.045), v3(0.25, 0.225, 0.085), kind);
    let (fu, fv) = ((u + 0.5 * row) - column, v - row);
    let hedge = smoothstep(0.13, 0.05, fu.min(1.0 - fu)).max(smoothstep(0.2, 0.08, fv.min(1.0 - fv)));
    let ragged = hedge * smoothstep(-0.5, 0.15, noise(84, a * 130.0, e * 150.0));
    let shape = slope(85, a, e, 7.0, v3(0.55, 0.58, 0.66), v3(1.2, 1.12, 0.98));
    let mut c = grass.times(shape) * (1.0 + 0.2 * fbm(86, a * 90.0, e * 200.0, 3));
    c = mix(c, v3(0.035, 0.05, 0.025), 0.8 * ragged);
    // Woods: round tops, each lit from the left.
    let wood = smoothstep(
        0.02,
        0.22,
        fbm(87, a * 6.0, e * 14.0, 3)
            + 0.28 * smoothstep(0.05, 0.0, top - e)
            + 0.25 * smoothstep(0.09, 0.0, e)
            - 0.1,
    );
    if wood > 0.0 {
        let t = |a: f32, e: f32| noise(88, a * 85.0, e * 95.0) + 0.5 * noise(89, a * 190.0, e * 210.0);
        let lit = (0.42 + 1.1 * (t(a, e) - t(a - 0.0032, e + 0.0032))).clamp(0.0, 1.0);
        let leaf = mix(v3(0.018, 0.03, 0.022), v3(0.155, 0.15, 0.05), lit * (0.6 + 0.4 * sun.y));
        c = mix(c, leaf, 0.92 * wood);
    }
    mix(c, v3(0.50, 0.53, 0.57), lerp(0.30, 0.20, smoothstep(0.0, 0.15, e)))
}
