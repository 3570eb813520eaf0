//! The invented harbour at low water, and how light goes about in it.
//!
//! A plain ray tracer: a low sun on the left, a sky that fills the shadows, and one bounce in wet mud and water.

mod boats;
mod mud;
mod sky;
mod surface;
mod village;

pub(crate) use surface::Region;
use surface::Surface;

use crate::canvas::Canvas;
use crate::mesh::Mesh;
use crate::noise::SplitMix64;
use crate::vector::{V3, grey, mix, smoothstep, v3};

/// The eye, metres above the mean bed.
const EYE: V3 = v3(0.0, 2.55, 0.0);
/// Focal length in widths of the picture, and the horizon's height from its top in widths.
const FOCUS: f32 = 1.22;
const HORIZON: f32 = 0.585;
/// Samples a pixel along each side.
const SIDE: usize = 2;
const EXPOSURE: f32 = 1.12;
const SUNLIGHT: V3 = v3(1.12, 0.93, 0.69);

pub(crate) struct Scene {
    mesh: Mesh,
    surfaces: Vec<Surface>,
    sun: V3,
}

/// Light that comes to the eye along one ray.
#[derive(Clone, Copy)]
pub(crate) struct Seen {
    pub(crate) light: V3,
    pub(crate) region: Region,
}

/// Whether a ray comes from the eye (what lies behind all may be known already) or has been mirrored.
#[derive(Clone, Copy)]
enum View {
    Direct(Option<V3>),
    Mirrored,
}

impl Scene {
    pub(crate) fn new() -> Self {
        let (mut mesh, mut surfaces) = (Mesh::default(), Vec::new());
        boats::moor(&mut mesh, &mut surfaces);
        village::build(&mut mesh, &mut surfaces);
        mesh.build();
        Self { mesh, surfaces, sun: v3(-0.84, 0.36, -0.27).unit() }
    }

    /// The picture, `width` by 4/3 of it, each pixel the mean of its samples.
    pub(crate) fn photograph(&self, width: usize) -> Canvas {
        Canvas::drawn(width, width * 4 / 3, |x, y| {
            // The far distance is soft enough for one look a pixel.
            let centre = ray((x as f32 + 0.5) / width as f32, (y as f32 + 0.5) / width as f32);
            let backdrop = (centre.y > 0.0).then(|| self.far_light(centre));
            let mut draws = SplitMix64::new(((y as u64) << 32) | x as u64);
            let mut sum = grey(0.0);
            for i in 0..SIDE * SIDE {
                let sx = ((i % SIDE) as f32 + draws.unit()) / SIDE as f32;
                let sy = ((i / SIDE) as f32 + draws.unit()) / SIDE as f32;
                let (u, v) = ((x as f32 + sx) / width as f32, (y as f32 + sy) / width as f32);
                sum = sum + developed(self.look(EYE, ray(u, v), &mut draws, View::Direct(backdrop)).light);
            }
            sum * (1.0 / (SIDE * SIDE) as f32)
        })
    }

    /// What is seen at (`u`, `v`), both in widths of the picture from its top left.
    pub(crate) fn seen(&self, u: f32, v: f32, draws: &mut SplitMix64) -> Seen {
        self.look(EYE, ray(u, v), draws, View::Direct(None))
    }

    fn look(&self, from: V3, along: V3, draws: &mut SplitMix64, view: View) -> Seen {
        let ground = meet_ground(from, along);
        let limit = ground.map_or(1e9, |g| g.distance);
        if let Some(hit) = self.mesh.hit(from, along, limit) {
            let surface = &self.surfaces[hit.surface as usize];
            let (colour, gloss) = surface.at(hit.u, hit.v);
            let p = from + along * hit.distance;
            let mut light = colour.times(self.falling(p, hit.normal, 1.0, draws));
            if gloss > 0.0 {
                let out = along.mirrored_at(hit.normal);
                let edge = 1.0 - (-along.dot(hit.normal)).clamp(0.0, 1.0);
                let share = gloss * (1.0 + 5.0 * edge * edge * edge);
                light = light + self.far_light(out) * (share * smoothstep(-0.25, 0.2, out.y));
            }
            return Seen { light: hazed(light, hit.distance), region: surface.region };
        }
        let Some(g) = ground else {
            if let View::Direct(Some(light)) = view {
                return Seen { light, region: Region::Sky };
            }
            return match sky::hills(along, self.sun) {
                Some((light, region)) => Seen { light, region },
                None => Seen { light: sky::sky(along), region: Region::Sky },
            };
        };
        let (normal, colour, shine, open, region) = if g.water {
            (mud::ripples(g.at.x, g.at.z), v3(0.055, 0.06, 0.05), 1.0, 1.0, Region::Water)
        } else {
            let bed = mud::bed(g.at.x, g.at.z, g.at.y);
            (bed.normal, bed.colour, bed.shine, bed.open, Region::Mud)
        };
        let mut light = colour.times(self.falling(g.at, normal, open, draws));
        let facing = (-along.dot(normal)).clamp(0.02, 1.0);
        let edge = 1.0 - facing;
        // After Schlick 1994, with a lower power and floor than water's own: silver water makes the better picture.
        let mirror = shine * (0.12 + 0.88 * edge * edge * edge);
        if matches!(view, View::Direct(_)) {
            let mut out = along.mirrored_at(normal);
            out.y = out.y.abs().max(0.004);
            let back = self.look(g.at + v3(0.0, 0.004, 0.0), out.unit(), draws, View::Mirrored).light;
            light = mix(light, back, mirror.min(0.92));
        } else {
            light = mix(light, grey(0.5), mirror.min(0.6));
        }
        Seen { light: hazed(light, g.distance), region }
    }

    /// Light that falls on a surface at `p`: sun if nothing is in its way, sky from above, warm bounce from below.
    fn falling(&self, p: V3, normal: V3, open: f32, draws: &mut SplitMix64) -> V3 {
        let up = 0.5 + 0.5 * normal.y;
        let leftward = 0.5 - 0.5 * normal.x;
        let dome = mix(v3(0.20, 0.245, 0.31), v3(0.36, 0.34, 0.30), leftward);
        let mut light = mix(v3(0.105, 0.095, 0.08), dome, up) * open;
        let facing = normal.dot(self.sun);
        if facing > 0.0 {
            let spread =
                v3(draws.between(-1.0, 1.0), draws.between(-1.0, 1.0), draws.between(-1.0, 1.0)) * 0.008;
            if !self.mesh.blocked(p + normal * 0.004, self.sun + spread, 1e9) {
                light = light + SUNLIGHT * facing;
            }
        }
        light
    }

    fn far_light(&self, along: V3) -> V3 {
        sky::hills(along, self.sun).map_or_else(|| sky::sky(along), |(light, _)| light)
    }
}

/// From the eye through (`u`, `v`), in widths of the picture from its top left.
fn ray(u: f32, v: f32) -> V3 {
    v3((u - 0.5) / FOCUS, (HORIZON - v) / FOCUS, 1.0).unit()
}

#[derive(Clone, Copy)]
struct Ground {
    at: V3,
    distance: f32,
    water: bool,
}

/// Where a ray comes down on the bed or the water.
fn meet_ground(from: V3, along: V3) -> Option<Ground> {
    if along.y > -1e-4 {
        return None;
    }
    let reach = |level: f32| (from.y - level) / -along.y;
    let mut distance = reach(0.0);
    if distance > 900.0 {
        return Some(Ground { at: from + along * 900.0, distance: 900.0, water: true });
    }
    // The bed is gently shaped, so a few steps of correction settle on it.
    let mut h = 0.0;
    for _ in 0..if distance > 30.0 { 2 } else { 4 } {
        let p = from + along * distance;
        h = mud::height(p.x, p.z);
        distance = 0.4 * distance + 0.6 * reach(h.max(mud::WATER));
    }
    let water = h < mud::WATER;
    let p = from + along * distance;
    let y = if water { mud::WATER } else { h };
    Some(Ground { at: v3(p.x, y, p.z), distance, water })
}

/// Distance lends things the colour of the air.
fn hazed(light: V3, distance: f32) -> V3 {
    mix(sky::HAZE, light, libm::expf(-distance / 420.0))
}

/// The camera's response: straight up to .7, then a shoulder that ends at 1.
pub(crate) fn developed(light: V3) -> V3 {
    let shoulder = |v: f32| {
        if v <= 0.7 {
            v
        } else {
            let over = v - 0.7;
            0.7 + 0.3 * over / (0.3 + over)
        }
    };
    v3(shoulder(light.x * EXPOSURE), shoulder(light.y * EXPOSURE), shoulder(light.z * EXPOSURE))
}
