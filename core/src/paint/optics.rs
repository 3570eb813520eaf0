//! What light does in a layer of paint, after Kubelka and Munk (1931), by the formulas of P. Kubelka, "New Contributions
//! to the Optics of Intensely Light-Scattering Materials", J. Opt. Soc. Am. 38 (1948), 448-457.

/// Absorption to scattering of a layer that hides its ground, from its reflectance, above 0 and at most 1.
pub(super) fn ratio(reflectance: f64) -> f64 {
    (1.0 - reflectance) * (1.0 - reflectance) / (2.0 * reflectance)
}

/// Reflectance of a layer that hides its ground, from its absorption to scattering.
pub(super) fn reflectance(ratio: f64) -> f64 {
    // 1 + q - sqrt(q² + 2q), without the difference of near equals that a large q makes of it.
    1.0 / (1.0 + ratio + libm::sqrt(ratio * ratio + 2.0 * ratio))
}

/// Reflectance of a layer of reflectance `r` and transmittance `t` over a ground.
pub(super) fn over(r: f64, t: f64, ground: f64) -> f64 {
    r + t * t * ground / (1.0 - r * ground)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: R = .5 gives .25 / 1 = .25, and R = .1 gives .81 / .2 = 4.05.
    #[test]
    fn ratios_are_those_of_the_formula_and_come_back() {
        assert!((ratio(0.5) - 0.25).abs() < 1e-15);
        assert!((ratio(0.1) - 4.05).abs() < 1e-12);
        for r in [1e-4, 0.01, 0.3, 0.9, 1.0] {
            assert!((reflectance(ratio(r)) - r).abs() < 1e-12, "{r}");
        }
    }

    /// Reflectance and transmittance of a layer of thickness x, by K and S.
    fn layer(k: f64, s: f64, x: f64) -> (f64, f64) {
        let a = 1.0 + k / s;
        let b = libm::sqrt(a * a - 1.0);
        let (sinh, cosh) = (libm::sinh(b * s * x), libm::cosh(b * s * x));
        let c = a * sinh + b * cosh;
        (sinh / c, b / c)
    }

    /// K and S of three pigments after Curtis et al. 1997, "Computer-Generated Watercolor", and the L* of strips made of
    /// them over a ground of .86 with colour-science 0.4.7, to one decimal.
    #[test]
    fn layers_over_paper_darken_as_published_pigments_do() {
        let strips = [
            ([0.86, 0.86, 0.06], [0.005, 0.005, 0.09], [88.6, 80.7, 69.2, 51.8, 33.4, 25.0]),
            ([0.06, 0.21, 1.78], [0.50, 0.88, 0.009], [92.4, 90.0, 86.8, 82.6, 78.5, 76.4]),
            ([0.22, 1.47, 0.57], [0.05, 0.003, 0.03], [86.4, 76.4, 63.7, 48.5, 35.8, 24.9]),
        ];
        for (k, s, expected) in strips {
            for (x, lightness) in [0.1, 0.25, 0.5, 1.0, 2.0, 4.0].into_iter().zip(expected) {
                let rgb = [0, 1, 2].map(|channel| {
                    let (r, t) = layer(k[channel], s[channel], x);
                    over(r, t, 0.86)
                });
                let y = 0.212_639 * rgb[0] + 0.715_169 * rgb[1] + 0.072_192 * rgb[2];
                let found = crate::lightness_from_y(y);
                assert!((found - lightness).abs() < 0.06, "{found} for {lightness}");
            }
        }
    }

    /// Thick enough, a layer hides its ground: the two formulas meet.
    #[test]
    fn a_thick_layer_is_one_that_hides_its_ground() {
        for (k, s) in [(0.3, 0.8), (1.2, 0.2)] {
            let (r, t) = layer(k, s, 200.0);
            assert!(t < 1e-6 && (r - reflectance(k / s)).abs() < 1e-9);
        }
    }
}
