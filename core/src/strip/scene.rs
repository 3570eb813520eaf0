//! Drawn photographs of strips of which the truth is known: layers of paint after Kubelka and Munk over paper, painted
//! by hand, seen from a side, in a light with a cast that falls off, with noise, as JPEG 90.

use crate::photo::{OpenOptions, Photo};
use crate::random::Random;
use crate::{Progress, lightness_from_y};
use rayon::prelude::*;

/// Absorption and scattering of three channels, after Curtis et al. 1997, "Computer-Generated Watercolor".
pub(super) const PIGMENTS: [([f64; 3], [f64; 3]); 11] = [
    // French ultramarine, quinacridone rose, hansa yellow, burnt umber, phthalo green.
    ([0.86, 0.86, 0.06], [0.005, 0.005, 0.09]),
    ([0.22, 1.47, 0.57], [0.05, 0.003, 0.03]),
    ([0.06, 0.21, 1.78], [0.50, 0.88, 0.009]),
    ([0.74, 1.54, 2.10], [0.09, 0.09, 0.004]),
    ([1.55, 0.47, 0.63], [0.01, 0.05, 0.035]),
    // Indian red, cadmium yellow, hooker's green, cerulean blue, cadmium red, brilliant orange.
    ([0.46, 1.07, 1.50], [1.28, 0.38, 0.21]),
    ([0.10, 0.36, 3.45], [0.97, 0.65, 0.007]),
    ([1.62, 0.61, 1.64], [0.01, 0.012, 0.003]),
    ([1.52, 0.32, 0.25], [0.06, 0.26, 0.40]),
    ([0.14, 1.08, 1.68], [0.77, 0.015, 0.018]),
    ([0.13, 0.81, 3.45], [0.005, 0.009, 0.007]),
];

/// Luminance of paper of L* 94.53.
const PAPER: f64 = 0.866_3;

/// What is drawn.
pub(super) struct Scene {
    pub(super) size: (usize, usize),
    pub(super) strips: Vec<Drawn>,
    /// Turns and leans of the board: a, b, c; d, e, f; g, h of a homography from pixels to the board's unit square.
    pub(super) look: [f64; 8],
    /// Light of the channels, and how much of it is lost from left to right and from top to bottom.
    pub(super) light: [f64; 3],
    pub(super) falls: (f64, f64),
    pub(super) noise: f64,
    pub(super) shadow: Option<Shadow>,
    /// How much lighter and darker cockled paper is.
    pub(super) cockled: f64,
    /// The sheet's margin on the board, and the reflectance of the table about it.
    pub(super) table: Option<(f64, [f64; 3])>,
}

/// A shadow on the board.
#[derive(Clone, Copy)]
pub(super) struct Shadow {
    /// Where its edge crosses, as a part of the board's width, at the top.
    pub(super) edge: f64,
    /// How far the edge leans: this much further to the right at the bottom.
    pub(super) leans: f64,
    /// How broad the edge is.
    pub(super) soft: f64,
    /// Light in it.
    pub(super) light: f64,
    /// How broad it is: infinite where it covers all beyond its edge.
    pub(super) broad: f64,
}

/// A strip on the board.
pub(super) struct Drawn {
    pub(super) pigment: usize,
    /// Thickness of the layer of each step.
    pub(super) loads: Vec<f64>,
    /// Upper left corner, length and breadth on the board, and the part of a step's length that is gap.
    pub(super) corner: (f64, f64),
    pub(super) length: f64,
    pub(super) breadth: f64,
    pub(super) gap: f64,
    /// How rough it is: granulation, and uneven edges.
    pub(super) rough: f64,
    /// Whether a number is written below each step.
    pub(super) numbered: bool,
    /// The step in which a backrun blooms: a round patch of thinner paint, .4 of the breadth across.
    pub(super) bloom: Option<usize>,
}

impl Drawn {
    /// L* of each step, on paper of L* 94.53.
    pub(super) fn truth(&self) -> Vec<f64> {
        self.loads.iter().map(|&load| lightness_from_y(luminance(over_paper(self.pigment, load)))).collect()
    }

    /// Loads whose L* lie evenly between two.
    pub(super) fn even(pigment: usize, count: usize, (light, dark): (f64, f64)) -> Vec<f64> {
        let wanted = (0..count).map(|at| light + (dark - light) * at as f64 / (count - 1) as f64);
        wanted
            .map(|wanted| {
                let (mut low, mut high) = (0.0, 60.0);
                for _ in 0..60 {
                    let middle = (low + high) / 2.0;
                    let there = lightness_from_y(luminance(over_paper(pigment, middle)));
                    if there > wanted { low = middle } else { high = middle }
                }
                low
            })
            .collect()
    }
}

impl Scene {
    /// The photograph.
    pub(super) fn photo(&self, seed: u64) -> Photo {
        let (columns, rows) = self.size;
        let mut random = Random::new(seed);
        let grain: Vec<f64> = (0..GRAIN * GRAIN).map(|_| random.within((-1.0, 1.0))).collect();
        let lights: Vec<[f64; 3]> = (0..columns * rows)
            .into_par_iter()
            .map(|at| {
                let mut sum = [0.0; 3];
                for (dx, dy) in [(0.25, 0.25), (0.75, 0.75)] {
                    let (x, y) = ((at % columns) as f64 + dx, (at / columns) as f64 + dy);
                    let there = self.seen(x / columns as f64, y / rows as f64, &grain);
                    for channel in 0..3 {
                        sum[channel] += there[channel] / 2.0;
                    }
                }
                sum
            })
            .collect();
        let mut codes = Vec::with_capacity(3 * columns * rows);
        for light in lights.into_iter().flatten() {
            // Shot noise grows with the root of light.
            let noisy = light + self.noise * libm::sqrt(light.max(0.0)) * random.normal();
            codes.push((255.0 * encoded(noisy.clamp(0.0, 1.0))).round() as u8);
        }
        let mut jpeg = Vec::new();
        jpeg_encoder::Encoder::new(&mut jpeg, 90)
            .encode(&codes, columns as u16, rows as u16, jpeg_encoder::ColorType::Rgb)
            .unwrap();
        Photo::open(&jpeg, &OpenOptions::default(), &Progress::new()).unwrap()
    }

    /// Linear light at a place of the picture, in fractions.
    fn seen(&self, x: f64, y: f64, grain: &[f64]) -> [f64; 3] {
        let [a, b, c, d, e, f, g, h] = self.look;
        let w = g * x + h * y + 1.0;
        let (u, v) = ((a * x + b * y + c) / w, (d * x + e * y + f) / w);
        let off_sheet = |margin: f64| (u - 0.5).abs().max((v - 0.5).abs()) > 0.5 - margin;
        let surface = match self.table {
            Some((margin, table)) if off_sheet(margin) => {
                // A board's grain runs across.
                table.map(|reflectance| {
                    reflectance * (1.0 + 0.12 * smooth(grain, 4.0 * u + 9.0, 50.0 * v + 9.0))
                })
            }
            _ => self.strips.iter().find_map(|strip| strip.at(u, v, grain)).unwrap_or([PAPER; 3]),
        };
        let falls = 1.0 - self.falls.0 * x - self.falls.1 * y;
        let shade = self.shadow.map_or(1.0, |shadow| shadow.at(u, v));
        let cockled = 1.0 + self.cockled * smooth(grain, 5.0 * u + 3.0, 5.0 * v + 3.0);
        [0, 1, 2].map(|channel| surface[channel] * self.light[channel] * falls * shade * cockled)
    }
}

impl Shadow {
    fn at(&self, u: f64, v: f64) -> f64 {
        let far = u - self.edge - self.leans * v;
        let into = far.min(self.broad - far) / self.soft.max(1e-6);
        1.0 - (1.0 - self.light) * (into + 0.5).clamp(0.0, 1.0)
    }
}

impl Drawn {
    fn at(&self, u: f64, v: f64, grain: &[f64]) -> Option<[f64; 3]> {
        let ragged = |at: f64, row: f64| 0.03 * self.rough * smooth(grain, 18.0 * at, row);
        let across = (v - self.corner.1) / self.breadth + ragged(u, 3.3);
        let along = (u - self.corner.0) / self.length * self.loads.len() as f64;
        let along = along + 0.6 * ragged(v * 2.0, 7.7);
        if self.numbered && self.is_number(u, v) {
            return Some([0.35 * PAPER; 3]);
        }
        if !(0.0..1.0).contains(&across) || !(0.0..self.loads.len() as f64).contains(&along) {
            return None;
        }
        let step = along as usize;
        let within = along - step as f64;
        if within < self.gap / 2.0 || within > 1.0 - self.gap / 2.0 {
            return None;
        }
        // Paint gathers along edges as it dries.
        let edge =
            across.min(1.0 - across).min(4.0 * (within - self.gap / 2.0).min(1.0 - self.gap / 2.0 - within));
        let gathered = if edge < 0.04 { 1.0 + 0.3 * self.rough } else { 1.0 };
        let granular = 1.0 + 0.12 * self.rough * smooth(grain, 260.0 * u, 260.0 * v);
        let long = self.length / self.loads.len() as f64;
        let off = libm::hypot((within - 0.4) * long, (across - 0.55) * self.breadth);
        let thinned = if self.bloom == Some(step) && off < 0.2 * self.breadth { 0.65 } else { 1.0 };
        Some(over_paper(self.pigment, self.loads[step] * gathered * granular * thinned))
    }

    /// A ring with a stroke, as a written number is.
    fn is_number(&self, u: f64, v: f64) -> bool {
        let step = self.length / self.loads.len() as f64;
        let along = (u - self.corner.0).rem_euclid(step) - step / 2.0;
        let down = v - self.corner.1 - 1.35 * self.breadth;
        let within = (0.0..self.length).contains(&(u - self.corner.0));
        let size = 0.12 * self.breadth;
        let radius = libm::hypot(along, down);
        within
            && (radius < size && radius > 0.75 * size || along.abs() < 0.12 * size && down.abs() < 1.5 * size)
    }
}

/// Sides of the table of grain.
const GRAIN: usize = 64;

/// Noise between -1 and 1, smooth between whole numbers.
fn smooth(grain: &[f64], x: f64, y: f64) -> f64 {
    let at = |x: f64, y: f64| grain[(y as usize % GRAIN) * GRAIN + x as usize % GRAIN];
    let (x, y) = (x.abs(), y.abs());
    let (dx, dy) = (x.fract(), y.fract());
    let (top, bottom) = (
        at(x, y) * (1.0 - dx) + at(x + 1.0, y) * dx,
        at(x, y + 1.0) * (1.0 - dx) + at(x + 1.0, y + 1.0) * dx,
    );
    top * (1.0 - dy) + bottom * dy
}

/// Reflectance of a layer over paper (Kubelka 1948).
fn over_paper(pigment: usize, load: f64) -> [f64; 3] {
    let (k, s) = PIGMENTS[pigment];
    [0, 1, 2].map(|channel| {
        if load <= 0.0 {
            return PAPER;
        }
        let a = 1.0 + k[channel] / s[channel];
        let b = libm::sqrt(a * a - 1.0);
        let thick = b * s[channel] * load;
        let (sinh, cosh) = (libm::sinh(thick), libm::cosh(thick));
        let c = a * sinh + b * cosh;
        let (r, t) = (sinh / c, b / c);
        r + t * t * PAPER / (1.0 - r * PAPER)
    })
}

fn luminance([r, g, b]: [f64; 3]) -> f64 {
    0.212_639 * r + 0.715_169 * g + 0.072_192 * b
}

fn encoded(linear: f64) -> f64 {
    if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055 }
}
