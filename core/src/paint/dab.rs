//! A test dab on scrap, against the step that it was meant for.

use super::{Curve, Drying};

/// What a dab says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dab {
    /// L* that it has, or will have once it is dry.
    pub lightness: f64,
    /// L* of the step that it was meant for.
    pub meant: f64,
    /// Steps by which it is too pale; below 0, too strong. Beyond the ends of her strip it goes on as its ends do.
    pub pale_by: f64,
    /// Half of the 90 % interval of `pale_by`.
    pub plus_minus: f64,
    /// In a word.
    pub says: DabSays,
}

/// A dab in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DabSays {
    /// As it should be.
    Right,
    /// It wants a little more paint.
    LittleMorePaint,
    /// It wants more paint.
    MorePaint,
    /// It wants a little more water.
    LittleMoreWater,
    /// It wants more water.
    MoreWater,
}

/// Steps that no brush hits better: a dab as near as that is right.
const HIT: f64 = 0.25;

/// Steps up to which it takes a little.
const LITTLE: f64 = 0.75;

impl Curve {
    /// A dab that reads an L* with a ± (half of a 90 % interval), meant for a step of her strip, from 1. Where it is
    /// wet, `drying` says what will become of it.
    #[must_use]
    pub fn dab(&self, step: f64, lightness: f64, plus_minus: f64, drying: Option<&Drying>) -> Dab {
        let lightness = drying.map_or(lightness, |drying| drying.dry(self, lightness));
        let wanted = self.of_step(step);
        let meant = self.at(wanted).lightness;
        let pale_by = self.step(wanted) - self.beyond(lightness);
        let (light, dark) = self.range();
        let a_step = (light - dark) / (self.steps() - 1) as f64;
        let says = match pale_by {
            off if off.abs() <= HIT => DabSays::Right,
            off if off > LITTLE => DabSays::MorePaint,
            off if off > 0.0 => DabSays::LittleMorePaint,
            off if off < -LITTLE => DabSays::MoreWater,
            _ => DabSays::LittleMoreWater,
        };
        let own = self.at(wanted).plus_minus;
        Dab { lightness, meant, pale_by, plus_minus: libm::hypot(own, plus_minus) / a_step, says }
    }

    /// The step of an L*, past the ends by an even step's L*.
    fn beyond(&self, lightness: f64) -> f64 {
        let (light, dark) = self.range();
        let a_step = (light - dark) / (self.steps() - 1) as f64;
        match self.strength(lightness) {
            Some(strength) => self.step(strength),
            None if lightness > light => 1.0 - (lightness - light) / a_step,
            None => self.turns_at().unwrap_or(self.steps() as f64) + (dark - lightness) / a_step,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::painted::tests::strip;
    use super::*;

    #[test]
    fn a_dab_is_told_in_steps_of_her_strip() {
        let curve = Curve::through(&[strip(&[90.0, 80.0, 70.0, 60.0, 50.0])]).unwrap();
        let told = |step: f64, lightness: f64| {
            let dab = curve.dab(step, lightness, 1.0, None);
            ((dab.pale_by * 100.0).round() / 100.0, dab.says)
        };
        assert_eq!(told(5.0, 55.0), (0.5, DabSays::LittleMorePaint));
        assert_eq!(told(5.0, 51.0), (0.1, DabSays::Right));
        assert_eq!(told(5.0, 75.0), (2.5, DabSays::MorePaint));
        assert_eq!(told(2.0, 76.0), (-0.4, DabSays::LittleMoreWater));
        assert_eq!(told(2.0, 60.0), (-2.0, DabSays::MoreWater));
        // Beyond both ends, ten L* to a step.
        assert_eq!(told(1.0, 95.0), (0.5, DabSays::LittleMorePaint));
        assert_eq!(told(5.0, 45.0), (-0.5, DabSays::LittleMoreWater));
    }

    #[test]
    fn a_wet_dab_is_judged_as_it_will_dry() {
        let curve = Curve::through(&[strip(&[90.0, 70.0, 50.0])]).unwrap();
        let drying = Drying::learned(&[]);
        let wet = curve.dab(3.0, 47.7, 1.0, Some(&drying));
        assert!((wet.lightness - 50.0).abs() < 1e-9 && wet.says == DabSays::Right, "{wet:?}");
        assert!(curve.dab(3.0, 47.7, 1.0, None).pale_by < 0.0);
    }
}
