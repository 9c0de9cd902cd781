//! Numbers for things, so that the rule compares no names.

use std::collections::BTreeMap;

use super::rule::Id;

/// Numbers in the order of first use.
#[derive(Debug, Clone)]
pub(super) struct Numbers<T> {
    of: BTreeMap<T, Id>,
    all: Vec<T>,
}

impl<T: Ord + Clone> Numbers<T> {
    pub(super) const fn none() -> Self {
        Self { of: BTreeMap::new(), all: Vec::new() }
    }

    pub(super) fn number(&mut self, thing: &T) -> Id {
        if let Some(number) = self.of.get(thing) {
            return *number;
        }
        let number = Id::try_from(self.all.len()).unwrap_or(Id::MAX);
        self.of.insert(thing.clone(), number);
        self.all.push(thing.clone());
        number
    }

    pub(super) fn get(&self, number: Id) -> Option<&T> {
        self.all.get(usize::try_from(number).ok()?)
    }

    /// The number of a thing, if it has one.
    pub(super) fn find(&self, thing: &T) -> Option<Id> {
        self.of.get(thing).copied()
    }

    /// Everything that has a number, in their order.
    pub(super) fn all(&self) -> &[T] {
        &self.all
    }
}
