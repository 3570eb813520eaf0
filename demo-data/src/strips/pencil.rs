//! Numbers in soft pencil under the swatches.

use super::PaintedStrip;
use crate::noise::{cell, noise};
use crate::vector::smoothstep;

/// Height of a digit, and half the breadth of a line, millimetres.
const TALL: f32 = 5.6;
const LINE: f32 = 0.24;
/// How much light the darkest line takes.
const DARK: f32 = 0.62;
/// From a swatch's edge down to the top of its number.
const BELOW: f32 = 3.4;

/// Lines of the digits from 1, as places in a box of 0 to .6 across and 0 to 1 down.
const DIGITS: [&[(f32, f32)]; 8] = [
    &[(0.12, 0.22), (0.34, 0.0), (0.32, 1.0)],
    &[(0.03, 0.22), (0.16, 0.03), (0.4, 0.02), (0.52, 0.22), (0.4, 0.5), (0.0, 0.98), (0.58, 0.95)],
    &[
        (0.04, 0.1),
        (0.3, 0.0),
        (0.52, 0.18),
        (0.42, 0.4),
        (0.2, 0.47),
        (0.5, 0.58),
        (0.54, 0.82),
        (0.3, 1.0),
        (0.02, 0.9),
    ],
    &[(0.34, 0.0), (0.0, 0.62), (0.6, 0.6), (0.42, 0.34), (0.4, 1.0)],
    &[
        (0.54, 0.0),
        (0.12, 0.02),
        (0.06, 0.42),
        (0.36, 0.38),
        (0.56, 0.62),
        (0.46, 0.9),
        (0.2, 1.0),
        (0.02, 0.9),
    ],
    &[
        (0.46, 0.0),
        (0.16, 0.28),
        (0.03, 0.66),
        (0.14, 0.95),
        (0.4, 0.98),
        (0.54, 0.76),
        (0.42, 0.54),
        (0.2, 0.54),
        (0.05, 0.7),
    ],
    &[(0.02, 0.04), (0.56, 0.0), (0.34, 0.44), (0.22, 1.0)],
    &[
        (0.5, 0.12),
        (0.28, 0.0),
        (0.08, 0.16),
        (0.2, 0.4),
        (0.46, 0.6),
        (0.54, 0.82),
        (0.3, 1.0),
        (0.06, 0.84),
        (0.16, 0.58),
        (0.44, 0.36),
        (0.5, 0.12),
    ],
];

/// How much light pencil takes at a place of the sheet, 0 to 1: it stays on the peaks of the tooth.
pub(super) fn mark(x: f32, y: f32, tooth: f32, strips: &[PaintedStrip]) -> f32 {
    let numbered = strips.iter().flat_map(|strip| strip.swatches.iter().zip(DIGITS));
    let nearest = numbered.map(|(swatch, digit)| {
        let off = |seed: u32| cell(seed, swatch.seed as i32, 0) - 0.5;
        let (cx, cy) = swatch.centre;
        let (left, top) = (cx - 1.7 + 3.0 * off(531), cy + swatch.half.1 + BELOW + 1.2 * off(532));
        let (u, v) = ((x - left) / TALL, (y - top) / TALL);
        if !(-0.2..0.8).contains(&u) || !(-0.2..1.2).contains(&v) {
            return f32::INFINITY;
        }
        // No line of a hand is straight.
        let (u, v) = (u + 0.03 * noise(533, x * 0.5, y * 0.5), v + 0.03 * noise(534, x * 0.5, y * 0.5));
        TALL * digit.windows(2).map(|ends| from_line(u, v, ends[0], ends[1])).fold(f32::INFINITY, f32::min)
    });
    let pressed = 0.75 + 0.25 * noise(535, x * 0.3, y * 0.3);
    let away = nearest.fold(f32::INFINITY, f32::min);
    DARK * pressed * smoothstep(LINE + 0.16, LINE - 0.1, away) * smoothstep(-0.65, 0.15, tooth)
}

/// How far a place lies from the line between two.
fn from_line(u: f32, v: f32, from: (f32, f32), to: (f32, f32)) -> f32 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let along = (((u - from.0) * dx + (v - from.1) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    let (ox, oy) = (u - from.0 - along * dx, v - from.1 - along * dy);
    (ox * ox + oy * oy).sqrt()
}
