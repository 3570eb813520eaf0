//! Boats: a hull from a few measures, and what stands on it.

use crate::mesh::{Builder, Mesh, Stand};
use crate::scene::surface::{Finish, Region, Surface};
use crate::vector::{V3, lerp, mix, smoothstep, v3};

/// The measures of a hull, metres.
#[derive(Clone, Copy)]
struct Hull {
    length: f32,
    beam: f32,
    /// Keel to sheer amidships.
    depth: f32,
    /// How far the sheer rises to the bow and to the stern.
    bow: f32,
    stern: f32,
    /// Breadth of the transom as a share of the beam.
    transom: f32,
    /// How far the stem leans forward.
    rake: f32,
}

impl Hull {
    fn half_beam(&self, t: f32) -> f32 {
        let full = if t < 0.45 {
            lerp(self.transom, 1.0, libm::sinf(t / 0.45 * std::f32::consts::FRAC_PI_2))
        } else {
            1.0 - libm::powf((t - 0.45) / 0.55, 2.5)
        };
        0.5 * self.beam * full.max(0.006)
    }

    fn sheer(&self, t: f32) -> f32 {
        let (f, a) = (((t - 0.35) / 0.65).max(0.0), ((0.35 - t) / 0.35).max(0.0));
        self.depth + self.bow * f * f + self.stern * a * a
    }

    fn keel(&self, t: f32) -> f32 {
        let (f, a) = (((t - 0.7) / 0.3).max(0.0), ((0.22 - t) / 0.22).max(0.0));
        self.depth * (0.9 * libm::powf(f, 2.4) + 0.28 * a * a)
    }

    /// A point of the skin: `t` 0 at the stern to 1 at the stem, `s` 0 at the keel to 1 at the sheer, to either side.
    fn skin(&self, t: f32, s: f32, side: f32, inset: f32) -> V3 {
        let up = libm::powf(s, 1.5);
        let y = lerp(self.keel(t), self.sheer(t), up);
        let full = lerp(0.36, 0.8, smoothstep(0.45, 1.0, t)) + 0.1 * smoothstep(0.3, 0.0, t);
        let x = ((self.half_beam(t) - inset).max(0.0)) * libm::powf(up, full);
        let t4 = t * t * t * t;
        let z =
            (t - 0.5) * self.length + self.rake * (y / self.depth) * t4 - 0.12 * (1.0 - t) * (1.0 - t) * y;
        v3(side * x, y, z)
    }
}

/// The paints of one boat, as numbers of surfaces.
struct Paints {
    skin: u16,
    rail: u16,
    deck: u16,
    inside: u16,
}

/// Adds all boats, and what lies about them, to the harbour.
pub(super) fn moor(mesh: &mut Mesh, surfaces: &mut Vec<Surface>) {
    let mut paint = |finish, colour, region| {
        surfaces.push(Surface { finish, colour, region });
        (surfaces.len() - 1) as u16
    };
    let red_lead = v3(0.115, 0.035, 0.025);
    let planks = |below, line, water| Finish::Planks { below, line, water };
    let spar = paint(Finish::Timber, v3(0.23, 0.13, 0.06), Region::Spar);
    let dark_spar = paint(Finish::Timber, v3(0.045, 0.035, 0.03), Region::Spar);
    let rope = paint(Finish::Plain, v3(0.11, 0.09, 0.065), Region::Spar);
    let white = paint(Finish::Plain, v3(0.74, 0.72, 0.67), Region::PaleHull);
    let glass = paint(Finish::Glass, v3(0.012, 0.014, 0.016), Region::DarkHull);
    let deck = paint(Finish::Timber, v3(0.27, 0.2, 0.13), Region::Spar);
    let inside = paint(Finish::Timber, v3(0.30, 0.27, 0.2), Region::PaleHull);
    let orange = paint(Finish::Plain, v3(0.78, 0.16, 0.02), Region::Buoy);
    let scarlet = paint(Finish::Plain, v3(0.60, 0.022, 0.018), Region::Buoy);
    let gull = paint(Finish::Plain, v3(0.42, 0.44, 0.46), Region::PaleHull);
    let tan = paint(Finish::Plain, v3(0.33, 0.12, 0.055), Region::RedHull);

    let blue_skin =
        paint(planks(red_lead, v3(0.7, 0.66, 0.58), 0.62), v3(0.018, 0.04, 0.075), Region::DarkHull);
    let red_skin = paint(
        planks(v3(0.03, 0.035, 0.04), v3(0.72, 0.7, 0.62), 0.45),
        v3(0.56, 0.022, 0.016),
        Region::RedHull,
    );
    let black_skin =
        paint(planks(red_lead, v3(0.6, 0.56, 0.45), 0.6), v3(0.025, 0.026, 0.03), Region::DarkHull);
    let pale_skin =
        paint(planks(v3(0.05, 0.09, 0.1), v3(0.12, 0.25, 0.3), 0.16), v3(0.62, 0.64, 0.58), Region::PaleHull);
    let green_skin = paint(planks(red_lead, v3(0.7, 0.68, 0.6), 0.5), v3(0.03, 0.13, 0.10), Region::DarkHull);

    // The one that the eye goes to: a decked boat, dark against the shine, its wheelhouse in the sun.
    let hull =
        Hull { length: 7.6, beam: 2.7, depth: 1.75, bow: 0.85, stern: 0.28, transom: 0.62, rake: 0.75 };
    let mut b = Builder { mesh, stand: Stand { at: v3(2.45, -0.17, 13.6), turn: -2.27, lean: 0.13 } };
    decked(&mut b, &hull, &Paints { skin: blue_skin, rail: white, deck, inside: white });
    wheelhouse(&mut b, &hull, (0.1, 0.33), 1.75, white, glass, dark_spar);
    rig(&mut b, &hull, 0.62, 6.3, (spar, rope, tan));
    for (t, at) in [(0.30, 0.25), (0.47, 0.3), (0.63, 0.2)] {
        let p = hull.skin(t, 0.9, -1.0, -0.2) - v3(0.0, at, 0.0);
        b.ball(p, v3(0.17, 0.25, 0.17), orange);
        b.spar(p, hull.skin(t, 1.0, -1.0, 0.0) + v3(0.0, 0.1, 0.0), (0.014, 0.014), rope);
    }
    let stem = hull.skin(1.0, 1.0, 1.0, 0.0);
    let ring = b.stand.place(stem + v3(0.0, -0.05, 0.0));

    let hull = Hull { length: 5.6, beam: 2.2, depth: 1.25, bow: 0.6, stern: 0.15, transom: 0.7, rake: 0.5 };
    let mut b = Builder { mesh, stand: Stand { at: v3(-4.7, -0.12, 20.5), turn: 2.25, lean: -0.1 } };
    decked(&mut b, &hull, &Paints { skin: red_skin, rail: white, deck, inside });
    wheelhouse(&mut b, &hull, (0.55, 0.74), 1.35, white, glass, red_skin);
    b.spar(v3(0.0, 1.0, -1.2), v3(0.0, 3.6, -1.3), (0.05, 0.03), spar);
    b.rope(v3(0.0, 3.5, -1.3), hull.skin(0.98, 1.0, 1.0, 0.0), 0.05, 0.01, rope);
    b.ball(hull.skin(0.3, 0.9, -1.0, -0.18) - v3(0.0, 0.1, 0.0), v3(0.15, 0.2, 0.15), orange);

    let hull = Hull { length: 7.8, beam: 2.4, depth: 1.7, bow: 0.55, stern: 0.2, transom: 0.5, rake: 1.0 };
    let mut b = Builder { mesh, stand: Stand { at: v3(0.6, -0.12, 35.0), turn: -1.9, lean: 0.2 } };
    decked(&mut b, &hull, &Paints { skin: black_skin, rail: spar, deck, inside });
    rig(&mut b, &hull, 0.58, 9.2, (spar, rope, tan));

    let hull = Hull { length: 6.0, beam: 2.2, depth: 1.4, bow: 0.6, stern: 0.2, transom: 0.65, rake: 0.5 };
    let mut b = Builder { mesh, stand: Stand { at: v3(-9.5, -0.1, 37.5), turn: 1.35, lean: 0.12 } };
    decked(&mut b, &hull, &Paints { skin: green_skin, rail: white, deck, inside });
    wheelhouse(&mut b, &hull, (0.2, 0.4), 1.5, white, glass, green_skin);
    b.spar(v3(0.0, 1.0, 0.8), v3(0.0, 5.4, 0.7), (0.06, 0.03), spar);

    let hull = Hull { length: 5.4, beam: 2.0, depth: 1.2, bow: 0.5, stern: 0.15, transom: 0.65, rake: 0.5 };
    let mut b = Builder { mesh, stand: Stand { at: v3(13.2, -0.1, 47.0), turn: 2.0, lean: -0.15 } };
    decked(&mut b, &hull, &Paints { skin: pale_skin, rail: spar, deck, inside });
    rig(&mut b, &hull, 0.58, 6.4, (spar, rope, tan));

    let hull =
        Hull { length: 2.9, beam: 1.35, depth: 0.58, bow: 0.26, stern: 0.06, transom: 0.72, rake: 0.22 };
    let mut b = Builder { mesh, stand: Stand { at: v3(-2.1, -0.24, 9.2), turn: 0.62, lean: 0.16 } };
    open(&mut b, &hull, &Paints { skin: pale_skin, rail: spar, deck, inside });

    let mut b = Builder { mesh, stand: Stand { at: v3(0.0, 0.0, 0.0), turn: 0.0, lean: 0.0 } };
    b.ball(v3(1.55, 0.16, 7.4), v3(0.27, 0.27, 0.27), scarlet);
    b.rope(v3(1.55, 0.1, 7.6), ring, 0.5, 0.016, rope);
    b.ball(v3(-0.1, 0.1, 21.0), v3(0.3, 0.3, 0.3), orange);
    b.ball(v3(5.4, 0.1, 27.0), v3(0.3, 0.3, 0.3), scarlet);
    for (x, y, z, wing, tilt) in [
        (-1.6, 4.6, 14.0, 0.4, 0.3),
        (-2.9, 6.3, 18.0, 0.42, -0.2),
        (-0.9, 7.3, 20.0, 0.42, 0.15),
        (4.6, 7.2, 22.0, 0.42, -0.3),
    ] {
        let body = v3(x, y, z);
        b.ball(body, v3(0.13, 0.055, 0.055), white);
        for side in [-1.0, 1.0] {
            let elbow = body
                + v3(0.0, 0.16 + side * tilt * 0.25, side * 0.3 * wing)
                + v3(side * 0.5 * wing, 0.0, 0.0);
            let tip = elbow + v3(side * 0.55 * wing - 0.1, -0.06 + side * tilt * 0.2, side * 0.2);
            let chord = v3(0.13, 0.0, 0.05);
            b.quad([body - chord, body + chord, elbow + chord * 0.8, elbow - chord * 0.8], gull);
            b.quad(
                [elbow - chord * 0.8, elbow + chord * 0.8, tip + chord * 0.1, tip - chord * 0.1],
                if side > 0.0 { dark_spar } else { gull },
            );
        }
    }
    for (x, z, way) in [(-2.9, 15.6, 1.0), (-2.5, 15.9, -1.0), (-3.3, 16.6, 1.0), (5.6, 17.0, -1.0)] {
        let y = super::mud::height(x, z).max(super::mud::WATER) + 0.2;
        b.ball(v3(x, y, z), v3(0.17, 0.085, 0.085), white);
        b.ball(v3(x - 0.06 * way, y + 0.05, z), v3(0.19, 0.045, 0.07), gull);
        b.ball(v3(x + 0.13 * way, y + 0.09, z), v3(0.065, 0.06, 0.055), white);
        b.spar(v3(x + 0.18 * way, y + 0.09, z), v3(x + 0.25 * way, y + 0.08, z), (0.012, 0.005), orange);
        b.spar(v3(x, y - 0.25, z), v3(x, y, z), (0.009, 0.009), orange);
    }
    for (x, z, h, lean) in [(-4.0, 11.2, 2.2, 0.12), (-4.75, 12.4, 2.75, -0.08), (-4.3, 13.4, 2.0, 0.05)] {
        b.spar(v3(x, -0.4, z), v3(x + lean, h, z + 0.05), (0.13, 0.1), dark_spar);
    }
}

fn shell(b: &mut Builder, hull: &Hull, skin: u16, inset: f32) {
    for side in [-1.0, 1.0] {
        b.sheet(30, 12, skin, |t, s| {
            let p = hull.skin(t, s, side, inset);
            (p, t * hull.length, p.y)
        });
    }
    // The transom closes the stern.
    b.sheet(8, 12, skin, |a, s| {
        let p = hull.skin(0.0, s, 1.0, inset);
        (v3(p.x * (2.0 * a - 1.0), p.y, p.z), a * hull.beam, p.y)
    });
}

/// A rail of timber along both sheers and round the stern.
fn rail(b: &mut Builder, hull: &Hull, thick: f32, surface: u16) {
    for side in [-1.0, 1.0] {
        for i in 0..24 {
            let at = |k: i32| hull.skin(k as f32 / 24.0, 1.0, side, 0.0);
            b.spar(at(i), at(i + 1), (thick, thick), surface);
        }
    }
    b.spar(hull.skin(0.0, 1.0, -1.0, 0.0), hull.skin(0.0, 1.0, 1.0, 0.0), (thick, thick), surface);
}

fn decked(b: &mut Builder, hull: &Hull, paints: &Paints) {
    shell(b, hull, paints.skin, 0.0);
    rail(b, hull, 0.055, paints.rail);
    let below = 0.3;
    b.sheet(4, 24, paints.deck, |a, t| {
        let p = hull.skin(t, 1.0, 1.0, 0.05);
        (v3(p.x * (2.0 * a - 1.0), p.y - below, p.z), a * hull.beam, t * hull.length)
    });
    for side in [-1.0, 1.0] {
        b.sheet(24, 1, paints.inside, |t, s| {
            let p = hull.skin(t, 1.0, side, 0.05);
            (v3(p.x, p.y - below * (1.0 - s), p.z), t, s)
        });
    }
}

fn open(b: &mut Builder, hull: &Hull, paints: &Paints) {
    shell(b, hull, paints.skin, 0.0);
    shell(b, hull, paints.inside, 0.04);
    rail(b, hull, 0.032, paints.rail);
    for t in [0.14, 0.42, 0.68] {
        let p = hull.skin(t, 0.8, 1.0, 0.03);
        b.block(v3(-p.x, p.y - 0.03, p.z - 0.11), v3(p.x, p.y, p.z + 0.11), paints.deck);
    }
    b.spar(v3(0.25, 0.5, -1.1), v3(0.05, 0.62, 1.0), (0.025, 0.02), paints.rail);
    b.spar(v3(-0.22, 0.5, -1.0), v3(-0.1, 0.62, 1.1), (0.025, 0.02), paints.rail);
}

fn wheelhouse(
    b: &mut Builder,
    hull: &Hull,
    (aft, fore): (f32, f32),
    height: f32,
    wall: u16,
    glass: u16,
    roof: u16,
) {
    let (pa, pf) = (hull.skin(aft, 1.0, 1.0, 0.0), hull.skin(fore, 1.0, 1.0, 0.0));
    let (w, low) = (0.6 * pa.x.min(pf.x), pa.y.min(pf.y) - 0.32);
    let top = low + height;
    b.block(v3(-w, low, pa.z), v3(w, top, pf.z), wall);
    b.block(v3(-w - 0.09, top, pa.z - 0.12), v3(w + 0.09, top + 0.07, pf.z + 0.2), roof);
    let (g0, g1) = (low + 0.55 * height, low + 0.87 * height);
    let e = 0.012;
    for i in 0..2 {
        let z = |k: f32| lerp(pa.z, pf.z, k);
        let (za, zb) = (z(0.12 + 0.44 * i as f32), z(0.44 + 0.44 * i as f32));
        for x in [-w - e, w + e] {
            b.quad([v3(x, g0, za), v3(x, g0, zb), v3(x, g1, zb), v3(x, g1, za)], glass);
        }
        let (xa, xb) = (lerp(-w, w, 0.08 + 0.46 * i as f32), lerp(-w, w, 0.46 + 0.46 * i as f32));
        for end in [pf.z + e, pa.z - e] {
            b.quad([v3(xa, g0, end), v3(xb, g0, end), v3(xb, g1, end), v3(xa, g1, end)], glass);
        }
    }
    b.spar(v3(w * 0.6, top, pa.z + 0.1), v3(w * 0.6, top + 1.3, pa.z), (0.02, 0.012), roof);
}

/// A mast with its stays, a boom and a stowed sail.
fn rig(b: &mut Builder, hull: &Hull, at: f32, height: f32, (spar, rope, sail): (u16, u16, u16)) {
    let foot = hull.skin(at, 1.0, 0.0, 0.0) - v3(0.0, 0.3, 0.0);
    let head = foot + v3(0.0, height, -0.03 * height);
    b.spar(foot, head, (0.085, 0.045), spar);
    let hound = mix(foot, head, 0.9);
    b.rope(hound, hull.skin(0.99, 1.0, 1.0, 0.0), 0.04, 0.011, rope);
    for side in [-1.0, 1.0] {
        for t in [at - 0.07, at - 0.16] {
            b.rope(hound, hull.skin(t, 1.0, side, 0.0), 0.02, 0.011, rope);
        }
    }
    b.rope(hound, hull.skin(0.02, 1.0, 0.0, 0.0) + v3(0.0, 0.3, 0.0), 0.05, 0.011, rope);
    let tack = mix(foot, head, 0.3);
    let clew = tack + v3(0.1, 0.25, -0.42 * hull.length);
    b.spar(tack, clew, (0.05, 0.04), spar);
    // The sail lies along its boom in soft rolls.
    b.sheet(12, 26, sail, |a, t| {
        let angle = a * std::f32::consts::TAU;
        let full = 0.2
            * libm::sqrtf(libm::sinf((0.06 + 0.88 * t) * std::f32::consts::PI))
            * (1.0 + 0.14 * libm::sinf(t * 34.0));
        let p = mix(tack, clew, 0.03 + 0.92 * t)
            + v3(0.6 * full * libm::cosf(angle), 0.13 + full * libm::sinf(angle) * 0.8, 0.0);
        (p, a, t * 3.0)
    });
    b.rope(mix(foot, head, 0.97), clew, 0.06, 0.01, rope);
}
