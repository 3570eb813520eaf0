//! A photographed strip: swatches of one paint in several strengths on paper, found, put in order and measured.
//!
//! The picture is looked at small. `ground.rs` tells what bare paper would be everywhere, `blobs.rs` what is painted,
//! `chain.rs` which of it lies in one line, and `profile.rs` walks along that line, against the paper beside it, and
//! finds where one step ends. Steps count from the lightest. The middle of a swatch is read: dark edges, beads and
//! pencil lie outside it.
//!
//! Out of scope: what paint it is, and what was told by hand.

mod blobs;
mod chain;
mod ground;
mod profile;
#[cfg(test)]
mod scene;
#[cfg(test)]
mod tests;

use crate::area::Region;
use crate::lighting::Light;
use crate::{Bands, Circumstances, Patch, PatchKind, Photo, Reading, Spot};
use std::sync::Arc;

/// A strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// From the lightest to the darkest end.
    pub steps: Vec<StripStep>,
    /// How even its spacing is in L*: 1 where all gaps are alike, 0 where they are off by a whole even gap in the mean.
    pub evenness: f64,
    /// What should be told.
    pub warnings: Vec<StripWarning>,
}

/// A step of a strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripStep {
    /// Corners of its swatch, round it, in pixels of the working copy (whole numbers are middles of pixels).
    pub quad: [[f64; 2]; 4],
    /// L*, against the paper beside it.
    pub lightness: f64,
    /// Half of its 90 % interval: what an unknown camera leaves open.
    pub plus_minus: f64,
    /// CIELAB chroma, and hue angle in degrees unless it is near grey.
    pub chroma: f64,
    /// See `chroma`.
    pub hue: Option<f64>,
}

/// What should be told of a strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StripWarning {
    /// These two, counted from 1, stand closer than half of an even gap.
    TooClose(usize, usize),
    /// Between these two a strength is missing: their gap is more than one and a half even ones.
    TooFar(usize, usize),
    /// These two cannot be told apart.
    Alike(usize, usize),
    /// The paper beside it changes at once: a shadow's edge, or a fold.
    Shadow,
    /// Part of a step shines.
    Glare(usize),
}

/// The longer side of the small picture: a step of a strip that fills the picture is then some hundred pixels long.
const SIDE: u32 = 1024;

/// Two steps under this can't be told apart: about the just noticeable 2.3 ΔE*ab, rounded down since they lie side by
/// side.
const ALIKE: f64 = 1.5;

/// Gaps, in even ones, that are told as too close and too far.
const CLOSE: f64 = 0.5;
const FAR: f64 = 1.6;

/// How far the paper beside may change between neighbouring places before that is no falling off any more: light that
/// falls off by half over a picture changes by 2 % in such a distance.
const SUDDEN: f64 = 0.08;

/// The small picture: linear sRGB, row-major.
struct Small {
    columns: usize,
    rows: usize,
    rgb: Vec<[f64; 3]>,
    /// Pixels of the working copy to one of it, across and down.
    scale: (f64, f64),
}

/// Finds all strips of a photo, each against paper of this L*; none where there are none.
#[must_use]
pub fn strips(photo: &Photo, paper: f64) -> Vec<Strip> {
    let small = Small::of(photo);
    let Some(ground) = ground::Ground::of(&small) else { return Vec::new() };
    let painted = blobs::Painted::of(&small, &ground);
    let chains = chain::chains(&painted);
    let mut strips: Vec<Strip> = chains
        .iter()
        .filter_map(|chain| profile::Profile::along(chain, &small, &ground, &painted, paper))
        .filter_map(|profile| measured(photo, &small, &profile, paper, ground.is_shadowed()))
        .collect();
    // As they are read: from the top, then from the left.
    let corner = |strip: &Strip| strip.steps.iter().map(|step| step.quad[0][1]).fold(f64::INFINITY, f64::min);
    strips.sort_by(|a, b| corner(a).total_cmp(&corner(b)));
    strips
}

impl Small {
    fn of(photo: &Photo) -> Self {
        let (width, height) = photo.size();
        let scale = (f64::from(SIDE) / f64::from(width.max(height))).min(1.0);
        let side = |side: u32| ((f64::from(side) * scale).round() as u32).max(1);
        let (columns, rows) = (side(width), side(height));
        let linear = photo.averaged_colour(Region::whole(width, height), columns, rows);
        let rgb = linear.as_chunks::<3>().0.iter().map(|rgb| rgb.map(f64::from)).collect();
        let scale = (f64::from(width) / f64::from(columns), f64::from(height) / f64::from(rows));
        Self { columns: columns as usize, rows: rows as usize, rgb, scale }
    }

    /// The pixel at a place, kept inside.
    fn at(&self, x: f64, y: f64) -> (usize, [f64; 3]) {
        let column = (x.round().max(0.0) as usize).min(self.columns - 1);
        let row = (y.round().max(0.0) as usize).min(self.rows - 1);
        let index = row * self.columns + column;
        (index, self.rgb[index])
    }

    /// A place in pixels of the working copy.
    fn full(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [(x + 0.5) * self.scale.0 - 0.5, (y + 0.5) * self.scale.1 - 0.5]
    }
}

/// Puts a profile's steps in order and measures them; none where there are too few to be a strip.
fn measured(
    photo: &Photo,
    small: &Small,
    profile: &profile::Profile,
    paper: f64,
    shadowed: bool,
) -> Option<Strip> {
    let mut steps = profile.steps();
    let tones = || steps.iter().map(|step| step.lightness);
    let span = tones().fold(0.0, f64::max) - tones().fold(100.0, f64::min);
    if steps.len() < 3 || span < 2.0 * ALIKE {
        return None;
    }
    let half = steps.len() / 2;
    let mean = |steps: &[profile::Segment]| {
        steps.iter().map(|step| step.lightness).sum::<f64>() / steps.len() as f64
    };
    if mean(&steps[..half]) < mean(&steps[steps.len() - half..]) {
        steps.reverse();
    }
    let doubt = Doubts::of(photo, small, profile, paper);
    let found: Vec<StripStep> = steps
        .iter()
        .map(|step| {
            let centre = small.full(step.centre);
            StripStep {
                quad: step.quad.map(|corner| small.full(corner)),
                lightness: step.lightness,
                plus_minus: doubt.at(centre, step.lightness),
                chroma: step.chroma,
                hue: (step.chroma >= crate::colour::NEUTRAL_CHROMA).then_some(step.hue),
            }
        })
        .collect();
    let (evenness, mut warnings) = spacing(&found);
    if shadowed || profile.is_shadowed(SUDDEN) {
        warnings.push(StripWarning::Shadow);
    }
    warnings.extend(
        steps.iter().enumerate().filter(|(_, step)| step.shines).map(|(at, _)| StripWarning::Glare(at + 1)),
    );
    Some(Strip { steps: found, evenness, warnings })
}

/// How even gaps are, and which stand out.
fn spacing(steps: &[StripStep]) -> (f64, Vec<StripWarning>) {
    let gaps: Vec<f64> = steps.windows(2).map(|pair| pair[0].lightness - pair[1].lightness).collect();
    let even = (steps[0].lightness - steps[steps.len() - 1].lightness) / gaps.len() as f64;
    if even <= 0.0 {
        return (0.0, vec![StripWarning::Alike(1, steps.len())]);
    }
    let off = gaps.iter().map(|gap| (gap - even).abs()).sum::<f64>() / gaps.len() as f64 / even;
    let warnings = gaps.iter().enumerate().filter_map(|(at, &gap)| match gap {
        gap if gap < ALIKE => Some(StripWarning::Alike(at + 1, at + 2)),
        gap if gap < CLOSE * even => Some(StripWarning::TooClose(at + 1, at + 2)),
        gap if gap > FAR * even => Some(StripWarning::TooFar(at + 1, at + 2)),
        _ => None,
    });
    ((1.0 - off).max(0.0), warnings.collect())
}

/// How far readings of a strip may be from the truth, by a light that is told by the paper beside it alone.
struct Doubts(Option<Photo>);

impl Doubts {
    fn of(photo: &Photo, small: &Small, profile: &profile::Profile, paper: f64) -> Self {
        let [x, y] = small.full(profile.paper_spot());
        let spot = Spot { x, y, radius: profile.width() * small.scale.0 * 0.2 };
        let patch = Patch { kind: PatchKind::White, spot, lightness: paper };
        let light = Light::judge(photo, &[patch], Circumstances::default()).ok();
        Self(light.map(|light| photo.lit(&Arc::new(light))))
    }

    /// At a place that reads an L*; where no light could be judged, as wide as one paper leaves it.
    fn at(&self, [x, y]: [f64; 2], lightness: f64) -> f64 {
        let bands = Bands::even(2).ok();
        let spot = Spot { x, y, radius: 4.0 };
        let reading =
            self.0.as_ref().zip(bands).and_then(|(photo, bands)| Reading::take(photo, spot, &bands).ok());
        let doubt = reading.and_then(|reading| reading.doubt).map(|doubt| doubt.plus_minus());
        doubt.unwrap_or(0.12 * lightness.max(1.0))
    }
}
