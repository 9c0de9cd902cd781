//! What was found: the first ones kept, all of them counted.

use std::collections::BTreeMap;

use coldlug_core::{
    form::Tally,
    mapsheet::{FindingId, Found, Severity, SourceFindingId, What},
};

/// Most findings that are kept in memory: more than anybody reads in one go. All are counted, and
/// all are told as they are found.
pub const MOST_KEPT: usize = 1000;

/// The kind of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FoundId {
    /// In the source or its mapping.
    Source(SourceFindingId),
    /// In the sheet that comes of it.
    Sheet(FindingId),
}

impl FoundId {
    /// Its stable name.
    pub fn name(self) -> String {
        match self {
            Self::Source(id) => id.id().to_owned(),
            Self::Sheet(id) => id.name(),
        }
    }
}

/// What was found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Findings {
    /// The first of them, in the order they were found.
    pub kept: Vec<Found>,
    /// How many of each kind there are.
    pub counts: BTreeMap<FoundId, u64>,
    /// How many stand in the way.
    pub errors: u64,
    /// How many do not.
    pub warnings: u64,
}

impl Findings {
    /// How many are counted and not kept.
    pub fn left(&self) -> u64 {
        (self.errors + self.warnings).saturating_sub(self.kept.len() as u64)
    }

    /// The same with the names of the kinds, as the answer has it.
    pub fn tally(&self) -> Tally<'_> {
        Tally {
            kept: &self.kept,
            counts: self.counts.iter().map(|(id, count)| (id.name(), *count)).collect(),
            errors: self.errors,
            warnings: self.warnings,
            left: self.left(),
        }
    }

    /// Adds one.
    pub(super) fn add(&mut self, found: Found) {
        let id = match &found.what {
            What::Source(found) => FoundId::Source(found.id),
            What::Sheet(found) => FoundId::Sheet(found.id),
        };
        *self.counts.entry(id).or_default() += 1;
        match found.severity() {
            Severity::Error => self.errors += 1,
            Severity::Warning => self.warnings += 1,
        }
        if self.kept.len() < MOST_KEPT {
            self.kept.push(found);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use coldlug_core::mapsheet::Origin;

    #[test]
    fn all_are_counted_and_the_first_kept() {
        let mut findings = Findings::default();
        for row in 0..MOST_KEPT + 5 {
            let at = Origin::file("a.csv").row(format!("line {row}"));
            findings.add(Found::error(at, SourceFindingId::RowBroken, []));
        }
        findings.add(Found::warning(Origin::default(), SourceFindingId::RowsLeft, []));
        assert_eq!((findings.errors, findings.warnings), (MOST_KEPT as u64 + 5, 1));
        assert_eq!((findings.kept.len(), findings.left()), (MOST_KEPT, 6));
        assert_eq!(findings.kept[0].at.row.as_deref(), Some("line 0"));
        assert_eq!(findings.counts[&FoundId::Source(SourceFindingId::RowsLeft)], 1);
    }
}
