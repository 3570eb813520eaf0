//! Along a strip: its colour against the paper beside it.

mod cuts;
mod faint;

use super::Small;
use super::blobs::{Painted, dot, sub};
use super::chain::Chain;
use super::ground::Ground;
use super::swatch::Swatch;
use crate::colour::lab;

/// A strip from end to end, one place a pixel of the small picture.
pub(super) struct Profile {
    centre: [f64; 2],
    axis: [f64; 2],
    /// The first place along the axis.
    from: f64,
    /// Its middle line and half of its breadth, as straight lines along the axis: value at 0, and slope.
    middle: (f64, f64),
    half: (f64, f64),
    places: Vec<Place>,
}

/// One place along a strip.
struct Place {
    /// L*, a and b against bare paper.
    lab: [f64; 3],
    /// Which part of its middle is painted.
    covered: f64,
}

/// The middle that is looked at: this part of its breadth.
const READ_ACROSS: f64 = 0.85;

/// A strip is at least so many pixels of the small picture broad: less is an edge or a line.
const NARROWEST: f64 = 10.0;

impl Profile {
    /// None where it is no strip after all.
    pub(super) fn along(chain: &Chain, small: &Small, ground: &Ground, painted: &Painted) -> Option<Self> {
        let (centre, axis) = (chain.centre, chain.axis);
        let across = [-axis[1], axis[0]];
        let placed: Vec<(f64, f64)> = chain
            .pixels
            .iter()
            .map(|&at| (dot(sub(at, centre), axis), dot(sub(at, centre), across)))
            .collect();
        let from = placed.iter().map(|at| at.0).fold(f64::INFINITY, f64::min).floor();
        let to = placed.iter().map(|at| at.0).fold(f64::NEG_INFINITY, f64::max).ceil();
        let mut bins: Vec<Vec<f64>> = vec![Vec::new(); (to - from) as usize + 1];
        for (along, off) in placed {
            bins[(along - from).round() as usize].push(off);
        }
        let mut edges = Vec::new();
        for (at, bin) in bins.iter_mut().enumerate().filter(|(_, bin)| bin.len() >= 4) {
            bin.sort_by(f64::total_cmp);
            let (low, high) = (bin[bin.len() / 25], bin[bin.len() - 1 - bin.len() / 25]);
            edges.push((from + at as f64, (low + high) / 2.0, (high - low) / 2.0));
        }
        let middle = straight(edges.iter().map(|edge| (edge.0, edge.1)).collect())?;
        let half = straight(edges.iter().map(|edge| (edge.0, edge.2)).collect())?;
        let mut profile = Self { centre, axis, from, middle, half, places: Vec::new() };
        if [from, to].iter().any(|&end| profile.half_at(end) < NARROWEST / 2.0) {
            return None;
        }
        profile.places =
            (0..bins.len()).map(|at| profile.place(at as f64 + from, small, ground, painted)).collect();
        Some(profile)
    }

    /// Breadth in its middle, in pixels of the small picture.
    pub(super) fn width(&self) -> f64 {
        2.0 * self.half_at(self.from + self.places.len() as f64 / 2.0)
    }

    fn median(&self, places: std::ops::Range<usize>) -> [f64; 3] {
        [0, 1, 2].map(|axis| {
            let mut values: Vec<f64> = places.clone().map(|at| self.places[at].lab[axis]).collect();
            values.sort_by(f64::total_cmp);
            values[values.len() / 2]
        })
    }

    fn swatch(&self, from: usize, to: usize) -> Swatch {
        self.between(self.from + from as f64 - 0.5, self.from + to as f64 - 0.5)
    }

    /// The swatch between two places along the axis.
    fn between(&self, start: f64, end: f64) -> Swatch {
        let quad =
            [self.point(start, -1.0), self.point(end, -1.0), self.point(end, 1.0), self.point(start, 1.0)];
        Swatch::of(quad, self.axis)
    }

    fn half_at(&self, along: f64) -> f64 {
        self.half.0 + self.half.1 * along
    }

    /// A place along the axis, and across it in halves of the breadth.
    fn point(&self, along: f64, off: f64) -> [f64; 2] {
        let across = self.middle.0 + self.middle.1 * along + off * self.half_at(along);
        [
            self.centre[0] + along * self.axis[0] - across * self.axis[1],
            self.centre[1] + along * self.axis[1] + across * self.axis[0],
        ]
    }

    fn place(&self, along: f64, small: &Small, ground: &Ground, painted: &Painted) -> Place {
        let half = self.half_at(along);
        let count = (READ_ACROSS * 2.0 * half).ceil().max(3.0) as usize;
        let mut seen = [0, 1, 2].map(|_| Vec::with_capacity(count));
        let mut covered = 0.0;
        for at in 0..count {
            let off = READ_ACROSS * (2.0 * (at as f64 + 0.5) / count as f64 - 1.0);
            let [x, y] = self.point(along, off);
            let ((index, rgb), bare) = (small.at(x, y), ground.at(x, y));
            (0..3).for_each(|channel| seen[channel].push(rgb[channel] / bare[channel]));
            covered += f64::from(u8::from(painted.away[index] > painted.threshold)) / count as f64;
        }
        // A bloom that fills less than half of the breadth has no say.
        let middle = seen.map(|mut channel| {
            channel.sort_by(f64::total_cmp);
            channel[count / 2]
        });
        Place { lab: lab(middle), covered }
    }
}

/// A straight line through points, by least squares, twice: the second time without what is far off.
fn straight(points: Vec<(f64, f64)>) -> Option<(f64, f64)> {
    let first = line(&points)?;
    let mut off: Vec<f64> = points.iter().map(|(x, y)| (y - first.0 - first.1 * x).abs()).collect();
    off.sort_by(f64::total_cmp);
    let far = 2.5 * off[off.len() / 2].max(0.5);
    let near: Vec<_> = points.into_iter().filter(|(x, y)| (y - first.0 - first.1 * x).abs() <= far).collect();
    line(&near)
}

fn line(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let count = points.len() as f64;
    if count < 8.0 {
        return None;
    }
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|it| it.0), mean(|it| it.1));
    let (mut up, mut along) = (0.0, 0.0);
    for it in points {
        up += (it.0 - x) * (it.1 - y);
        along += (it.0 - x) * (it.0 - x);
    }
    let slope = if along > 0.0 { up / along } else { 0.0 };
    Some((y - slope * x, slope))
}
