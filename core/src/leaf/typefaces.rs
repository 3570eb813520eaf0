//! The typeface of leaves, carried along so that they look the same everywhere, and how long words are in it.

use resvg::usvg::fontdb::Database;
use std::sync::{Arc, LazyLock};
use ttf_parser::Face;

/// The family's name.
pub(super) const FAMILY: &str = "DejaVu Sans";

static REGULAR: LazyLock<Face<'static>> = LazyLock::new(|| face(dejavu::sans::regular()));
static BOLD: LazyLock<Face<'static>> = LazyLock::new(|| face(dejavu::sans::bold()));

static DATABASE: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut database = Database::new();
    database.load_font_data(dejavu::sans::regular().to_vec());
    database.load_font_data(dejavu::sans::bold().to_vec());
    database.set_sans_serif_family(FAMILY);
    Arc::new(database)
});

/// How heavy letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Regular,
    Bold,
}

/// For resvg and krilla.
pub(super) fn database() -> Arc<Database> {
    Arc::clone(&DATABASE)
}

/// Letters that can be drawn: what the typeface lacks is left out, and line ends are spaces. The typeface has a glyph for
/// U+FFFF, which XML does not allow (XML 1.0, 2.2).
pub(super) fn drawable(text: &str) -> String {
    let known = |letter: char| {
        REGULAR.glyph_index(letter).is_some()
            && !letter.is_control()
            && !('\u{fffe}'..='\u{ffff}').contains(&letter)
    };
    let plain: String =
        text.chars().map(|it| if it.is_whitespace() { ' ' } else { it }).filter(|&it| known(it)).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Length of a line, without kerning, which shortens it by little.
pub(super) fn length(text: &str, size: f64, weight: Weight) -> f64 {
    let face = match weight {
        Weight::Regular => &*REGULAR,
        Weight::Bold => &*BOLD,
    };
    let advance = |letter: char| {
        face.glyph_index(letter)
            .and_then(|glyph| face.glyph_hor_advance(glyph))
            .unwrap_or(face.units_per_em())
    };
    let units: f64 = text.chars().map(|letter| f64::from(advance(letter))).sum();
    units * size / f64::from(face.units_per_em())
}

/// Breaks words into lines of at most `width`, and at most `most` of them: the last ends in an ellipsis where there is
/// more.
pub(super) fn lines(text: &str, width: f64, size: f64, weight: Weight, most: usize) -> Vec<String> {
    let fits = |line: &str| length(line, size, weight) <= width;
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in drawable(text).split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        // A word longer than a line is broken anywhere.
        for letter in word.chars() {
            if !line.is_empty() && !fits(&format!("{line}{letter}")) {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            while !last.is_empty() && !fits(&format!("{last}…")) {
                last.pop();
            }
            *last = format!("{}…", last.trim_end());
        }
    }
    lines
}

fn face(bytes: &'static [u8]) -> Face<'static> {
    match Face::parse(bytes, 0) {
        Ok(face) => face,
        Err(error) => unreachable!("the typeface is carried along, and whole: {error}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_there_is_room_and_no_word_is_lost() {
        for text in [
            "low water at the old quay, an hour before the turn of the tide",
            &"m".repeat(300),
            "מים נמוכים ליד הרציף הישן",
        ] {
            let broken = lines(text, 200.0, 20.0, Weight::Bold, 99);
            assert!(broken.iter().all(|line| length(line, 20.0, Weight::Bold) <= 200.0), "{broken:?}");
            let bare = |text: &str| text.chars().filter(|it| !it.is_whitespace()).collect::<String>();
            assert_eq!(bare(&broken.concat()), bare(text));
        }
    }

    #[test]
    fn what_is_too_long_ends_in_an_ellipsis_within_the_line() {
        let cut = lines(&"low water ".repeat(30), 200.0, 20.0, Weight::Regular, 2);
        assert_eq!(cut.len(), 2);
        assert!(cut[1].ends_with('…') && length(&cut[1], 20.0, Weight::Regular) <= 200.0, "{cut:?}");
    }

    #[test]
    fn what_the_typeface_lacks_is_left_out() {
        assert_eq!(drawable("ebb 水\n\u{1f30a} tide\u{7}\u{fffe}\u{ffff}"), "ebb tide");
    }
}
