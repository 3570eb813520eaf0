//! Paint over paper by Kubelka and Munk's optics, in three channels.

/// Absorption and scattering of a layer of unit thickness, of red, green and blue; scattering lies above 0.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Layer {
    pub(crate) absorption: [f64; 3],
    pub(crate) scattering: [f64; 3],
}

impl Layer {
    /// Linear reflectance of `thickness` of it over a ground.
    ///
    /// P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448: (1 - Rg (a - b coth bS)) / (a - Rg + b coth bS) with a = 1 + K/S and
    /// b² = a² - 1, multiplied out by S.
    pub(crate) fn over(&self, ground: f64, thickness: f64) -> [f64; 3] {
        std::array::from_fn(|channel| {
            let (k, s) = (self.absorption[channel] * thickness, self.scattering[channel] * thickness);
            let root = root_coth((k * (k + 2.0 * s)).sqrt());
            (s - ground * (s + k - root)) / (s * (1.0 - ground) + k + root)
        })
    }

    /// Two run together, `share` of the second by volume: the means of both (D. R. Duncan, Proc. Phys. Soc. 52 (1940) 390).
    pub(crate) const fn mixed(&self, other: &Self, share: f64) -> Self {
        Self {
            absorption: means(self.absorption, other.absorption, share),
            scattering: means(self.scattering, other.scattering, share),
        }
    }
}

const fn means([r, g, b]: [f64; 3], other: [f64; 3], share: f64) -> [f64; 3] {
    let own = 1.0 - share;
    [own * r + share * other[0], own * g + share * other[1], own * b + share * other[2]]
}

/// x coth x, 1 at 0.
fn root_coth(x: f64) -> f64 {
    // Below this the next term of the series is less than f64 holds.
    if x < 1e-4 {
        return 1.0 + x * x / 3.0;
    }
    let falling = libm::exp(-2.0 * x);
    x * (1.0 + falling) / (1.0 - falling)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tone::lab;

    /// C. J. Curtis et al., *Computer-Generated Watercolor*, SIGGRAPH 1997: L* of its blue and its yellow over a ground
    /// of .86, computed by an independent program from the same table, to one decimal.
    #[test]
    fn strips_of_published_pigments_have_their_tones() {
        let blue = Layer { absorption: [0.86, 0.86, 0.06], scattering: [0.005, 0.005, 0.09] };
        let yellow = Layer { absorption: [0.06, 0.21, 1.78], scattering: [0.50, 0.88, 0.009] };
        for (layer, expected) in
            [(blue, [88.6, 80.7, 69.2, 51.8, 33.4, 25.0]), (yellow, [92.4, 90.0, 86.8, 82.6, 78.5, 76.4])]
        {
            for (thickness, expected) in [0.1, 0.25, 0.5, 1.0, 2.0, 4.0].into_iter().zip(expected) {
                let got = lab(layer.over(0.86, thickness))[0];
                assert!((got - expected).abs() < 0.051, "{thickness}: {got}, not {expected}");
            }
        }
    }

    /// By hand: no paint shows the ground; K/S = 1 gives 2 - √3 where the layer is thick.
    #[test]
    fn a_layer_hides_its_ground_as_it_thickens() {
        let layer = Layer { absorption: [1.0; 3], scattering: [1.0; 3] };
        assert_eq!(layer.over(0.37, 0.0), [0.37; 3]);
        assert!((layer.over(0.37, 30.0)[0] - 0.267_949_192).abs() < 1e-9);
        let halves = layer.mixed(&Layer { absorption: [3.0; 3], scattering: [1.0; 3] }, 0.5);
        assert_eq!(halves.absorption, [2.0; 3]);
    }
}
