//! Seeded damage to files: the same seed does the same on every machine.

/// A source of damage.
pub struct Damage {
    state: u64,
}

impl Damage {
    /// From a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// A number below `bound`, which is not 0. SplitMix64 (Steele, Lea, Flood 2014).
    pub fn below(&mut self, bound: usize) -> usize {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) % bound as u64) as usize
    }

    /// Damages a file in one to four ways.
    pub fn inflict(&mut self, bytes: &mut Vec<u8>) {
        for _ in 0..=self.below(4) {
            if bytes.is_empty() {
                return;
            }
            match self.below(7) {
                0 => {
                    let at = self.place(bytes.len());
                    bytes[at] ^= 1 << self.below(8);
                }
                1 => {
                    let at = self.place(bytes.len());
                    bytes[at] = [0, 1, 0x7f, 0x80, 0xff][self.below(5)];
                }
                2 => self.number(bytes),
                3 => bytes.truncate(self.below(bytes.len())),
                4 => {
                    let (from, to) = self.span(bytes.len());
                    bytes.drain(from..to);
                }
                5 => {
                    let (from, to) = self.span(bytes.len());
                    let copy = bytes[from..to].to_vec();
                    let at = self.place(bytes.len());
                    bytes.splice(at..at, copy);
                }
                _ => {
                    let (from, to) = self.span(bytes.len());
                    let at = self.below(bytes.len());
                    for index in from..to {
                        let other = (at + index - from) % bytes.len();
                        bytes[index] = bytes[other];
                    }
                }
            }
        }
    }

    /// Where to strike: as often in the first kilobyte, where headers are, as in all the rest.
    fn place(&mut self, length: usize) -> usize {
        let within = if self.below(2) == 0 { length.min(1024) } else { length };
        self.below(within)
    }

    /// A stretch of up to 256 bytes.
    fn span(&mut self, length: usize) -> (usize, usize) {
        let from = self.place(length);
        (from, (from + 1 + self.below(256)).min(length))
    }

    /// Overwrites 2 or 4 bytes with a number that breaks sums: around 0, 2¹⁵, 2¹⁶, 2³¹ or 2³².
    fn number(&mut self, bytes: &mut [u8]) {
        const TELLING: [u32; 10] =
            [0, 1, 0x7fff, 0x8000, 0xffff, 0x0001_0000, 0x7fff_ffff, 0x8000_0000, 0xffff_fffe, 0xffff_ffff];
        let number = TELLING[self.below(TELLING.len())];
        let width = [2, 4][self.below(2)];
        let mut digits = number.to_be_bytes()[4 - width..].to_vec();
        if self.below(2) == 0 {
            digits.reverse();
        }
        let at = self.place(bytes.len());
        for (byte, digit) in bytes[at..].iter_mut().zip(digits) {
            *byte = digit;
        }
    }
}
