//! A test dab on scrap, against the step that it was meant for: its tone first, then whether it is that paint at all.

use super::{Curve, Drying, WashColour};
use crate::colour::{GREYED_CHROMA, STRONG_CHROMA};
use crate::{Hue, Intensity};

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
    /// In a word: of its tone alone.
    pub says: DabSays,
    /// What colour it is, where that is not the paint's.
    pub stranger: Option<Stranger>,
}

/// A dab as it reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DabReading {
    /// L*.
    pub lightness: f64,
    /// Half of its 90 % interval; none where no light was stated.
    pub plus_minus: Option<f64>,
    /// C*ab.
    pub chroma: f64,
    /// CIELAB hue angle in degrees; none where it is near grey.
    pub hue: Option<f64>,
}

/// A colour that a paint does not have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stranger {
    /// Another hue.
    Hue(Hue),
    /// A grey, where the paint is strong.
    Grey,
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

/// Degrees of hue by which a dab may lie off its paint. A camera's error of colour is about 4 C*ab once its neutrals are
/// right, which at the least chroma that is judged (11) turns a hue by 21°; and a measured load's hue lies up to 7° off
/// its strip's (Chen et al. 2019; `tests/references/tests/dabs.rs`). The ten principal hues lie 27° to 47° apart, so
/// that a neighbour on the circle may pass, and the next but one does not.
const HUE_APART: f64 = 45.0;

impl Curve {
    /// A dab as it reads, meant for a step of her strip, from 1. Where it is wet, `drying` says what will become of it.
    #[must_use]
    pub fn dab(&self, step: f64, read: DabReading, drying: Option<&Drying>) -> Dab {
        let lightness = drying.map_or(read.lightness, |drying| drying.dry(self, read.lightness));
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
        let plus_minus = libm::hypot(own, read.plus_minus.unwrap_or(0.0)) / a_step;
        // A dab that is off in tone is held to the paint as it is at the dab's own tone.
        let there = self.strength(lightness.clamp(dark, light)).unwrap_or(wanted);
        let stranger = Stranger::of(&read, &self.at(there).colour);
        Dab { lightness, meant, pale_by, plus_minus, says, stranger }
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

impl Stranger {
    /// None where a dab can be the paint, or where either is too near grey for its hue to say so. Without a stated light
    /// a cast may lie on all colours, which turns weak ones round: only strong ones are judged then.
    fn of(dab: &DabReading, paint: &WashColour) -> Option<Self> {
        let least = if dab.plus_minus.is_some() { GREYED_CHROMA } else { STRONG_CHROMA };
        if paint.chroma >= STRONG_CHROMA && Intensity::of(dab.chroma) <= Intensity::Neutral {
            return Some(Self::Grey);
        }
        let (hue, own) = dab.hue.zip(paint.hue).filter(|_| dab.chroma.min(paint.chroma) >= least)?;
        (Hue::apart(hue, own) > HUE_APART).then(|| Self::Hue(Hue::nearest(hue)))
    }
}

#[cfg(test)]
mod tests {
    use super::super::painted::tests::strip;
    use super::*;

    fn grey(lightness: f64) -> DabReading {
        DabReading { lightness, plus_minus: Some(1.0), chroma: 0.0, hue: None }
    }

    #[test]
    fn a_dab_is_told_in_steps_of_her_strip() {
        let curve = Curve::through(&[strip(&[90.0, 80.0, 70.0, 60.0, 50.0])]).unwrap();
        let told = |step: f64, lightness: f64| {
            let dab = curve.dab(step, grey(lightness), None);
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
        let wet = curve.dab(3.0, grey(47.7), Some(&drying));
        assert!((wet.lightness - 50.0).abs() < 1e-9 && wet.says == DabSays::Right, "{wet:?}");
        assert!(curve.dab(3.0, grey(47.7), None).pale_by < 0.0);
    }

    /// A violet of C* 50 at every tone.
    fn violet() -> Curve {
        let mut strip = strip(&[90.0, 70.0, 50.0]);
        strip.steps.iter_mut().for_each(|step| step.tint = [35.4, -35.4]);
        Curve::through(&[strip]).unwrap()
    }

    #[test]
    fn a_dab_of_another_hue_is_told_whatever_its_tone() {
        let dab = |lightness, chroma, hue: Option<f64>| {
            let read = DabReading { lightness, plus_minus: Some(2.0), chroma, hue };
            let dab = violet().dab(2.0, read, None);
            (dab.says, dab.stranger)
        };
        let yellow = Some(Stranger::Hue(Hue::Yellow));
        assert_eq!(dab(70.0, 60.0, Some(90.0)), (DabSays::Right, yellow));
        assert_eq!(dab(82.0, 60.0, Some(90.0)), (DabSays::LittleMorePaint, yellow));
        assert_eq!(dab(70.0, 45.0, Some(315.0)), (DabSays::Right, None));
        assert_eq!(dab(70.0, 45.0, Some(315.0 + 44.0)), (DabSays::Right, None));
        assert_eq!(
            dab(70.0, 45.0, Some(315.0 - 46.0)),
            (DabSays::Right, Some(Stranger::Hue(Hue::VioletBlue)))
        );
        // A coloured grey has too little hue to be judged by, and a grey is no violet.
        assert_eq!(dab(70.0, 8.0, Some(90.0)), (DabSays::Right, None));
        assert_eq!(dab(70.0, 1.0, None), (DabSays::Right, Some(Stranger::Grey)));
    }

    #[test]
    fn without_a_stated_light_only_strong_colours_are_judged() {
        let stranger = |plus_minus, chroma| {
            let read = DabReading { lightness: 70.0, plus_minus, chroma, hue: Some(90.0) };
            violet().dab(2.0, read, None).stranger
        };
        assert_eq!(stranger(None, 20.0), None);
        assert!(stranger(Some(2.0), 20.0).is_some() && stranger(None, 40.0).is_some());
    }

    #[test]
    fn a_paint_that_is_nearly_grey_has_no_hue_to_miss() {
        let mut strip = strip(&[90.0, 70.0, 50.0]);
        strip.steps.iter_mut().for_each(|step| step.tint = [4.0, -8.0]);
        let grey = Curve::through(&[strip]).unwrap();
        let read = DabReading { lightness: 70.0, plus_minus: Some(2.0), chroma: 60.0, hue: Some(90.0) };
        assert_eq!(grey.dab(2.0, read, None).stranger, None);
    }
}
