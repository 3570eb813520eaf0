//! Which way up a stored picture stands.

/// One of the eight ways in which a stored picture can lie, numbered as in EXIF 2.3 (CIPA DC-008), tag 0x0112.
///
/// Each is a transposition (or none) followed by mirroring, which is how the pixels are fetched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Orientation {
    /// Rows and columns change places first.
    transpose: bool,
    /// Then left and right change places.
    mirror: bool,
    /// And top and bottom.
    flip: bool,
}

impl Orientation {
    /// As stored.
    pub const UPRIGHT: Self = Self { transpose: false, mirror: false, flip: false };

    /// From EXIF's number; 0 and everything unknown mean upright.
    #[must_use]
    pub const fn from_exif(value: u32) -> Self {
        let (transpose, mirror, flip) = match value {
            2 => (false, true, false),
            3 => (false, true, true),
            4 => (false, false, true),
            5 => (true, false, false),
            6 => (true, true, false),
            7 => (true, true, true),
            8 => (true, false, true),
            _ => (false, false, false),
        };
        Self { transpose, mirror, flip }
    }

    /// As it stands after another quarter turn to the right (clockwise), `quarters` times.
    #[must_use]
    pub const fn then_turned(self, quarters: u8) -> Self {
        let mut turned = self;
        let mut left = quarters % 4;
        while left > 0 {
            // A quarter turn right is a transposition, then a mirroring of left and right; a transposition that
            // comes after the mirrorings exchanges them.
            turned = Self { transpose: !turned.transpose, mirror: !turned.flip, flip: turned.mirror };
            left -= 1;
        }
        turned
    }

    /// As it stands after a mirroring more: top and bottom change places, or left and right.
    #[must_use]
    pub const fn then_mirrored(self, top_bottom: bool) -> Self {
        if top_bottom { Self { flip: !self.flip, ..self } } else { Self { mirror: !self.mirror, ..self } }
    }

    /// Width and height once upright.
    #[must_use]
    pub const fn upright_size(self, width: u32, height: u32) -> (u32, u32) {
        if self.transpose { (height, width) } else { (width, height) }
    }

    /// The stored pixel that shows at upright (`x`, `y`), for a picture of stored size `width` x `height`.
    #[must_use]
    pub const fn stored_from_upright(self, x: u32, y: u32, width: u32, height: u32) -> (u32, u32) {
        let (upright_width, upright_height) = self.upright_size(width, height);
        let x = if self.mirror { upright_width - 1 - x } else { x };
        let y = if self.flip { upright_height - 1 - y } else { y };
        if self.transpose { (y, x) } else { (x, y) }
    }

    /// Whether rows and columns change places.
    #[must_use]
    pub const fn transposes(self) -> bool {
        self.transpose
    }

    /// What is done to set the picture upright, in words; `None` where nothing is.
    #[must_use]
    pub const fn how(self) -> Option<&'static str> {
        match (self.transpose, self.mirror, self.flip) {
            (false, false, false) => None,
            (false, true, false) => Some("mirrored"),
            (false, true, true) => Some("turned half round"),
            (false, false, true) => Some("flipped top to bottom"),
            (true, false, false) => Some("mirrored and turned a quarter to the left"),
            (true, true, false) => Some("turned a quarter to the right"),
            (true, true, true) => Some("mirrored and turned a quarter to the right"),
            (true, false, true) => Some("turned a quarter to the left"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EXIF 2.3 table of the orientation tag: where the stored row 0 and column 0 stand in the upright picture.
    /// A 3 x 2 picture of letters, by hand from that table.
    #[test]
    fn each_orientation_sets_the_letters_upright() {
        let stored = ["abc", "def"];
        let upright: [(u32, &[&str]); 9] = [
            (0, &["abc", "def"]),
            (1, &["abc", "def"]),
            (2, &["cba", "fed"]),
            (3, &["fed", "cba"]),
            (4, &["def", "abc"]),
            (5, &["ad", "be", "cf"]),
            (6, &["da", "eb", "fc"]),
            (7, &["fc", "eb", "da"]),
            (8, &["cf", "be", "ad"]),
        ];
        for (value, expected) in upright {
            assert_eq!(turned(&stored, Orientation::from_exif(value)), expected, "orientation {value}");
        }
    }

    #[test]
    fn quarter_turns_add_to_any_orientation() {
        let stored = ["abc", "def"];
        for value in 1..=8 {
            let orientation = Orientation::from_exif(value);
            let upright = turned(&stored, orientation);
            let rows: Vec<&str> = upright.iter().map(String::as_str).collect();
            let by_hand = turned(&rows, Orientation::from_exif(6));
            assert_eq!(turned(&stored, orientation.then_turned(1)), by_hand, "orientation {value}");
            assert_eq!(orientation.then_turned(4), orientation);
        }
    }

    #[test]
    fn mirrorings_add_to_any_orientation() {
        let stored = ["abc", "def"];
        for value in 1..=8 {
            let orientation = Orientation::from_exif(value);
            let upright = turned(&stored, orientation);
            let rows: Vec<&str> = upright.iter().map(String::as_str).collect();
            for (top_bottom, exif) in [(false, 2), (true, 4)] {
                let by_hand = turned(&rows, Orientation::from_exif(exif));
                assert_eq!(
                    turned(&stored, orientation.then_mirrored(top_bottom)),
                    by_hand,
                    "orientation {value}"
                );
            }
        }
    }

    fn turned(stored: &[&str], orientation: Orientation) -> Vec<String> {
        let (width, height) = (stored[0].len() as u32, stored.len() as u32);
        let (across, down) = orientation.upright_size(width, height);
        let at = |x, y| {
            let (column, row) = orientation.stored_from_upright(x, y, width, height);
            stored[row as usize].as_bytes()[column as usize] as char
        };
        (0..down).map(|y| (0..across).map(|x| at(x, y)).collect()).collect()
    }
}
