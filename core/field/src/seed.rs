//! Seeds: every random thing in the made-up field comes from one `u64` through named streams.
//!
//! A stream is a ChaCha8 generator whose stream number is a hash of a label, so that adding a
//! draw in one part of the generator never shifts the draws of another. All arithmetic is on
//! integers and IEEE 754 basic operations, or through `libm`: the same seed gives the same
//! bytes on every platform.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// A named stream of draws.
#[derive(Debug, Clone)]
pub struct Draw(ChaCha8Rng);

/// Opens the stream named `label` of `seed`.
pub fn stream(seed: u64, label: &str) -> Draw {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(hash_text(label));
    Draw(rng)
}

impl Draw {
    /// 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A number in `[0, 1)`, in steps of 2^-32.
    pub fn unit(&mut self) -> f64 {
        f64::from(self.0.next_u32()) / 4_294_967_296.0
    }

    /// A number in `[low, high)`; `low` when the two are equal.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// True with the given chance (0 never, 1 always).
    pub fn chance(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }

    /// A whole number in `0..n`; 0 when `n` is 0.
    pub fn below(&mut self, n: u32) -> u32 {
        let wide = u64::from(self.0.next_u32()) * u64::from(n);
        (wide >> 32) as u32
    }

    /// A whole number in `low..=high`; `low` when the range is empty.
    pub fn whole(&mut self, low: u32, high: u32) -> u32 {
        low + self.below(high.saturating_sub(low).saturating_add(1))
    }

    /// One element of a slice; nothing from an empty one.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        let len = u32::try_from(from.len()).unwrap_or(u32::MAX);
        from.get(self.below(len) as usize)
    }

    /// A standard normal number (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        normal_of(self.unit(), self.unit())
    }
}

/// A standard normal number from two uniform numbers in `[0, 1)` (Box and Muller).
pub fn normal_of(first: f64, second: f64) -> f64 {
    let radius = libm::sqrt(-2.0 * libm::log(1.0 - first));
    radius * libm::cos(core::f64::consts::TAU * second)
}

/// Mixes two words into one (the finalizer of SplitMix64 over their combination). Used where a
/// draw must be a pure function of its arguments, such as an appliance's switching times.
pub fn mix(a: u64, b: u64) -> u64 {
    let mut x = a.wrapping_add(b.wrapping_mul(0x9e37_79b9_7f4a_7c15)).wrapping_add(0x9e37_79b9);
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// The number in `[0, 1)` that a word stands for (its upper 32 bits).
pub fn unit_of(word: u64) -> f64 {
    f64::from((word >> 32) as u32) / 4_294_967_296.0
}

/// FNV-1a over the bytes of a text.
pub fn hash_text(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn streams_are_apart_and_repeat() {
        let first: Vec<u64> =
            (0..4).map(|_| 0).scan(stream(1, "a"), |d, _| Some(d.bits())).collect();
        let again: Vec<u64> =
            (0..4).map(|_| 0).scan(stream(1, "a"), |d, _| Some(d.bits())).collect();
        let other: Vec<u64> =
            (0..4).map(|_| 0).scan(stream(1, "b"), |d, _| Some(d.bits())).collect();
        assert_eq!(first, again);
        assert_ne!(first, other);
    }

    #[test]
    fn the_stream_of_seed_one_never_changes() {
        // Kept so that a change of generator is seen: demo files depend on it.
        assert_eq!(stream(1, "town").bits(), PINNED);
    }
    const PINNED: u64 = 2_449_241_882_738_269_510;

    #[test]
    fn normal_has_unit_spread() {
        let mut draw = stream(7, "normal");
        let many: Vec<f64> = (0..20_000).map(|_| draw.normal()).collect();
        let mean = many.iter().sum::<f64>() / 20_000.0;
        let spread = many.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / 20_000.0;
        assert!(mean.abs() < 0.03, "{mean}");
        assert!((spread - 1.0).abs() < 0.04, "{spread}");
    }

    proptest! {
        #[test]
        fn draws_stay_in_range(seed: u64, low in -50.0..50.0f64, width in 0.0..50.0f64, n in 1u32..1000) {
            let mut draw = stream(seed, "range");
            let x = draw.between(low, low + width);
            prop_assert!(x >= low && x <= low + width);
            prop_assert!(draw.below(n) < n);
            prop_assert!((3..=3 + n).contains(&draw.whole(3, 3 + n)));
        }
    }
}
