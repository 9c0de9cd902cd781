//! Map sheets and rule sheets from files, refused whole with everything that is wrong in them.

use std::{fs, path::Path};

use coldlug_core::{
    form::FoundForm,
    mapsheet::{self, FindingId, MapSheet, Refused, What},
    rule_sheet::{self, RuleSheet},
    words::Words,
};
use coldlug_store::import::import;

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
    read(path)?.map_err(|refused| Trouble::Refused {
        what: format!("the map sheet {}", path.display()),
        reason: refused.to_string(),
        todo: MEND_MAP.to_owned(),
        findings: refused.findings.iter().map(of_map).collect(),
    })
}

/// A map sheet, or everything that is wrong with it. One beyond what a phone or desk takes is read
/// feature by feature.
pub(crate) fn read(path: &Path) -> Result<Result<MapSheet, Refused>, Trouble> {
    let unreadable = |source| Trouble::Unreadable { path: path.to_owned(), source };
    let bytes = fs::metadata(path).map_err(unreadable)?.len();
    if usize::try_from(bytes).is_ok_and(|bytes| bytes <= mapsheet::MOST_BYTES) {
        let read = mapsheet::read(&file::read(path)?);
        let large = |refused: &Refused| refused.errors().any(|f| f.id == FindingId::TooLarge);
        if !read.as_ref().is_err_and(large) {
            return Ok(read);
        }
    }
    let imported = import(&[path.to_owned()], None, &mut ()).map_err(Trouble::from)?;
    let mut findings = Vec::new();
    for found in &imported.findings.kept {
        match &found.what {
            What::Sheet(finding) => findings.push((**finding).clone()),
            // Not a sheet at all, or cut off: there is nothing else to say of it.
            What::Source(_) => {
                let words = Words::english().map_err(|e| Trouble::fault(e.to_string()))?;
                let form = FoundForm::new(found, &words);
                return Err(Trouble::refused(form.place(), form.says, MEND_MAP));
            }
        }
    }
    let Some(plant) = imported.sheet else { return Ok(Err(Refused { findings })) };
    let hash = mapsheet::hash(&plant).map_err(|e| Trouble::fault(e.to_string()))?;
    Ok(Ok(MapSheet { plant, hash, warnings: findings }))
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
