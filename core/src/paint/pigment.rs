//! Colour Index generic names of pigments, as painters write them.

mod list;
#[cfg(test)]
mod tests;

pub use list::{MANY_PIGMENTS, PigmentCount, PigmentList};

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// A pigment by its Colour Index generic name: usage and hue by letters, a serial number, and for some a form after a
/// colon, as in PB29, PBk9, NR4 and PB15:3 (Colour Index, Society of Dyers and Colourists and AATCC: classification
/// system and terminology).
///
/// Reads what painters write ("pb 29", "P.B.29", "Pigment Blue 29", "PB15.3", "PR 108 (cadmium red)") and shows it in
/// one way; what it shows reads as the same pigment. Ordered by its letters, number and form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Pigment {
    natural: bool,
    family: PigmentFamily,
    number: u16,
    form: Option<u8>,
}

/// The hue that a Colour Index name states: where its makers put the pigment, which a thin wash of it need not look
/// like. For words only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PigmentFamily {
    /// PBk, NBk.
    Black,
    /// PB, NB.
    Blue,
    /// PBr, NBr.
    Brown,
    /// PG, NG.
    Green,
    /// PM: flakes of metal.
    Metal,
    /// PO, NO.
    Orange,
    /// PR, NR.
    Red,
    /// PV, NV.
    Violet,
    /// PW, NW.
    White,
    /// PY, NY.
    Yellow,
}

/// Why a text is no Colour Index name, and what to write; each holds the text, cut to 40 characters.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PigmentError {
    /// Nothing, or a remark in brackets alone.
    #[error("no pigment is named here: write its Colour Index name, such as PB29")]
    Empty,
    /// Longer than any name with its remark, or any list of them.
    #[error("“{0}” is too long for a Colour Index name: write it alone, such as PB29")]
    Long(String),
    /// Letters that are not those of a usage and a hue.
    #[error("“{0}” doesn't begin like a Colour Index name: write P and the hue, as in PB29, PBk9 or NR4")]
    Letters(String),
    /// No number from 1 to 999 after the letters.
    #[error("“{0}” has no number from 1 to 999 after its letters: write it like PB29")]
    Number(String),
    /// What follows the colon is not one digit from 1 to 9.
    #[error("“{0}” has no digit from 1 to 9 after its colon: write it like PB15:3")]
    Form(String),
    /// More text after the name, not in brackets.
    #[error("“{0}” goes on after the name: write the name alone, such as PB29, and any remark in brackets")]
    Rest(String),
}

/// Characters of one name with its remark: far more than the longest name in words, "C.I. Pigment Orange 999:9".
const LONGEST_NAME: usize = 200;

/// Characters of a text that an error repeats.
const SHOWN: usize = 40;

impl Pigment {
    /// The hue of its name.
    #[must_use]
    pub fn family(self) -> PigmentFamily {
        self.family
    }

    /// Whether its name is one of the natural dyes and pigments (NR4), not one of the pigments (PR108).
    #[must_use]
    pub fn is_natural(self) -> bool {
        self.natural
    }

    /// The same without what follows the colon: PB15 for PB15:3. Names that differ there alone share their essential
    /// colourant; salt, crystal or extender differ.
    #[must_use]
    pub fn base(self) -> Self {
        Self { form: None, ..self }
    }
}

impl PigmentFamily {
    /// Letters in a name, the word of its long form, and what it is.
    const ALL: [(&'static str, &'static str, Self); 10] = [
        ("Bk", "black", Self::Black),
        ("B", "blue", Self::Blue),
        ("Br", "brown", Self::Brown),
        ("G", "green", Self::Green),
        ("M", "metal", Self::Metal),
        ("O", "orange", Self::Orange),
        ("R", "red", Self::Red),
        ("V", "violet", Self::Violet),
        ("W", "white", Self::White),
        ("Y", "yellow", Self::Yellow),
    ];

    /// In a word: "blue".
    #[must_use]
    pub fn word(self) -> &'static str {
        self.entry().1
    }

    fn entry(self) -> (&'static str, &'static str, Self) {
        let found = Self::ALL.into_iter().find(|&(.., family)| family == self);
        found.expect("every family is listed")
    }
}

impl fmt::Display for Pigment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let usage = if self.natural { 'N' } else { 'P' };
        write!(f, "{usage}{}{}", self.family.entry().0, self.number)?;
        self.form.map_or(Ok(()), |form| write!(f, ":{form}"))
    }
}

impl From<Pigment> for String {
    fn from(pigment: Pigment) -> Self {
        pigment.to_string()
    }
}

impl TryFrom<String> for Pigment {
    type Error = PigmentError;

    fn try_from(text: String) -> Result<Self, PigmentError> {
        text.parse()
    }
}

impl FromStr for Pigment {
    type Err = PigmentError;

    /// Of one name and nothing else but a remark in brackets.
    fn from_str(text: &str) -> Result<Self, PigmentError> {
        if text.chars().nth(LONGEST_NAME).is_some() {
            return Err(PigmentError::Long(shown(text)));
        }
        let bare = without_remarks(text);
        let (pigment, rest) = first(trimmed(&bare))?;
        if trimmed(rest).is_empty() { Ok(pigment) } else { Err(PigmentError::Rest(shown(text))) }
    }
}

/// The name that a trimmed text begins with, and what follows it.
fn first(text: &str) -> Result<(Pigment, &str), PigmentError> {
    if text.is_empty() {
        return Err(PigmentError::Empty);
    }
    let mut letters = String::new();
    let mut rest = "";
    for (at, c) in text.char_indices() {
        match c {
            _ if c.is_ascii_alphabetic() => letters.push(c.to_ascii_lowercase()),
            '.' | '-' | '_' => {}
            _ if is_space(c) => {}
            _ => {
                rest = &text[at..];
                break;
            }
        }
    }
    let (natural, family) = usage_and_hue(&letters).ok_or_else(|| PigmentError::Letters(shown(text)))?;
    let (digits, rest) = digits(rest);
    let number = digits.parse().ok().filter(|number| (1..=999).contains(number));
    let number = number.ok_or_else(|| PigmentError::Number(shown(text)))?;
    let (form, rest) = match after_colon(rest) {
        None => (None, rest),
        Some(after) => {
            let (digits, rest) = self::digits(after);
            let form = digits.parse().ok().filter(|form| (1..=9).contains(form));
            (Some(form.ok_or_else(|| PigmentError::Form(shown(text)))?), rest)
        }
    };
    if rest.starts_with(char::is_alphanumeric) {
        return Err(PigmentError::Rest(shown(text)));
    }
    Ok((Pigment { natural, family, number, form }, rest))
}

/// Of small letters without anything between them: whether the name is a natural one, and its hue.
fn usage_and_hue(letters: &str) -> Option<(bool, PigmentFamily)> {
    let index = ["colourindex", "colorindex", "ci"].iter().find_map(|index| letters.strip_prefix(index));
    let letters = index.unwrap_or(letters);
    let usages = [("pigment", false), ("natural", true), ("p", false), ("n", true)];
    let (hue, natural) =
        usages.iter().find_map(|&(usage, natural)| Some((letters.strip_prefix(usage)?, natural)))?;
    let mut families = PigmentFamily::ALL.into_iter();
    let (.., family) = families.find(|&(short, long, _)| hue.eq_ignore_ascii_case(short) || hue == long)?;
    let metal_from_nature = natural && family == PigmentFamily::Metal;
    (!metal_from_nature).then_some((natural, family))
}

/// What stands after a colon, or after a full stop that a digit follows at once.
fn after_colon(rest: &str) -> Option<&str> {
    let after =
        rest.trim_start_matches(is_space).strip_prefix(':').map(|after| after.trim_start_matches(is_space));
    after.or_else(|| rest.strip_prefix('.').filter(|after| after.starts_with(|c: char| c.is_ascii_digit())))
}

/// The digits that a text begins with, and what follows them.
fn digits(text: &str) -> (&str, &str) {
    text.split_at(text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len()))
}

/// Spaces in place of what stands in brackets; one left open closes at the end.
fn without_remarks(text: &str) -> String {
    let mut depth = 0_usize;
    let outside = |c| {
        let inside = depth > 0;
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' if inside => depth -= 1,
            _ => {}
        }
        if inside || depth > 0 { ' ' } else { c }
    };
    text.chars().map(outside).collect()
}

/// Space within a name, which does not run over the end of a line.
fn is_space(c: char) -> bool {
    c.is_whitespace() && !matches!(c, '\n' | '\r')
}

/// Without the spaces and full stops around it.
fn trimmed(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || c == '.')
}

/// As an error repeats it: its beginning, with nothing in it that could upset a line of text.
fn shown(text: &str) -> String {
    let text = text.trim();
    let plain =
        |c: char| if c.is_alphanumeric() || c.is_ascii_graphic() || c == ' ' { c } else { '\u{fffd}' };
    let mut shown: String = text.chars().take(SHOWN).map(plain).collect();
    if text.chars().nth(SHOWN).is_some() {
        shown.push('…');
    }
    shown
}
