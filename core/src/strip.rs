//! A photographed strip: swatches of one paint in several strengths on paper, found, put in order and measured.
//!
//! The picture is looked at small. `cast.rs` tells the light that falls on bare paper, with `shadow.rs` the edge of a
//! shadow across it; `sheet.rs` follows the paper, and `ground.rs` tells what it would be everywhere. `blobs.rs` tells what
//! is painted, `chain.rs` which of it lies in one line, and `profile.rs` walks along that line and finds where one step
//! ends, and a palest wash beyond. `paper.rs`
//! tells where bare paper lies beside. `swatch.rs` reads a swatch's middle, found or marked by hand (`by_hand.rs`), against
//! the paper beside it: dark edges, beads and pencil lie outside. `spacing.rs` says what the steps tell together. Steps
//! count from the lighter end.
//!
//! Out of scope: what paint it is.

mod blobs;
mod by_hand;
mod cast;
mod chain;
mod ground;
mod paper;
mod profile;
#[cfg(test)]
mod scene;
mod shadow;
mod sheet;
mod spacing;
mod swatch;
#[cfg(test)]
mod tests;

pub use by_hand::{Quad, split_swatch, swatch_at};

use crate::area::Region;
use crate::reading::allowed;
use crate::{Light, Photo, Spot};
use blobs::smoothed;
use swatch::{Swatch, Tone};

/// A strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// In their order along it, the lighter end first.
    pub steps: Vec<StripStep>,
    /// How even its spacing is in L*: 1 where all gaps are alike, 0 where they are off by a whole even gap in the mean.
    pub evenness: f64,
    /// What should be told.
    pub warnings: Vec<StripWarning>,
    /// Spots of bare paper beside it, by which the photo's light can be stated: readings there then stand on the paper
    /// that the steps stand on.
    pub papers: Vec<Spot>,
}

/// A step of a strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripStep {
    /// Its swatch.
    pub quad: Quad,
    /// L*, against the paper beside it.
    pub lightness: f64,
    /// Half of its 90 % interval: what an unknown camera leaves open.
    pub plus_minus: f64,
    /// Half of the 90 % interval of what it would read elsewhere within the swatch: how repeatable it is, whatever the
    /// camera.
    pub repeatable: f64,
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
    /// Between these two a strength is missing: their gap is about one and a half even ones, or more.
    TooFar(usize, usize),
    /// These two cannot be told apart.
    Alike(usize, usize),
    /// The paper beside it changes at once: a shadow's edge, or a fold.
    Shadow,
    /// The second of these two is lighter than the first: the strip turns back, as a very strong wash does that bronzes.
    TurnsBack(usize, usize),
    /// Part of a step shines.
    Glare(usize),
}

/// The longer side of the small picture: a step of a strip that fills the picture is then some hundred pixels long.
const SIDE: u32 = 1024;

/// A strip spans at least so much L*; less is a wash that is not even.
const LEAST_SPAN: f64 = 3.0;

/// Half of its steps repeat to less than this part of a mean gap: what varies more within a step than from step to step
/// is no strip. Painted strips lie below .1.
const PLAIN: f64 = 0.5;

/// No paint is lighter than the paper by more than what beside it is dirt or a shadow.
const LIGHTER: f64 = 3.0;

/// A strip that is found has so many steps at least.
const FEWEST: usize = 3;

/// Half of a normal distribution's 90 % interval, in deviations.
const HALF_OF_90: f64 = 1.645;

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
    let found: Vec<Vec<Swatch>> = chain::chains(&painted)
        .iter()
        .filter_map(|chain| profile::Profile::along(chain, &small, &ground, &painted))
        .map(|profile| profile.swatches(&small, &ground))
        .filter(|swatches| swatches.len() >= FEWEST)
        .collect();
    let all: Vec<Swatch> = found.iter().flatten().copied().collect();
    let mut strips: Vec<Strip> = found
        .into_iter()
        .filter_map(|swatches| {
            let told = swatches.into_iter().map(|swatch| (swatch.corners().map(|at| small.full(at)), swatch));
            Strip::read(&small, Some(&ground.light), told.collect(), &all, paper)
        })
        .filter(|strip| strip.span() >= LEAST_SPAN && strip.is_plain(paper))
        .collect();
    // As they are read: from the top, or, where they stand upright beside each other, from the left.
    let extents = [0, 1].map(|axis| {
        let middles = || strips.iter().map(|strip| strip.middle()[axis]);
        middles().fold(f64::NEG_INFINITY, f64::max) - middles().fold(f64::INFINITY, f64::min)
    });
    let axis = usize::from(extents[1] >= extents[0]);
    strips.sort_by(|a, b| a.middle()[axis].total_cmp(&b.middle()[axis]));
    strips
}

impl Strip {
    /// Reads swatches in their order along a strip, each with the quad that it is told with, among `all` of the
    /// picture; none where one of them can't be read.
    fn read(
        small: &Small,
        light: Option<&cast::Cast>,
        swatches: Vec<(Quad, Swatch)>,
        all: &[Swatch],
        paper: f64,
    ) -> Option<Self> {
        let beside: Vec<[f64; 2]> = swatches.iter().flat_map(|(_, swatch)| swatch.beside()).collect();
        let is_parted = light.is_some_and(|light| light.is_parted(&beside));
        let mut read: Vec<(Quad, Tone)> = swatches
            .into_iter()
            .map(|(quad, swatch)| swatch.read(small, light, all, paper).map(|tone| (quad, tone)))
            .collect::<Option<_>>()?;
        let half = read.len() / 2;
        let mean = |part: &[(Quad, Tone)]| part.iter().map(|it| it.1.lab[0]).sum::<f64>() / part.len() as f64;
        if half > 0 && mean(&read[..half]) < mean(&read[read.len() - half..]) {
            read.reverse();
        }
        let steps: Vec<StripStep> =
            read.iter().map(|(quad, tone)| StripStep::of(*quad, tone, paper)).collect::<Option<_>>()?;
        let (evenness, mut warnings) = spacing::spacing(&steps);
        let tones: Vec<Tone> = read.into_iter().map(|it| it.1).collect();
        warnings.extend((is_parted || spacing::is_shadowed(&tones)).then_some(StripWarning::Shadow));
        warnings.extend(
            tones.iter().enumerate().filter(|it| it.1.shines).map(|(at, _)| StripWarning::Glare(at + 1)),
        );
        let papers = paper::papers(small, &tones, all);
        Some(Self { steps, evenness, warnings, papers })
    }

    /// Whether its steps are of one tone each, and not lighter than paper of this L*.
    fn is_plain(&self, paper: f64) -> bool {
        let mut repeatable: Vec<f64> = self.steps.iter().map(|step| step.repeatable).collect();
        repeatable.sort_by(f64::total_cmp);
        let [first, last] = [&self.steps[0], &self.steps[self.steps.len() - 1]].map(|step| step.lightness);
        let gap = (first - last).abs() / (self.steps.len().max(2) - 1) as f64;
        repeatable[repeatable.len() / 2] < PLAIN * gap
            && self.steps.iter().all(|step| step.lightness < paper + LIGHTER)
    }

    /// The mean of its swatches' corners.
    fn middle(&self) -> [f64; 2] {
        let corners = || self.steps.iter().flat_map(|step| step.quad);
        [0, 1].map(|axis| corners().map(|corner| corner[axis]).sum::<f64>() / corners().count() as f64)
    }

    /// From its lightest to its darkest step, in L*.
    fn span(&self) -> f64 {
        let tones = || self.steps.iter().map(|step| step.lightness);
        tones().fold(0.0, f64::max) - tones().fold(100.0, f64::min)
    }
}

impl StripStep {
    /// None where nothing may be said of it, as where it is lighter than a perfect white.
    fn of(quad: Quad, tone: &Tone, paper: f64) -> Option<Self> {
        let [lightness, a, b] = tone.lab;
        let chroma = libm::hypot(a, b);
        let hue = libm::atan2(b, a).to_degrees().rem_euclid(360.0);
        // The paper lies beside it: neither is nearer to the middle of the light.
        let doubt =
            Light::of_paper(tone.beside, paper).doubt(tone.seen, (0.5, 0.5), (1, 1), lightness, tone.error);
        let repeatable = HALF_OF_90 * tone.error;
        let true_to = doubt.map(|doubt| doubt.plus_minus());
        Some(Self {
            quad,
            lightness: allowed(lightness, repeatable, true_to).ok()?,
            plus_minus: true_to.unwrap_or(repeatable),
            repeatable,
            chroma,
            hue: (chroma >= crate::colour::NEUTRAL_CHROMA).then_some(hue),
        })
    }
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

    /// Means of three by three pixels.
    fn smoothed(&self) -> Vec<[f64; 3]> {
        smoothed(&self.rgb, self.columns, self.rows)
    }

    /// The pixels beside one: left, right, above, below.
    fn sides(&self, at: usize) -> impl Iterator<Item = usize> + use<> {
        let (column, row) = (at % self.columns, at / self.columns);
        let (columns, rows) = (self.columns, self.rows);
        [
            (column > 0).then(|| at - 1),
            (column + 1 < columns).then(|| at + 1),
            (row > 0).then(|| at - columns),
            (row + 1 < rows).then(|| at + columns),
        ]
        .into_iter()
        .flatten()
    }

    /// Whether a place lies in the picture.
    fn holds(&self, [x, y]: [f64; 2]) -> bool {
        let (width, height) = (self.columns as f64, self.rows as f64);
        (-0.5..width - 0.5).contains(&x) && (-0.5..height - 0.5).contains(&y)
    }

    /// A place of the working copy in pixels of this.
    fn reduced(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [(x + 0.5) / self.scale.0 - 0.5, (y + 0.5) / self.scale.1 - 0.5]
    }

    /// A place in pixels of the working copy.
    fn full(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [(x + 0.5) * self.scale.0 - 0.5, (y + 0.5) * self.scale.1 - 0.5]
    }
}
