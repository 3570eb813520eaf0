//! Models of a mixture's colour that core's was weighed against.

use palette::convert::IntoColorUnclamped;
use palette::white_point::D65;
use palette::{Lab, LinSrgb};
use tonefast_core::Reflectance;

/// Mixes two colours, as linear sRGB, by a share of the second.
pub(crate) type Model = fn([[f64; 3]; 2], f64) -> Lab<D65, f64>;

/// Simpler ones than core's, best first.
pub(crate) const SIMPLER: [(&str, Model); 8] = [
    ("thick layers, surface taken off, weighed by Y to .4", thick::<4>),
    ("thick layers, surface taken off, weighed by the root of the darkest band", |parents, share| {
        let spectra = parents.map(Reflectance::upsampled);
        let weights = spectra
            .each_ref()
            .map(|spectrum| spectrum.bands().iter().map(|&r| without_surface(r)).fold(1.0, f64::min).sqrt());
        by_band(&spectra, weighed(share, weights), |r| ks(without_surface(r)), |q| with_surface(from_ks(q)))
    }),
    ("thick layers, surface taken off", |parents, share| {
        let spectra = parents.map(Reflectance::upsampled);
        by_band(&spectra, share, |r| ks(without_surface(r)), |q| with_surface(from_ks(q)))
    }),
    ("thick layers: spectral K/S", |parents, share| {
        by_band(&parents.map(Reflectance::upsampled), share, ks, from_ks)
    }),
    ("three-channel K/S", |parents, share| by_channel(parents, share, ks, from_ks)),
    ("weighted geometric mean of linear RGB", |parents, share| by_channel(parents, share, f64::ln, f64::exp)),
    ("CIELAB midpoint", |parents, share| {
        let [one, other] = parents.map(lab);
        one + (other - one) * share
    }),
    ("linear RGB mean", |parents, share| {
        lab(std::array::from_fn(|at| (1.0 - share) * parents[0][at] + share * parents[1][at]))
    }),
];

/// Thick layers of paints that scatter as Y to the power of so many tenths.
pub(crate) fn thick<const TENTHS: u8>(parents: [[f64; 3]; 2], share: f64) -> Lab<D65, f64> {
    let spectra = parents.map(Reflectance::upsampled);
    let weights = spectra.each_ref().map(|spectrum| spectrum.luminance().powf(f64::from(TENTHS) / 10.0));
    by_band(&spectra, weighed(share, weights), |r| ks(without_surface(r)), |q| with_surface(from_ks(q)))
}

/// Share of the second where each counts by a weight.
fn weighed(share: f64, [one, other]: [f64; 2]) -> f64 {
    share * other / ((1.0 - share) * one + share * other)
}

/// CIELAB under D65 of linear sRGB.
pub(crate) fn lab([r, g, b]: [f64; 3]) -> Lab<D65, f64> {
    LinSrgb::new(r, g, b).into_color_unclamped()
}

/// Mixed band by band.
fn by_band(
    spectra: &[Reflectance; 2],
    share: f64,
    into: impl Fn(f64) -> f64,
    back: impl Fn(f64) -> f64,
) -> Lab<D65, f64> {
    let [first, second] = spectra.each_ref().map(Reflectance::bands);
    let mixed =
        std::array::from_fn(|band| back((1.0 - share) * into(first[band]) + share * into(second[band])));
    lab(Reflectance::measured(mixed).linear_srgb())
}

/// Mixed channel by channel, what lies outside sRGB clipped.
fn by_channel(
    parents: [[f64; 3]; 2],
    share: f64,
    into: impl Fn(f64) -> f64,
    back: impl Fn(f64) -> f64,
) -> Lab<D65, f64> {
    let [first, second] = parents.map(|rgb| rgb.map(|channel| channel.clamp(1e-3, 0.999)));
    lab(std::array::from_fn(|at| back((1.0 - share) * into(first[at]) + share * into(second[at]))))
}

/// K/S of a thick layer (Kubelka & Munk 1931).
fn ks(reflectance: f64) -> f64 {
    (1.0 - reflectance).powi(2) / (2.0 * reflectance)
}

fn from_ks(q: f64) -> f64 {
    1.0 / (1.0 + q + (q * q + 2.0 * q).sqrt())
}

/// Core's surface and floor: what stays inside when .0275 is thrown back outside.
fn without_surface(reflectance: f64) -> f64 {
    let above = reflectance - 0.0275;
    (0.5 * (above + (above * above + 0.008_f64.powi(2)).sqrt()) / 0.9725).min(1.0)
}

fn with_surface(inside: f64) -> f64 {
    let above = inside * 0.9725;
    above - 0.004_f64.powi(2) / above + 0.0275
}
