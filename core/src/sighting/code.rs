//! The code of a load step, drawn by the chance of the device that keeps it.

use sha2::{Digest, Sha256};

use super::{evidence::Slot, limits::Limits, load_step::strong_enough};

/// Redraws before the device's chance is taken to be broken: one draw in five is too weak, so that
/// this many in a row do not come by chance.
const MOST_DRAWS: u32 = 1000;

/// A code, its salt, and the change slot at which amps are typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawnCode {
    /// One a slot, as many as the rule sheet asks for.
    pub code: Vec<Slot>,
    /// What is hashed with it, hex.
    pub salt: String,
    /// The change slot, counted from zero, at which the pad types amps.
    pub size_slot: u16,
}

/// Bytes without end from the device's chance: SHA-256 over it and a counter.
struct Stream<'a> {
    chance: &'a [u8; 32],
    counter: u32,
    block: Vec<u8>,
}

impl Stream<'_> {
    fn byte(&mut self) -> u8 {
        loop {
            if let Some(byte) = self.block.pop() {
                return byte;
            }
            let mut hash = Sha256::new();
            hash.update(b"coldlug switching run");
            hash.update(self.chance);
            hash.update(self.counter.to_le_bytes());
            self.block = hash.finalize().to_vec();
            self.counter = self.counter.wrapping_add(1);
        }
    }

    /// A number below `end`, each as likely as the next: a byte that would favour some is redrawn.
    fn below(&mut self, end: usize) -> usize {
        let end = end.clamp(1, 256);
        let fair = 256 - 256 % end;
        loop {
            let byte = usize::from(self.byte());
            if byte < fair {
                return byte % end;
            }
        }
    }
}

/// A code that is strong enough, drawn from `chance`; none: the chance is broken.
///
/// The same chance draws the same code: a device draws 32 fresh bytes for each.
pub fn draw_code(chance: &[u8; 32], limits: &Limits) -> Option<DrawnCode> {
    let mut stream = Stream { chance, counter: 0, block: Vec::new() };
    for _ in 0..MOST_DRAWS {
        let slot = |bit: u8| if bit == 0 { Slot::Hold } else { Slot::Change };
        let code: Vec<Slot> = (0..limits.slots).map(|_| slot(stream.byte() & 1)).collect();
        if !strong_enough(&code, limits) {
            continue;
        }
        let changes: Vec<usize> =
            (0..code.len()).filter(|&n| code.get(n) == Some(&Slot::Change)).collect();
        let size_slot = *changes.get(stream.below(changes.len()))?;
        let salt: Vec<u8> = (0..16).map(|_| stream.byte()).collect();
        return Some(DrawnCode {
            code,
            salt: hex::encode(salt),
            size_slot: u16::try_from(size_slot).ok()?,
        });
    }
    None
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::rule_sheet::RuleSheet;

    proptest! {
        #[test]
        fn every_code_is_strong_and_the_same_chance_draws_it_again(chance: [u8; 32]) {
            let limits = Limits::from(&RuleSheet::default());
            let drawn = draw_code(&chance, &limits).unwrap();
            prop_assert!(strong_enough(&drawn.code, &limits));
            prop_assert_eq!(drawn.code[usize::from(drawn.size_slot)], Slot::Change);
            prop_assert_eq!(drawn.salt.len(), 32);
            prop_assert_eq!(draw_code(&chance, &limits), Some(drawn));
        }

        #[test]
        fn other_chance_draws_another_salt(one: [u8; 32], other: [u8; 32]) {
            let limits = Limits::from(&RuleSheet::default());
            let salt = |chance| draw_code(chance, &limits).map(|drawn| drawn.salt);
            prop_assert_eq!(salt(&one) == salt(&other), one == other);
        }
    }

    #[test]
    fn each_slot_changes_about_half_the_time_and_each_change_is_drawn() {
        let limits = Limits::from(&RuleSheet::default());
        let (mut changes, mut size_slots) = (0, std::collections::BTreeSet::new());
        for seed in 0..=255_u8 {
            let drawn = draw_code(&[seed; 32], &limits).unwrap();
            changes += drawn.code.iter().filter(|slot| **slot == Slot::Change).count();
            size_slots.insert(drawn.size_slot);
        }
        // 2560 slots: a fair draw lies within 5 standard deviations of half, some 127.
        assert!((1153..=1407).contains(&changes), "{changes}");
        assert_eq!(size_slots.len(), limits.slots);
    }
}
