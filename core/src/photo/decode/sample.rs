//! What samples of 8 and of 16 bits have in common.

use crate::photo::encoding::Depth;
use crate::photo::stored::Samples;

/// One sample of one channel.
pub(super) trait Sample: Copy + Default + Send + Sync {
    const DEPTH: Depth;
    /// The code of a full sample.
    const FULL: u32;
    /// As an index into an encoding's tables.
    fn index(self) -> usize;
    /// From such an index.
    fn from_index(index: usize) -> Self;
    /// Moved into what is kept.
    fn samples(samples: Vec<Self>) -> Samples;
    /// Out of what was made by [`Self::samples`].
    fn of(samples: &mut Samples) -> &mut [Self];
}

impl Sample for u8 {
    const DEPTH: Depth = Depth::Eight;
    const FULL: u32 = 255;
    fn index(self) -> usize {
        usize::from(self)
    }
    fn from_index(index: usize) -> Self {
        index as Self
    }
    fn samples(samples: Vec<Self>) -> Samples {
        Samples::Rgb8(samples)
    }
    fn of(samples: &mut Samples) -> &mut [Self] {
        match samples {
            Samples::Rgb8(samples) => samples,
            Samples::Rgb16(_) => unreachable!("rows come at the depth that was announced"),
        }
    }
}

impl Sample for u16 {
    const DEPTH: Depth = Depth::Sixteen;
    const FULL: u32 = 65_535;
    fn index(self) -> usize {
        usize::from(self)
    }
    fn from_index(index: usize) -> Self {
        index as Self
    }
    fn samples(samples: Vec<Self>) -> Samples {
        Samples::Rgb16(samples)
    }
    fn of(samples: &mut Samples) -> &mut [Self] {
        match samples {
            Samples::Rgb16(samples) => samples,
            Samples::Rgb8(_) => unreachable!("rows come at the depth that was announced"),
        }
    }
}
