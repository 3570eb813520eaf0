//! The painting as photographed: taped to a board that leans on an easel, a grey card clipped above it.

use crate::canvas::Canvas;
use crate::noise::{SplitMix64, fbm, noise};
use crate::painting::{PAPER, tooth};
use crate::plane::Plane;
use crate::vector::{V3, grey, lerp, mix, smoothstep, v3};

pub(crate) const WIDTH: usize = 1500;
pub(crate) const HEIGHT: usize = 2000;

/// The board's corners in the photograph, clockwise from its top left, pixels.
const BOARD_CORNERS: [(f64, f64); 4] = [(158.0, 118.0), (1322.0, 192.0), (1362.0, 1752.0), (112.0, 1812.0)];
/// Its size, and where things lie on it (left, top, right, bottom), millimetres.
const BOARD: (f64, f64) = (372.0, 520.0);
pub(crate) const PAPER_PLACE: [f64; 4] = [24.0, 74.0, 348.0, 498.0];
pub(crate) const PAINTED: [f64; 4] = [42.0, 94.0, 330.0, 478.0];
pub(crate) const CARD: [f64; 4] = [250.0, 8.0, 335.0, 62.0];
/// Paper left white, for the eye and for the light to be judged by.
pub(crate) const BARE_SPOT: (f64, f64) = (33.0, 300.0);
/// Reflectance of a photographer's grey card.
const CARD_REFLECTANCE: f32 = 0.18;
/// Samples a pixel along each side.
const SIDE: usize = 2;

pub(crate) fn board() -> Plane {
    Plane::new(BOARD.0, BOARD.1, BOARD_CORNERS)
}

/// Draws the photograph of a painting that was drawn flat.
pub(crate) fn photograph(painting: &Canvas) -> Canvas {
    let plane = board();
    Canvas::drawn(WIDTH, HEIGHT, |x, y| {
        let mut draws = SplitMix64::new(0xea5e_1000_0000_0000 ^ (((y as u64) << 32) | x as u64));
        let mut sum = grey(0.0);
        for i in 0..SIDE * SIDE {
            let px = x as f32 + ((i % SIDE) as f32 + draws.unit()) / SIDE as f32;
            let py = y as f32 + ((i / SIDE) as f32 + draws.unit()) / SIDE as f32;
            sum = sum + seen(painting, &plane, px, py);
        }
        sum * (1.0 / (SIDE * SIDE) as f32)
    })
}

fn seen(painting: &Canvas, plane: &Plane, px: f32, py: f32) -> V3 {
    let (bx, by) = plane.own(f64::from(px), f64::from(py));
    // The light comes from a window on the left and a little above.
    let light = 1.015 - 0.035 * (px / WIDTH as f32) - 0.02 * (py / HEIGHT as f32);
    if inside([0.0, 0.0, BOARD.0, BOARD.1], bx, by) > 0.0 {
        return on_board(painting, bx, by) * light;
    }
    if let Some(colour) = tray(px, py) {
        return colour * light;
    }
    // The board's lower edge has a thickness.
    let (ex, ey) = plane.own(f64::from(px) - 5.0, f64::from(py) - 9.0);
    if inside([0.0, 0.0, BOARD.0, BOARD.1], ex, ey) > 0.0 {
        return v3(0.10, 0.065, 0.04) * light;
    }
    if let Some(colour) = legs(px, py) {
        return colour * light;
    }
    room(plane, px, py)
}

fn on_board(painting: &Canvas, bx: f64, by: f64) -> V3 {
    let (x, y) = (bx as f32, by as f32);
    if let Some(colour) = clip(x, y) {
        return colour;
    }
    if inside(CARD, bx, by) > 0.0 {
        return grey(CARD_REFLECTANCE * (1.0 + 0.02 * noise(401, x * 3.0, y * 3.0)));
    }
    // A shadow falls a little to the right of and below whatever lies on something else.
    let under = |place: [f64; 4], reach: f64| {
        1.0 - 0.45 * smoothstep(-1.6, 0.3, inside(place, bx - reach, by - reach) as f32)
    };
    let ragged = 0.28 * noise(402, x * 0.9, y * 0.9) + 0.12 * noise(403, x * 4.0, y * 4.0);
    let sheet = inside(PAPER_PLACE, bx, by) as f32 + 0.5 * ragged;
    if let Some(colour) = tape(x, y, sheet) {
        return colour;
    }
    if sheet > 0.0 {
        let (u, v) = painted_place(bx, by);
        let relief = tooth(u, v) - tooth(u + 0.0012, v + 0.0008);
        let buckled = 0.02 * fbm(404, x * 0.014, y * 0.011, 2);
        let shade = 1.0 + 0.035 * relief + buckled;
        let edge = inside(PAINTED, bx, by) as f32 + ragged;
        let covered = smoothstep(-0.05, 0.2, edge);
        let mut colour = PAPER;
        if covered > 0.0 {
            let painted = sampled(painting, u, v);
            // Paint gathered against the tape.
            let gathered = 1.0 - 0.16 * smoothstep(1.1, 0.1, edge);
            colour = mix(PAPER, painted * gathered, covered);
        }
        return colour * shade;
    }
    let ply = v3(0.43, 0.295, 0.175)
        * (1.0 + 0.16 * fbm(405, x * 0.22, y * 0.016, 5) + 0.06 * noise(406, x * 2.6, y * 0.06));
    let worn = mix(ply, v3(0.30, 0.27, 0.25), 0.35 * smoothstep(0.15, 0.5, fbm(407, x * 0.02, y * 0.02, 4)));
    worn * under(PAPER_PLACE, 1.2) * under(CARD, 1.8)
}

/// Where a place on the board lies on the painting, in widths of it.
fn painted_place(bx: f64, by: f64) -> (f32, f32) {
    let width = PAINTED[2] - PAINTED[0];
    (((bx - PAINTED[0]) / width) as f32, ((by - PAINTED[1]) / width) as f32)
}

/// Strips of masking tape at the paper's corners and along its sides' middles.
fn tape(x: f32, y: f32, sheet: f32) -> Option<V3> {
    const STRIPS: [(f32, f32, f32, f32, f32); 6] = [
        (26.0, 76.0, 42.0, 13.0, -0.78),
        (346.0, 76.0, 40.0, 13.0, 0.80),
        (346.0, 496.0, 42.0, 13.0, -0.75),
        (26.0, 496.0, 40.0, 13.0, 0.82),
        (23.0, 286.0, 13.0, 46.0, 0.02),
        (349.0, 270.0, 13.0, 44.0, -0.03),
    ];
    STRIPS.iter().enumerate().find_map(|(i, &(cx, cy, w, h, turn))| {
        let (s, c) = (libm::sinf(turn), libm::cosf(turn));
        let (dx, dy) = (x - cx, y - cy);
        let (a, b) = (dx * c + dy * s, dy * c - dx * s);
        let torn = 0.7 * noise(411 + i as u32, a * 1.1, b * 1.1);
        let (ia, ib) = (0.5 * w - a.abs(), 0.5 * h - b.abs());
        let (short, long) = if w > h { (ia + torn, ib) } else { (ib + torn, ia) };
        if short < 0.0 || long < 0.0 {
            return None;
        }
        let crepe =
            1.0 + 0.07 * noise(421, a * if w > h { 1.6 } else { 0.4 }, b * if w > h { 0.4 } else { 1.6 });
        let over = smoothstep(-0.3, 0.3, sheet);
        Some(mix(v3(0.52, 0.43, 0.27), v3(0.68, 0.61, 0.45), over) * crepe)
    })
}

/// The steel clip that holds the card to the board's top edge.
fn clip(x: f32, y: f32) -> Option<V3> {
    let (dx, dy) = (x - 292.0, y - 6.0);
    let half = lerp(17.0, 14.0, smoothstep(-6.0, 9.0, dy));
    if dx.abs() > half || !(-6.0..9.0).contains(&dy) {
        return None;
    }
    let shine = 0.16 * smoothstep(2.2, 0.0, (dy - 1.0).abs()) + 0.05 * smoothstep(1.0, 0.0, (dy - 7.6).abs());
    Some(grey(0.022 + shine * (1.0 + 0.2 * noise(431, x * 0.4, y))))
}

/// Bilinear, in linear light; `u`, `v` in widths, held inside.
fn sampled(painting: &Canvas, u: f32, v: f32) -> V3 {
    let (w, h) = (painting.width, painting.height);
    let x = (u * w as f32 - 0.5).clamp(0.0, (w - 1) as f32);
    let y = (v * w as f32 - 0.5).clamp(0.0, (h - 1) as f32);
    let (ix, iy) = (x as usize, y as usize);
    let (jx, jy) = ((ix + 1).min(w - 1), (iy + 1).min(h - 1));
    let (fx, fy) = (x - ix as f32, y - iy as f32);
    mix(
        mix(painting.at(ix, iy), painting.at(jx, iy), fx),
        mix(painting.at(ix, jy), painting.at(jx, jy), fx),
        fy,
    )
}

/// The ledge that the board stands on.
fn tray(px: f32, py: f32) -> Option<V3> {
    let top = lerp(1800.0, 1738.0, (px - 60.0) / 1360.0);
    if !(60.0..1420.0).contains(&px) || !(top..top + 62.0).contains(&py) {
        return None;
    }
    let wood = beech(px, (py - top) * 6.0);
    let face = if py - top < 14.0 { 1.12 } else { 0.72 };
    Some(wood * face)
}

/// What shows of the easel: its mast above the board and its legs below.
fn legs(px: f32, py: f32) -> Option<V3> {
    let post = |top: (f32, f32), foot: (f32, f32), half: f32| {
        let t = (py - top.1) / (foot.1 - top.1);
        let off = px - lerp(top.0, foot.0, t);
        (off.abs() < half && (0.0..=1.0).contains(&t)).then(|| {
            let round = if off < -0.55 * half { 1.1 } else { 0.8 };
            beech(py, off * 6.0) * round
        })
    };
    post((742.0, 34.0), (742.0, 400.0), 34.0)
        .or_else(|| post((420.0, 1500.0), (270.0, 2010.0), 33.0))
        .or_else(|| post((1050.0, 1500.0), (1205.0, 2010.0), 33.0))
}

fn beech(along: f32, across: f32) -> V3 {
    v3(0.46, 0.27, 0.13) * (1.0 + 0.25 * fbm(441, along * 0.004, across * 0.03, 5))
}

/// A limewashed wall with the easel's soft shadow on it, and a floor.
fn room(plane: &Plane, px: f32, py: f32) -> V3 {
    let (u, v) = (px / WIDTH as f32, py / HEIGHT as f32);
    let window = 0.88 - 0.30 * u - 0.16 * v + 0.08 * smoothstep(0.6, 0.0, u);
    let plaster = 1.0 + 0.05 * fbm(451, u * 5.0, v * 7.0, 5) + 0.018 * noise(452, px * 0.045, py * 0.045);
    let (sx, sy) = plane.own(f64::from(px) - 70.0, f64::from(py) - 46.0);
    let cast = smoothstep(-24.0, 14.0, inside([0.0, 0.0, BOARD.0, BOARD.1], sx, sy) as f32);
    let wall = v3(0.60, 0.585, 0.55) * (window * plaster) * (1.0 - 0.52 * cast);
    let line = 1893.0 + 8.0 * u;
    if py < line - 3.0 {
        return wall;
    }
    let depth = (py - line) / 110.0;
    let boards = ((px - 750.0) / (1.0 + 0.6 * depth) / 170.0 + 40.0).fract();
    let seam = smoothstep(0.02, 0.0, boards.min(1.0 - boards));
    let floor = v3(0.20, 0.135, 0.085)
        * ((0.75 - 0.3 * u)
            * (1.0 + 0.2 * fbm(461, px * 0.02, py * 0.004, 4))
            * (1.0 - 0.5 * seam)
            * (1.0 - 0.35 * cast));
    mix(wall * 0.8, floor, smoothstep(line - 3.0, line + 3.0, py))
}

/// How far inside a rectangle a place lies, millimetres; negative outside.
fn inside([left, top, right, bottom]: [f64; 4], x: f64, y: f64) -> f64 {
    (x - left).min(right - x).min(y - top).min(bottom - y)
}
