//! How a spot will look rather than measure: advisories, never corrections.

use super::Spot;
use crate::Photo;
use palette::Xyz;
use palette::cam16::{BakedParameters, Cam16, Parameters, StaticWp};
use palette::white_point::D65;

/// How a spot will look rather than measure, in L*.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Look {
    /// A vivid colour looks lighter than it measures: by the least and the most that two published models give.
    /// `None` where both stay under 3.
    ///
    /// Fairchild & Pirrotta 1991 and High, Green & Nussbaum 2023 (doi 10.1002/col.22839).
    pub lighter_by: Option<(f64, f64)>,
    /// Neighbours push it the other way; `None` where they hardly do.
    pub pushed: Option<Pushed>,
}

/// The push of a spot's surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pushed {
    /// L* of the ring around the spot.
    pub surroundings: f64,
    /// By how much lighter (above 0) or darker it looks there than on middle grey, in CIECAM16's lightness J
    /// (CIE 248:2022).
    pub by: f64,
}

/// Smaller shifts are under what an untrained eye sees (2 to 3.5 ΔE*ab).
const WORTH_TELLING: f64 = 3.0;

/// A ring that differs less in L* than this is the same shape going on, and pushes nothing: about two tones that lie
/// side by side in a scale of nine.
const OTHER_TONE: f64 = 10.0;

/// Luminance factor of the middle grey that pushes are measured against: CIE 248:2022's usual background.
const MIDDLE_GREY: f64 = 0.2;

/// Luminance of the adapting field in cd/m²: a fifth of a white at 500 lx, ISO 3664's light for appraisal.
const ADAPTING_LUMINANCE: f64 = 500.0 / std::f64::consts::PI / 5.0;

/// The ring that counts as surroundings, in radii of the spot.
const RING: (f64, f64) = (1.25, 3.0);

impl Look {
    pub(super) fn of(photo: &Photo, spot: Spot, lch: (f64, f64, f64), y: f64) -> Self {
        let (one, other) = (fairchild_pirrotta(lch), high_green_nussbaum(lch));
        let lighter_by = (one.min(other) >= WORTH_TELLING).then_some((one.min(other), one.max(other)));
        let pushed = surroundings(photo, spot).and_then(|ring| {
            let surroundings = crate::lightness_from_y(ring);
            let by = appearance(y, ring) - appearance(y, MIDDLE_GREY);
            let is_told = by.abs() >= WORTH_TELLING && (surroundings - lch.0).abs() >= OTHER_TONE;
            is_told.then_some(Pushed { surroundings, by })
        });
        Self { lighter_by, pushed }
    }
}

/// L** - L* of Fairchild & Pirrotta, "Predicting the lightness of chromatic object colors using CIELAB" (1991).
fn fairchild_pirrotta((lightness, chroma, hue): (f64, f64, f64)) -> f64 {
    let off_yellow = libm::sin(((hue - 90.0) / 2.0).to_radians()).abs();
    (2.5 - 0.025 * lightness) * (0.116 * off_yellow + 0.085) * chroma
}

/// The increment of High, Green & Nussbaum (2023).
fn high_green_nussbaum((_, chroma, hue): (f64, f64, f64)) -> f64 {
    let off_yellow = libm::sin(((hue - 90.0) / 2.0).to_radians()).abs();
    let red =
        if hue <= 90.0 || hue >= 270.0 { 0.1307 * libm::cos(hue.to_radians()).abs() + 0.0060 } else { 0.0 };
    (0.1644 * off_yellow + 0.0603 + red) * chroma
}

/// Lightness J of a grey of luminance `y` on a background of luminance `background`, both relative to the white.
fn appearance(y: f64, background: f64) -> f64 {
    let mut parameters = Parameters::default_static_wp(ADAPTING_LUMINANCE);
    parameters.background_luminance = background;
    let parameters: BakedParameters<StaticWp<D65>, f64> = parameters.into();
    let white: Xyz<D65, f64> = Xyz::new(0.950_47, 1.0, 1.088_83);
    Cam16::from_xyz(white * y, parameters).lightness
}

/// Mean Y of a ring around the spot; `None` where less than half of it lies in the picture.
fn surroundings(photo: &Photo, spot: Spot) -> Option<f64> {
    let disc = |radii: f64| {
        let outer = Spot { radius: spot.radius * radii, ..spot };
        let missing = photo.missing();
        let (mut sum, mut pixels) = (0u64, 0usize);
        for (row, columns) in outer.rows(photo.size()) {
            if missing.is_some_and(|missing| !missing.columns(row).is_empty()) {
                continue;
            }
            let codes = &photo.tonal_map().row(row)[columns.start as usize..columns.end as usize];
            sum += codes.iter().map(|&code| u64::from(code)).sum::<u64>();
            pixels += codes.len();
        }
        (sum, pixels)
    };
    let (inner, outer) = (disc(RING.0), disc(RING.1));
    let pixels = outer.1 - inner.1;
    let whole = std::f64::consts::PI * spot.radius * spot.radius * (RING.1 * RING.1 - RING.0 * RING.0);
    (pixels as f64 > whole / 2.0).then(|| (outer.0 - inner.0) as f64 / pixels as f64 / 65_535.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Measured paints (L*, C*, h) and what each model adds, worked with colour-science 0.4.7's CIELAB and the papers'
    /// equations by hand, to within what rounding L*, C* and h to whole numbers moves: a cadmium red, a lemon yellow, a cobalt blue.
    #[test]
    fn vivid_paints_look_lighter_as_published() {
        for (lch, older, newer) in [
            ((44.0, 63.0, 32.0), 12.4, 16.3),
            ((90.0, 90.0, 97.0), 2.1, 6.3),
            ((38.0, 63.0, 292.0), 19.4, 17.4),
        ] {
            assert!((fairchild_pirrotta(lch) - older).abs() < 0.2, "{lch:?}: {}", fairchild_pirrotta(lch));
            assert!((high_green_nussbaum(lch) - newer).abs() < 0.2, "{lch:?}: {}", high_green_nussbaum(lch));
        }
    }

    /// colour-science 0.4.7, `XYZ_to_CIECAM16` under D65, L_A 31.83, average surround, printed to two decimals.
    #[test]
    fn appearance_agrees_with_colour_science() {
        for (y, background, lightness) in CAM {
            assert!(
                (appearance(y, background) - lightness).abs() < 0.05,
                "{y} on {background}: {}",
                appearance(y, background)
            );
        }
    }

    const CAM: [(f64, f64, f64); 5] =
        [(0.2, 0.2, 41.45), (0.2, 0.8, 33.79), (0.2, 0.02, 47.67), (0.5, 0.05, 71.61), (0.05, 0.6, 14.57)];
}
