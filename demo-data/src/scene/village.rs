//! The quay and the cottages that stand on it.

use crate::mesh::{Builder, Mesh, Stand};
use crate::noise::SplitMix64;
use crate::scene::surface::{Finish, Region, Surface};
use crate::vector::{V3, v3};

/// The quay's face towards the viewer, its end on the right, and its height; metres.
pub(super) const FACE: f32 = 43.0;
pub(super) const END: f32 = -0.5;
const TOP: f32 = 3.3;

pub(super) fn build(mesh: &mut Mesh, surfaces: &mut Vec<Surface>) {
    let mut paint = |finish, colour, region| {
        surfaces.push(Surface { finish, colour, region });
        (surfaces.len() - 1) as u16
    };
    let stone = paint(Finish::Masonry { weed: 1.7 }, v3(0.30, 0.265, 0.215), Region::Quay);
    let coping = paint(Finish::Plain, v3(0.42, 0.38, 0.31), Region::Quay);
    let pile = paint(Finish::Timber, v3(0.03, 0.026, 0.022), Region::Spar);
    let glass = paint(Finish::Glass, v3(0.02, 0.022, 0.026), Region::Roof);
    let crate_wood = paint(Finish::Timber, v3(0.24, 0.16, 0.09), Region::Spar);
    let pot = paint(Finish::Plain, v3(0.06, 0.10, 0.115), Region::Roof);
    let door = paint(Finish::Plain, v3(0.03, 0.11, 0.15), Region::Roof);
    let slate = paint(Finish::Slates, v3(0.115, 0.125, 0.145), Region::Roof);
    let tile = paint(Finish::Slates, v3(0.26, 0.115, 0.065), Region::Roof);
    let brick = paint(Finish::Masonry { weed: -9.0 }, v3(0.24, 0.11, 0.07), Region::Roof);
    let washes = [
        v3(0.74, 0.71, 0.64),
        v3(0.62, 0.46, 0.28),
        v3(0.70, 0.66, 0.6),
        v3(0.60, 0.36, 0.27),
        v3(0.46, 0.52, 0.54),
        v3(0.76, 0.74, 0.69),
    ]
    .map(|c| paint(Finish::Limewash, c, Region::Wall));

    let mut b = Builder { mesh, stand: Stand { at: v3(0.0, 0.0, 0.0), turn: 0.0, lean: 0.0 } };
    b.block(v3(-60.0, -1.0, FACE), v3(END, TOP, FACE + 26.0), stone);
    b.block(v3(-60.0, TOP, FACE - 0.12), v3(END + 0.12, TOP + 0.22, FACE + 26.0), coping);
    // The mole runs on, lower, with a light on its head.
    b.block(v3(END, -1.0, FACE + 6.0), v3(6.2, TOP - 1.2, FACE + 10.0), stone);
    b.block(v3(END, TOP - 1.2, FACE + 5.9), v3(6.3, TOP - 1.05, FACE + 10.1), coping);
    light(&mut b, v3(5.2, TOP - 1.05, FACE + 8.0), (washes[5], tile, glass));
    let mut x = END - 0.8;
    while x > -24.0 {
        b.spar(v3(x, -0.5, FACE - 0.16), v3(x, TOP + 0.5, FACE - 0.12), (0.15, 0.13), pile);
        x -= 3.1;
    }
    for side in [-0.25, 0.25] {
        b.spar(
            v3(-6.1 + side, 0.0, FACE - 0.14),
            v3(-6.1 + side, TOP + 0.7, FACE - 0.12),
            (0.04, 0.04),
            pile,
        );
    }
    for rung in 0..12 {
        let y = 0.2 + 0.28 * rung as f32;
        b.spar(v3(-6.35, y, FACE - 0.14), v3(-5.85, y, FACE - 0.14), (0.03, 0.03), pile);
    }
    clutter(&mut b, (pile, crate_wood, pot));

    let mut draws = SplitMix64::new(0x51ed_0c75);
    let mut right = END - 2.4;
    for (i, &wash) in washes.iter().enumerate() {
        let width = draws.between(4.2, 5.8);
        let eaves = draws.between(3.3, 5.0);
        let deep = draws.between(5.2, 6.2);
        let front = FACE + 5.0 + draws.between(0.0, 1.6);
        let gable = matches!(i, 1 | 4);
        let roof = if matches!(i, 0 | 3) { tile } else { slate };
        cottage(
            &mut b,
            &Cottage { left: right - width, front, width, deep, eaves, gable },
            [wash, roof, glass, door, brick],
        );
        right -= width + if i == 2 { 1.5 } else { 0.15 };
    }
}

struct Cottage {
    left: f32,
    front: f32,
    width: f32,
    deep: f32,
    eaves: f32,
    /// Whether the gable faces the water.
    gable: bool,
}

fn cottage(b: &mut Builder, c: &Cottage, [wall, roof, glass, door, brick]: [u16; 5]) {
    let low = TOP + 0.2;
    let eaves = low + c.eaves;
    // Own metres: `across` along the ridge, so that one recipe serves both ways round.
    let (long, short) = if c.gable { (c.deep, c.width) } else { (c.width, c.deep) };
    let place = |along: f32, y: f32, aside: f32| {
        if c.gable { v3(c.left + aside, y, c.front + along) } else { v3(c.left + along, y, c.front + aside) }
    };
    let ridge = eaves + 0.46 * short;
    b.block(place(0.0, low, 0.0), place(long, eaves, short), wall);
    let over = 0.22;
    for (a, s) in [(0.0, 0.0), (0.0, short)] {
        let drop = if s == 0.0 { -over } else { over };
        b.quad(
            [
                place(a - over, eaves - 0.18, s + drop),
                place(long + over, eaves - 0.18, s + drop),
                place(long + over, ridge, short / 2.0),
                place(a - over, ridge, short / 2.0),
            ],
            roof,
        );
    }
    for along in [0.0, long] {
        b.quad(
            [
                place(along, eaves, 0.0),
                place(along, eaves, short),
                place(along, ridge - 0.05, short / 2.0),
                place(along, ridge - 0.05, short / 2.0),
            ],
            wall,
        );
    }
    for along in [0.55, long - 0.55] {
        let p = place(along, ridge - 0.5, short / 2.0);
        b.block(p - v3(0.35, 0.0, 0.3), p + v3(0.35, 1.45, 0.3), brick);
        b.spar(p + v3(0.0, 1.45, 0.0), p + v3(0.0, 1.85, 0.0), (0.12, 0.09), brick);
    }
    let mut pane = |at: V3, w: f32, h: f32, surface: u16| {
        b.quad([at, at + v3(w, 0.0, 0.0), at + v3(w, h, 0.0), at + v3(0.0, h, 0.0)], surface);
    };
    let face = c.front - 0.015;
    let columns = if c.width > 5.0 { 3 } else { 2 };
    for i in 0..columns {
        let x = c.left + c.width * (i as f32 + 0.5) / columns as f32;
        let is_door = i == columns / 2;
        for (floor, y) in [(0, low + 0.9), (1, low + 2.75)] {
            if floor == 1 && y + 1.0 > eaves && !c.gable {
                continue;
            }
            if is_door && floor == 0 {
                pane(v3(x - 0.42, low, face), 0.84, 2.0, door);
            } else {
                pane(v3(x - 0.48, y - 0.06, face + 0.005), 0.96, 1.22, wall);
                pane(v3(x - 0.4, y, face), 0.36, 1.05, glass);
                pane(v3(x + 0.04, y, face), 0.36, 1.05, glass);
            }
        }
    }
}

fn light(b: &mut Builder, foot: V3, (wall, cap, glass): (u16, u16, u16)) {
    b.spar(foot, foot + v3(0.0, 2.9, 0.0), (0.62, 0.45), wall);
    b.spar(foot + v3(0.0, 2.9, 0.0), foot + v3(0.0, 3.02, 0.0), (0.62, 0.62), cap);
    b.spar(foot + v3(0.0, 3.0, 0.0), foot + v3(0.0, 3.6, 0.0), (0.3, 0.3), glass);
    b.spar(foot + v3(0.0, 3.55, 0.0), foot + v3(0.0, 4.05, 0.0), (0.42, 0.02), cap);
}

/// Pots, boxes and barrels along the edge.
fn clutter(b: &mut Builder, (dark, warm, cool): (u16, u16, u16)) {
    let mut draws = SplitMix64::new(0x0b0c_5e5d);
    let top = TOP + 0.22;
    for _ in 0..26 {
        let (x, z) = (draws.between(-22.0, END - 0.6), FACE + draws.between(0.5, 2.6));
        let (w, h) = (draws.between(0.25, 0.5), draws.between(0.35, 0.9));
        let surface = [dark, warm, cool][(draws.next_u64() % 3) as usize];
        b.block(v3(x - w, top, z - w), v3(x + w, top + h, z + w), surface);
    }
    for x in [-2.0, -8.4, -15.0] {
        b.spar(v3(x, top, FACE + 1.2), v3(x, top + 4.2, FACE + 1.2), (0.07, 0.05), dark);
        b.spar(v3(x, top + 4.2, FACE + 1.2), v3(x + 0.7, top + 4.3, FACE + 1.2), (0.04, 0.04), dark);
    }
}
