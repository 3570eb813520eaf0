//! Fits a shadow with an edge, together with a light that falls off smoothly, to what is seen of bare paper: tried all
//! round and all over, the best of it refined.

use super::{Edge, darkened};
use crate::strip::Small;
use crate::strip::cast::{Smooth, TERMS};
use nalgebra::{SMatrix, SVector};

/// A smooth light, and what a shadow leaves of it: what is linear, or nearly so, once an edge is known.
const LIGHT: usize = TERMS + 1;

/// These, and the edge's angle, its place, its bend and the logarithm of its softness.
const ALL: usize = LIGHT + 4;

type Terms = SVector<f64, ALL>;
type Light = SVector<f64, LIGHT>;

/// The terms of a channel's smooth light, and the logarithm of what the shadow leaves of it.
type Channel = (SVector<f64, TERMS>, f64);

/// What fits best.
pub(super) struct Fit {
    /// How far paper's light is off it, as a mean of squares.
    pub(super) off: f64,
    pub(super) edge: Option<Edge>,
    pub(super) channels: [Channel; 3],
}

/// Places of bare paper, and how their light is off a smooth one.
pub(in crate::strip) struct Places {
    points: Vec<Point>,
    /// The picture, or the part of it, that they are in: half of its longer side, and its middle.
    half: f64,
    middle: [f64; 2],
}

#[derive(Clone)]
struct Point {
    /// In pixels of the small picture.
    place: [f64; 2],
    /// From the middle, in halves.
    at: [f64; 2],
    basis: SVector<f64, TERMS>,
    /// The logarithms of its light, and these against the smooth light.
    logs: [f64; 3],
    off: [f64; 3],
    mean: f64,
}

/// So many points of paper are plenty for the last fit, for those that lead to it, and to look for an edge at all.
const POINTS: usize = 6000;
const SOME: usize = 1500;
const FEW: usize = 500;

/// Fewer tell nothing of a part of a picture.
const FEWEST: usize = 60;

/// An edge is looked for in so many directions all round, at so many places over this part of the longer side, of such
/// a softness (its logarithm).
const DIRECTIONS: usize = 20;
const PLACES: usize = 9;
const OVER: f64 = 0.8;
const SOFT: [f64; 2] = [-4.0, -2.5];

/// The best so many are refined, in so many rounds at the most.
const TRIED: usize = 4;
const ROUNDS: usize = 25;

/// A smooth light stays as it is where nothing is seen of it: what one place in so many says for that.
const HOLDS: f64 = 1e-4;

/// Slopes are taken over so little.
const BY: f64 = 1e-5;

/// What is further off a fit, in natural logarithms of light, has no say: it is no paper, or another shadow.
const FAR: f64 = 0.06;

/// A shadow takes so much light, in natural logarithms: less is uneven light; and it leaves so much of it: darker than
/// that is no paper.
const TAKES: f64 = 0.04;
const LEAVES: f64 = -1.5;

/// Softer edges than this (its logarithm) are a light that falls off; sharper ones can't be told apart.
const SOFTEST: f64 = -1.0;
const SHARPEST: f64 = -7.0;

impl Places {
    pub(in crate::strip) fn of(small: &Small, logs: &[[f64; 3]], paper: &[bool], smooth: &Smooth) -> Self {
        let half = small.columns.max(small.rows) as f64 / 2.0;
        let middle = [small.columns as f64 / 2.0, small.rows as f64 / 2.0];
        let told: Vec<usize> = (0..paper.len()).filter(|&at| paper[at]).collect();
        let every = (told.len() / POINTS).max(1);
        let point = |&at: &usize| {
            let (x, y) = ((at % small.columns) as f64, (at / small.columns) as f64);
            let light = smooth.at(x, y);
            let off = [0, 1, 2].map(|channel| logs[at][channel] - light[channel]);
            Point {
                place: [x, y],
                at: [(x - middle[0]) / half, (y - middle[1]) / half],
                basis: smooth.basis(x, y),
                logs: logs[at],
                off,
                mean: off.iter().sum::<f64>() / 3.0,
            }
        };
        Self { points: told.iter().step_by(every).map(point).collect(), half, middle }
    }

    /// Those so near to a place, across and down.
    pub(in crate::strip) fn within(&self, middle: [f64; 2], reach: (f64, f64)) -> Self {
        let half = reach.0.max(reach.1);
        let near = |point: &&Point| {
            let [x, y] = point.place;
            (x - middle[0]).abs() < reach.0 && (y - middle[1]).abs() < reach.1
        };
        let told = |point: &Point| {
            let at = [0, 1].map(|it| (point.place[it] - middle[it]) / half);
            Point { at, ..point.clone() }
        };
        Self { points: self.points.iter().filter(near).map(told).collect(), half, middle }
    }

    /// How far they are off a light that is told by its logarithms, as a mean of squares; none where there are too few.
    pub(in crate::strip) fn off(&self, light: impl Fn(f64, f64) -> [f64; 3]) -> Option<f64> {
        let off = |point: &Point| {
            let light = light(point.place[0], point.place[1]);
            (0..3).map(|channel| point.logs[channel] - light[channel]).sum::<f64>() / 3.0
        };
        (self.points.len() >= FEWEST).then(|| score(self.points.iter().map(off)))
    }

    /// The smooth light that fits best.
    pub(super) fn plain(&self) -> Option<Fit> {
        let all: Vec<&Point> = self.points.iter().collect();
        let fitted = |of: &dyn Fn(&Point) -> f64| -> Option<SVector<f64, TERMS>> {
            let mut terms = SVector::<f64, TERMS>::zeros();
            for round in 0..4 {
                let rows = all.iter().map(|point| {
                    let off = of(point) - terms.dot(&point.basis);
                    (point.basis, off, if round == 0 { 1.0 } else { say(off) })
                });
                terms += solved(rows)?;
            }
            Some(terms)
        };
        let mean = fitted(&|point| point.mean)?;
        let [r, g, b] = [0, 1, 2].map(|channel| fitted(&|point| point.off[channel]));
        Some(Fit {
            off: score(all.iter().map(|point| point.mean - mean.dot(&point.basis))),
            edge: None,
            channels: [(r?, 0.0), (g?, 0.0), (b?, 0.0)],
        })
    }

    /// The shadow, with the smooth light apart from it, that fits best; none where there is no edge.
    pub(super) fn shadowed(&self) -> Option<Fit> {
        let every = |count: usize| -> Vec<&Point> {
            self.points.iter().step_by((self.points.len() / count).max(1)).collect()
        };
        let (few, some, all) = (every(FEW), every(SOME), every(POINTS));
        let mut begun: Vec<(f64, Terms)> = starts().filter_map(|start| self.begun(&few, start)).collect();
        begun.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (_, best) = begun
            .into_iter()
            .take(TRIED)
            .map(|(_, terms)| self.refined(&some, terms))
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let (off, terms) = self.refined(&all, best);
        if terms[TERMS] > -TAKES || terms[ALL - 1] > SOFTEST {
            return None;
        }
        let edge = self.edge(&terms);
        let light: Light = terms.fixed_rows::<LIGHT>(0).into_owned();
        // Each channel by itself: what falls into a shadow is bluer than the lamp.
        let [r, g, b] = [0, 1, 2].map(|channel| of_channel(&all, edge, light, channel));
        Some(Fit { off, edge: Some(edge), channels: [r?, g?, b?] })
    }

    fn edge(&self, terms: &Terms) -> Edge {
        let [angle, off, bend, soft] = [0, 1, 2, 3].map(|it| terms[LIGHT + it]);
        let into = [libm::cos(angle), libm::sin(angle)];
        Edge { into, off, bend, soft: libm::exp(soft), half: self.half, middle: self.middle }
    }

    /// The best light for an edge, and how far off it is; none where there is no shadow that way.
    fn begun(&self, points: &[&Point], told: [f64; 4]) -> Option<(f64, Terms)> {
        let mut terms = Terms::zeros();
        terms.fixed_rows_mut::<4>(LIGHT).copy_from(&SVector::from(told));
        let edge = self.edge(&terms);
        let basis = |point: &Point| -> Light {
            let mut basis = Light::zeros();
            basis.fixed_rows_mut::<TERMS>(0).copy_from(&point.basis);
            basis[TERMS] = edge.reached(point.at);
            basis
        };
        let light = solved(points.iter().map(|point| (basis(point), point.mean, 1.0)))?;
        let off = points.iter().map(|point| point.mean - light.dot(&basis(point)));
        terms.fixed_rows_mut::<LIGHT>(0).copy_from(&light);
        (LEAVES..-TAKES / 2.0).contains(&light[TERMS]).then(|| (score(off), terms))
    }

    /// All terms at once, after Levenberg (1944) and Marquardt (1963), and how far off they are.
    fn refined(&self, points: &[&Point], mut terms: Terms) -> (f64, Terms) {
        let smooth = |terms: &Terms, point: &Point| terms.fixed_rows::<TERMS>(0).dot(&point.basis);
        let off_by = |terms: &Terms| {
            let edge = self.edge(terms);
            let shade = |point: &Point| darkened(terms[TERMS], edge.reached(point.at));
            score(points.iter().map(|point| point.mean - smooth(terms, point) - shade(point)))
        };
        let (mut best, mut damping) = (off_by(&terms), 1e-3);
        for _ in 0..ROUNDS {
            let edge = self.edge(&terms);
            let moved: Vec<(f64, Edge)> = (TERMS..ALL)
                .map(|at| {
                    let mut moved = terms;
                    moved[at] += BY;
                    (moved[TERMS], self.edge(&moved))
                })
                .collect();
            let rows = points.iter().map(|point| {
                let here = darkened(terms[TERMS], edge.reached(point.at));
                let mut slope = Terms::zeros();
                slope.fixed_rows_mut::<TERMS>(0).copy_from(&point.basis);
                for (at, (left, edge)) in moved.iter().enumerate() {
                    slope[TERMS + at] = (darkened(*left, edge.reached(point.at)) - here) / BY;
                }
                let off = point.mean - smooth(&terms, point) - here;
                (slope, off, say(off))
            });
            let Some(by) = damped(rows, damping) else { break };
            let mut moved = terms + by;
            moved[ALL - 1] = moved[ALL - 1].clamp(SHARPEST, 0.0);
            let now = off_by(&moved);
            let gained = best - now;
            if gained > 0.0 {
                (terms, best, damping) = (moved, now, damping / 4.0);
            } else {
                damping *= 8.0;
            }
            if (0.0..1e-5 * best).contains(&gained) || damping > 1e4 {
                break;
            }
        }
        (best, terms)
    }
}

/// Angle, place, bend and softness of the edges that are tried.
fn starts() -> impl Iterator<Item = [f64; 4]> {
    (0..DIRECTIONS * PLACES).flat_map(|at| {
        let angle = std::f64::consts::TAU * (at / PLACES) as f64 / DIRECTIONS as f64;
        let off = 2.0 * OVER * (((at % PLACES) as f64 + 0.5) / PLACES as f64 - 0.5);
        SOFT.map(|soft| [angle, off, 0.0, soft])
    })
}

/// The smooth light of one channel, and what the shadow leaves of it, from what the mean of the channels has.
fn of_channel(points: &[&Point], edge: Edge, mut light: Light, channel: usize) -> Option<Channel> {
    // A few rounds bring it from the mean's light to its own.
    for round in 0..6 {
        let left = libm::exp(light[TERMS]);
        let rows = points.iter().map(|point| {
            let reached = edge.reached(point.at);
            let mut slope = Light::zeros();
            slope.fixed_rows_mut::<TERMS>(0).copy_from(&point.basis);
            slope[TERMS] = left * reached / (1.0 - (1.0 - left) * reached);
            let smooth = light.fixed_rows::<TERMS>(0).dot(&point.basis);
            let off = point.off[channel] - smooth - darkened(light[TERMS], reached);
            (slope, off, if round == 0 { 1.0 } else { say(off) })
        });
        light += solved(rows)?;
    }
    Some((light.fixed_rows::<TERMS>(0).into_owned(), light[TERMS]))
}

/// What is off, in the mean of its squares, as far as it has a say.
fn score(off: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = off.len() as f64;
    off.map(|off| (off * off).min(FAR * FAR)).sum::<f64>() / count
}

/// The weight of what is so far off (Cauchy's).
fn say(off: f64) -> f64 {
    1.0 / (1.0 + (off / (FAR / 2.0)).powi(2))
}

/// Least squares of rows of slopes, values and weights.
fn solved<const N: usize>(
    rows: impl Iterator<Item = (SVector<f64, N>, f64, f64)>,
) -> Option<SVector<f64, N>> {
    damped(rows, 0.0)
}

fn damped<const N: usize>(
    rows: impl Iterator<Item = (SVector<f64, N>, f64, f64)>,
    damping: f64,
) -> Option<SVector<f64, N>> {
    let (mut normal, mut right) = (SMatrix::<f64, N, N>::zeros(), SVector::<f64, N>::zeros());
    for (slope, value, weight) in rows {
        normal += weight * slope * slope.transpose();
        right += weight * value * slope;
    }
    let holds = HOLDS * normal[(0, 0)];
    for at in 0..N {
        normal[(at, at)] += damping * normal[(at, at)] + holds;
    }
    // It is small and positive: Cholesky's, which needs no bounds on N.
    normal.cholesky().map(|solver| solver.solve(&right))
}
