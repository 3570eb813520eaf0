//! A watercolour of the scene: its tones kept, its hues let go, and some tones wrong on purpose.

mod pigments;
mod study;

use rayon::prelude::*;

use crate::canvas::Canvas;
use crate::noise::{cell, fbm, noise};
use crate::scene::{Region, Scene};
use crate::tone::luminance_of;
use crate::vector::{V3, lerp, mix, smoothstep};
pub(crate) use pigments::PAPER;
use pigments::{palette, strength_for, washed};
use study::Study;

/// A tone that was painted wrong on purpose.
pub(crate) struct Mistake {
    pub(crate) name: &'static str,
    region: Region,
    /// Left, top, right and bottom of where it lies, in widths of the picture.
    place: [f32; 4],
    /// Which tones of the part it befell, L*.
    tones: (f32, f32),
    /// How much lighter it was painted, L*.
    pub(crate) lighter: f32,
}

/// A shadow too light, a light too dark, a distance too near.
pub(crate) const MISTAKES: [Mistake; 3] = [
    Mistake {
        name: "quay wall, too light",
        region: Region::Quay,
        place: [0.0, 0.5, 0.6, 0.7],
        tones: (0.0, 70.0),
        lighter: 18.0,
    },
    Mistake {
        name: "wheelhouse in the sun, too dark",
        region: Region::PaleHull,
        place: [0.7, 0.5, 0.95, 0.68],
        tones: (75.0, 100.0),
        lighter: -24.0,
    },
    Mistake {
        name: "far hills, too dark",
        region: Region::FarHill,
        place: [0.4, 0.4, 1.0, 0.6],
        tones: (0.0, 100.0),
        lighter: -16.0,
    },
];

/// The tones at which a further wash goes over the last, L*.
const WASHES: [f32; 6] = [87.0, 75.0, 63.0, 51.0, 39.0, 26.0];
const STEP: f32 = 12.0;
const BARE: f32 = 94.0;

/// Height of the paper's tooth at a place (in widths of the painted area): about −1 in a pit to 1 on a peak.
pub(crate) fn tooth(u: f32, v: f32) -> f32 {
    (1.3 * fbm(301, u * 150.0, v * 150.0, 3)).clamp(-1.0, 1.0)
}

/// The painted area alone, flat and evenly lit: linear reflectance, `width` by 4/3 of it.
pub(crate) fn paint(scene: &Scene, width: usize) -> Canvas {
    let study = Study::of(scene, width);
    let (w, h) = (study.width, study.height);
    let wanted: Vec<f32> = (0..w * h).into_par_iter().map(|i| wanted_tone(&study, i)).collect();

    // Each wash is a mask; where it dries, its pigment gathers along the inside of its edge.
    let mut laid = vec![0.0f32; w * h];
    let mut rims = vec![0.0f32; w * h];
    for (k, &at) in WASHES.iter().enumerate() {
        let mask: Vec<f32> = (0..w * h)
            .into_par_iter()
            .map(|i| {
                let soft = softness(study.region[i]);
                let (x, y) = ((i % w) as f32 / w as f32, (i / w) as f32 / w as f32);
                let ragged = 2.2 * noise(310 + k as u32, x * 60.0, y * 60.0)
                    + 1.5 * noise(320 + k as u32, x * 170.0, y * 170.0);
                smoothstep(at + soft, at - soft, wanted[i] + ragged)
            })
            .collect();
        let near = blurred(&mask, w, h, 4);
        for i in 0..w * h {
            laid[i] += mask[i];
            let hard = (1.0 - softness(study.region[i]) / 9.0).max(0.15);
            rims[i] += hard * mask[i] * (1.0 - near[i]);
        }
    }
    Canvas::drawn(w, h, |x, y| {
        let i = y * w + x;
        finished(&study, i, wanted[i], laid[i], rims[i])
    })
}

/// Half the width, in L*, over which a wash's edge fades: hard on dry paper, soft where it ran into wet.
fn softness(region: Region) -> f32 {
    match region {
        Region::Sky => 8.0,
        Region::FarHill | Region::NearHill => 5.0,
        Region::Water => 3.0,
        Region::Mud => 3.5,
        _ => 1.4,
    }
}

fn wanted_tone(study: &Study, i: usize) -> f32 {
    let w = study.width;
    let (u, v) = ((i % w) as f32 / w as f32, (i / w) as f32 / w as f32);
    let (region, tone) = (study.region[i], study.tone[i]);
    let wrong: f32 = MISTAKES
        .iter()
        .filter(|m| {
            m.region == region && m.place[0] <= u && u < m.place[2] && m.place[1] <= v && v < m.place[3]
        })
        .map(|m| {
            m.lighter
                * smoothstep(m.tones.0 - 4.0, m.tones.0 + 4.0, tone)
                * smoothstep(m.tones.1 + 4.0, m.tones.1 - 4.0, tone)
        })
        .sum();
    // A wash is never quite even.
    tone + wrong + 2.2 * fbm(330, u * 5.0, v * 5.0, 3)
}

fn finished(study: &Study, i: usize, wanted: f32, laid: f32, rim: f32) -> V3 {
    let (w, h) = (study.width, study.height);
    let (x, y) = (i % w, i / w);
    let (u, v) = (x as f32 / w as f32, y as f32 / w as f32);
    let region = study.region[i];
    let own = |dx: i32, dy: i32| {
        let (nx, ny) = ((x as i32 + dx).clamp(0, w as i32 - 1), (y as i32 + dy).clamp(0, h as i32 - 1));
        study.region[ny as usize * w + nx as usize] == region
    };
    let grain = tooth(u, v);
    let mut tone = lerp(wanted, BARE - STEP * laid, 0.62).clamp(7.0, BARE);

    // Where two dry parts meet, a sliver of paper is left here and there.
    let firm = softness(region) < 3.2;
    let border = !(own(2, 0) && own(-2, 0) && own(0, 2) && own(0, -2));
    let sliver = smoothstep(0.12, 0.4, noise(341, u * 13.0, v * 13.0));
    if firm && border && region != Region::Spar {
        tone = lerp(tone, BARE, 0.75 * sliver);
    }
    // A dry brush leaves the pits of the paper white, in long level strokes.
    if matches!(region, Region::Water | Region::Mud) {
        let stroke = smoothstep(0.12, 0.42, fbm(342, u * 7.0, v * 46.0, 3)) * smoothstep(30.0, 62.0, tone);
        tone = lerp(tone, BARE, stroke * smoothstep(0.25, -0.15, grain));
    }

    let ([light, middle, dark], granulation) = palette(region);
    // Colours run into each other while they are wet.
    let charge = 15.0 * fbm(343, u * 4.2, v * 4.2, 4);
    let key = tone + charge;
    let mut pigment = if key > 58.0 {
        mix(middle, light, smoothstep(66.0, 92.0, key))
    } else {
        mix(dark, middle, smoothstep(20.0, 52.0, key))
    };
    if region == Region::Sky {
        // Warm low down and towards the sun.
        let warm = smoothstep(0.16, 0.55, v - 0.22 * (u - 0.3) + 0.12 * fbm(344, u * 3.0, v * 4.0, 3));
        pigment = mix(mix(pigment, middle, 0.5), light, warm * 0.85);
    }
    let mut strength = strength_for(pigment, luminance_of(tone));
    strength *= 1.0 + 0.9 * rim.min(0.6);
    if firm && !(own(3, 0) && own(-3, 0) && own(0, 3) && own(0, -3)) {
        strength *= 1.12;
    }
    strength *= 1.0 - 0.20 * granulation * grain + 0.10 * fbm(345, u * 11.0, v * 11.0, 3);
    strength *= 1.0 + backruns(u, v) * if firm { 0.25 } else { 1.0 };
    let mut colour = washed(pigment, strength.max(0.0));

    // What shows of the pencil.
    let ahead = study.region[(y + 2).min(h - 1) * w + (x + 2).min(w - 1)];
    let line = ahead != study.region[(y + 1).min(h - 1) * w + (x + 1).min(w - 1)];
    if line && noise(346, u * 9.0, v * 9.0) > -0.1 && grain > -0.35 {
        colour = colour * 0.80;
    }
    spattered(colour, u, v)
}

/// Blooms, where a wet brush touched a drying wash: pale within, a dark ragged rim.
fn backruns(u: f32, v: f32) -> f32 {
    const BLOOMS: [(f32, f32, f32); 7] = [
        (0.17, 0.20, 0.085),
        (0.83, 0.33, 0.07),
        (0.60, 0.10, 0.05),
        (0.12, 1.13, 0.07),
        (0.62, 1.22, 0.09),
        (0.90, 1.02, 0.05),
        (0.36, 0.33, 0.045),
    ];
    BLOOMS.iter().fold(0.0, |sum, &(bx, by, size)| {
        let (dx, dy) = (u - bx, (v - by) * 1.15);
        let ragged = 1.0 + 0.42 * fbm(351, u * 22.0, v * 22.0, 4) + 0.2 * noise(352, u * 5.0, v * 5.0);
        let r = (dx * dx + dy * dy).sqrt() / (size * ragged);
        sum + 0.42 * smoothstep(0.86, 0.98, r) * smoothstep(1.05, 1.0, r) - 0.30 * smoothstep(1.0, 0.75, r)
    })
}

/// A few drops flicked off the brush over the foreground.
fn spattered(colour: V3, u: f32, v: f32) -> V3 {
    if v < 0.86 {
        return colour;
    }
    let (cx, cy) = ((u * 36.0).floor(), (v * 36.0).floor());
    let chance = cell(361, cx as i32, cy as i32);
    if chance < 0.88 {
        return colour;
    }
    let (ox, oy) = (cell(362, cx as i32, cy as i32), cell(363, cx as i32, cy as i32));
    let (dx, dy) = (u * 36.0 - cx - lerp(0.25, 0.75, ox), v * 36.0 - cy - lerp(0.25, 0.75, oy));
    let r = (dx * dx + dy * dy).sqrt() / (1.6 * (chance - 0.87));
    let drop = smoothstep(1.0, 0.85, r) * lerp(0.3, 0.55, smoothstep(0.5, 0.9, r));
    mix(colour, colour.times(V3 { x: 0.5, y: 0.3, z: 0.45 }), drop)
}

/// Mean over a square of `2·reach + 1`, by running sums along rows and then columns.
fn blurred(map: &[f32], w: usize, h: usize, reach: usize) -> Vec<f32> {
    let rows = run(map, w, h, reach, |line, k| line * w + k);
    run(&rows, h, w, reach, |line, k| k * w + line)
}

fn run(
    map: &[f32],
    length: usize,
    lines: usize,
    reach: usize,
    at: impl Fn(usize, usize) -> usize,
) -> Vec<f32> {
    let mut out = vec![0.0; map.len()];
    for line in 0..lines {
        for k in 0..length {
            let (from, to) = (k.saturating_sub(reach), (k + reach).min(length - 1));
            let sum: f32 = (from..=to).map(|j| map[at(line, j)]).sum();
            out[at(line, k)] = sum / (to - from + 1) as f32;
        }
    }
    out
}
