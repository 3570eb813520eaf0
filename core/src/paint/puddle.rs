//! A puddle: one paint, or a mix of two, thinned with water to any tone in its reach.
//!
//! A strip does not say how much paint is in each of its steps. The load is taken from what the steps absorb: all of a
//! step's absorption, less the paper's, as a part of the strongest step's. Two paints are mixed at equal loads, each
//! with the colour that its own strip has there, so that a puddle of one paint follows its strip.
//!
//! Thinned to a tone, mixes of published pigments (Curtis et al. 1997) come out within 7 in a* and b* for half of them,
//! and 30 for nine in ten: an opaque paint and a transparent one thin differently, and a strip does not tell. The same
//! with the loads known would be 4.

use super::optics::Layer;
use super::{Curve, IDEAL_GROUND, SPECTRAL_BANDS, Wash, WashColour, WashError, moved, seen};
use crate::colour::lab;
use crate::lightness::y_from_lightness;
use libm::{asin, exp, log, sqrt};

/// A paint's strip as washes over the load of paint, from bare paper (0) to its strongest step (1).
#[derive(Debug, Clone, PartialEq)]
pub struct Dilutions {
    /// Load and wash; loads rise.
    nodes: Vec<(f64, Wash)>,
    /// Half of the 90 % interval of L* at each node: what the strip itself leaves open.
    plus_minus: Vec<f64>,
}

/// A puddle of one or two paints, from its thinnest to its strongest wash.
#[derive(Debug, Clone, PartialEq)]
pub struct Puddle {
    washes: Vec<PuddleWash>,
}

/// A puddle at one dilution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PuddleWash {
    /// Load of paint: 1 is the strongest, 0 bare paper.
    pub load: f64,
    /// Its colour when dry.
    pub colour: WashColour,
    /// Half of the 90 % interval of L* at this load.
    pub lightness_plus_minus: f64,
    /// Half of the 90 % interval of C*ab.
    pub chroma_plus_minus: f64,
    /// Half of the 90 % interval of the hue angle in degrees; none where the hue could be any.
    pub hue_plus_minus: Option<f64>,
}

/// How well a mix of two paints is predicted: halves of 90 % intervals, chosen on measured mixtures (Chen et al. 2019,
/// arXiv:1904.00275), of which they hold 89 % in L*, 87 % in C* and 94 % in hue. Widths fitted to all other pairs of
/// paints hold 89, 92 and 80 % of a pair that was left out, so hue is the least sure of the three
/// (`tests/references/tests/puddles.rs`). They say nothing of what thinning adds (see above), which no one measured.
/// Of L*, the first number and the second times the difference of both paints' L*.
const LIGHTNESS_ERROR: (f64, f64) = (4.5, 0.06);
/// The same of C*ab: the second times the mean of both paints' chroma.
const CHROMA_ERROR: (f64, f64) = (5.0, 0.25);
/// The same of the difference of hue, in units of ΔH*ab.
const HUE_ERROR: f64 = 11.0;

/// Places of a strip at which its washes are taken: three to each step of a strip of eight.
const NODES: usize = 24;

/// Loads at which a puddle is computed, and the ratio of one to the next: from a thousandth of the strongest to it.
const LOADS: usize = 48;
const THINNEST: f64 = 0.001;

/// Least difference of load between two nodes: below it they are one.
const APART: f64 = 1e-6;

impl Dilutions {
    /// Of a strip's curve, on paper of an L*. None where no step absorbs more than the paper, or where a step has no
    /// colour that a wash can have.
    #[must_use]
    pub fn of(curve: &Curve, paper_lightness: f64) -> Option<Self> {
        let paper = Wash::measured([y_from_lightness(paper_lightness); 3]).ok()?;
        // Beyond the darkest step a strip that turns back has no load of its own.
        let strongest = curve.turns_at().map_or(1.0, |step| curve.of_step(step));
        let mut nodes = vec![(0.0, paper.clone())];
        let mut plus_minus = vec![0.0];
        for place in 0..NODES {
            let tone = curve.at(strongest * place as f64 / (NODES - 1) as f64);
            let wash = Wash::measured(tone.colour.linear_srgb).ok()?;
            let load = absorbed(&wash, &paper);
            if load > nodes[nodes.len() - 1].0 + APART {
                nodes.push((load, wash));
                plus_minus.push(tone.plus_minus);
            }
        }
        let all = nodes[nodes.len() - 1].0;
        nodes.iter_mut().for_each(|node| node.0 /= all);
        (nodes.len() > 1).then_some(Self { nodes, plus_minus })
    }

    /// The paint by itself.
    #[must_use]
    pub fn alone(&self) -> Puddle {
        let wash = |load| {
            let (wash, own) = self.at(load);
            // Its own strip was measured: nothing of mixing is unsure.
            PuddleWash::of(load, wash.colour(), own, 0.0, 0.0)
        };
        Puddle { washes: loads().map(wash).collect() }
    }

    /// This paint and `second`, mixed as strong as both come; `share` of the volume is the second's.
    ///
    /// # Errors
    /// [`WashError::Share`] where `share` does not lie from 0 to 1.
    pub fn mixed(&self, second: &Self, share: f64) -> Result<Puddle, WashError> {
        if share == 0.0 {
            return Ok(self.alone());
        }
        if share == 1.0 {
            return Ok(second.alone());
        }
        let wash = |load| {
            let ((one, first_own), (other, second_own)) = (self.at(load), second.at(load));
            let (first, last) = (one.colour(), other.colour());
            let colour = one.mixed(&other, share)?.colour;
            let own = (1.0 - share) * first_own + share * second_own;
            let apart = (first.lightness - last.lightness).abs();
            let lightness = LIGHTNESS_ERROR.0 + LIGHTNESS_ERROR.1 * apart;
            let chroma = CHROMA_ERROR.0 + CHROMA_ERROR.1 * 0.5 * (first.chroma + last.chroma);
            Ok(PuddleWash::of(load, colour, sqrt(own * own + lightness * lightness), chroma, HUE_ERROR))
        };
        Ok(Puddle { washes: loads().map(wash).collect::<Result<_, _>>()? })
    }

    /// The wash at a load, and half of the 90 % interval of its L*.
    fn at(&self, load: f64) -> (Wash, f64) {
        let above = self.nodes.partition_point(|node| node.0 < load).clamp(1, self.nodes.len() - 1);
        let ((low, thin), (high, strong)) = (&self.nodes[above - 1], &self.nodes[above]);
        let part = ((load - low) / (high - low)).clamp(0.0, 1.0);
        let own = (1.0 - part) * self.plus_minus[above - 1] + part * self.plus_minus[above];
        (thin.between(strong, part), own)
    }
}

impl Puddle {
    /// Its strongest wash.
    #[must_use]
    pub fn strongest(&self) -> PuddleWash {
        self.washes[self.washes.len() - 1]
    }

    /// Its darkest wash: the strongest, but for paints that get lighter again.
    #[must_use]
    pub fn darkest(&self) -> PuddleWash {
        let darker =
            |one: &&PuddleWash, other: &&PuddleWash| one.colour.lightness.total_cmp(&other.colour.lightness);
        *self.washes.iter().min_by(darker).expect("a puddle has washes")
    }

    /// Thinned to an L*; none where that is darker than its darkest, or as light as the paper.
    #[must_use]
    pub fn at_tone(&self, lightness: f64) -> Option<PuddleWash> {
        let darker = self.washes.iter().position(|wash| wash.colour.lightness <= lightness)?;
        let (thin, strong) = (self.washes.get(darker.checked_sub(1)?)?, &self.washes[darker]);
        let falls = thin.colour.lightness - strong.colour.lightness;
        Some(thin.between(strong, (thin.colour.lightness - lightness) / falls))
    }

    /// All of its washes, the thinnest first.
    #[must_use]
    pub fn washes(&self) -> &[PuddleWash] {
        &self.washes
    }
}

impl PuddleWash {
    fn of(load: f64, colour: WashColour, lightness: f64, chroma: f64, hue: f64) -> Self {
        // The angle under which an error across the hue is seen from grey.
        let hue_plus_minus =
            (colour.hue.is_some() && hue < colour.chroma).then(|| asin(hue / colour.chroma).to_degrees());
        let chroma = chroma.min(colour.chroma);
        Self { load, colour, lightness_plus_minus: lightness, chroma_plus_minus: chroma, hue_plus_minus }
    }

    fn between(&self, other: &Self, part: f64) -> Self {
        let mean = |one: f64, other: f64| (1.0 - part) * one + part * other;
        let (one, two) = (lab(self.colour.linear_srgb), lab(other.colour.linear_srgb));
        let [l, a, b] = std::array::from_fn(|axis| mean(one[axis], two[axis]));
        Self {
            load: mean(self.load, other.load),
            colour: WashColour::from_lab(l, [a, b]),
            lightness_plus_minus: mean(self.lightness_plus_minus, other.lightness_plus_minus),
            chroma_plus_minus: mean(self.chroma_plus_minus, other.chroma_plus_minus),
            hue_plus_minus: self.hue_plus_minus.zip(other.hue_plus_minus).map(|(one, two)| mean(one, two)),
        }
    }
}

impl Wash {
    /// A wash whose layer lies between this one's and another's.
    fn between(&self, other: &Self, part: f64) -> Self {
        let mean = |one: f64, other: f64| (1.0 - part) * one + part * other;
        let scattering = mean(self.scattering, other.scattering);
        let absorption: [f64; SPECTRAL_BANDS] =
            std::array::from_fn(|band| mean(self.absorption[band], other.absorption[band]));
        let inner = absorption.map(|absorption| Layer { absorption, scattering }.over(IDEAL_GROUND));
        let off = std::array::from_fn(|axis| mean(self.off[axis], other.off[axis]));
        let colour = WashColour::of(moved(seen(&inner), off));
        Self { colour, inner, absorption, scattering, off }
    }
}

/// What a wash absorbs beyond its paper, over all bands.
fn absorbed(wash: &Wash, paper: &Wash) -> f64 {
    wash.absorption.iter().zip(&paper.absorption).map(|(own, paper)| (own - paper).max(0.0)).sum()
}

/// Loads from the thinnest to the strongest, in even ratios.
fn loads() -> impl Iterator<Item = f64> {
    (0..LOADS).map(|at| exp(log(THINNEST) * (1.0 - at as f64 / (LOADS - 1) as f64)))
}

#[cfg(test)]
mod tests {
    use super::super::painted::tests::strip;
    use super::*;

    const PAPER: f64 = 95.0;

    fn dilutions(lightness: &[f64], tint: [f64; 2]) -> Dilutions {
        let mut strip = strip(lightness);
        let darkest = strip.steps.len() - 1;
        for (at, step) in strip.steps.iter_mut().enumerate() {
            step.tint = tint.map(|axis| axis * (at + 1) as f64 / (darkest + 1) as f64);
        }
        Dilutions::of(&Curve::through(&[strip]).unwrap(), PAPER).unwrap()
    }

    fn blue() -> Dilutions {
        dilutions(&[88.0, 76.0, 64.0, 52.0, 40.0, 30.0], [5.0, -45.0])
    }

    fn yellow() -> Dilutions {
        dilutions(&[94.0, 92.0, 90.0, 88.0, 86.0], [-5.0, 80.0])
    }

    /// By itself a paint follows its strip, tone by tone.
    #[test]
    fn a_puddle_of_one_paint_follows_its_strip() {
        for (tone, chroma) in [(76.0, 45.3 / 3.0), (52.0, 45.3 * 2.0 / 3.0), (30.5, 45.0)] {
            let wash = blue().alone().at_tone(tone).unwrap();
            assert!((wash.colour.lightness - tone).abs() < 0.01, "{wash:?}");
            assert!((wash.colour.chroma - chroma).abs() < 1.5, "{tone}: {wash:?}");
        }
        assert!((blue().alone().darkest().colour.lightness - 30.0).abs() < 0.2);
        assert_eq!(blue().alone().at_tone(25.0), None);
        assert_eq!(blue().alone().at_tone(97.0), None);
    }

    /// Common practice: yellow and blue make a green, whose darkest lies between both; more blue makes it darker.
    #[test]
    fn a_mix_lies_between_and_has_a_hue_of_its_own() {
        let mut before = 90.0;
        for share in [0.2, 0.5, 0.8] {
            let puddle = yellow().mixed(&blue(), share).unwrap();
            let darkest = puddle.darkest();
            assert!(darkest.colour.lightness < before && darkest.colour.lightness > 29.0, "{darkest:?}");
            assert!(darkest.lightness_plus_minus > LIGHTNESS_ERROR.0, "{darkest:?}");
            before = darkest.colour.lightness;
            let hue = darkest.colour.hue.expect("it is far from grey");
            assert!((95.0..285.0).contains(&hue), "{darkest:?}");
            let tint = puddle.at_tone(85.0).unwrap();
            assert!((tint.colour.lightness - 85.0).abs() < 0.01, "{tint:?}");
        }
    }

    /// Thinner is lighter, all the way to the paper.
    #[test]
    fn water_lightens() {
        let puddle = yellow().mixed(&blue(), 0.4).unwrap();
        for pair in puddle.washes().windows(2) {
            assert!(pair[0].colour.lightness >= pair[1].colour.lightness - 1e-9, "{pair:?}");
        }
        assert!(puddle.washes()[0].colour.lightness > PAPER - 1.0);
    }

    #[test]
    fn shares_at_the_ends_are_the_paints_alone() {
        assert_eq!(yellow().mixed(&blue(), 0.0), Ok(yellow().alone()));
        assert_eq!(yellow().mixed(&blue(), 1.0), Ok(blue().alone()));
        assert_eq!(yellow().mixed(&blue(), 1.5), Err(WashError::Share(1.5)));
    }

    /// What is lighter than its paper is no paint that can be thinned.
    #[test]
    fn a_strip_lighter_than_its_paper_has_no_dilutions() {
        let curve = Curve::through(&[strip(&[98.0, 97.0])]).unwrap();
        assert_eq!(Dilutions::of(&curve, 60.0), None);
    }
}
