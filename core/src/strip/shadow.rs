//! A shadow's edge across a sheet, so that paper under paint is known on both sides of it: the edge is seen on the bare
//! paper about the strips, and goes on between them as it comes.

mod fit;

use super::cast::{Lit, Smooth};
use fit::Fit;

pub(super) use fit::Places;

/// A shadow that covers one side of the picture.
pub(super) struct Shadow {
    edge: Edge,
    /// The logarithm of what it leaves of each channel.
    left: [f64; 3],
}

/// Where it begins. Places are told from the picture's middle, in halves of its longer side.
#[derive(Clone, Copy)]
struct Edge {
    /// Into the shadow: a unit vector.
    into: [f64; 2],
    /// How far the edge lies that way, how much it bends, and how soft it is: from a fifth to four fifths of the shadow
    /// it is 2.8 times that.
    off: f64,
    bend: f64,
    soft: f64,
    /// Half of the picture's longer side, in pixels, and its middle.
    half: f64,
    middle: [f64; 2],
}

/// An edge is told that is no softer than this, where the shadow takes so much of the light between the places that are
/// looked at, in natural logarithms: cockled paper is darker by up to .08 from fold to fold.
const SHARP: f64 = 0.17;
const SHOWS: f64 = 0.1;

/// It must explain paper's light so much better than a smooth light does: this part of what is off may be left.
const LEFT: f64 = 0.6;

/// So many of its softness from an edge nothing is left of it.
const LONG: f64 = 12.0;

impl Shadow {
    /// The light with a shadow across bare paper; none where there is no edge.
    pub(super) fn across(places: &Places, smooth: &Smooth) -> Option<Lit> {
        let fit = places.shadowed()?;
        (fit.off < LEFT * places.plain()?.off).then(|| Self::lit(&fit, smooth))
    }

    /// The light in a part of the picture, with a shadow or without, by which paper is no further off than this.
    pub(super) fn in_part(places: &Places, smooth: &Smooth, off: f64) -> Option<Lit> {
        let plain = places.plain()?;
        let best = places.shadowed().filter(|fit| fit.off < LEFT * plain.off).unwrap_or(plain);
        (best.off < off).then(|| Self::lit(&best, smooth))
    }

    fn lit(fit: &Fit, smooth: &Smooth) -> Lit {
        let left = [0, 1, 2].map(|channel| fit.channels[channel].1);
        let shadow = fit.edge.map(|edge| Self { edge, left });
        Lit { smooth: smooth.plus([0, 1, 2].map(|channel| fit.channels[channel].0)), shadow }
    }

    /// Whether its edge runs between these places: it takes light from some and not from others.
    pub(super) fn parts(&self, places: impl Iterator<Item = [f64; 2]>) -> bool {
        let reached = places.map(|[x, y]| self.edge.reached(self.edge.place(x, y)));
        let (least, most) = reached.fold((1.0_f64, 0.0_f64), |(a, b), it| (a.min(it), b.max(it)));
        let left = self.left.iter().sum::<f64>() / 3.0;
        darkened(left, least) - darkened(left, most) > SHOWS && self.edge.soft < SHARP
    }

    /// The logarithm of what it leaves of each channel at a place.
    pub(super) fn at(&self, x: f64, y: f64) -> [f64; 3] {
        let reached = self.edge.reached(self.edge.place(x, y));
        self.left.map(|left| darkened(left, reached))
    }
}

impl Edge {
    fn place(&self, x: f64, y: f64) -> [f64; 2] {
        [(x - self.middle[0]) / self.half, (y - self.middle[1]) / self.half]
    }

    /// 0 in the light, 1 in the shadow.
    fn reached(&self, [x, y]: [f64; 2]) -> f64 {
        let [cos, sin] = self.into;
        let along = cos * y - sin * x;
        let far = (cos * x + sin * y + self.bend * along * along - self.off) / self.soft;
        match far {
            far if far < -LONG => 0.0,
            far if far > LONG => 1.0,
            far => 1.0 / (1.0 + libm::exp(-far)),
        }
    }
}

/// The logarithm of the light where a shadow that leaves this much has been reached so far.
fn darkened(left: f64, reached: f64) -> f64 {
    match reached {
        0.0 => 0.0,
        1.0 => left,
        _ => libm::log(1.0 - (1.0 - libm::exp(left)) * reached),
    }
}
