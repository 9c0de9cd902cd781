//! Map sheets and rule sheets from files, refused whole with everything that is wrong in them.

use std::path::Path;

use coldlug_core::{
    mapsheet::{self, MapSheet},
    rule_sheet::{self, RuleSheet},
};

use crate::{
    file,
    trouble::{Finding, Trouble},
};

/// What is done about a refused map sheet.
const MEND_MAP: &str = "mend the features named, or cut the sheet anew; nothing of it was used";
/// What is done about a refused rule sheet.
const MEND_RULES: &str = "mend the keys named; nothing of it was used";

/// A map sheet that holds together.
pub(crate) fn map_sheet(path: &Path) -> Result<MapSheet, Trouble> {
    mapsheet::read(&file::read(path)?).map_err(|refused| Trouble::Refused {
        what: format!("the map sheet {}", path.display()),
        reason: refused.to_string(),
        todo: MEND_MAP.to_owned(),
        findings: refused.findings.iter().map(of_map).collect(),
    })
}

/// A finding on a map sheet, with its place.
pub(crate) fn of_map(finding: &mapsheet::Finding) -> Finding {
    Finding { place: place(finding), reason: finding.says.clone() }
}

/// Feature and field, or line and column, or the sheet as a whole.
pub(crate) fn place(finding: &mapsheet::Finding) -> String {
    match (&finding.feature, &finding.field, finding.line) {
        (Some(feature), Some(field), _) => format!("{feature}, {field}"),
        (Some(feature), None, _) => feature.clone(),
        (None, _, Some(line)) => {
            format!("line {line}, column {}", finding.column.unwrap_or_default())
        }
        (None, Some(field), None) => field.clone(),
        (None, None, None) => "the sheet".to_owned(),
    }
}

/// The rule sheet of a file, or the conservative default.
pub(crate) fn rule_sheet(path: Option<&Path>) -> Result<RuleSheet, Trouble> {
    let Some(path) = path else { return Ok(RuleSheet::default()) };
    let refused = |findings: Vec<Finding>, reason: String| Trouble::Refused {
        what: format!("the rule sheet {}", path.display()),
        reason,
        todo: MEND_RULES.to_owned(),
        findings,
    };
    RuleSheet::parse(&file::read_text(path)?).map_err(|r: rule_sheet::Refused| {
        let reason = r.to_string();
        let findings = r
            .findings
            .into_iter()
            .map(|f| Finding { place: f.key.clone(), reason: f.reason.to_string() })
            .collect();
        refused(findings, reason)
    })
}
