//! Triangles, and the nearest one along a ray.

use crate::vector::{V3, lerp, mix, v3};

/// A corner: its place, the surface's direction there and two coordinates of the surface's own.
#[derive(Clone, Copy)]
pub(crate) struct Corner {
    pub(crate) p: V3,
    pub(crate) n: V3,
    pub(crate) u: f32,
    pub(crate) v: f32,
}

#[derive(Clone, Copy)]
struct Triangle {
    corners: [Corner; 3],
    surface: u16,
}

/// What a ray met.
pub(crate) struct Hit {
    pub(crate) distance: f32,
    /// Unit, smooth, turned towards where the ray came from.
    pub(crate) normal: V3,
    pub(crate) u: f32,
    pub(crate) v: f32,
    pub(crate) surface: u16,
}

#[derive(Default)]
pub(crate) struct Mesh {
    triangles: Vec<Triangle>,
    nodes: Vec<Node>,
}

/// A box of the hierarchy: a leaf holds `count` triangles from `first`; else its children are the next node and `first`.
struct Node {
    low: V3,
    high: V3,
    first: u32,
    count: u32,
}

const LEAF: usize = 4;
/// Rays start this far off the surface that they leave, metres.
const NEAR: f32 = 1e-3;

impl Mesh {
    pub(crate) fn triangle(&mut self, corners: [Corner; 3], surface: u16) {
        self.triangles.push(Triangle { corners, surface });
    }

    /// Sorts the triangles into the hierarchy: halves by the median along the longest side.
    pub(crate) fn build(&mut self) {
        let mut triangles = std::mem::take(&mut self.triangles);
        self.nodes.clear();
        self.split(&mut triangles, 0);
        self.triangles = triangles;
    }

    fn split(&mut self, triangles: &mut [Triangle], first: usize) {
        let all = || triangles.iter().flat_map(|t| t.corners.iter().map(|c| c.p));
        let low = all().fold(v3(1e9, 1e9, 1e9), V3::min);
        let high = all().fold(v3(-1e9, -1e9, -1e9), V3::max);
        let node = self.nodes.len();
        self.nodes.push(Node { low, high, first: first as u32, count: triangles.len() as u32 });
        if triangles.len() <= LEAF {
            return;
        }
        let size = high - low;
        let axis = if size.x >= size.y && size.x >= size.z {
            0
        } else if size.y >= size.z {
            1
        } else {
            2
        };
        let centre = |t: &Triangle| t.corners.iter().map(|c| c.p.axis(axis)).sum::<f32>();
        triangles.sort_by(|a, b| centre(a).total_cmp(&centre(b)));
        let half = triangles.len() / 2;
        let (left, right) = triangles.split_at_mut(half);
        self.split(left, first);
        self.nodes[node].first = self.nodes.len() as u32;
        self.nodes[node].count = 0;
        self.split(right, first + half);
    }

    /// The nearest hit closer than `limit`.
    pub(crate) fn hit(&self, from: V3, along: V3, limit: f32) -> Option<Hit> {
        let (distance, index, b, c) = self.nearest(from, along, limit, false)?;
        let t = &self.triangles[index];
        let [p, q, r] = t.corners;
        let a = 1.0 - b - c;
        let smooth = (p.n * a + q.n * b + r.n * c).unit();
        let facing = if smooth.dot(along) > 0.0 { smooth * -1.0 } else { smooth };
        Some(Hit {
            distance,
            normal: facing,
            u: p.u * a + q.u * b + r.u * c,
            v: p.v * a + q.v * b + r.v * c,
            surface: t.surface,
        })
    }

    /// Whether anything stands within `limit`.
    pub(crate) fn blocked(&self, from: V3, along: V3, limit: f32) -> bool {
        self.nearest(from, along, limit, true).is_some()
    }

    fn nearest(&self, from: V3, along: V3, limit: f32, any: bool) -> Option<(f32, usize, f32, f32)> {
        let inverse = v3(1.0 / along.x, 1.0 / along.y, 1.0 / along.z);
        let mut best = None;
        let mut limit = limit;
        let mut stack = [0u32; 48];
        let mut depth = usize::from(!self.nodes.is_empty());
        while depth > 0 {
            depth -= 1;
            let index = stack[depth];
            let node = &self.nodes[index as usize];
            if !node.crossed(from, inverse, limit) {
                continue;
            }
            if node.count == 0 {
                stack[depth] = node.first;
                stack[depth + 1] = index + 1;
                depth += 2;
                continue;
            }
            for i in node.first as usize..(node.first + node.count) as usize {
                if let Some((t, b, c)) = self.triangles[i].crossed(from, along, limit) {
                    limit = t;
                    best = Some((t, i, b, c));
                    if any {
                        return best;
                    }
                }
            }
        }
        best
    }
}

impl Node {
    fn crossed(&self, from: V3, inverse: V3, limit: f32) -> bool {
        let a = (self.low - from).times(inverse);
        let b = (self.high - from).times(inverse);
        let (near, far) = (a.min(b), a.max(b));
        let enter = near.x.max(near.y).max(near.z).max(0.0);
        enter <= far.x.min(far.y).min(far.z).min(limit)
    }
}

impl Triangle {
    /// Möller and Trumbore 1997, both sides counting.
    fn crossed(&self, from: V3, along: V3, limit: f32) -> Option<(f32, f32, f32)> {
        let [a, b, c] = self.corners.map(|k| k.p);
        let (ab, ac) = (b - a, c - a);
        let p = along.cross(ac);
        let det = ab.dot(p);
        if det.abs() < 1e-12 {
            return None;
        }
        let s = from - a;
        let u = s.dot(p) / det;
        if !(0.0..=1.0).contains(&u) {
            return None;
        }
        let q = s.cross(ab);
        let v = along.dot(q) / det;
        if v < 0.0 || u + v > 1.0 {
            return None;
        }
        let t = ac.dot(q) / det;
        (t > NEAR && t < limit).then_some((t, u, v))
    }
}

/// Where a thing stands: leant about its long axis, turned on the spot, then carried to `at`.
#[derive(Clone, Copy)]
pub(crate) struct Stand {
    pub(crate) at: V3,
    /// Turn about the upright, radians; 0 points away from the viewer, positive to the right.
    pub(crate) turn: f32,
    /// Lean to its own right-hand side, radians.
    pub(crate) lean: f32,
}

impl Stand {
    pub(crate) fn place(&self, p: V3) -> V3 {
        self.at + self.direct(p)
    }

    pub(crate) fn direct(&self, p: V3) -> V3 {
        let (sl, cl) = (libm::sinf(self.lean), libm::cosf(self.lean));
        let (st, ct) = (libm::sinf(self.turn), libm::cosf(self.turn));
        let q = v3(p.x * cl + p.y * sl, p.y * cl - p.x * sl, p.z);
        v3(q.x * ct + q.z * st, q.y, q.z * ct - q.x * st)
    }
}

/// Adds shapes in a thing's own metres.
pub(crate) struct Builder<'a> {
    pub(crate) mesh: &'a mut Mesh,
    pub(crate) stand: Stand,
}

impl Builder<'_> {
    /// A flat four-sided piece, corners in order round it; `u`, `v` are metres along its first and second side.
    pub(crate) fn quad(&mut self, corners: [V3; 4], surface: u16) {
        let [a, b, c, d] = corners;
        let n = (b - a).cross(d - a).unit();
        let (w, h) = ((b - a).length(), (d - a).length());
        let corner = |p, u, v| Corner { p: self.stand.place(p), n: self.stand.direct(n), u, v };
        let k = [corner(a, 0.0, 0.0), corner(b, w, 0.0), corner(c, w, h), corner(d, 0.0, h)];
        self.mesh.triangle([k[0], k[1], k[2]], surface);
        self.mesh.triangle([k[0], k[2], k[3]], surface);
    }

    /// A box between two corners; `v` runs up its sides.
    pub(crate) fn block(&mut self, low: V3, high: V3, surface: u16) {
        let p = |x: bool, y: bool, z: bool| {
            v3(if x { high.x } else { low.x }, if y { high.y } else { low.y }, if z { high.z } else { low.z })
        };
        let (f, t) = (false, true);
        self.quad([p(f, f, f), p(t, f, f), p(t, t, f), p(f, t, f)], surface);
        self.quad([p(t, f, t), p(f, f, t), p(f, t, t), p(t, t, t)], surface);
        self.quad([p(f, f, t), p(f, f, f), p(f, t, f), p(f, t, t)], surface);
        self.quad([p(t, f, f), p(t, f, t), p(t, t, t), p(t, t, f)], surface);
        self.quad([p(f, t, f), p(t, t, f), p(t, t, t), p(f, t, t)], surface);
        self.quad([p(f, f, t), p(t, f, t), p(t, f, f), p(f, f, f)], surface);
    }

    /// A tapering round spar or rope between two points.
    pub(crate) fn spar(&mut self, from: V3, to: V3, thick: (f32, f32), surface: u16) {
        const SIDES: usize = 7;
        let along = (to - from).unit();
        let aside = if along.y.abs() < 0.9 { v3(0.0, 1.0, 0.0) } else { v3(1.0, 0.0, 0.0) };
        let x = along.cross(aside).unit();
        let y = along.cross(x);
        let length = (to - from).length();
        let corner = |i: usize, end: bool| {
            let angle = i as f32 * (std::f32::consts::TAU / SIDES as f32);
            let n = x * libm::cosf(angle) + y * libm::sinf(angle);
            let p = if end { to + n * thick.1 } else { from + n * thick.0 };
            Corner {
                p: self.stand.place(p),
                n: self.stand.direct(n),
                u: i as f32,
                v: if end { length } else { 0.0 },
            }
        };
        for i in 0..SIDES {
            let (a, b, c, d) = (corner(i, false), corner(i + 1, false), corner(i + 1, true), corner(i, true));
            self.mesh.triangle([a, b, c], surface);
            self.mesh.triangle([a, c, d], surface);
        }
    }

    /// A rope that hangs `sag` metres at its middle.
    pub(crate) fn rope(&mut self, from: V3, to: V3, sag: f32, thick: f32, surface: u16) {
        const PARTS: usize = 10;
        let point = |i: usize| {
            let t = i as f32 / PARTS as f32;
            mix(from, to, t) - v3(0.0, sag * 4.0 * t * (1.0 - t), 0.0)
        };
        for i in 0..PARTS {
            self.spar(point(i), point(i + 1), (thick, thick), surface);
        }
    }

    /// A grid of points `surface_at(i, j)` over `0..=columns` by `0..=rows`, smoothly shaded.
    pub(crate) fn sheet(
        &mut self,
        columns: usize,
        rows: usize,
        surface: u16,
        at: impl Fn(f32, f32) -> (V3, f32, f32),
    ) {
        let point = |i: i32, j: i32| {
            let s = (i as f32 / columns as f32).clamp(0.0, 1.0);
            let t = (j as f32 / rows as f32).clamp(0.0, 1.0);
            at(s, t)
        };
        let corner = |i: i32, j: i32| {
            let (p, u, v) = point(i, j);
            let n = (point(i + 1, j).0 - point(i - 1, j).0).cross(point(i, j + 1).0 - point(i, j - 1).0);
            Corner { p: self.stand.place(p), n: self.stand.direct(n.unit()), u, v }
        };
        let grid: Vec<Corner> = (0..=rows as i32)
            .flat_map(|j| (0..=columns as i32).map(move |i| (i, j)))
            .map(|(i, j)| corner(i, j))
            .collect();
        for j in 0..rows {
            for i in 0..columns {
                let k = j * (columns + 1) + i;
                let (a, b, c, d) = (grid[k], grid[k + 1], grid[k + columns + 2], grid[k + columns + 1]);
                self.mesh.triangle([a, b, c], surface);
                self.mesh.triangle([a, c, d], surface);
            }
        }
    }

    /// A ball, squeezed to `radii`.
    pub(crate) fn ball(&mut self, centre: V3, radii: V3, surface: u16) {
        self.sheet(14, 9, surface, |s, t| {
            let (a, b) = (s * std::f32::consts::TAU, lerp(-1.0, 1.0, t) * std::f32::consts::FRAC_PI_2);
            let n = v3(libm::cosf(b) * libm::cosf(a), libm::sinf(b), libm::cosf(b) * libm::sinf(a));
            (centre + n.times(radii), s, t)
        });
    }
}
