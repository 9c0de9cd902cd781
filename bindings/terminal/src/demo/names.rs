//! Names of what is written down: counted, so that the same play gives the same names.

use std::collections::BTreeMap;

/// Counts names by kind.
#[derive(Debug, Clone, Default)]
pub(crate) struct Names {
    given: BTreeMap<&'static str, u32>,
}

impl Names {
    /// The next name of a kind: `run-3`.
    pub(crate) fn next(&mut self, kind: &'static str) -> String {
        let count = self.given.entry(kind).or_default();
        *count += 1;
        format!("{kind}-{count}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_counts_for_itself() {
        let mut names = Names::default();
        assert_eq!(names.next("run"), "run-1");
        assert_eq!(names.next("run"), "run-2");
        assert_eq!(names.next("stay"), "stay-1");
    }
}
