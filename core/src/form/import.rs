//! What an import from somebody else's files came to.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::check::SheetForm;
use crate::{
    mapsheet::{Found, Severity, What, Written},
    words::Words,
};

/// Answer to "what map sheet do these files make?".
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ImportForm {
    /// True when a sheet was written; with any error nothing is.
    pub accepted: bool,
    /// The sheet; none when it is refused.
    pub sheet: Option<SheetForm>,
    /// Rows read.
    pub rows: u64,
    /// How many findings stand in the way.
    pub errors: u64,
    /// How many do not.
    pub warnings: u64,
    /// How many findings there are of each kind.
    pub counts: BTreeMap<String, u64>,
    /// The first of them.
    pub findings: Vec<FoundForm>,
    /// How many are counted and not listed.
    pub left: u64,
}

/// One thing found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FoundForm {
    /// What kind of thing; the names are stable.
    pub id: String,
    /// Whether it stands in the way.
    pub severity: Severity,
    /// The file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The layer, table or class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layer: Option<String>,
    /// The row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub row: Option<String>,
    /// The column, attribute or key of the mapping.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<String>,
    /// The feature that was made of the row, and its field.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub feature: Option<String>,
    /// The feature's field.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// What is wrong and what to do, in a sentence.
    pub says: String,
}

impl FoundForm {
    /// From what was found.
    pub fn new(found: &Found, words: &Words) -> Self {
        let at = found.at.clone();
        let (feature, field, says) = match &found.what {
            What::Sheet(finding) => {
                (finding.feature.clone(), finding.field.clone(), finding.says.clone())
            }
            What::Source(finding) => {
                let args: Vec<(&str, &str)> =
                    finding.args.iter().map(|(name, value)| (*name, value.as_str())).collect();
                (None, None, words.say(finding.id.id(), &args).text)
            }
        };
        Self {
            id: found.what.id(),
            severity: found.severity(),
            file: at.file.map(String::from),
            layer: at.layer.map(String::from),
            row: at.row.map(String::from),
            column: at.column.map(String::from),
            feature,
            field,
            says,
        }
    }

    /// Where it stands, for people: what of it is known, the file first.
    pub fn place(&self) -> String {
        let parts = [&self.file, &self.layer, &self.row, &self.column, &self.feature, &self.field];
        let parts: Vec<&str> = parts.into_iter().flatten().map(String::as_str).collect();
        parts.join(", ")
    }
}

impl ImportForm {
    /// From the sheet that was written, and what was found.
    pub fn new(sheet: Option<&Written>, rows: u64, tally: Tally<'_>, words: &Words) -> Self {
        let Tally { kept, counts, errors, warnings, left } = tally;
        Self {
            accepted: sheet.is_some(),
            sheet: sheet.map(SheetForm::written),
            rows,
            errors,
            warnings,
            counts,
            findings: kept.iter().map(|found| FoundForm::new(found, words)).collect(),
            left,
        }
    }

    /// How many features the sheet has.
    pub fn features(&self) -> usize {
        self.sheet.as_ref().map_or(0, SheetForm::features)
    }
}

/// What was found, counted.
#[derive(Debug, Clone)]
pub struct Tally<'a> {
    /// The first findings.
    pub kept: &'a [Found],
    /// How many there are of each kind.
    pub counts: BTreeMap<String, u64>,
    /// How many stand in the way.
    pub errors: u64,
    /// How many do not.
    pub warnings: u64,
    /// How many are counted and not kept.
    pub left: u64,
}
