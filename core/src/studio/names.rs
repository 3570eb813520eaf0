//! Names of files that any system takes, from titles that hold anything.

use std::path::{Path, PathBuf};

/// Longest stem in bytes of UTF-8: file systems take 255 for a whole name; a number, an ending and the name under
/// which it is written first have room in the rest.
const LONGEST: usize = 120;

/// How many of one name there may be: more are no accident.
pub(super) const NAMESAKES: u32 = 10_000;

/// What Windows takes for devices, whatever the case and the ending (Microsoft, Naming Files, Paths, and Namespaces).
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "conin$", "conout$"];

/// A file's name without its ending, from a title: what no system's file may hold is a space, spaces are one, dots at
/// either end are gone, and what is too long is cut between characters. Emoji and all scripts stay; what turns the
/// direction of writing does not, since it makes a name read as another. Where nothing is left it is `otherwise`.
#[must_use]
pub fn file_stem(title: &str, otherwise: &str) -> String {
    let plain: String = title.chars().map(|it| if is_forbidden(it) { ' ' } else { it }).collect();
    let spaced = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut name = ends_cut(&spaced).to_owned();
    while name.len() > LONGEST {
        name.pop();
    }
    // What joins emoji joins nothing where it was cut.
    let name = ends_cut(name.trim_end_matches(['\u{200d}', '\u{fe0f}']));
    if name.is_empty() {
        otherwise.to_owned()
    } else if is_device(name) {
        format!("{name}_")
    } else {
        name.to_owned()
    }
}

/// The first of a name is as it was wanted, the others have their number.
pub(super) fn numbered(wanted: &Path, number: u32) -> PathBuf {
    if number == 1 {
        return wanted.to_owned();
    }
    let part = |part: Option<&std::ffi::OsStr>| part.unwrap_or_default().to_string_lossy().into_owned();
    let (stem, ending) = (part(wanted.file_stem()), part(wanted.extension()));
    wanted.with_file_name(format!("{stem} ({number}).{ending}"))
}

/// No hidden file, no folder above, and no end that Windows drops.
fn ends_cut(name: &str) -> &str {
    name.trim_matches(|it: char| it == '.' || it.is_whitespace())
}

fn is_forbidden(character: char) -> bool {
    character.is_control()
        || matches!(character, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|')
        || matches!(
            character,
            '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{061c}' | '\u{feff}' | '\u{2028}' | '\u{2029}'
        )
        || matches!(character, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn is_device(name: &str) -> bool {
    let first = name.split('.').next().unwrap_or_default().trim_end().to_lowercase();
    let port = |name: &str| {
        let mut digits = name.chars();
        matches!(digits.next(), Some('0'..='9' | '¹' | '²' | '³')) && digits.next().is_none()
    };
    DEVICES.contains(&first.as_str())
        || first.strip_prefix("com").or(first.strip_prefix("lpt")).is_some_and(port)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_title_makes_a_name() {
        for (title, name) in [
            ("Low water", "Low water"),
            ("  Low \t water\n", "Low water"),
            ("🌊 ebb 👩‍🎨", "🌊 ebb 👩‍🎨"),
            ("מים נמוכים", "מים נמוכים"),
            ("../../etc/passwd", "etc passwd"),
            ("..", "snapshot"),
            ("", "snapshot"),
            ("a/b\\c:d*e?f\"g<h>i|j", "a b c d e f g h i j"),
            (".hidden.", "hidden"),
            ("con", "con_"),
            ("NUL.txt", "NUL.txt_"),
            ("com1", "com1_"),
            ("Lpt²", "Lpt²_"),
            ("company", "company"),
            ("com10", "com10"),
            ("hull \u{202e}gnp.exe", "hull gnp.exe"),
            ("a\0b", "a b"),
        ] {
            assert_eq!(file_stem(title, "snapshot"), name, "{title:?}");
        }
    }

    #[test]
    fn a_long_title_is_cut_between_characters() {
        for long in ["w".repeat(300), "水".repeat(300), "👩‍🎨".repeat(300), "a ".repeat(300)] {
            let name = file_stem(&long, "snapshot");
            assert!((100..=LONGEST).contains(&name.len()), "{name}");
            assert!(long.starts_with(&name) && name == name.trim(), "{name}");
            assert!(!name.ends_with('\u{200d}'), "{name}");
        }
    }

    /// The machine's own file system takes each, with what is added to it.
    #[test]
    fn the_file_system_takes_them() {
        let folder = tempfile::TempDir::new().unwrap();
        for title in ["🌊".repeat(300), "水/".repeat(200), "x".repeat(300), "..".to_owned(), "a:b".to_owned()]
        {
            let path = folder.path().join(format!("{} (12).png", file_stem(&title, "snapshot")));
            std::fs::write(&path, b"").unwrap();
            assert_eq!(path.parent().unwrap(), folder.path());
        }
    }
}
