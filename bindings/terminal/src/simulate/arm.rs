//! The arms of a run: every job is played once in each, so that they differ in nothing else.

use coldlug_core::sighting::{Condition, Conditions};

use super::spec::{Keying, Policy};

/// One way to play the jobs of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Arm {
    /// Who says what to open.
    pub(crate) policy: Policy,
    /// How many causes the rule sheet tolerates as false.
    pub(crate) tolerated: u32,
    /// What is typed at the pad.
    pub(crate) keys: Keying,
    /// The condition of the identification rule that is left out.
    pub(crate) without: Option<Condition>,
}

impl Arm {
    /// The software's rule with everything it has.
    pub(crate) const fn whole(tolerated: u32, keys: Keying) -> Self {
        Self { policy: Policy::Coldlug, tolerated, keys, without: None }
    }

    /// The conditions that are kept.
    pub(crate) fn conditions(self) -> Conditions {
        self.without.map_or(Conditions::ALL, without)
    }

    /// Its name in a file, where no other arm of the run has it.
    pub(crate) fn id(self) -> String {
        let without = self.without.map_or_else(String::new, |c| format!(" without {}", named(c)));
        let policy = self.policy.id();
        format!("{policy} tolerating {} with {}{without}", self.tolerated, self.keys.id())
    }
}

#[cfg(feature = "weakened")]
fn without(condition: Condition) -> Conditions {
    Conditions::without(condition)
}

/// What ships cannot leave one out; nobody gets here, since it is not to be asked for either.
#[cfg(not(feature = "weakened"))]
fn without(_: Condition) -> Conditions {
    Conditions::ALL
}

/// The name of a condition, as ids are written.
pub(crate) fn named(condition: Condition) -> String {
    let mut id = String::new();
    for letter in format!("{condition:?}").chars() {
        if letter.is_ascii_uppercase() && !id.is_empty() {
            id.push('-');
        }
        id.push(letter.to_ascii_lowercase());
    }
    id
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn conditions_are_named_as_ids_are() {
        assert_eq!(named(Condition::EveryCauseTried), "every-cause-tried");
        let ids: BTreeSet<String> = Condition::ALL.iter().map(|&c| named(c)).collect();
        assert_eq!(ids.len(), Condition::ALL.len());
    }

    #[test]
    fn the_whole_rule_keeps_every_condition() {
        assert_eq!(Arm::whole(1, Keying::OneSize).conditions(), Conditions::ALL);
    }

    #[cfg(feature = "weakened")]
    #[test]
    fn an_arm_without_a_condition_leaves_it_out() {
        let whole = Arm::whole(1, Keying::OneSize);
        let arm = Arm { without: Some(Condition::RunIsACause), ..whole };
        assert_eq!(arm.conditions(), Conditions::without(Condition::RunIsACause));
        assert_ne!(arm.id(), whole.id());
    }
}
