//! What is wrong with a map sheet: each finding says which feature, which field, and what to do.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What kind of thing was found; the names are stable.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum FindingId {
    /// More bytes or features than a sheet may have.
    TooLarge,
    /// Not JSON, or cut off; with line and column.
    NotJson,
    /// One member named twice in one object; with line and column.
    RepeatedMember,
    /// JSON, but no FeatureCollection with the sheet's own header.
    NotAMapSheet,
    /// A format of the sheet this edition does not know.
    UnknownFormat,
    /// A kind of feature that is not one of ours.
    UnknownKind,
    /// A name that is no name.
    BadName,
    /// One id on two features.
    DuplicateId,
    /// A field that must be there is not.
    MissingField,
    /// A field of the wrong JSON type, or empty or overlong text.
    WrongType,
    /// A text that is not one of the allowed ones.
    UnknownChoice,
    /// A number that is negative, zero or beyond what is made.
    OutOfRange,
    /// A conductor size that is not made.
    ImpossibleSize,
    /// A voltage system without rules here.
    UnknownSystem,
    /// A field nobody reads (warning): it is not kept.
    UnknownField,
    /// A field nobody reads whose name is nearly one that is read.
    MisspelledField,
    /// A geometry that is missing, of the wrong type, or holds no coordinates.
    BadGeometry,
    /// A coordinate outside the sheet's stated bounds.
    OutsideBounds,
    /// A node at which only one thing ends.
    DanglingNode,
    /// A node name kept for what is derived from a service.
    ReservedNode,
    /// A branch whose two ends are one node.
    EndsMeet,
    /// No source feeds the service, not even through open switches.
    ServiceNotFed,
    /// A source feeds the service only through a switch that is normally open (warning).
    ServiceNormallyOut,
    /// One tag on two pads.
    DuplicateTag,
    /// One meter number twice.
    DuplicateMeter,
    /// One node with two services.
    DuplicateServiceNode,
    /// One lug position in a pad on two lug pairs.
    DuplicatePosition,
    /// A pad that is named and is not on the sheet.
    UnknownPad,
    /// The pad and what it contains say different things.
    PadDisagrees,
    /// A set and its lug pair say different things.
    LugDisagrees,
    /// A set that starts at neither lug pair nor pedestal.
    SetStart,
    /// A set that ends at neither service nor pedestal.
    SetEnd,
    /// A service or lug pair of another voltage system than its transformer.
    SystemDisagrees,
    /// Nothing feeds the sheet.
    NoSource,
}

impl FindingId {
    /// Its stable name.
    pub fn name(self) -> String {
        let name = serde_json::to_value(self).ok();
        name.and_then(|name| name.as_str().map(str::to_owned)).unwrap_or_default()
    }
}

/// Whether a finding stands in the way.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The sheet is refused.
    Error,
    /// The sheet is taken.
    Warning,
}

/// One thing found.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Finding {
    /// What kind of thing.
    pub id: FindingId,
    /// Whether it stands in the way.
    pub severity: Severity,
    /// The feature's id, or its place in the file such as `feature 12` where it has none.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub feature: Option<String>,
    /// The field.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub field: Option<String>,
    /// Line in the file, from 1, where the text itself is at fault.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub line: Option<usize>,
    /// Column in that line, from 1.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub column: Option<usize>,
    /// What is wrong and what to do, in a sentence.
    pub says: String,
}

impl Finding {
    /// An error of the sheet as a whole.
    pub(super) fn of_sheet(id: FindingId, field: Option<&str>, says: impl Into<String>) -> Self {
        Self {
            id,
            severity: Severity::Error,
            feature: None,
            field: field.map(Into::into),
            line: None,
            column: None,
            says: says.into(),
        }
    }

    /// An error of one field of one feature.
    pub(super) fn of(id: FindingId, feature: &str, field: &str, says: impl Into<String>) -> Self {
        Self { feature: Some(feature.into()), ..Self::of_sheet(id, Some(field), says) }
    }

    /// The same as a warning.
    pub(super) fn into_warning(self) -> Self {
        Self { severity: Severity::Warning, ..self }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let (Some(line), Some(column)) = (self.line, self.column) {
            write!(f, "line {line} column {column}: ")?;
        }
        match (&self.feature, &self.field) {
            (Some(feature), Some(field)) => write!(f, "{feature}, {field}: ")?,
            (Some(feature), None) => write!(f, "{feature}: ")?,
            (None, Some(field)) => write!(f, "{field}: ")?,
            (None, None) => {}
        }
        f.write_str(&self.says)
    }
}

/// A map sheet was refused whole; nothing of it was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// Everything found, errors and warnings, in the order of the file, then of the sheet.
    pub findings: Vec<Finding>,
}

impl Refused {
    /// What stands in the way.
    pub fn errors(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| f.severity == Severity::Error)
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = self.errors().count();
        match self.errors().next() {
            Some(first) if count > 1 => {
                write!(f, "the map sheet is refused whole: {first} ({} more)", count - 1)
            }
            Some(first) => write!(f, "the map sheet is refused whole: {first}"),
            None => f.write_str("the map sheet is refused whole"),
        }
    }
}

impl std::error::Error for Refused {}
