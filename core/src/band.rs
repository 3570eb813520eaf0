//! Bands: a few ranges of tone, numbered from the lightest.

mod fit;

use crate::lightness::LIGHTNESS_FROM_CODE;
use crate::{Histogram, y_from_lightness};

/// Fewest bands: light and dark.
pub const MIN_BANDS: usize = 2;

/// Most bands: more can't be told apart in a study, nor painted.
pub const MAX_BANDS: usize = 12;

/// Two edges closer than this leave a band that no brush can hit; just noticeable is about 1 L*.
const NARROWEST: f32 = 1.0;

/// A division of L* 0 to 100 into bands; band 1 is the lightest.
///
/// An edge belongs to the lighter band.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    /// L* of the edges between bands, from light to dark: one fewer than there are bands.
    edges: Vec<f32>,
}

/// Why a division was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BandError {
    /// Too few or too many.
    #[error("there can be {MIN_BANDS} to {MAX_BANDS} bands, not {0}")]
    Count(usize),
    /// Edges out of order, outside 0 to 100, or no numbers.
    #[error("edges must fall from light to dark, between 100 and 0, at least {NARROWEST} apart")]
    Edges,
    /// Nothing to fit to.
    #[error("there are no pixels to fit bands to")]
    NothingToFit,
}

impl Bands {
    /// `count` bands of equal width in L*.
    ///
    /// # Errors
    /// [`BandError::Count`] outside [`MIN_BANDS`] to [`MAX_BANDS`].
    pub fn even(count: usize) -> Result<Self, BandError> {
        check_count(count)?;
        Ok(Self { edges: (1..count).map(|edge| 100.0 - 100.0 * edge as f32 / count as f32).collect() })
    }

    /// Bands with `edges` in L*, from light to dark.
    ///
    /// # Errors
    /// [`BandError::Count`] or [`BandError::Edges`].
    pub fn by_hand(edges: Vec<f32>) -> Result<Self, BandError> {
        check_count(edges.len() + 1)?;
        let falls = edges.windows(2).all(|pair| pair[0] - pair[1] >= NARROWEST);
        let inside = edges.iter().all(|edge| (NARROWEST..=100.0 - NARROWEST).contains(edge));
        if falls && inside { Ok(Self { edges }) } else { Err(BandError::Edges) }
    }

    /// The bands whose means stand for the counted pixels with the least squared error in L*: exact, over every code.
    ///
    /// There are fewer than `count` where the picture has fewer tones, or where two would lie too close to tell apart.
    /// Edges stand midway between the means of their neighbours.
    ///
    /// # Errors
    /// [`BandError::Count`], or [`BandError::NothingToFit`].
    pub fn fitted(count: usize, histogram: &Histogram) -> Result<Self, BandError> {
        check_count(count)?;
        let means = fit::least_squares(count, histogram);
        if means.is_empty() {
            return Err(BandError::NothingToFit);
        }
        let mut edges: Vec<f32> = means.windows(2).map(|pair| ((pair[0] + pair[1]) / 2.0) as f32).collect();
        edges.retain(|edge| (NARROWEST..=100.0 - NARROWEST).contains(edge));
        edges.dedup_by(|lower, upper| *upper - *lower < NARROWEST);
        if edges.is_empty() {
            return Self::even(MIN_BANDS);
        }
        Ok(Self { edges })
    }

    /// How many.
    #[must_use]
    pub fn count(&self) -> usize {
        self.edges.len() + 1
    }

    /// L* of the edges, from light to dark.
    #[must_use]
    pub fn edges(&self) -> &[f32] {
        &self.edges
    }

    /// The band of a lightness, 1 = lightest.
    #[must_use]
    pub fn band_of(&self, lightness: f32) -> usize {
        1 + self.edges.iter().filter(|&&edge| lightness < edge).count()
    }

    /// L* of the lighter and the darker end of `band`.
    ///
    /// # Panics
    /// If there is no such band.
    #[must_use]
    pub fn ends(&self, band: usize) -> (f32, f32) {
        assert!((1..=self.count()).contains(&band), "band {band} of {}", self.count());
        let lighter = if band == 1 { 100.0 } else { self.edges[band - 2] };
        let darker = self.edges.get(band - 1).copied().unwrap_or(0.0);
        (lighter, darker)
    }

    /// L* of the middle of `band`: the tone that it is shown by, and that paints are asked for.
    ///
    /// # Panics
    /// If there is no such band.
    #[must_use]
    pub fn middle(&self, band: usize) -> f64 {
        let (lighter, darker) = self.ends(band);
        (f64::from(lighter) + f64::from(darker)) / 2.0
    }

    /// How far a lightness lies from the nearest edge, in L*, and the band beyond that edge.
    #[must_use]
    pub fn nearest_edge(&self, lightness: f32) -> (f32, usize) {
        let band = self.band_of(lightness);
        let (lighter, darker) = self.ends(band);
        let up = if band == 1 { f32::INFINITY } else { lighter - lightness };
        let down = if band == self.count() { f32::INFINITY } else { lightness - darker };
        if up < down { (up, band - 1) } else { (down, band + 1) }
    }

    /// The band of each of the 65,536 codes of Y.
    #[must_use]
    pub fn table(&self) -> Vec<u8> {
        LIGHTNESS_FROM_CODE.iter().map(|&lightness| self.band_of(lightness) as u8).collect()
    }

    /// The 8-bit sRGB grey that shows each band: the tone in its middle.
    #[must_use]
    pub fn greys(&self) -> Vec<u8> {
        (1..=self.count())
            .map(|band| crate::lightness::grey_from_y(y_from_lightness(self.middle(band))))
            .collect()
    }
}

fn check_count(count: usize) -> Result<(), BandError> {
    if (MIN_BANDS..=MAX_BANDS).contains(&count) { Ok(()) } else { Err(BandError::Count(count)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn band_one_is_the_lightest_and_an_edge_is_the_lighter_bands() {
        let bands = Bands::even(5).unwrap();
        assert_eq!(bands.edges(), [80.0, 60.0, 40.0, 20.0]);
        assert_eq!(
            [100.0, 80.0, 79.99, 50.0, 19.9, 0.0].map(|lightness| bands.band_of(lightness)),
            [1, 1, 2, 3, 5, 5]
        );
        assert_eq!(bands.ends(5), (20.0, 0.0));
    }

    #[test]
    fn the_nearest_edge_is_told_with_the_band_beyond_it() {
        let bands = Bands::even(5).unwrap();
        assert_eq!(bands.nearest_edge(62.0), (2.0, 3));
        assert_eq!(bands.nearest_edge(77.0), (3.0, 1));
        assert_eq!(bands.nearest_edge(99.0), (19.0, 2));
        assert_eq!(bands.nearest_edge(1.0), (19.0, 4));
    }

    #[test]
    fn a_division_out_of_order_is_refused() {
        for edges in [vec![20.0, 40.0], vec![40.0, 39.5], vec![f32::NAN], vec![100.0], vec![0.0]] {
            assert_eq!(Bands::by_hand(edges.clone()), Err(BandError::Edges), "{edges:?}");
        }
        assert_eq!(Bands::by_hand(vec![]), Err(BandError::Count(1)));
        assert_eq!(Bands::even(13), Err(BandError::Count(13)));
    }

    /// IEC 61966-2-1 and CIE 1976: L* 90, 70, 50, 30, 10 are these greys (colour-science 0.4.7, rounded).
    #[test]
    fn greys_show_the_middle_of_each_band() {
        assert_eq!(Bands::even(5).unwrap().greys(), [226, 171, 119, 71, 27]);
    }
}
