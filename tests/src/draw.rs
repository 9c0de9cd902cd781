//! Seeded draws for tests: SplitMix64 (Steele, Lea, Flood 2014).

/// A stream of draws; the same seed gives the same stream.
#[derive(Debug, Clone)]
pub struct Draw {
    state: u64,
}

impl Draw {
    /// A stream of its own for each `label`, so that one invention does not shift another.
    pub fn of(seed: u64, label: &str) -> Self {
        let mut draw = Self { state: seed };
        for byte in label.bytes() {
            draw.state = draw.next() ^ u64::from(byte);
        }
        draw
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `bound`; 0 when `bound` is 0.
    pub fn below(&mut self, bound: usize) -> usize {
        let bound = u64::try_from(bound).unwrap_or(u64::MAX).max(1);
        usize::try_from(self.next() % bound).unwrap_or(0)
    }

    /// A share from 0 up to, not including, 1.
    pub fn share(&mut self) -> f64 {
        // 20 bits are plenty here and exact as a float.
        let bits = u32::try_from(self.next() >> 44).unwrap_or(0);
        f64::from(bits) / f64::from(1_u32 << 20)
    }

    /// One of `list`.
    ///
    /// # Panics
    /// When the list is empty.
    #[allow(clippy::indexing_slicing, reason = "an empty list is a mistake of the test itself")]
    pub fn one<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_stream_is_the_published_one() {
        // First outputs of SplitMix64 for seed 1234567, as printed with the Rosetta Code task.
        let mut draw = Draw { state: 1_234_567 };
        assert_eq!(draw.next(), 6_457_827_717_110_365_317);
        assert_eq!(draw.next(), 3_203_168_211_198_807_973);
    }
}
