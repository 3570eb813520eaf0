//! Tone over strength: a smooth curve through the steps that were painted, and how sure it is between them.
//!
//! Strength is the place in her strip, from 0 at its lightest end to 1, since nobody knows the load of paint. Between
//! steps the curve is a monotone cubic (Fritsch & Butland 1984), so it makes no tones that were not painted; beyond the
//! ends there is none. Small reversals, which are a hand's unevenness, are levelled (isotonic regression); a strip that
//! really turns back at its strong end, as a wash that bronzes does, is followed, and said to.

mod monotone;

use super::WashColour;
use super::painted::{Laid, PaintedStrip};
use libm::sqrt;
use monotone::Monotone;

/// Tone, and colour, of a paint over strength.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    lightness: Monotone,
    tint: [Monotone; 2],
    steps: usize,
    strips: usize,
    /// Standard deviation of one strip's L* about the mean of all.
    repeats: f64,
    /// For the strips at hand: how many times that a 90 % interval reaches.
    reaches: f64,
    /// The place from which it gets lighter again.
    turn: Option<f64>,
    wet: bool,
}

/// A curve at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tone {
    /// L*.
    pub lightness: f64,
    /// Half of the 90 % interval in which the step would lie that she paints there.
    pub plus_minus: f64,
    /// Its colour.
    pub colour: WashColour,
}

/// How far one strip lies from another of the same paint by the same hand, as a standard deviation in L*, until there
/// are two: a quarter of a step of nine from white to black. Common practice; no measurement of it is published.
const REPEATS: f64 = 1.2;

/// How far a step lies from the curve between its neighbours, as a part of their difference, half of a 90 % interval:
/// the part that 19 of 20 seeded strips, painted with an uneven hand, stay under when each inner step is left out in
/// turn (`an_interval_holds_as_many_steps_as_it_says`).
const BETWEEN: f64 = 0.19;

/// A strong end that is lighter than the darkest step by more than this turns back: two readings of one photo differ
/// by less when they read the same (1.5 L* on drawn strips, and as much again by a hand's unevenness).
const TURNS: f64 = 3.0;

/// 95 % quantile of the normal distribution.
const NORMAL: f64 = 1.644_854;

impl Curve {
    /// Through the strips of washes: the dry ones, or where there are none, the wet ones. The last decides how many
    /// steps strength is told in. None without one of two steps that differ.
    #[must_use]
    pub fn through<'a>(strips: impl IntoIterator<Item = &'a PaintedStrip>) -> Option<Self> {
        let washes = strips.into_iter().filter(|it| it.laid == Laid::Washes && it.check().is_ok());
        let (wet_ones, dry): (Vec<_>, Vec<_>) = washes.partition(|it| it.wet);
        let wet = dry.is_empty();
        let strips = if wet { wet_ones } else { dry };
        let last = strips.last()?;
        let (steps, count) = (last.steps.len(), strips.len());
        let places: Vec<f64> = (0..steps).map(|step| last.place(step)).collect();
        // Each strip by its own line, at the places of the last.
        let each: Vec<[Vec<f64>; 3]> = strips.iter().map(|strip| at_places(strip, &places)).collect();
        let mean = |part: usize| -> Vec<f64> {
            (0..steps).map(|at| each.iter().map(|it| it[part][at]).sum::<f64>() / count as f64).collect()
        };
        let painted = mean(0);
        let darkest = (0..steps).min_by(|&a, &b| painted[a].total_cmp(&painted[b]))?;
        let turns = painted[steps - 1] - painted[darkest] > TURNS && darkest > 0;
        let (falling, rising) = painted.split_at(if turns { darkest + 1 } else { steps });
        let mut level = levelled(falling);
        level.extend(levelled(&rising.iter().map(|it| -it).collect::<Vec<_>>()).iter().map(|it| -it));
        if level[0] - level[darkest] <= 0.0 {
            return None;
        }
        let (repeats, reaches) = repeated(&each, &painted);
        let turn = turns.then(|| places[darkest]);
        let lightness = Monotone::through(places.clone(), level);
        let tint = [1, 2].map(|part| Monotone::through(places.clone(), mean(part)));
        Some(Self { lightness, tint, steps, strips: count, repeats, reaches, turn, wet })
    }

    /// At a strength, 0 (her strip's lightest step) to 1 (its strongest), kept inside.
    #[must_use]
    pub fn at(&self, strength: f64) -> Tone {
        let strength = strength.clamp(0.0, 1.0);
        let lightness = self.lightness.at(strength);
        let (gap, between) = self.lightness.stretch(strength);
        let hand = self.reaches * self.repeats;
        let unpainted = BETWEEN * gap.abs() * 4.0 * between * (1.0 - between);
        let colour = WashColour::from_lab(lightness, [0, 1].map(|part| self.tint[part].at(strength)));
        Tone { lightness, plus_minus: sqrt(hand * hand + unpainted * unpainted), colour }
    }

    /// The least strength that is as dark as an L*; none where no step is that light, or that dark.
    #[must_use]
    pub fn strength(&self, lightness: f64) -> Option<f64> {
        let (light, dark) = self.range();
        if !(dark..=light).contains(&lightness) {
            return None;
        }
        let (mut lighter, mut darker) = (0.0, self.turn.unwrap_or(1.0));
        for _ in 0..40 {
            let middle = (lighter + darker) / 2.0;
            if self.lightness.at(middle) > lightness { lighter = middle } else { darker = middle }
        }
        Some((lighter + darker) / 2.0)
    }

    /// L* of its lightest and its darkest.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        (self.lightness.at(0.0), self.lightness.at(self.turn.unwrap_or(1.0)))
    }

    /// A strength as a step of her strip, from 1 to [`Curve::steps`].
    #[must_use]
    pub fn step(&self, strength: f64) -> f64 {
        1.0 + strength * (self.steps - 1) as f64
    }

    /// The strength of a step of her strip, kept inside.
    #[must_use]
    pub fn of_step(&self, step: f64) -> f64 {
        ((step - 1.0) / (self.steps - 1) as f64).clamp(0.0, 1.0)
    }

    /// How many steps her last strip has.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.steps
    }

    /// How many strips it stands on.
    #[must_use]
    pub fn strips(&self) -> usize {
        self.strips
    }

    /// The step from which a stronger wash is lighter again, if there is one: it bronzes, or was laid thinner.
    #[must_use]
    pub fn turns_at(&self) -> Option<f64> {
        self.turn.map(|turn| self.step(turn))
    }

    /// It stands on wet readings alone, which are provisional.
    #[must_use]
    pub fn is_wet(&self) -> bool {
        self.wet
    }
}

/// L*, a* and b* of a strip at places that may be another's.
fn at_places(strip: &PaintedStrip, places: &[f64]) -> [Vec<f64>; 3] {
    let own: Vec<f64> = (0..strip.steps.len()).map(|step| strip.place(step)).collect();
    [0, 1, 2].map(|part| {
        let values = strip.steps.iter().map(|step| match part {
            0 => step.lightness,
            _ => step.tint[part - 1],
        });
        let line = Monotone::through(own.clone(), values.collect());
        places.iter().map(|&place| line.at(place)).collect()
    })
}

/// Standard deviation of strips about their mean, and how many times it a new strip's 90 % interval reaches.
fn repeated(each: &[[Vec<f64>; 3]], mean: &[f64]) -> (f64, f64) {
    let (count, steps) = (each.len() as f64, mean.len() as f64);
    let one_more = sqrt(1.0 + 1.0 / count);
    if each.len() < 2 {
        return (REPEATS, NORMAL);
    }
    let squares =
        each.iter().flat_map(|strip| strip[0].iter().zip(mean)).map(|(own, mean)| (own - mean).powi(2));
    let freedom = (count - 1.0) * steps;
    (sqrt(squares.sum::<f64>() / freedom), student(freedom) * one_more)
}

/// 95 % quantile of Student's t: the first terms of Abramowitz & Stegun 26.7.5.
fn student(freedom: f64) -> f64 {
    let z = NORMAL;
    let terms = [
        (z.powi(3) + z) / 4.0,
        (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / 96.0,
        (3.0 * z.powi(7) + 19.0 * z.powi(5) + 17.0 * z.powi(3) - 15.0 * z) / 384.0,
    ];
    terms.iter().rev().fold(0.0, |sum, term| (sum + term) / freedom) + z
}

/// The values that never rise and lie nearest to some, in least squares (pool adjacent violators; Barlow et al. 1972).
fn levelled(values: &[f64]) -> Vec<f64> {
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for &value in values {
        pools.push((value, 1));
        while let [.., (before, many), (after, more)] = pools[..]
            && before < after
        {
            let all = many + more;
            pools.truncate(pools.len() - 2);
            pools.push(((before * many as f64 + after * more as f64) / all as f64, all));
        }
    }
    pools.into_iter().flat_map(|(value, many)| std::iter::repeat_n(value, many)).collect()
}

#[cfg(test)]
mod tests;
