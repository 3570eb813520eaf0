//! Three numbers at a time: points, directions and linear colours.

use std::ops::{Add, Mul, Sub};

/// Three `f32`: metres (x right, y up, z away from the viewer) or linear sRGB (1 is diffuse white).
///
/// Only `+ - * /` and `sqrt` are used, which IEEE 754 rounds alike on every machine.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct V3 {
    pub(crate) x: f32,
    pub(crate) y: f32,
    pub(crate) z: f32,
}

pub(crate) const fn v3(x: f32, y: f32, z: f32) -> V3 {
    V3 { x, y, z }
}

pub(crate) const fn grey(v: f32) -> V3 {
    v3(v, v, v)
}

impl V3 {
    pub(crate) fn dot(self, o: Self) -> f32 {
        self.x * o.x + self.y * o.y + self.z * o.z
    }

    pub(crate) fn cross(self, o: Self) -> Self {
        v3(self.y * o.z - self.z * o.y, self.z * o.x - self.x * o.z, self.x * o.y - self.y * o.x)
    }

    pub(crate) fn length(self) -> f32 {
        self.dot(self).sqrt()
    }

    /// The unit vector along `self`; zero stays zero.
    pub(crate) fn unit(self) -> Self {
        let length = self.length();
        if length > 0.0 { self * (1.0 / length) } else { self }
    }

    /// Channel by channel, as a filter over a light.
    pub(crate) fn times(self, o: Self) -> Self {
        v3(self.x * o.x, self.y * o.y, self.z * o.z)
    }

    pub(crate) fn mirrored_at(self, normal: Self) -> Self {
        self - normal * (2.0 * self.dot(normal))
    }

    pub(crate) fn min(self, o: Self) -> Self {
        v3(self.x.min(o.x), self.y.min(o.y), self.z.min(o.z))
    }

    pub(crate) fn max(self, o: Self) -> Self {
        v3(self.x.max(o.x), self.y.max(o.y), self.z.max(o.z))
    }

    pub(crate) fn axis(self, axis: usize) -> f32 {
        [self.x, self.y, self.z][axis]
    }
}

impl Add for V3 {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        v3(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}

impl Sub for V3 {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        v3(self.x - o.x, self.y - o.y, self.z - o.z)
    }
}

impl Mul<f32> for V3 {
    type Output = Self;
    fn mul(self, k: f32) -> Self {
        v3(self.x * k, self.y * k, self.z * k)
    }
}

/// `a` at 0, `b` at 1.
pub(crate) fn mix(a: V3, b: V3, t: f32) -> V3 {
    a * (1.0 - t) + b * t
}

/// `a` at 0, `b` at 1, for one number.
pub(crate) fn lerp(a: f32, b: f32, t: f32) -> f32 {
    a * (1.0 - t) + b * t
}

/// 0 below `from`, 1 above `to`, a smooth S between; `from` may lie above `to`.
pub(crate) fn smoothstep(from: f32, to: f32, x: f32) -> f32 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
