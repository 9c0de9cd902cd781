//! What is wrong with a source that a map sheet is made from: where it stands there, and what.
//!
//! A source is a file of somebody else's; what is wrong with the sheet that comes of it is a
//! [`Finding`], as with any sheet. Both keep the place in the source, so that it is mended there.

use super::finding::{Finding, Severity};

/// Where something stands in a source.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Origin {
    /// The file's name.
    pub file: Option<Box<str>>,
    /// The layer, table or class.
    pub layer: Option<Box<str>>,
    /// The row: `row 12`, `line 12`, or the name the source gives it.
    pub row: Option<Box<str>>,
    /// The column, attribute or key of the mapping.
    pub column: Option<Box<str>>,
}

impl Origin {
    /// A place in a file as a whole.
    pub fn file(name: impl Into<Box<str>>) -> Self {
        Self { file: Some(name.into()), ..Self::default() }
    }

    /// A layer of the same file.
    #[must_use]
    pub fn layer(&self, name: impl Into<Box<str>>) -> Self {
        Self { layer: Some(name.into()), row: None, column: None, ..self.clone() }
    }

    /// A row of the same layer.
    #[must_use]
    pub fn row(&self, row: impl Into<Box<str>>) -> Self {
        Self { row: Some(row.into()), column: None, ..self.clone() }
    }

    /// A column of the same row or layer.
    #[must_use]
    pub fn column(&self, name: impl Into<Box<str>>) -> Self {
        Self { column: Some(name.into()), ..self.clone() }
    }
}

/// Declares the ids with their names, so that neither can be without the other.
macro_rules! ids {
    ($($(#[$doc:meta])* $variant:ident = $id:literal,)*) => {
        /// What kind of thing is wrong with a source or its mapping; the names are stable and are
        /// those of the sentences.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum SourceFindingId {
            $($(#[$doc])* $variant,)*
        }

        impl SourceFindingId {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The stable id; its sentence has the same.
            pub const fn id(self) -> &'static str {
                match self {
                    $(Self::$variant => $id,)*
                }
            }
        }
    };
}

ids! {
    /// A file of no form that is known.
    FileUnknown = "import-file-unknown",
    /// A file that is damaged, or not of the form it begins as.
    FileBroken = "import-file-broken",
    /// A file that needs a mapping, and there is none.
    MappingNeeded = "import-mapping-needed",
    /// A mapping that cannot be read.
    MappingBroken = "import-mapping-broken",
    /// Files that cannot be taken together.
    FilesMixed = "import-files-mixed",
    /// A mapping names a kind that is none.
    KindUnknown = "import-kind-unknown",
    /// A mapping fills a field that its kind does not have.
    FieldUnknown = "import-field-unknown",
    /// A mapping leaves out a field that its kind must have.
    FieldUnmapped = "import-field-unmapped",
    /// A number without its unit, or with one that does not measure it.
    UnitWrong = "import-unit-wrong",
    /// A way of filling a field that does not go with what the field holds.
    FillingWrong = "import-filling-wrong",
    /// A layer that the mapping names and no file has.
    LayerMissing = "import-layer-missing",
    /// A layer that two files have.
    LayerTwice = "import-layer-twice",
    /// A layer that no line of the mapping takes (warning).
    LayerUnmapped = "import-layer-unmapped",
    /// A column that the mapping names and the layer does not have.
    ColumnMissing = "import-column-missing",
    /// A column that holds nothing in any row that was taken (warning).
    ColumnEmpty = "import-column-empty",
    /// A code that the mapping's table does not have.
    CodeUnknown = "import-code-unknown",
    /// A value that is not of the form its field needs.
    CellWrong = "import-cell-wrong",
    /// A row that tells of something within a feature and leaves out what that needs.
    ObjectHalf = "import-object-half",
    /// A row that cannot be read.
    RowBroken = "import-row-broken",
    /// A geometry that cannot be read.
    GeometryBroken = "import-geometry-broken",
    /// A geometry that is neither one point nor one line.
    GeometryKind = "import-geometry-kind",
    /// Heights that are not kept (warning).
    HeightsLeft = "import-heights-left",
    /// Coordinates without a stated reference system.
    SystemMissing = "import-system-missing",
    /// A reference system that cannot be turned into longitude and latitude here.
    SystemUnknown = "import-system-unknown",
    /// A coordinate that its reference system does not have.
    PlaceOutside = "import-place-outside",
    /// A node whose place is not in the source.
    PlaceMissing = "import-place-missing",
    /// A node with two places.
    PlaceTwice = "import-place-twice",
    /// A field filled with one value for all rows, as the mapping says (warning).
    ValueStated = "import-value-stated",
    /// Lines drawn straight between their ends, as the mapping says (warning).
    DrawnStraight = "import-drawn-straight",
    /// Rows left out, as the mapping says (warning).
    RowsLeft = "import-rows-left",
    /// A reference to something that the source does not hold.
    ReferenceMissing = "import-reference-missing",
    /// Something that stands twice under one name.
    NameTwice = "import-name-twice",
    /// A line that something parts or taps in its middle.
    LineInParts = "import-line-in-parts",
    /// A phase of a switch that normally stands otherwise than the switch.
    PhasesApart = "import-phases-apart",
}

/// One thing that is wrong with a source or its mapping.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct SourceFinding {
    /// What kind of thing.
    pub id: SourceFindingId,
    /// Whether it stands in the way.
    pub severity: Severity,
    /// What its sentence names.
    pub args: Vec<(&'static str, String)>,
}

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// In the source or its mapping.
    Source(SourceFinding),
    /// In the sheet that comes of it.
    Sheet(Box<Finding>),
}

impl What {
    /// The stable name of the kind of thing.
    pub fn id(&self) -> String {
        match self {
            Self::Source(found) => found.id.id().to_owned(),
            Self::Sheet(found) => found.id.name(),
        }
    }
}

/// One thing found in an import, with its place in the source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Where in the source.
    pub at: Origin,
    /// What.
    pub what: What,
}

impl Found {
    /// Something that stands in the way, with what its sentence names.
    pub fn error<const N: usize>(
        at: Origin,
        id: SourceFindingId,
        args: [(&'static str, String); N],
    ) -> Self {
        Self::of(at, id, Severity::Error, args)
    }

    /// Something that does not.
    pub fn warning<const N: usize>(
        at: Origin,
        id: SourceFindingId,
        args: [(&'static str, String); N],
    ) -> Self {
        Self::of(at, id, Severity::Warning, args)
    }

    fn of<const N: usize>(
        at: Origin,
        id: SourceFindingId,
        severity: Severity,
        args: [(&'static str, String); N],
    ) -> Self {
        Self { at, what: What::Source(SourceFinding { id, severity, args: args.into() }) }
    }

    /// Whether it stands in the way.
    pub fn severity(&self) -> Severity {
        match &self.what {
            What::Source(found) => found.severity,
            What::Sheet(found) => found.severity,
        }
    }
}
