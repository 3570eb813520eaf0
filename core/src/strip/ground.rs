//! Bare paper, as it would be everywhere: the light that falls on it, and what cockling does to that.

use super::Small;
use super::cast::Cast;
use super::sheet::Sheet;

/// Bare paper.
pub(super) struct Ground {
    pub(super) light: Cast,
    /// Which pixels are paper, and how it is off the light, also where it is hidden.
    sheet: Sheet,
}

impl Ground {
    /// None where there is no paper to speak of.
    pub(super) fn of(small: &Small) -> Option<Self> {
        let seen = Cast::seen(small)?;
        Some(Self { sheet: Sheet::of(small, &seen.logs, seen.paper, &seen.light), light: seen.light })
    }

    /// Linear light of paper at a place.
    pub(super) fn at(&self, x: f64, y: f64) -> [f64; 3] {
        let (light, cockled) = (self.light.logs(x, y), self.sheet.at(x, y));
        [0, 1, 2].map(|channel| libm::exp(light[channel] + cockled[channel]))
    }

    /// Whether a pixel is surely paper.
    pub(super) fn is_paper(&self, index: usize) -> bool {
        self.sheet.is_paper(index)
    }
}
