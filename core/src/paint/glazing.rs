//! One wash over another that has dried: a layer of paint over a ground, by Kubelka and Munk.

use super::optics::BLACKEST;
use super::{Layer, Wash, WashColour, moved, seen};

/// How much of what lies under it a paint hides. A colour on white paper doesn't tell: the painter does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Covering {
    /// Lets the ground through: most stains and lakes.
    Transparent,
    /// Body colour: whites, cadmiums, earths laid thickly.
    Opaque,
}

/// Scattering of a transparent wash, times thickness: the median S of the transparent pigments in the table of Curtis
/// et al. 1997 (*Computer-Generated Watercolor*, SIGGRAPH, pp. 421-430: rose, Hooker's green, umber, brilliant orange,
/// phthalo green, ultramarine) at thickness 1.
const TRANSPARENT: f64 = 0.01;

/// The same of an opaque wash: the median of the opaque ones there (Indian red, the cadmiums, cerulean, hansa yellow).
const OPAQUE: f64 = 0.38;

/// Least and most scattering of one paint, transparent and opaque: means over the three bands of each pigment of that
/// table. A colour on white paper tells nothing of it, so that a glaze is known no better than between these.
const SPREAD: [(f64, f64); 2] = [(0.007, 0.061), (0.24, 0.62)];

impl Wash {
    /// L* that this wash may have over `ground`, from its darkest to its lightest, as colours: by how well paints cover
    /// that are as transparent, or as opaque, as the painter says; by all of them where she does not.
    #[must_use]
    pub fn glaze_span(&self, ground: &Self, paper: &Self, covering: Option<Covering>) -> [WashColour; 2] {
        let [transparent, opaque] = SPREAD;
        let (least, most) = match covering {
            Some(Covering::Transparent) => transparent,
            Some(Covering::Opaque) => opaque,
            None => (transparent.0, opaque.1),
        };
        let mut ends = [least, most].map(|scattering| self.over(ground, paper, scattering));
        ends.sort_by(|a, b| a.lightness.total_cmp(&b.lightness));
        ends
    }

    /// This wash laid over `ground`, which has dried; both were measured on `paper`.
    ///
    /// Which lies on top matters as far as the upper one covers; two transparent ones look nearly the same either way.
    #[must_use]
    pub fn glazed(&self, ground: &Self, paper: &Self, covering: Covering) -> WashColour {
        let scattering = match covering {
            Covering::Transparent => TRANSPARENT,
            Covering::Opaque => OPAQUE,
        };
        self.over(ground, paper, scattering)
    }

    fn over(&self, ground: &Self, paper: &Self, scattering: f64) -> WashColour {
        let shown = std::array::from_fn(|band| {
            let (own, under) = (self.inner[band], ground.inner[band]);
            // Two darks let less light out than any paint was seen to: what the surface throws back is still there.
            Layer::seen(own, scattering, paper.inner[band]).over(under).max(own.min(under).min(BLACKEST))
        });
        WashColour::of(moved(seen(&shown), ground.off))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;

    /// A tenth of what an eye can tell, in L*, a* or b*.
    const SAME: f64 = 0.1;

    fn paper() -> Wash {
        Wash::from_srgb([243, 240, 235])
    }

    /// One dark over another is dark, and no darker than paint gets: black measured L* 9.5 (Chen et al. 2019).
    #[test]
    fn a_dark_over_a_dark_is_a_dark() {
        let darks =
            [[50, 47, 160], [81, 59, 56], [20, 20, 20], [0, 60, 90], [28, 26, 24]].map(Wash::from_srgb);
        for (one, other) in darks.iter().flat_map(|one| darks.iter().map(move |other| (one, other))) {
            for covering in [Covering::Transparent, Covering::Opaque] {
                let over = lightness(one.glazed(other, &paper(), covering));
                let darker = one.colour().lightness.min(other.colour().lightness);
                assert!((darker.min(18.0) - 1.0..40.0).contains(&over), "{over} {darker}");
            }
        }
    }

    fn lightness(colour: WashColour) -> f64 {
        colour.lightness
    }

    /// On bare paper a glaze is the wash that was measured there.
    #[test]
    fn over_paper_a_wash_looks_as_it_was_measured() {
        for srgb in [[191, 55, 53], [249, 229, 0], [44, 82, 185], [88, 63, 53], [30, 28, 33]] {
            for covering in [Covering::Transparent, Covering::Opaque] {
                let wash = Wash::from_srgb(srgb);
                let glazed = wash.glazed(&paper(), &paper(), covering);
                let off = (glazed.lightness - wash.colour().lightness).abs()
                    + (glazed.chroma - wash.colour().chroma).abs();
                assert!(off < SAME, "{srgb:?} {covering:?}: {glazed:?}");
            }
        }
    }

    /// Common practice: a transparent glaze never lightens what it lies on, and its order hardly matters.
    #[test]
    fn transparent_glazes_darken_and_may_change_places() {
        let mut random = Random::new(11);
        for _ in 0..50 {
            let mut wash = || Wash::from_srgb(std::array::from_fn(|_| random.within((20.0, 235.0)) as u8));
            let (one, other) = (wash(), wash());
            let over = one.glazed(&other, &paper(), Covering::Transparent);
            let under = other.glazed(&one, &paper(), Covering::Transparent);
            let darker = lightness(one.colour()).min(lightness(other.colour()));
            // What little it scatters may show on a ground nearly black.
            assert!(lightness(over) < darker + 5.0, "{:?} {:?}: {over:?}", one.colour(), other.colour());
            assert!((lightness(over) - lightness(under)).abs() < 8.0, "{over:?} {under:?}");
        }
    }

    /// Common practice: body yellow lightens a dark ground, a transparent one doesn't; yellow over blue makes green.
    #[test]
    fn an_opaque_glaze_covers() {
        // A ground not so dark that all of its light is the surface's own: a trace of scattering would show there.
        let (yellow, dark, blue) =
            (Wash::from_srgb([249, 229, 0]), Wash::from_srgb([50, 50, 70]), Wash::from_srgb([90, 150, 215]));
        let ground = lightness(dark.colour());
        assert!(lightness(yellow.glazed(&dark, &paper(), Covering::Opaque)) > ground + 10.0);
        assert!(lightness(yellow.glazed(&dark, &paper(), Covering::Transparent)) < ground + 5.0);
        let green = yellow.glazed(&blue, &paper(), Covering::Transparent);
        let hue = green.hue.expect("a strong colour has a hue");
        assert!((100.0..180.0).contains(&hue), "{green:?}");
    }

    /// An opaque yellow over a dark blue: no single number is known, and what is told holds both models of it.
    #[test]
    fn what_is_not_said_to_cover_may_cover_or_not() {
        let (yellow, blue) = (Wash::from_srgb([249, 200, 30]), Wash::from_srgb([40, 50, 110]));
        let span = |covering| yellow.glaze_span(&blue, &paper(), covering).map(lightness);
        let [dark, light] = span(None);
        assert!(light - dark > 10.0, "{dark} {light}");
        for covering in [Covering::Transparent, Covering::Opaque] {
            let one = lightness(yellow.glazed(&blue, &paper(), covering));
            assert!((dark..=light).contains(&one), "{covering:?}: {one}, {dark} to {light}");
            let [least, most] = span(Some(covering));
            assert!(dark <= least && least <= one && one <= most && most <= light, "{covering:?}");
        }
    }
}
