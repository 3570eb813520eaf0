//! Numbers of a snapshot's record: what no version writes is refused on the way in.

use super::{Seen, SeenPin, SeenSpot, StudioError};
use crate::{MAX_BANDS, WORKING_SIDE};
use std::ops::RangeInclusive;

/// L* and its ±, as far as an older version may have kept by mistake. Whether a reading may be shown is decided where it
/// is shown: a backup is not refused for one.
const READ: RangeInclusive<f64> = -1000.0..=1000.0;
const SPREAD: RangeInclusive<f64> = 0.0..=1000.0;

/// L* that a patch may be known by: a gloss reads lighter than white.
const KNOWN: RangeInclusive<f64> = 0.0..=110.0;

/// CIELAB's chroma of what any screen or paint shows, with room for wide gamuts.
const CHROMA: RangeInclusive<f64> = 0.0..=400.0;

/// Hue angles in degrees.
const HUE: RangeInclusive<f64> = -360.0..=360.0;

/// Shares add up to 1, but for rounding.
const SHARE: RangeInclusive<f64> = 0.0..=1.000_001;

impl Seen {
    /// Whether all its numbers can be meant.
    pub(in crate::studio) fn check(&self) -> Result<(), StudioError> {
        let side = 1..=WORKING_SIDE;
        let holds = [
            ("turn", self.quarters < 4),
            ("size", side.contains(&self.size.0) && side.contains(&self.size.1)),
            ("share", self.shares.len() <= MAX_BANDS && self.shares.iter().all(|it| SHARE.contains(it))),
            (
                "pin",
                self.pins.iter().all(SeenPin::is_in_range)
                    && self.unread.iter().all(|it| it.spot.is_in_range()),
            ),
            (
                "patch",
                self.light.patches.iter().all(|it| it.spot.is_in_range() && KNOWN.contains(&it.lightness)),
            ),
        ];
        if let Some((what, _)) = holds.iter().find(|(_, holds)| !holds) {
            return Err(StudioError::Odd(format!("a {what} in it has a number that cannot be meant")));
        }
        self.division()?;
        self.counted()?;
        Ok(())
    }
}

impl SeenPin {
    fn is_in_range(&self) -> bool {
        let Self { spot, lightness, plus_minus, repeatable, band, colour: (chroma, hue), spread, .. } = self;
        spot.is_in_range()
            && READ.contains(lightness)
            && [plus_minus, &Some(*repeatable), spread].into_iter().flatten().all(|it| SPREAD.contains(it))
            && (1..=MAX_BANDS).contains(band)
            && CHROMA.contains(chroma)
            && hue.is_none_or(|hue| HUE.contains(&hue))
    }
}

impl SeenSpot {
    /// In the picture or about it, and no larger than that.
    fn is_in_range(&self) -> bool {
        let &Self(x, y, radius) = self;
        let side = f64::from(WORKING_SIDE);
        [x, y].iter().all(|at| (-side..=2.0 * side).contains(at)) && (0.0..=side).contains(&radius)
    }
}
