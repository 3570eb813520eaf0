//! Kubelka and Munk's optics of a layer of paint.
//!
//! P. Kubelka & F. Munk, *Ein Beitrag zur Optik der Farbanstriche* (1931); the closed forms for a layer of finite
//! thickness are P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448. That absorption and scattering of a mixture are the means
//! of its parts' by volume is D. R. Duncan, Proc. Phys. Soc. 52 (1940) 390. The light that the surface itself throws
//! back, before it has met any paint, is J. L. Saunderson, J. Opt. Soc. Am. 32 (1942) 727. (Years and pages from
//! memory.)

use libm::exp;

/// A layer of paint in one band of wavelengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Layer {
    /// Absorption K times thickness, 0 or more.
    pub(crate) absorption: f64,
    /// Scattering S times thickness, above 0.
    pub(crate) scattering: f64,
}

/// Light that the surface throws back: Saunderson's K1 for an instrument that catches a part of the gloss. Theory gives
/// .04 where all of it is caught and 0 where none is; .0275 was chosen on measured mixtures (see `mixing`), whose darkest
/// bands read .03 to .04 for every paint but the very darkest. K2, the light thrown back from within, made no
/// difference there and is left out.
const SURFACE: f64 = 0.0275;

/// What is left of a reflectance at and below [`SURFACE`]. No paint is blacker inside than some thousandths, and a
/// reading below the surface's own share means less gloss, not less than no light. Chosen with it.
pub(crate) const BLACKEST: f64 = 0.004;

/// Halvings of an interval: beyond them f64 has no digits left.
const HALVINGS: usize = 56;

impl Layer {
    /// Reflectance over a ground, both from 0 to 1.
    ///
    /// This is (1 - Rg (a - b coth bS)) / (a - Rg + b coth bS) with a = 1 + K/S and b² = a² - 1, multiplied out by S,
    /// so that nothing is divided by an absorption of 0.
    pub(crate) fn over(self, ground: f64) -> f64 {
        let Self { absorption, scattering } = self;
        let root = root_coth((absorption * (absorption + 2.0 * scattering)).sqrt());
        (scattering - ground * (scattering + absorption - root))
            / (scattering * (1.0 - ground) + absorption + root)
    }

    /// The layer of that scattering which shows `reflectance` over `ground`: one without absorption, where it is too
    /// light for any other.
    pub(crate) fn seen(reflectance: f64, scattering: f64, ground: f64) -> Self {
        let of = |absorption| Self { absorption, scattering };
        if of(0.0).over(ground) <= reflectance {
            return of(0.0);
        }
        let mut low = 0.0;
        let mut high = 1.0;
        while of(high).over(ground) > reflectance && high < 1e9 {
            low = high;
            high *= 2.0;
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if of(middle).over(ground) > reflectance {
                low = middle;
            } else {
                high = middle;
            }
        }
        of(0.5 * (low + high))
    }
}

/// Reflectance inside the paint of what is measured outside.
pub(crate) fn inner(measured: f64) -> f64 {
    floored(measured - SURFACE) / floored(1.0 - SURFACE)
}

/// Reflectance measured outside of what it is inside the paint: [`inner`] the other way round.
pub(crate) fn outer(inner: f64) -> f64 {
    let above = inner * floored(1.0 - SURFACE);
    above - BLACKEST * BLACKEST / above + SURFACE
}

/// A smooth floor: x for large x, [`BLACKEST`] for 0, towards 0 below.
fn floored(x: f64) -> f64 {
    0.5 * (x + (x * x + 4.0 * BLACKEST * BLACKEST).sqrt())
}

/// x coth x, 1 at 0.
fn root_coth(x: f64) -> f64 {
    // Below this the next term of the series is less than f64 holds.
    if x < 1e-4 {
        return 1.0 + x * x / 3.0;
    }
    let falling = exp(-2.0 * x);
    x * (1.0 + falling) / (1.0 - falling)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lightness::lightness_from_y;
    use crate::random::Random;
    use libm::{cosh, log, sinh};

    /// Closed forms in f64 agree to their last digits but few.
    const ROUNDING: f64 = 1e-9;

    fn reflectance((absorption, scattering): (f64, f64), ground: f64) -> f64 {
        Layer { absorption, scattering }.over(ground)
    }

    /// By hand. K/S = 1 gives R = 2 - √3 = .26795 where the layer is thick; K/S = (1 - .5)² / (2 · .5) = .25 gives .5;
    /// without absorption R = S / (1 + S) over black; without scattering R = Rg e^(-2K).
    #[test]
    fn agrees_with_values_worked_by_hand() {
        assert!((reflectance((30.0, 30.0), 0.8) - 0.267_949_192).abs() < ROUNDING);
        assert!((reflectance((25.0, 100.0), 0.1) - 0.5).abs() < ROUNDING);
        assert!((reflectance((0.0, 3.0), 0.0) - 0.75).abs() < ROUNDING);
        assert!((reflectance((0.0, 3.0), 1.0) - 1.0).abs() < ROUNDING);
        assert!((reflectance((log(2.0), 1e-12), 0.8) - 0.2).abs() < ROUNDING);
        assert!((reflectance((0.0, 1e-12), 0.37) - 0.37).abs() < ROUNDING);
    }

    /// The same in the textbook's form: R0 = sinh(bS) / c, T = b / c, c = a sinh(bS) + b cosh(bS), and
    /// R = R0 + T² Rg / (1 - R0 Rg).
    #[test]
    fn agrees_with_reflectance_and_transmittance_put_together() {
        let mut random = Random::new(1948);
        for _ in 0..2_000 {
            let (k, s, ground) = (random.within((0.01, 5.0)), random.within((0.01, 5.0)), random.unit());
            let textbook = textbook(k, s, ground);
            assert!((reflectance((k, s), ground) - textbook).abs() < ROUNDING, "{k} {s} {ground}");
        }
    }

    fn textbook(k: f64, s: f64, ground: f64) -> f64 {
        let a = 1.0 + k / s;
        let b = (a * a - 1.0).sqrt();
        let c = a * sinh(b * s) + b * cosh(b * s);
        let (alone, through) = (sinh(b * s) / c, b / c);
        alone + through * through * ground / (1.0 - alone * ground)
    }

    /// C. J. Curtis et al., *Computer-Generated Watercolor*, SIGGRAPH 1997: K and S of pigments in R, G and B; L* of
    /// strips of them over a ground of .86 at thicknesses of .1 to 4, computed by an independent program from the same
    /// table, to one decimal.
    #[test]
    fn strips_of_published_pigments_have_their_tones() {
        let ultramarine = ([0.86, 0.86, 0.06], [0.005, 0.005, 0.09]);
        let yellow = ([0.06, 0.21, 1.78], [0.50, 0.88, 0.009]);
        let rose = ([0.22, 1.47, 0.57], [0.05, 0.003, 0.03]);
        for ((k, s), expected) in [
            (ultramarine, [88.6, 80.7, 69.2, 51.8, 33.4, 25.0]),
            (yellow, [92.4, 90.0, 86.8, 82.6, 78.5, 76.4]),
            (rose, [86.4, 76.4, 63.7, 48.5, 35.8, 24.9]),
        ] {
            for (thickness, lightness) in [0.1, 0.25, 0.5, 1.0, 2.0, 4.0].into_iter().zip(expected) {
                let rgb: [f64; 3] =
                    std::array::from_fn(|at| reflectance((k[at] * thickness, s[at] * thickness), 0.86));
                // The row of Y of IEC 61966-2-1.
                let y = 0.212_639 * rgb[0] + 0.715_169 * rgb[1] + 0.072_192 * rgb[2];
                let computed = lightness_from_y(y);
                assert!((computed - lightness).abs() < 0.051, "{thickness}: {computed}, not {lightness}");
            }
        }
    }

    #[test]
    fn a_layer_comes_back_from_what_it_shows() {
        let mut random = Random::new(7);
        for _ in 0..2_000 {
            let (shown, scattering, ground) =
                (random.within((0.001, 0.999)), random.within((0.02, 2.0)), random.unit());
            let layer = Layer::seen(shown, scattering, ground);
            let lightest = reflectance((0.0, scattering), ground);
            let darkest = reflectance((1e6, scattering), ground);
            let expected = shown.clamp(darkest, lightest);
            assert!((layer.over(ground) - expected).abs() < ROUNDING, "{shown} {scattering} {ground}");
        }
    }

    #[test]
    fn the_surface_is_taken_off_and_put_on_again() {
        for step in 0..=1_000 {
            let measured = f64::from(step) / 1_000.0;
            let inside = inner(measured);
            assert!(inside > 0.0 && inside <= 1.0, "{measured}: {inside}");
            assert!((outer(inside) - measured).abs() < ROUNDING, "{measured}");
        }
    }
}
