//! Reads the mapping file: everything that is wrong with it, in one go.

use coldlug_core::mapsheet::{Found, Origin, Severity, SourceFinding, SourceFindingId, What};
use serde_json::{Map, Value};
use toml::Value as Toml;

use super::block::{Block, Places};
use super::filling::{Wrong, json};

/// A mapping that holds together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mapping {
    /// The file, for findings.
    pub(crate) at: Origin,
    /// The sheet's header, as a map sheet has it.
    pub(crate) header: Map<String, Value>,
    /// Where nodes are.
    pub(crate) places: Vec<Places>,
    /// Which layer gives what.
    pub(crate) blocks: Vec<Block>,
}

/// A mapping as it was read: what is wrong with it, and what could be read all the same.
#[derive(Debug)]
pub(crate) struct Parsed {
    /// What could be read.
    pub(crate) mapping: Option<Mapping>,
    /// What is wrong.
    pub(crate) wrong: Vec<Found>,
}

impl Mapping {
    /// Reads a mapping's text. What each block leaves unfilled is looked for once the blocks are
    /// whole, by [`Self::unmapped`].
    pub(crate) fn read(file: &str, text: &str) -> Parsed {
        let at = Origin::file(file);
        let table: toml::Table = match text.parse() {
            Ok(table) => table,
            Err(error) => return Parsed { mapping: None, wrong: vec![unread(&at, text, &error)] },
        };
        let mut wrong: Vec<Wrong> = Vec::new();
        for name in table.keys().filter(|n| !["sheet", "places", "layer"].contains(&n.as_str())) {
            let args = vec![("field", name.clone()), ("known", "sheet, places, layer".to_owned())];
            wrong.push((name.clone(), SourceFindingId::FieldUnknown, args));
        }
        let mut header = Map::from_iter([("format".to_owned(), 1.into())]);
        if let Some(said) = table.get("sheet").and_then(Toml::as_table) {
            header.extend(said.iter().filter_map(|(k, v)| Some((k.clone(), json(v)?))));
        } else {
            let args = vec![("needs", "name, edition and bounds".to_owned())];
            wrong.push(("sheet".to_owned(), SourceFindingId::FillingWrong, args));
        }
        let mut places = Vec::new();
        for (number, table) in tables(&table, "places", &mut wrong).into_iter().enumerate() {
            places.extend(Places::read(number + 1, table, &mut wrong));
        }
        let mut blocks = Vec::new();
        for (number, table) in tables(&table, "layer", &mut wrong).into_iter().enumerate() {
            blocks.extend(Block::read(number + 1, table, &mut wrong));
        }
        let wrong = wrong.into_iter().map(|wrong| found(&at, wrong)).collect();
        Parsed { mapping: Some(Self { at, header, places, blocks }), wrong }
    }

    /// Fills what the blocks leave out from others of the same layer and kind.
    pub(crate) fn complete(&mut self, known: &[Block]) {
        for block in &mut self.blocks {
            let others = known.iter().filter(|k| k.of == block.of && k.kind == block.kind);
            for (field, filling) in others.flat_map(|other| &other.fields) {
                if block.filling(field.name).is_none() {
                    block.fields.push((*field, filling.clone()));
                }
            }
        }
    }

    /// Fields that a kind must have and a block does not fill.
    pub(crate) fn unmapped(&self) -> Vec<Found> {
        let mut found = Vec::new();
        for block in &self.blocks {
            let at = self.at.layer(&*block.of).column(format!("{}.fields", block.key));
            let fields: Vec<&str> = block.unmapped().collect();
            if !fields.is_empty() {
                let args = [("fields", fields.join(", ")), ("kind", block.kind.to_owned())];
                found.push(Found::error(at, SourceFindingId::FieldUnmapped, args));
            }
        }
        found
    }
}

fn tables<'a>(top: &'a toml::Table, name: &str, wrong: &mut Vec<Wrong>) -> Vec<&'a toml::Table> {
    let Some(said) = top.get(name) else { return Vec::new() };
    let all: Option<Vec<&toml::Table>> =
        said.as_array().and_then(|items| items.iter().map(Toml::as_table).collect());
    if all.is_none() {
        let args = vec![("needs", format!("[[{name}]]"))];
        wrong.push((name.to_owned(), SourceFindingId::FillingWrong, args));
    }
    all.unwrap_or_default()
}

fn found(at: &Origin, (key, id, args): Wrong) -> Found {
    let what = SourceFinding { id, severity: Severity::Error, args };
    Found { at: at.column(key), what: What::Source(what) }
}

fn unread(at: &Origin, text: &str, error: &toml::de::Error) -> Found {
    let line = error
        .span()
        .and_then(|span| text.get(..span.start))
        .map_or(1, |before| before.bytes().filter(|&byte| byte == b'\n').count() + 1);
    let why = error.message().lines().next().unwrap_or_default().to_owned();
    Found::error(at.row(format!("line {line}")), SourceFindingId::MappingBroken, [("why", why)])
}
