//! Sheets that a phone or a desk holds for as long as it holds the job.

use super::sheets::Sheets;
use crate::{mapsheet, plant::Plant, rule_sheet::RuleSheet};

/// Map sheet and rule sheet of a job, read and hashed once.
#[derive(Debug, Clone)]
pub struct CarriedSheets {
    plant: Plant,
    rules: RuleSheet,
    map_hash: String,
    rules_hash: String,
}

/// Why the bytes are no sheet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotASheet {
    /// The map sheet does not hold together.
    #[error("the map sheet: {reason}")]
    Map {
        /// Its first finding.
        reason: String,
    },
    /// The rule sheet does not hold.
    #[error("the rule sheet: {reason}")]
    Rules {
        /// Its first finding.
        reason: String,
    },
}

impl CarriedSheets {
    /// The sheets from the bytes of their files, GeoJSON and TOML, each refused whole.
    pub fn read(map_sheet: &[u8], rule_sheet: &[u8]) -> Result<Self, NotASheet> {
        let plant = mapsheet::read(map_sheet)
            .map_err(|refused| NotASheet::Map { reason: refused.to_string() })?
            .plant;
        let text = str::from_utf8(rule_sheet)
            .map_err(|_| NotASheet::Rules { reason: "not UTF-8 text".into() })?;
        let rules = RuleSheet::parse(text)
            .map_err(|refused| NotASheet::Rules { reason: refused.to_string() })?;
        Ok(Self::new(plant, rules))
    }

    /// Sheets that are read already.
    pub fn new(plant: Plant, rules: RuleSheet) -> Self {
        let map_hash = mapsheet::hash(&plant).unwrap_or_default();
        let rules_hash = rules.hash();
        Self { plant, rules, map_hash, rules_hash }
    }

    /// The sheets as a job is judged with them. Nothing is hashed again.
    pub fn lend(&self) -> Sheets<'_> {
        let (map_hash, rules_hash) = (self.map_hash.clone(), self.rules_hash.clone());
        Sheets::by_hashes(&self.plant, &self.rules, map_hash, rules_hash)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn carried_sheets_are_the_ones_that_were_read() {
        let plant = mapsheet::fixture::plant_of(&mapsheet::fixture::features());
        let map = mapsheet::canonical_bytes(&plant).unwrap();
        let rules = RuleSheet::default();
        let carried = CarriedSheets::read(&map, RuleSheet::default_text().as_bytes()).unwrap();
        let (lent, fresh) = (carried.lend(), Sheets::new(&plant, &rules));
        assert_eq!(lent.plant, fresh.plant);
        assert_eq!(lent.map_hash(), fresh.map_hash());
        assert_eq!(lent.rules_hash(), fresh.rules_hash());
        assert!(matches!(CarriedSheets::read(b"{", b""), Err(NotASheet::Map { .. })));
        assert!(matches!(CarriedSheets::read(&map, b"\xff"), Err(NotASheet::Rules { .. })));
    }
}
