//! A layer's part of the mapping: kind, rows, geometry, fields.

use std::collections::{BTreeMap, BTreeSet};

use coldlug_core::mapsheet::{FieldOf, KINDS, SourceFindingId, fields_of};
use toml::Value as Toml;

use super::filling::{Filling, Wrong, fields, only_keys};

/// Which rows of a layer become features of which kind, and how.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Block {
    /// The key of its findings: `layer 3`.
    pub(crate) key: String,
    /// The layer.
    pub(crate) of: String,
    /// The kind.
    pub(crate) kind: &'static str,
    /// Which rows.
    pub(crate) lines: Lines,
    /// What is drawn.
    pub(crate) drawing: Drawing,
    /// The reference system, where the mapping states it.
    pub(crate) system: Option<String>,
    /// The fields.
    pub(crate) fields: Vec<(FieldOf, Filling)>,
}

/// Which rows are taken: by column, the codes of which it must hold one.
pub(crate) type Lines = BTreeMap<String, BTreeSet<String>>;

/// Where the geometry of a feature comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Drawing {
    /// The row has it.
    Own,
    /// There is none.
    Nothing,
    /// Two columns are a point.
    Columns {
        /// East.
        lon: String,
        /// North.
        lat: String,
    },
    /// The place of the feature's node is a point.
    Node,
    /// The places of the feature's two ends are a straight line.
    Ends,
}

/// Which layer says where nodes are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Places {
    /// The key of its findings.
    pub(crate) key: String,
    /// The layer.
    pub(crate) of: String,
    /// The column of the node's name.
    pub(crate) node: String,
    /// What stands before the name.
    pub(crate) before: String,
    /// Where the place comes from: the row's own point, or two columns.
    pub(crate) drawing: Drawing,
    /// The reference system, where the mapping states it.
    pub(crate) system: Option<String>,
}

/// A table of the mapping that is being read.
pub(super) struct Table<'a> {
    key: String,
    table: &'a toml::Table,
}

impl<'a> Table<'a> {
    pub(super) fn new(
        key: String,
        table: &'a toml::Table,
        known: &[&str],
        wrong: &mut Vec<Wrong>,
    ) -> Self {
        only_keys(&key, table, known, wrong);
        Self { key, table }
    }

    fn needs(&self, name: &str, needs: &str, wrong: &mut Vec<Wrong>) {
        let args = vec![("needs", needs.to_owned())];
        wrong.push((format!("{}.{name}", self.key), SourceFindingId::FillingWrong, args));
    }

    fn maybe(&self, name: &str, wrong: &mut Vec<Wrong>) -> Option<String> {
        let said = self.table.get(name)?;
        let text = said.as_str().map(str::trim).filter(|text| !text.is_empty());
        if text.is_none() {
            self.needs(name, "text", wrong);
        }
        text.map(str::to_owned)
    }

    fn text(&self, name: &str, wrong: &mut Vec<Wrong>) -> Option<String> {
        if !self.table.contains_key(name) {
            self.needs(name, "text", wrong);
        }
        self.maybe(name, wrong)
    }

    /// Two columns that are a place, where they are named.
    fn columns(&self, wrong: &mut Vec<Wrong>) -> Option<Drawing> {
        match (self.maybe("lon", wrong), self.maybe("lat", wrong)) {
            (Some(lon), Some(lat)) => Some(Drawing::Columns { lon, lat }),
            (None, None) => None,
            (Some(_), None) => {
                self.needs("lat", "text", wrong);
                None
            }
            (None, Some(_)) => {
                self.needs("lon", "text", wrong);
                None
            }
        }
    }

    fn lines(&self, wrong: &mut Vec<Wrong>) -> Lines {
        let Some(said) = self.table.get("only") else { return Lines::new() };
        let codes = |said: &Toml| -> Option<BTreeSet<String>> {
            let one = |said: &Toml| match said {
                Toml::String(text) => Some(text.clone()),
                Toml::Integer(whole) => Some(whole.to_string()),
                Toml::Boolean(flag) => Some(flag.to_string()),
                _ => None,
            };
            match said {
                Toml::Array(all) => all.iter().map(one).collect(),
                said => one(said).map(|code| BTreeSet::from([code])),
            }
        };
        let lines = said.as_table().and_then(|table| {
            table.iter().map(|(column, said)| Some((column.clone(), codes(said)?))).collect()
        });
        if lines.is_none() {
            self.needs("only", "{ COLUMN = [\"code\", …] }", wrong);
        }
        lines.unwrap_or_default()
    }
}

impl Block {
    /// Reads one `[[layer]]`.
    pub(super) fn read(number: usize, table: &toml::Table, wrong: &mut Vec<Wrong>) -> Option<Self> {
        let key = format!("layer {number}");
        let known = ["of", "kind", "only", "geometry", "lon", "lat", "system", "fields"];
        let read = Table::new(key.clone(), table, &known, wrong);
        let of = read.text("of", wrong);
        let kind = read.text("kind", wrong);
        let system = read.maybe("system", wrong);
        let drawing = read.columns(wrong);
        let drawing = match (drawing, read.maybe("geometry", wrong).as_deref()) {
            (Some(columns), None) => columns,
            (None, None | Some("own")) => Drawing::Own,
            (None, Some("none")) => Drawing::Nothing,
            (None, Some("node")) => Drawing::Node,
            (None, Some("ends")) => Drawing::Ends,
            (Some(_) | None, Some(_)) => {
                read.needs("geometry", "own, none, node, ends, or lon and lat", wrong);
                Drawing::Nothing
            }
        };
        let lines = read.lines(wrong);
        let kind = kind.and_then(|name| {
            let kind = KINDS.into_iter().find(|kind| *kind == name);
            if kind.is_none() {
                let args = vec![("kind", name), ("known", KINDS.join(", "))];
                wrong.push((format!("{key}.kind"), SourceFindingId::KindUnknown, args));
            }
            kind
        })?;
        let nothing = toml::Table::new();
        let said = table.get("fields").and_then(Toml::as_table).unwrap_or(&nothing);
        let known = fields_of(kind).unwrap_or_default();
        let fields = fields(&format!("{key}.fields"), known, said, wrong);
        Some(Self { key, of: of?, kind, lines, drawing, system, fields })
    }

    /// Fields that a feature must have and nothing fills. A pad's contents are what is in it.
    pub(super) fn unmapped(&self) -> impl Iterator<Item = &'static str> {
        let known = fields_of(self.kind).unwrap_or_default().iter();
        let needed = known.filter(|f| f.required && (self.kind, f.name) != ("pad", "contains"));
        needed
            .filter(|f| self.fields.iter().all(|(filled, _)| filled.name != f.name))
            .map(|f| f.name)
    }

    /// How a field is filled.
    pub(crate) fn filling(&self, field: &str) -> Option<&Filling> {
        self.fields.iter().find(|(known, _)| known.name == field).map(|(_, filling)| filling)
    }
}

impl Places {
    /// Reads one `[[places]]`.
    pub(super) fn read(number: usize, table: &toml::Table, wrong: &mut Vec<Wrong>) -> Option<Self> {
        let key = format!("places {number}");
        let known = ["of", "node", "before", "lon", "lat", "system"];
        let read = Table::new(key.clone(), table, &known, wrong);
        let of = read.text("of", wrong);
        let node = read.text("node", wrong);
        let before = read.maybe("before", wrong).unwrap_or_default();
        let system = read.maybe("system", wrong);
        let drawing = read.columns(wrong).unwrap_or(Drawing::Own);
        Some(Self { key, of: of?, node: node?, before, drawing, system })
    }
}
