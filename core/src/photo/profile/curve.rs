//! One-dimensional curves of a profile (ICC.1:2022, curveType and parametricCurveType).

use moxcms::ToneReprCurve;

/// A curve from 0–1 to about 0–1.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Curve {
    /// Even samples, straight lines between.
    Sampled(Vec<f32>),
    /// A power of the value.
    Gamma(f64),
    /// `(a x + b)^g + e` from `d` on, `c x + f` below.
    Parametric { g: f64, a: f64, b: f64, c: f64, d: f64, e: f64, f: f64 },
}

impl Curve {
    /// From what the parser read; `None` where the count of parameters is none that the standard knows or a number is
    /// no number.
    pub(super) fn new(curve: &ToneReprCurve) -> Option<Self> {
        match curve {
            ToneReprCurve::Lut(samples) => Some(match samples[..] {
                [] => Self::Gamma(1.0),
                // A single entry is a gamma, as unsigned 8.8 fixed point.
                [gamma] => Self::Gamma(f64::from(gamma) / 256.0),
                _ => Self::Sampled(samples.iter().map(|&value| f32::from(value) / 65_535.0).collect()),
            }),
            ToneReprCurve::Parametric(parameters) => Self::parametric(parameters),
        }
    }

    fn parametric(parameters: &[f32]) -> Option<Self> {
        if !parameters.iter().all(|value| value.is_finite()) {
            return None;
        }
        let wide: Vec<f64> = parameters.iter().map(|&value| f64::from(value)).collect();
        let start = |a: f64, b: f64| if a == 0.0 { 0.0 } else { -b / a };
        Some(match wide[..] {
            [g] => Self::Gamma(g),
            [g, a, b] => Self::Parametric { g, a, b, c: 0.0, d: start(a, b), e: 0.0, f: 0.0 },
            [g, a, b, e] => Self::Parametric { g, a, b, c: 0.0, d: start(a, b), e, f: e },
            [g, a, b, c, d] => Self::Parametric { g, a, b, c, d, e: 0.0, f: 0.0 },
            [g, a, b, c, d, e, f] => Self::Parametric { g, a, b, c, d, e, f },
            _ => return None,
        })
    }

    /// The value at `x`, which is held to 0–1 first. Not clamped; may be no number where a profile is nonsense.
    pub(super) fn at(&self, x: f64) -> f64 {
        let x = x.clamp(0.0, 1.0);
        match self {
            Self::Sampled(samples) => f64::from(between(samples, x as f32)),
            Self::Gamma(gamma) => libm::pow(x, *gamma),
            Self::Parametric { g, a, b, c, d, e, f } => {
                if x >= *d {
                    libm::pow((a * x + b).max(0.0), *g) + e
                } else {
                    c * x + f
                }
            }
        }
    }

    /// Samples of the curve, for the inner loop.
    ///
    /// 4,097 of them: a gamma of 2.4 drawn with straight lines is then wrong by 1e-7 at most.
    pub(super) fn sampled(&self) -> Vec<f32> {
        const STEPS: u32 = 4096;
        match self {
            Self::Sampled(samples) => samples.clone(),
            _ => (0..=STEPS).map(|step| self.at(f64::from(step) / f64::from(STEPS)) as f32).collect(),
        }
    }
}

/// The value of even samples over 0–1 at `x`, with straight lines between.
pub(super) fn between(samples: &[f32], x: f32) -> f32 {
    let last = samples.len() - 1;
    let position = x.clamp(0.0, 1.0) * last as f32;
    let below = (position as usize).min(last);
    let above = (below + 1).min(last);
    samples[below] + (samples[above] - samples[below]) * (position - below as f32)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The parameters of sRGB in its own terms (IEC 61966-2-1) as parametricCurveType 3.
    #[test]
    fn the_parametric_form_of_srgb_is_srgb() {
        let parameters = vec![2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045];
        let curve = Curve::new(&ToneReprCurve::Parametric(parameters)).unwrap();
        for step in 0..=100 {
            let x = f64::from(step) / 100.0;
            let expected = crate::lightness::srgb_decode(x);
            assert!((curve.at(x) - expected).abs() < 1e-7, "{x}");
        }
    }

    #[test]
    fn every_form_is_read() {
        let of = |parameters: &[f32]| Curve::new(&ToneReprCurve::Parametric(parameters.to_vec()));
        assert_eq!(of(&[2.0]), Some(Curve::Gamma(2.0)));
        assert!((of(&[2.0, 0.5, 0.5]).unwrap().at(1.0) - 1.0).abs() < 1e-12);
        assert!((of(&[2.0, 0.5, 0.0, 0.25]).unwrap().at(1.0) - 0.5).abs() < 1e-12);
        assert!((of(&[1.0, 1.0, 0.0, 0.5, 0.5, 0.0, 0.125]).unwrap().at(0.25) - 0.25).abs() < 1e-12);
        assert_eq!(of(&[1.0, 2.0]), None);
        assert_eq!(of(&[f32::NAN]), None);
        let lut = |samples: &[u16]| Curve::new(&ToneReprCurve::Lut(samples.to_vec())).unwrap();
        assert_eq!(lut(&[]).at(0.3), 0.3);
        assert_eq!(lut(&[512]).at(0.5), 0.25);
        assert!((lut(&[0, 65_535]).at(0.3) - 0.3).abs() < 1e-7);
        assert!((lut(&[0, 0, 65_535]).at(0.75) - 0.5).abs() < 1e-7);
    }
}
