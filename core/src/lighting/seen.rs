//! Patches as the camera saw them, and what they give together.

use super::curve::{self, Curve};
use super::doubt::{Level, PATCH_SD, light_at};
use super::field::Field;
use super::question::STEEPEST;
use crate::{Evenness, LightError, LightNote, Patch, PatchKind, Photo, lightness_from_y, y_from_lightness};

/// A patch as the camera saw it.
pub(super) struct Seen {
    pub(super) index: usize,
    pub(super) kind: PatchKind,
    /// In fractions of the picture.
    pub(super) place: (f64, f64),
    /// In fractions of its longer side.
    pub(super) even_place: (f64, f64),
    pub(super) lightness: f64,
    pub(super) recorded: [f64; 3],
}

/// Curves, and the light that they leave uneven.
pub(super) struct Evened {
    pub(super) curves: [Curve; 3],
    pub(super) field: Option<Field>,
    pub(super) evenness: Evenness,
    /// Standard deviation of relative light at the papers that no field explains; none for fewer than three.
    pub(super) residual: Option<f64>,
}

/// Share of clipped pixels from which a patch tells nothing: its mean is then no mean.
const CLIPPED: f64 = 0.02;

/// Known tones nearer than this in L* are one level: a fit through both would swing, and light that looks even may
/// well turn them round.
const ONE_LEVEL: f64 = 2.0;

/// What papers may stray from the field, as a share of light, before it is called a shadow's edge: three times what
/// paper's own texture and a lamp's unsmooth falling off give.
const STRAY: f64 = 0.06;

/// Rounds of fitting curves and field in turn: each takes out nine tenths of what is left and more.
const ROUNDS: usize = 6;

pub(super) fn look(photo: &Photo, patches: &[Patch]) -> Result<(Vec<Seen>, Vec<LightNote>), LightError> {
    let (mut seen, mut notes) = (Vec::new(), Vec::new());
    let (width, height) = (f64::from(photo.size().0), f64::from(photo.size().1));
    for (index, &Patch { kind, spot, lightness }) in patches.iter().enumerate() {
        if !(1.0..=100.0).contains(&lightness) {
            return Err(LightError::NoTone(index));
        }
        if photo.missing().is_some_and(|missing| missing.meets(spot, photo.size())) {
            return Err(LightError::CutOff(index));
        }
        let mean = photo.recorded(spot).ok_or(LightError::Outside(index))?;
        if mean.clipped.0 > CLIPPED {
            notes.push(LightNote::Clipped(index));
        } else if mean.clipped.1 > 1.0 - CLIPPED || mean.linear.iter().any(|&light| light <= 0.0) {
            notes.push(LightNote::Black(index));
        } else {
            let side = width.max(height);
            seen.push(Seen {
                index,
                kind,
                place: (spot.x / width, spot.y / height),
                even_place: (spot.x / side, spot.y / side),
                lightness,
                recorded: mean.linear,
            });
        }
    }
    Ok((seen, notes))
}

impl Seen {
    /// Its Y as the camera saw it.
    pub(super) fn y(&self, y_row: [f64; 3]) -> f64 {
        self.recorded.iter().zip(y_row).map(|(light, y)| light * y).sum()
    }

    /// Papers are one level whatever their tones: what differs between them is the light.
    fn is_one_level_with(&self, other: &Self) -> bool {
        let papers = self.kind == PatchKind::White && other.kind == PatchKind::White;
        papers || (self.lightness - other.lightness).abs() <= ONE_LEVEL
    }
}

impl Evened {
    /// Fits curves and field in turn, and gives the field up where the papers differ as by the edge of a shadow.
    pub(super) fn of(seen: &[Seen], y_row: [f64; 3]) -> Self {
        let plain = curves(&levels(seen, None));
        let places = seen.iter().filter(|patch| patch.kind == PatchKind::White).count();
        let mut curves = plain.clone();
        let mut field = None;
        for _ in 0..ROUNDS {
            field = Field::through(&relative_light(seen, &curves, y_row));
            curves = self::curves(&levels(seen, field.as_ref()));
        }
        let differ: Vec<f64> =
            relative_light(seen, &plain, y_row).iter().map(|paper| paper.2 - 1.0).collect();
        let across_an_edge = |curves: [Curve; 3]| Self {
            curves,
            field: None,
            evenness: Evenness::ShadowEdge,
            residual: Some(deviation(&differ)),
        };
        let Some(fitted) = field else {
            let light = || differ.iter().map(|differ| 1.0 + differ);
            let (least, most) = (light().fold(f64::INFINITY, f64::min), light().fold(0.0, f64::max));
            // Two papers give no field, but they can show that the light is not even.
            if most > STEEPEST * least {
                return across_an_edge(plain);
            }
            return Self { curves: plain, field: None, evenness: Evenness::Taken, residual: None };
        };
        let stray: Vec<f64> = relative_light(seen, &curves, y_row)
            .iter()
            .map(|&(x, y, light)| light / fitted.at(x, y) - 1.0)
            .collect();
        let (least, most) = fitted.range();
        if stray.iter().all(|stray| stray.abs() <= STRAY) && most <= STEEPEST * least {
            let evenness = Evenness::EvenedOut(places);
            return Self { curves, field: Some(fitted), evenness, residual: Some(deviation(&stray)) };
        }
        across_an_edge(plain)
    }
}

/// Fails where what is told to be darker reads as light, or lighter, in any channel.
pub(super) fn contradiction(seen: &[Seen]) -> Result<(), LightError> {
    for darker in seen {
        for lighter in seen.iter().filter(|lighter| !darker.is_one_level_with(lighter)) {
            if lighter.lightness < darker.lightness {
                continue;
            }
            if (0..3).any(|channel| darker.recorded[channel] >= lighter.recorded[channel]) {
                return Err(LightError::Contradiction { darker: darker.index, lighter: lighter.index });
            }
        }
    }
    Ok(())
}

/// Patches of one known tone taken together, from dark to light.
pub(super) fn levels(seen: &[Seen], field: Option<&Field>) -> Vec<Level> {
    let mut sorted: Vec<&Seen> = seen.iter().collect();
    sorted.sort_by(|a, b| a.lightness.total_cmp(&b.lightness));
    sorted
        .chunk_by(|a, b| a.is_one_level_with(b))
        .map(|level| {
            let mean = |of: &dyn Fn(&Seen) -> f64| {
                level.iter().map(|&patch| of(patch)).sum::<f64>() / level.len() as f64
            };
            Level {
                recorded: std::array::from_fn(|channel| mean(&|patch| patch.recorded[channel])),
                truth: mean(&|patch| {
                    y_from_lightness(patch.lightness) * light_at(field, patch.place.0, patch.place.1)
                }),
                sd: PATCH_SD,
                index: level[0].index,
            }
        })
        .collect()
}

pub(super) fn curves(levels: &[Level]) -> [Curve; 3] {
    std::array::from_fn(|channel| {
        let patches: Vec<(f64, f64)> =
            levels.iter().map(|level| (level.recorded[channel], level.truth)).collect();
        Curve::through(&patches)
    })
}

/// Light at each paper relative to the mean of all, by the curves.
fn relative_light(seen: &[Seen], curves: &[Curve; 3], y_row: [f64; 3]) -> Vec<(f64, f64, f64)> {
    let mut papers: Vec<(f64, f64, f64)> = seen
        .iter()
        .filter(|patch| patch.kind == PatchKind::White)
        .map(|patch| {
            let y: f64 =
                (0..3).map(|channel| y_row[channel] * curves[channel].light(patch.recorded[channel])).sum();
            (patch.place.0, patch.place.1, y / y_from_lightness(patch.lightness))
        })
        .collect();
    let mean = papers.iter().map(|paper| paper.2).sum::<f64>() / papers.len() as f64;
    for paper in &mut papers {
        paper.2 /= mean;
    }
    papers
}

/// The light that a black would show, as a share of white's, by the darkest and the lightest level; none where no
/// patch is dark enough to say.
pub(super) fn flare(levels: &[Level], y_row: [f64; 3]) -> Option<f64> {
    let (dark, light) = (levels.first()?, levels.last()?);
    if levels.len() < 2 || lightness_from_y(dark.truth) >= curve::SHOWS_FLARE {
        return None;
    }
    let y = |level: &Level| -> f64 { level.recorded.iter().zip(y_row).map(|(light, y)| light * y).sum() };
    let gain = (light.truth - dark.truth) / (y(light) - y(dark));
    Some(gain * y(dark) - dark.truth)
}

pub(super) fn mean_place(seen: &[Seen]) -> (f64, f64) {
    let count = seen.len() as f64;
    (
        seen.iter().map(|patch| patch.even_place.0).sum::<f64>() / count,
        seen.iter().map(|patch| patch.even_place.1).sum::<f64>() / count,
    )
}

/// About 0.
fn deviation(values: &[f64]) -> f64 {
    (values.iter().map(|value| value * value).sum::<f64>() / values.len() as f64).sqrt()
}
