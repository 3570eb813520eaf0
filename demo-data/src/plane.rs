//! A flat thing seen in perspective.

/// Maps a plane's own coordinates to pixels and back.
pub(crate) struct Plane {
    /// Row-major 3 x 3: pixel from own.
    out: [f64; 9],
    /// The inverse, to a factor.
    back: [f64; 9],
}

impl Plane {
    /// The map that takes a rectangle `0..width` by `0..height` to four pixels, clockwise from its top left (Heckbert 1989, §2.2.3).
    pub(crate) fn new(width: f64, height: f64, corners: [(f64, f64); 4]) -> Self {
        let [a, b, c, d] = corners;
        let (dx1, dx2, sx) = (b.0 - c.0, d.0 - c.0, a.0 - b.0 + c.0 - d.0);
        let (dy1, dy2, sy) = (b.1 - c.1, d.1 - c.1, a.1 - b.1 + c.1 - d.1);
        let det = dx1 * dy2 - dx2 * dy1;
        let (g, h) = ((sx * dy2 - dx2 * sy) / det, (dx1 * sy - sx * dy1) / det);
        let out = [
            (b.0 - a.0 + g * b.0) / width,
            (d.0 - a.0 + h * d.0) / height,
            a.0,
            (b.1 - a.1 + g * b.1) / width,
            (d.1 - a.1 + h * d.1) / height,
            a.1,
            g / width,
            h / height,
            1.0,
        ];
        let [m0, m1, m2, m3, m4, m5, m6, m7, m8] = out;
        let back = [
            m4 * m8 - m5 * m7,
            m2 * m7 - m1 * m8,
            m1 * m5 - m2 * m4,
            m5 * m6 - m3 * m8,
            m0 * m8 - m2 * m6,
            m2 * m3 - m0 * m5,
            m3 * m7 - m4 * m6,
            m1 * m6 - m0 * m7,
            m0 * m4 - m1 * m3,
        ];
        Self { out, back }
    }

    pub(crate) fn pixel(&self, x: f64, y: f64) -> (f64, f64) {
        carried(&self.out, x, y)
    }

    pub(crate) fn own(&self, x: f64, y: f64) -> (f64, f64) {
        carried(&self.back, x, y)
    }
}

fn carried(m: &[f64; 9], x: f64, y: f64) -> (f64, f64) {
    let w = m[6] * x + m[7] * y + m[8];
    ((m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A perspective map keeps straight lines straight: the middle of the rectangle falls where the four-sided shape's diagonals cross.
    #[test]
    fn the_middle_lies_where_the_diagonals_cross() {
        let k = [(205.0, 150.0), (1290.0, 215.0), (1325.0, 1700.0), (170.0, 1745.0)];
        let plane = Plane::new(3.0, 4.0, k);
        let (x, y) = plane.pixel(1.5, 2.0);
        let off = |a: (f64, f64), b: (f64, f64)| ((b.0 - a.0) * (y - a.1) - (b.1 - a.1) * (x - a.0)).abs();
        assert!(off(k[0], k[2]) < 1e-6 && off(k[1], k[3]) < 1e-6);
        for (i, own) in [(0.0, 0.0), (3.0, 0.0), (3.0, 4.0), (0.0, 4.0)].into_iter().enumerate() {
            let (px, py) = plane.pixel(own.0, own.1);
            assert!((px - k[i].0).abs() < 1e-9 && (py - k[i].1).abs() < 1e-9);
            let (ox, oy) = plane.own(px, py);
            assert!((ox - own.0).abs() < 1e-9 && (oy - own.1).abs() < 1e-9);
        }
    }
}
