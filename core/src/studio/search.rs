//! Finding by words, with SQLite's FTS5: LIKE knows upper and lower case in ASCII only, and no accents.

use super::sessions::{SESSIONS, session};
use super::snapshots::{SNAPSHOTS, snapshot};
use super::{Session, Snapshot, Studio, StudioError};

/// What was found.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Found {
    /// Sessions, the newest first.
    pub sessions: Vec<Session>,
    /// Snapshots, the newest first.
    pub snapshots: Vec<Snapshot>,
}

impl Studio {
    /// Sessions and snapshots in whose titles, places, days and notes every word of `words` begins a word, whatever
    /// its case and, in Latin letters, its accents. Nothing deleted is found, and nothing at all where there is no letter or digit to find.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn search(&self, words: &str) -> Result<Found, StudioError> {
        let wanted = wanted(words);
        if wanted.is_empty() {
            return Ok(Found::default());
        }
        let mut query = self.database.prepare_cached(&format!(
            "{SESSIONS} WHERE deleted IS NULL
             AND id IN (SELECT rowid FROM session_words WHERE session_words MATCH ?1) ORDER BY place DESC"
        ))?;
        let sessions = query.query_map([&wanted], session)?.collect::<Result<_, _>>()?;
        let mut query = self.database.prepare_cached(&format!(
            "{SNAPSHOTS} WHERE deleted IS NULL
             AND session IN (SELECT id FROM session WHERE deleted IS NULL)
             AND id IN (SELECT rowid FROM snapshot_words WHERE snapshot_words MATCH ?1) ORDER BY place DESC"
        ))?;
        let snapshots = query.query_and_then([&wanted], snapshot)?.collect::<Result<_, _>>()?;
        Ok(Found { sessions, snapshots })
    }
}

/// A query of FTS5 in which nothing of what was typed means anything but itself.
fn wanted(words: &str) -> String {
    words
        .split_whitespace()
        .filter(|word| word.chars().any(char::is_alphanumeric))
        .map(|word| format!("\"{}\" *", word.replace('"', "\"\"")))
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_typed_is_taken_for_a_command() {
        assert_eq!(wanted("low NOT \"water"), "\"low\" * \"NOT\" * \"\"\"water\" *");
        assert_eq!(wanted("  — \" * "), "");
    }
}
