//! What is asked of samples of 8 and of 16 bits here.

/// A sample of 8 or 16 bits.
pub(super) trait Code: Copy + Default + Ord + Send + Sync {
    /// The largest.
    const FULL: Self;
    /// How many there are.
    const CODES: usize;
    /// As an index into the encoding's tables.
    fn index(self) -> usize;
    /// From such an index.
    fn from_index(index: u16) -> Self;
}

impl Code for u8 {
    const FULL: Self = Self::MAX;
    const CODES: usize = 256;
    fn index(self) -> usize {
        usize::from(self)
    }
    fn from_index(index: u16) -> Self {
        index as Self
    }
}

impl Code for u16 {
    const FULL: Self = Self::MAX;
    const CODES: usize = 65_536;
    fn index(self) -> usize {
        usize::from(self)
    }
    fn from_index(index: u16) -> Self {
        index
    }
}

/// Light: any channel at its end, since then its true value is not known. Dark: all of them.
pub(super) fn clipped<T: Code>(rgb: &[T]) -> (bool, bool) {
    (rgb.contains(&T::FULL), rgb.iter().all(|&code| code == T::default()))
}
