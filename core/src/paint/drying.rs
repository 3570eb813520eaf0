//! How much lighter a wash dries.

use super::painted::PaintedStrip;
use super::{Curve, Laid};

/// By how many L* a wash dries lighter, over its strength: learned from strips that were read wet and dry, and until
/// then what is common.
#[derive(Debug, Clone, PartialEq)]
pub struct Drying {
    /// Strength, and L* dry less L* wet.
    shifts: Vec<(f64, f64)>,
    strips: usize,
}

/// By how many L* masstones dry lighter: the mean of 75 watercolours, measured (one published survey). A wash as thin
/// as water does not: in between it is taken in proportion to strength.
const MASSTONE: f64 = 2.3;

impl Drying {
    /// From all strips of washes of a paint.
    #[must_use]
    pub fn learned<'a>(strips: impl IntoIterator<Item = &'a PaintedStrip>) -> Self {
        let mut shifts = Vec::new();
        let mut count = 0;
        let washes = strips.into_iter().filter(|it| it.laid == Laid::Washes && !it.wet && it.check().is_ok());
        for (strip, wet) in washes.filter_map(|strip| Some((strip, strip.wet_lightness.as_ref()?))) {
            count += 1;
            let pairs = strip.steps.iter().zip(wet).enumerate();
            shifts.extend(pairs.map(|(at, (dry, wet))| (strip.place(at), dry.lightness - wet)));
        }
        shifts.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { shifts, strips: count }
    }

    /// How many strips it was learned from; 0 where it is what is common.
    #[must_use]
    pub fn strips(&self) -> usize {
        self.strips
    }

    /// By how many L* a wash of a strength, 0 to 1, dries lighter: the mean of what was seen within an eighth of the
    /// strip, weighed by nearness, or the nearest.
    #[must_use]
    pub fn lighter_by(&self, strength: f64) -> f64 {
        if self.strips == 0 {
            return MASSTONE * strength.clamp(0.0, 1.0);
        }
        let weight = |place: f64| (1.0 - (place - strength).abs() / NEAR).max(0.0);
        let all: f64 = self.shifts.iter().map(|&(place, _)| weight(place)).sum();
        if all > 0.0 {
            return self.shifts.iter().map(|&(place, shift)| weight(place) * shift).sum::<f64>() / all;
        }
        let nearest =
            self.shifts.iter().min_by(|a, b| (a.0 - strength).abs().total_cmp(&(b.0 - strength).abs()));
        nearest.map_or(0.0, |&(_, shift)| shift)
    }

    /// The L* to which a wet wash that reads an L* will dry, by the curve of dry ones.
    #[must_use]
    pub fn dry(&self, curve: &Curve, wet: f64) -> f64 {
        let (light, dark) = curve.range();
        let strength = |tone: f64| curve.strength(tone.clamp(dark, light)).unwrap_or(1.0);
        // The strength follows from the dry tone, which follows from the strength: two rounds settle it, since a shift
        // changes by a small part of itself along the way.
        let first = wet + self.lighter_by(strength(wet));
        wet + self.lighter_by(strength(first))
    }
}

/// How far about a strength counts: the distance of two steps of nine.
const NEAR: f64 = 0.125;

#[cfg(test)]
mod tests {
    use super::super::painted::tests::strip;
    use super::*;

    #[test]
    fn it_is_what_is_common_until_it_was_learned() {
        let common = Drying::learned(&[strip(&[90.0, 60.0, 30.0])]);
        assert_eq!((common.strips(), common.lighter_by(1.0), common.lighter_by(0.0)), (0, 2.3, 0.0));
        let mut dry = strip(&[90.0, 60.0, 30.0]);
        dry.wet_lightness = Some(vec![90.0, 56.0, 25.0]);
        let learned = Drying::learned(&[dry.clone(), strip(&[90.0, 30.0])]);
        assert_eq!(learned.strips(), 1);
        for (strength, shift) in [(0.0, 0.0), (0.5, 4.0), (1.0, 5.0), (0.4, 4.0), (0.95, 5.0)] {
            assert!((learned.lighter_by(strength) - shift).abs() < 1e-9, "{strength}");
        }
        // Two pairs count alike.
        let mut other = dry.clone();
        other.wet_lightness = Some(vec![90.0, 58.0, 25.0]);
        assert!((Drying::learned(&[dry.clone(), other]).lighter_by(0.5) - 3.0).abs() < 1e-9);
        let curve = Curve::through(&[dry]).unwrap();
        assert!((learned.dry(&curve, 56.0) - 60.0).abs() < 0.5);
        assert!((learned.dry(&curve, 25.0) - 30.0).abs() < 1e-9);
    }
}
