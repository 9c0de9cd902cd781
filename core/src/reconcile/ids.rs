//! Sets of numbers, to ask many times over whether two of them meet.

use super::rule::Id;

/// Numbers below this one have a bit each. A job seldom has more causes.
const BITS: Id = 128;

/// The bit of a number; none of them where it has no bit.
pub(super) const fn bit(id: Id) -> u128 {
    if id < BITS { 1 << id } else { 0 }
}

/// A set of numbers.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Ids {
    low: u128,
    /// Those without a bit, in order.
    high: Vec<Id>,
}

impl Ids {
    fn insert(&mut self, id: Id) {
        if id < BITS {
            self.low |= bit(id);
        } else if let Err(place) = self.high.binary_search(&id) {
            self.high.insert(place, id);
        }
    }

    pub(crate) fn contains(&self, id: Id) -> bool {
        self.low & bit(id) != 0 || self.high.contains(&id)
    }

    /// Whether some of `these` is in it, whose bits are `low`.
    pub(super) fn meets(&self, low: u128, mut these: impl Iterator<Item = Id>) -> bool {
        self.low & low != 0 || (!self.high.is_empty() && these.any(|id| self.high.contains(&id)))
    }

    /// Takes in all of another.
    pub(crate) fn extend(&mut self, other: &Self) {
        self.low |= other.low;
        for id in &other.high {
            self.insert(*id);
        }
    }

    /// All of them, in order.
    pub(crate) fn iter(&self) -> impl Iterator<Item = Id> + '_ {
        let mut low = self.low;
        let bits = std::iter::from_fn(move || {
            let next = (low != 0).then(|| low.trailing_zeros());
            low &= low.wrapping_sub(1);
            next
        });
        bits.chain(self.high.iter().copied())
    }
}

impl FromIterator<Id> for Ids {
    fn from_iter<I: IntoIterator<Item = Id>>(ids: I) -> Self {
        let mut set = Self::default();
        for id in ids {
            set.insert(id);
        }
        set
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;

    fn ids() -> impl Strategy<Value = BTreeSet<Id>> {
        prop::collection::btree_set(0..3 * BITS / 2, 0..40)
    }

    proptest! {
        #[test]
        fn they_are_sets(one in ids(), other in ids()) {
            let (mut these, those): (Ids, Ids) =
                (one.iter().copied().collect(), other.iter().copied().collect());
            prop_assert!((0..2 * BITS).all(|id| these.contains(id) == one.contains(&id)));
            let low = other.iter().fold(0, |low, id| low | bit(*id));
            prop_assert_eq!(these.meets(low, those.iter()), !one.is_disjoint(&other));
            these.extend(&those);
            prop_assert!(these.iter().eq(one.union(&other).copied()));
        }
    }
}
