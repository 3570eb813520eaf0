//! Lists of pigments as they stand on a paint, and how many a mixture holds.

use super::{Pigment, PigmentError, first, shown, trimmed, without_remarks};
use std::collections::BTreeSet;

/// Pigments read from a list such as "PB29, PV19 / PR122 (rose)".
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PigmentList {
    /// In the order of the list, each once.
    pub pigments: Vec<Pigment>,
    /// The parts that are no name, in their order, each with what to write.
    pub unread: Vec<PigmentError>,
}

/// How many pigments meet in a mixture of paints.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PigmentCount {
    /// Different ones among the paints that name theirs; forms of one pigment (PB15:1, PB15:3) are the same.
    pub distinct: usize,
    /// Paints that name none: whatever they hold is not in the count.
    pub unnamed: usize,
}

/// Pigments in a mixture above which the odds of mud rise (common practice).
pub const MANY_PIGMENTS: usize = 3;

/// Characters of a list: dozens of names with remarks.
const LONGEST_LIST: usize = 1000;

impl PigmentList {
    /// Of names between commas, semicolons, strokes, plus signs, "&", "and", line ends or spaces. What stands in
    /// brackets is a remark. A list above 1000 characters is not read at all.
    #[must_use]
    pub fn read(text: &str) -> Self {
        let mut list = Self::default();
        if text.chars().nth(LONGEST_LIST).is_some() {
            list.unread.push(PigmentError::Long(shown(text)));
            return list;
        }
        let bare = without_remarks(text);
        for part in bare.split([',', ';', '/', '+', '&', '|', '\n', '\r']) {
            list.read_part(part);
        }
        list
    }

    fn read_part(&mut self, part: &str) {
        let mut rest = trimmed(part);
        while !rest.is_empty() {
            match first(trimmed(rest.strip_prefix("and ").unwrap_or(rest))) {
                Ok((pigment, after)) => {
                    if !self.pigments.contains(&pigment) {
                        self.pigments.push(pigment);
                    }
                    rest = trimmed(after);
                }
                Err(error) => {
                    self.unread.push(error);
                    return;
                }
            }
        }
    }
}

impl PigmentCount {
    /// Of the pigments of each paint.
    #[must_use]
    pub fn of<'a>(paints: impl IntoIterator<Item = &'a [Pigment]>) -> Self {
        let mut distinct = BTreeSet::new();
        let mut unnamed = 0;
        for paint in paints {
            distinct.extend(paint.iter().map(|pigment| pigment.base()));
            unnamed += usize::from(paint.is_empty());
        }
        Self { distinct: distinct.len(), unnamed }
    }

    /// Whether it is more than three. With paints that name none, "no" is not sure.
    #[must_use]
    pub fn is_many(self) -> bool {
        self.distinct > MANY_PIGMENTS
    }

    /// In a sentence, where there is something to say: too many for a clean mixture, or not all of them named.
    #[must_use]
    pub fn says(self) -> Option<String> {
        let Self { distinct, unnamed } = self;
        let least = if unnamed > 0 { "At least " } else { "" };
        if self.is_many() {
            return Some(format!("{least}{distinct} pigments: more than three raise the odds of mud."));
        }
        let paints = if unnamed == 1 { "1 paint names" } else { &format!("{unnamed} paints name") };
        (unnamed > 0).then(|| format!("How many pigments meet is not known: {paints} none."))
    }
}
