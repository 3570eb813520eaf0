//! Transparent parts stand on paper white, blended in linear light.

use crate::photo::encoding::Inverse;

/// Finds what shows of a sample of a given opacity over paper white (linear 1), in the sample's own encoding.
pub(super) struct OverPaper {
    channels: [Inverse; 3],
    /// The code of paper white in each channel.
    white: [usize; 3],
}

impl OverPaper {
    /// For the tables of an encoding.
    pub(super) fn new(linear_from_code: &[Vec<f32>; 3]) -> Self {
        let channels = linear_from_code.each_ref().map(|table| Inverse::of(table));
        let white = [0, 1, 2].map(|channel| channels[channel].code(&linear_from_code[channel], 1.0));
        Self { channels, white }
    }

    /// The code that shows, for `opacity` from 0 to 1.
    pub(super) fn code(
        &self,
        linear_from_code: &[Vec<f32>; 3],
        channel: usize,
        code: usize,
        opacity: f32,
    ) -> usize {
        // Most of what is transparent is wholly so, and needs no search.
        if opacity <= 0.0 {
            return self.white[channel];
        }
        let table = &linear_from_code[channel];
        let linear = table[code] * opacity + (1.0 - opacity);
        self.channels[channel].code(table, linear)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::encoding::Depth;
    use crate::photo::stored::Encoding;

    /// Black half covering white is linear .5, which sRGB (IEC 61966-2-1) encodes as 188, not the 128 of a blend of
    /// encoded values.
    #[test]
    fn half_covered_paper_is_half_its_light() {
        let tables = Encoding::srgb_encoded(Depth::Eight).linear_from_code;
        let over = OverPaper::new(&tables);
        assert_eq!(over.code(&tables, 0, 0, 0.5), 188);
        assert_eq!(over.code(&tables, 0, 77, 1.0), 77);
        assert_eq!(over.code(&tables, 0, 77, 0.0), 255);
    }
}
