//! Three strips of the starter's paints on a sheet of paper on a table, photographed from a little to one side.

mod pencil;
mod swatch;

use crate::canvas::Canvas;
use crate::noise::{SplitMix64, fbm, noise};
use crate::plane::Plane;
use crate::starter::{Hand, InventedPaint, PAINTS, PAPER};
use crate::tone::lightness;
use crate::vector::{V3, grey, mix, smoothstep, v3};
use swatch::Swatch;

pub(crate) const WIDTH: usize = 1600;
pub(crate) const HEIGHT: usize = 1200;

/// The sheet's corners in the photograph, clockwise from its top left, pixels.
const SHEET_CORNERS: [(f64, f64); 4] = [(168.0, 74.0), (1452.0, 52.0), (1528.0, 1124.0), (84.0, 1106.0)];
/// Its size, millimetres.
const SHEET: (f64, f64) = (316.0, 236.0);
/// Samples a pixel along each side.
const SIDE: usize = 2;
/// The middle of a swatch, each way, whose mean is its truth.
const MIDDLE: f64 = 0.5;

/// What was painted: the paint, how many steps, the middle of its first swatch, and how it leans (down, per right).
const PAINTED: [(&str, usize, (f32, f32), f32); 3] = [
    ("Demo blue", 8, (36.0, 43.0), 0.006),
    ("Demo rose", 8, (33.0, 118.0), -0.004),
    ("Demo ochre", 7, (40.0, 191.0), 0.003),
];
/// From one swatch's middle to the next, and how broad a strip is, millimetres.
const PITCH: f32 = 34.5;
const BREADTH: f32 = 38.0;

/// The sheet and all that is painted on it.
pub(crate) struct Sheet {
    plane: Plane,
    pub(crate) strips: Vec<PaintedStrip>,
}

/// A strip on the sheet, its lightest step first.
pub(crate) struct PaintedStrip {
    pub(crate) paint: &'static InventedPaint,
    swatches: Vec<Swatch>,
}

impl Sheet {
    pub(crate) fn painted() -> Self {
        let strips = PAINTED.iter().enumerate().map(|(row, &(name, count, at, lean))| {
            let paint = PAINTS.iter().find(|paint| paint.name == name).expect("it is one of the starter's");
            let seed = 0x5721_9500 + row as u64;
            let thicknesses = Hand::new(seed).washes(paint, count, 0.12, 0.0);
            let mut draws = SplitMix64::new(!seed);
            let mut right = -0.5 * PITCH;
            let swatches = thicknesses.into_iter().zip(0..).map(|(thickness, step)| {
                // Some swatches leave a gap to the next, some touch it.
                let gap =
                    if draws.unit() < 0.45 { draws.between(1.4, 3.2) } else { draws.between(-0.1, 0.25) };
                let end = (step as f32 + 0.5) * PITCH - 0.5 * gap;
                let along = 0.5 * (right + end);
                let swatch = Swatch {
                    seed: 4000 + 50 * row as u32 + step,
                    centre: (at.0 + along, at.1 + lean * along + draws.between(-0.7, 0.7)),
                    half: (0.5 * (end - right), 0.5 * BREADTH + draws.between(-0.9, 0.7)),
                    lean: lean + draws.between(-0.008, 0.008),
                    thickness,
                };
                right = end + gap;
                swatch
            });
            PaintedStrip { paint, swatches: swatches.collect() }
        });
        Self { plane: Plane::new(SHEET.0, SHEET.1, SHEET_CORNERS), strips: strips.collect() }
    }

    /// Draws the photograph.
    pub(crate) fn photographed(&self) -> Canvas {
        Canvas::drawn(WIDTH, HEIGHT, |x, y| {
            let mut draws = SplitMix64::new(0x57a1_9000_0000_0000 ^ (((y as u64) << 32) | x as u64));
            let mut sum = grey(0.0);
            for i in 0..SIDE * SIDE {
                let px = x as f32 + ((i % SIDE) as f32 + draws.unit()) / SIDE as f32;
                let py = y as f32 + ((i / SIDE) as f32 + draws.unit()) / SIDE as f32;
                sum = sum + self.seen(px, py);
            }
            sum * (1.0 / (SIDE * SIDE) as f32)
        })
    }

    fn seen(&self, px: f32, py: f32) -> V3 {
        let (x, y) = self.plane.own(f64::from(px), f64::from(py));
        let (x, y) = (x as f32, y as f32);
        self.lying(x, y).times(light(px / WIDTH as f32, py / HEIGHT as f32))
    }

    /// What lies at a place of the table, millimetres from the sheet's top left corner: linear reflectance.
    fn lying(&self, x: f32, y: f32) -> V3 {
        // A deckled edge.
        let ragged = 0.35 * noise(501, x * 0.25, y * 0.25) + 0.16 * noise(502, x * 1.3, y * 1.3);
        let sheet = inside(x, y) + ragged;
        if let Some(colour) = tape(x, y) {
            return colour;
        }
        if sheet > 0.0 {
            let (tooth, beyond) = (tooth(x, y), tooth(x + 0.3, y + 0.2));
            let cockled = 0.014 * fbm(503, x * 0.016, y * 0.020, 2);
            // The light comes from one side, so that the tooth throws shade.
            let shade = 1.0 + 0.03 * (tooth - beyond) + cockled;
            let worn = 1.0 - 0.10 * smoothstep(0.5, 0.0, sheet);
            return self.surface(x, y, tooth)
                * (shade * worn * (1.0 - pencil::mark(x, y, tooth, &self.strips)));
        }
        // The sheet's shadow falls to the right and down.
        let cast = smoothstep(-3.4, 0.6, inside(x - 2.2, y - 1.6));
        table(x, y) * (1.0 - 0.55 * cast)
    }

    /// Paper or paint, evenly lit.
    fn surface(&self, x: f32, y: f32, tooth: f32) -> V3 {
        for PaintedStrip { paint, swatches } in &self.strips {
            // Where two lie over each other, both are seen.
            let thickness: f64 = swatches
                .iter()
                .map(|swatch| swatch.thickness_at(x, y, tooth * paint.granulation, tooth))
                .sum();
            if thickness > 0.0 {
                let [r, g, b] = paint.shown(thickness);
                return v3(r as f32, g as f32, b as f32);
            }
        }
        grey(PAPER as f32)
    }

    /// Corners of a swatch as it was meant, clockwise from its top left as it is seen, pixels.
    pub(crate) fn corners(&self, swatch: &Swatch) -> [[f64; 2]; 4] {
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(along, across)| {
            let (x, y) = swatch.place(along, across);
            let (px, py) = self.plane.pixel(f64::from(x), f64::from(y));
            [px, py]
        })
    }

    /// L* of the mean luminance of a swatch's middle, evenly lit.
    pub(crate) fn lightness(&self, swatch: &Swatch) -> f64 {
        const PLACES: usize = 160;
        let place = |at: usize| (MIDDLE * (2.0 * (at as f64 + 0.5) / PLACES as f64 - 1.0)) as f32;
        let mut sum = 0.0;
        for i in 0..PLACES {
            for j in 0..PLACES {
                let (x, y) = swatch.place(place(i), place(j));
                sum += f64::from(crate::tone::luminance(self.surface(x, y, tooth(x, y))));
            }
        }
        lightness(sum / (PLACES * PLACES) as f64)
    }
}

impl PaintedStrip {
    pub(crate) fn swatches(&self) -> &[Swatch] {
        &self.swatches
    }
}

/// Height of the paper's tooth: about -1 in a pit to 1 on a peak.
fn tooth(x: f32, y: f32) -> f32 {
    (1.4 * fbm(504, x * 0.85, y * 0.85, 3)).clamp(-1.0, 1.0)
}

/// A window on the left and above, behind a curtain: warm, and falling off.
fn light(u: f32, v: f32) -> V3 {
    let (du, dv) = (u - 0.28, v - 0.2);
    let pool = 0.97 - 0.20 * (du * du + 0.8 * dv * dv).sqrt() + 0.012 * fbm(505, u * 2.0, v * 2.0, 2);
    v3(1.0, 0.968, 0.902) * pool
}

/// How far inside the sheet a place lies, millimetres.
fn inside(x: f32, y: f32) -> f32 {
    x.min(SHEET.0 as f32 - x).min(y).min(SHEET.1 as f32 - y)
}

/// An oiled table of long planks.
fn table(x: f32, y: f32) -> V3 {
    let plank = ((y + 400.0) / 74.0).floor();
    let seam = ((y + 400.0) / 74.0 - plank) * 74.0;
    let shift = 37.0 * plank;
    let grain = fbm(506, (x + shift) * 0.012, y * 0.30 + 9.0 * plank, 5);
    let pores = smoothstep(0.25, 0.6, noise(507, (x + shift) * 0.09, y * 2.4));
    let tone = 1.0 + 0.34 * grain - 0.16 * pores + 0.05 * noise(508, plank * 5.3, 0.5);
    v3(0.205, 0.118, 0.062) * (tone * (1.0 - 0.6 * smoothstep(0.9, 0.2, seam.min(74.0 - seam))))
}

/// Masking tape across the sheet's corners.
fn tape(x: f32, y: f32) -> Option<V3> {
    const STRIPS: [(f32, f32, f32, f32); 4] = [
        (3.0, 3.0, 0.74, -0.67),
        (313.0, 2.0, 0.70, 0.71),
        (314.0, 234.0, 0.66, -0.75),
        (2.0, 233.0, 0.75, 0.66),
    ];
    const HALF: (f32, f32) = (19.0, 6.2);
    STRIPS.iter().zip(511..).find_map(|(&(cx, cy, c, s), seed)| {
        let (a, b) = ((x - cx) * c + (y - cy) * s, (y - cy) * c - (x - cx) * s);
        let torn = 0.8 * noise(seed, a * 0.9, b * 1.1);
        if a.abs() > HALF.0 + torn || b.abs() > HALF.1 {
            return None;
        }
        let crepe = 1.0 + 0.06 * noise(seed + 10, a * 1.5, b * 0.35);
        let over = smoothstep(-0.4, 0.3, inside(x, y));
        Some(mix(v3(0.47, 0.37, 0.22), v3(0.68, 0.60, 0.43), over) * crepe)
    })
}
