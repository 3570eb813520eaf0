//! Seeded chance: a hash, a generator and gradient noise, the same on every machine.

use crate::vector::lerp;

/// SplitMix64 (Steele, Lea and Flood 2014, doi 10.1145/2660193.2660195): 64 bits of state, one add and one mix a draw.
pub(crate) struct SplitMix64(u64);

impl SplitMix64 {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next_u64(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Even over 0 (included) to 1 (not included), in steps of 2⁻²⁴.
    pub(crate) fn unit(&mut self) -> f32 {
        (self.next_u64() >> 40) as f32 / 16_777_216.0
    }

    pub(crate) fn between(&mut self, from: f32, to: f32) -> f32 {
        lerp(from, to, self.unit())
    }
}

/// A chance number for a cell of a grid, even over 0 to 1.
pub(crate) fn cell(seed: u32, x: i32, y: i32) -> f32 {
    (hash(seed, x, y) >> 8) as f32 / 16_777_216.0
}

/// Gradient noise about −1 to 1, smooth, with one feature a unit.
pub(crate) fn noise(seed: u32, x: f32, y: f32) -> f32 {
    let (fx, fy) = (x.floor(), y.floor());
    let (ix, iy) = (fx as i32, fy as i32);
    let (dx, dy) = (x - fx, y - fy);
    let fade = |t: f32| t * t * t * (t * (t * 6.0 - 15.0) + 10.0);
    let (u, v) = (fade(dx), fade(dy));
    let corner = |cx: i32, cy: i32| {
        let (gx, gy) = GRADIENTS[(hash(seed, ix.wrapping_add(cx), iy.wrapping_add(cy)) >> 28) as usize];
        gx * (dx - cx as f32) + gy * (dy - cy as f32)
    };
    1.5 * lerp(lerp(corner(0, 0), corner(1, 0), u), lerp(corner(0, 1), corner(1, 1), u), v)
}

/// Noise summed over `octaves`, each twice as fine and half as strong; about −1 to 1.
pub(crate) fn fbm(seed: u32, mut x: f32, mut y: f32, octaves: u32) -> f32 {
    let (mut sum, mut weight) = (0.0, 0.5);
    for octave in 0..octaves {
        sum += weight * noise(seed.wrapping_add(octave * 101), x, y);
        weight *= 0.5;
        // Turned a little each time, so that the grid never shows.
        (x, y) = (1.6 * x - 1.2 * y + 3.1, 1.2 * x + 1.6 * y + 7.7);
    }
    sum
}

/// The finaliser of MurmurHash3 (public domain) over a mixed key.
fn hash(seed: u32, x: i32, y: i32) -> u32 {
    let mut h = seed.wrapping_mul(0x9e37_79b9)
        ^ (x as u32).wrapping_mul(0x8da6_b343)
        ^ (y as u32).wrapping_mul(0xd816_3841);
    h ^= h >> 16;
    h = h.wrapping_mul(0x85eb_ca6b);
    h ^= h >> 13;
    h = h.wrapping_mul(0xc2b2_ae35);
    h ^ (h >> 16)
}

/// Sixteen directions of unit length.
const GRADIENTS: [(f32, f32); 16] = {
    const C: f32 = 0.923_879_5;
    const S: f32 = 0.382_683_43;
    const D: f32 = 0.707_106_77;
    [
        (1.0, 0.0),
        (C, S),
        (D, D),
        (S, C),
        (0.0, 1.0),
        (-S, C),
        (-D, D),
        (-C, S),
        (-1.0, 0.0),
        (-C, -S),
        (-D, -D),
        (-S, -C),
        (0.0, -1.0),
        (S, -C),
        (D, -D),
        (C, -S),
    ]
};

#[cfg(test)]
mod tests {
    use super::*;

    /// The first draws from seed 1234567, as listed for SplitMix64 in the Rosetta Code task "Pseudo-random numbers/Splitmix64".
    #[test]
    fn splitmix64_gives_the_published_sequence() {
        let mut draws = SplitMix64::new(1_234_567);
        let first: Vec<u64> = (0..5).map(|_| draws.next_u64()).collect();
        assert_eq!(
            first,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    #[test]
    fn noise_is_zero_at_the_corners_and_stays_in_range() {
        let mut draws = SplitMix64::new(7);
        for _ in 0..20_000 {
            let (x, y) = (draws.between(-40.0, 40.0), draws.between(-40.0, 40.0));
            assert!(noise(3, x, y).abs() <= 1.5 && fbm(3, x, y, 5).abs() <= 1.5);
            assert_eq!(noise(3, x.floor(), y.floor()), 0.0);
        }
    }
}
