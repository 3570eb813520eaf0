//! Two snapshots against each other: what changed in the shares of the bands, and at the pins.

use super::{Seen, SeenPin, Studio, StudioError};
use crate::Verdict;
use libm::hypot;

/// What changed from one snapshot to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Changes {
    /// Whether they are of two photos: then nothing but their pins' names and letters says what belongs together.
    pub two_photos: bool,
    /// For each band, lightest first: its share in the second less that in the first. None where their bands differ, so
    /// that shares say nothing of each other.
    pub shares: Option<Vec<f64>>,
    /// Pins that both have.
    pub pins: Vec<PinChange>,
    /// Letters of pins that only the first has, and only the second.
    pub alone: (Vec<String>, Vec<String>),
}

/// What changed at a pin.
#[derive(Debug, Clone, PartialEq)]
pub struct PinChange {
    /// The pin in each.
    pub pins: (SeenPin, SeenPin),
    /// L* of the second less L* of the first.
    pub lightness: f64,
    /// How far that may be from the truth: half of its 90 % interval, as if both doubted by themselves. None where in
    /// either no light was told.
    pub plus_minus: Option<f64>,
    /// Half of its 95 % interval, as far as it is repeatable.
    pub repeatable: f64,
    /// In words.
    pub verdict: Verdict,
}

impl Studio {
    /// What changed from one snapshot to another.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where one of them is, and others.
    pub fn changes(&self, first: i64, second: i64) -> Result<Changes, StudioError> {
        let (first, second) = (self.snapshot(first)?, self.snapshot(second)?);
        let two_photos = first.photo != second.photo;
        Ok(Changes { two_photos, ..Changes::between(&first.seen, &second.seen) })
    }
}

impl Changes {
    /// From `first` to `second`, of one photo. Pins are the same where their names are, or, without names, their letters.
    fn between(first: &Seen, second: &Seen) -> Self {
        let with = |pin: &SeenPin| second.pins.iter().find(|other| is_same(pin, other));
        let pins: Vec<PinChange> =
            first.pins.iter().filter_map(|pin| Some(PinChange::of(pin, with(pin)?))).collect();
        let alone = |seen: &Seen, side: fn(&PinChange) -> &SeenPin| {
            let is_alone = |pin: &&SeenPin| !pins.iter().any(|change| side(change).letter == pin.letter);
            seen.pins.iter().filter(is_alone).map(|pin| pin.letter.clone()).collect()
        };
        let shares = (first.edges == second.edges)
            .then(|| first.shares.iter().zip(&second.shares).map(|(before, after)| after - before).collect());
        Self {
            two_photos: false,
            shares,
            alone: (alone(first, |it| &it.pins.0), alone(second, |it| &it.pins.1)),
            pins,
        }
    }
}

impl PinChange {
    fn of(first: &SeenPin, second: &SeenPin) -> Self {
        let lightness = second.lightness - first.lightness;
        let repeatable = hypot(first.repeatable, second.repeatable);
        // The very same pixels of the same photo: however rough they are, nothing changed.
        let is_same = lightness == 0.0 && first.spot == second.spot;
        Self {
            lightness,
            plus_minus: first.plus_minus.zip(second.plus_minus).map(|(a, b)| hypot(a, b)),
            repeatable,
            verdict: if is_same { Verdict::SameTone } else { Verdict::of(lightness, repeatable) },
            pins: (first.clone(), second.clone()),
        }
    }
}

fn is_same(first: &SeenPin, second: &SeenPin) -> bool {
    let (a, b) = (first.name.trim().to_lowercase(), second.name.trim().to_lowercase());
    if a.is_empty() && b.is_empty() { first.letter == second.letter } else { a == b }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::{SeenBands, SeenSpot};
    use crate::{Bands, Step};

    fn pin(letter: &str, name: &str, lightness: f64, plus_minus: Option<f64>) -> SeenPin {
        SeenPin {
            letter: letter.to_owned(),
            name: name.to_owned(),
            spot: SeenSpot(1.0, 1.0, 3.0),
            lightness,
            plus_minus,
            repeatable: 0.3,
            band: 1,
            colour: (0.0, None),
            against: String::new(),
            spread: None,
            warnings: Vec::new(),
        }
    }

    fn seen(shares: [f64; 2], pins: Vec<SeenPin>) -> Seen {
        let bands = Bands::even(2).unwrap();
        Seen { pins, ..Seen::plain((40, 30), 0, (SeenBands::Even, &bands), shares.to_vec()) }
    }

    #[test]
    fn a_wash_laid_over_the_hull_shows_in_shares_and_at_its_pin() {
        let first = seen([0.6, 0.4], vec![pin("A", "Hull", 62.0, Some(3.0)), pin("B", "", 90.0, None)]);
        let second = seen([0.45, 0.55], vec![pin("C", "hull ", 44.0, Some(4.0)), pin("B", "", 90.5, None)]);
        let changes = Changes::between(&first, &second);
        let shares = changes.shares.unwrap();
        assert!((shares[0] + 0.15).abs() < 1e-12 && (shares[1] - 0.15).abs() < 1e-12);
        let [hull, mast] = changes.pins.as_slice() else { panic!("two pins are the same") };
        assert_eq!((hull.lightness, hull.plus_minus), (-18.0, Some(5.0)));
        assert_eq!(hull.verdict, Verdict::Darker(Step::Clear));
        assert_eq!((mast.verdict, mast.plus_minus), (Verdict::SameTone, None));
        assert_eq!(changes.alone, (vec![], vec![]));
    }

    #[test]
    fn pins_that_only_one_has_are_told_and_other_bands_are_not_compared() {
        let first = seen([0.6, 0.4], vec![pin("A", "Hull", 62.0, None), pin("B", "", 80.0, None)]);
        let mut second = seen([0.5, 0.5], vec![pin("A", "Mast", 62.0, None), pin("C", "", 80.0, None)]);
        second.edges = vec![40.0];
        let changes = Changes::between(&first, &second);
        assert_eq!((changes.shares, changes.pins.len()), (None, 0));
        assert_eq!(
            changes.alone,
            (vec!["A".to_owned(), "B".to_owned()], vec!["A".to_owned(), "C".to_owned()])
        );
    }

    #[test]
    fn two_photos_are_told_from_one() {
        use crate::studio::{Moment, SessionAbout};
        use std::time::UNIX_EPOCH;
        let folder = tempfile::TempDir::new().unwrap();
        let mut studio = Studio::open(folder.path(), UNIX_EPOCH).unwrap();
        let session = studio.begin_session(&SessionAbout::default(), Moment(0)).unwrap();
        let mut kept = |bytes: &[u8]| {
            let hash = studio.keep_photo(session, "a.png", bytes, Moment(0)).unwrap();
            let seen = seen([0.6, 0.4], vec![pin("A", "", 62.0, None)]);
            studio.keep_snapshot(session, &hash, ("", ""), &seen, Moment(0)).unwrap()
        };
        let (quay, quay_later, boat) = (kept(b"quay"), kept(b"quay"), kept(b"boat"));
        assert!(!studio.changes(quay, quay_later).unwrap().two_photos);
        assert!(studio.changes(quay, boat).unwrap().two_photos);
    }
}
