//! CIM (IEC 61970-301) as RDF/XML (IEC 61970-552): classes as layers, attributes as columns.
//!
//! Objects come in any order and refer to each other, so a file is first laid out in a database of
//! its own on disk, which goes with it; memory stays bounded. A column of a mapping is a way from
//! the row's object to what it says:
//!
//! | column | what it gives |
//! |---|---|
//! | `rdf:ID` | the object's own name |
//! | `IdentifiedObject.name` | what the object says itself; of a reference the name referred to |
//! | `Equipment.EquipmentContainer/IdentifiedObject.name` | the same of the object referred to |
//! | `~Equipment.UsagePoints/rdf:ID` | the same of the object that refers to this one so |
//! | `node.1` | the connectivity node of its first terminal (of a transformer: of its first end), else the topological |
//! | `node.equipment` | of a usage point, the node of its equipment, whichever of the two refers to the other; of equipment with one terminal alone, since of two neither is where a customer is |
//! | `end.1/TransformerEnd.endNumber` | what the first end of a transformer says |
//! | `percent_z`, `x_over_r` | of a transformer with two ends, from their impedances |
//!
//! Where a column gives several values it is a list. Positions are read as x east, y north, as the
//! geographical profile has them, whatever order their reference system's name implies.

mod derive;
mod places;
mod refuse;
mod stage;
mod xml;

use std::path::Path;

use coldlug_core::mapsheet::{Found, Origin, SourceFindingId};

use super::mapping::{Block, Mapping};
use super::open::Unreadable;
use super::row::{Ask, Broken, Cell, Layer, Row, Source, Taken};
use super::shape::Drawn;
use stage::{Object, Stage};

/// The classes of switches; what CIM says of one holds for all. A cut is one of them, but for the
/// line it cuts: see `refuse`.
const SWITCHES: [&str; 12] = [
    "Switch",
    "Breaker",
    "Cut",
    "DisconnectingCircuitBreaker",
    "Disconnector",
    "Fuse",
    "GroundDisconnector",
    "Jumper",
    "LoadBreakSwitch",
    "ProtectedSwitch",
    "Recloser",
    "Sectionaliser",
];

/// The classes of what consumes; likewise.
const CONSUMERS: [&str; 4] = ["EnergyConsumer", "ConformLoad", "NonConformLoad", "StationSupply"];

/// What CIM says of itself about fields of a map sheet: names, nodes, what is normally open.
pub(super) fn known() -> Vec<Block> {
    let read = Mapping::read("known.toml", include_str!("known.toml"));
    let mut blocks = read.mapping.map(|mapping| mapping.blocks).unwrap_or_default();
    let families: [&[&str]; 2] = [&SWITCHES, &CONSUMERS];
    for family in families {
        let head = blocks.iter().find(|block| family.first() == Some(&block.of.as_str()));
        let Some(known) = head.cloned() else { continue };
        let others = family.iter().skip(1);
        blocks.extend(others.map(|of| Block { of: (*of).to_owned(), ..known.clone() }));
    }
    blocks
}

/// Some files of CIM, laid out together.
#[derive(Debug)]
pub(super) struct Cim {
    stage: Stage,
    layers: Vec<Layer>,
}

impl Cim {
    /// Lays the files out, telling how many of a file's bytes are read; what cannot be is the answer,
    /// with the number of its file.
    pub(super) fn open(
        paths: &[&Path],
        tell: &mut dyn FnMut(u64, u64),
    ) -> Result<Result<Self, (usize, Broken)>, Unreadable> {
        let mut stage = match Stage::new() {
            Ok(stage) => stage,
            Err(why) => return Ok(Err((0, why.into()))),
        };
        for (number, path) in paths.iter().enumerate() {
            let read = xml::read(path, &mut stage, tell)
                .map_err(|source| Unreadable { path: path.to_path_buf(), source })?;
            if let Err(why) = read {
                return Ok(Err((number, why)));
            }
        }
        Ok(Self::laid_out(stage).map_err(|why| (0, why)))
    }

    fn laid_out(mut stage: Stage) -> Result<Self, Broken> {
        stage.finish()?;
        let system = places::system(&stage)?;
        let layers = stage.classes()?.into_iter().map(|(name, size)| Layer {
            name,
            columns: None,
            drawn: true,
            system: system.clone(),
            size,
        });
        Ok(Self { layers: layers.collect(), stage })
    }

    /// One column of an object.
    fn cell(&self, object: &Object, column: &str) -> Result<Cell<'static>, Broken> {
        let mut at = vec![object.clone()];
        let mut steps = column.split('/').peekable();
        while let Some(step) = steps.next() {
            if steps.peek().is_none() {
                let mut values = Vec::new();
                for object in &at {
                    values.extend(self.values(object, step)?);
                }
                return Ok(cell(values));
            }
            let mut next = Vec::new();
            for object in &at {
                next.extend(self.step(object, step)?);
            }
            at = next;
        }
        Ok(Cell::Absent)
    }

    /// The objects that a step leads to.
    fn step(&self, object: &Object, step: &str) -> Result<Vec<Object>, Broken> {
        if let Some(number) = step.strip_prefix("end.").and_then(|n| n.parse().ok()) {
            return Ok(derive::end(&self.stage, object, number)?.into_iter().collect());
        }
        if let Some(name) = step.strip_prefix('~') {
            return Ok(self.stage.referring(name, &object.id)?.to_vec());
        }
        let mut objects = Vec::new();
        for said in self.stage.said(object.number)?.iter() {
            if said.refers && *said.name == *step {
                objects.extend(self.stage.object(&said.text)?);
            }
        }
        Ok(objects)
    }

    fn values(&self, object: &Object, step: &str) -> Result<Vec<String>, Broken> {
        if step == "rdf:ID" {
            return Ok(vec![object.id.clone()]);
        }
        if let Some(number) = step.strip_prefix("node.").and_then(|n| n.parse().ok()) {
            return Ok(derive::node(&self.stage, object, number)?.into_iter().collect());
        }
        if step == "node.equipment" {
            return derive::nodes_of_equipment(&self.stage, object);
        }
        if step == "percent_z" || step == "x_over_r" {
            let number = derive::impedance(&self.stage, object, step == "percent_z")?;
            return Ok(number.map(|n| n.to_string()).into_iter().collect());
        }
        let said = self.stage.said(object.number)?;
        let said = said.iter().filter(|said| *said.name == *step);
        Ok(said.map(|said| said.text.clone()).collect())
    }
}

fn cell(mut values: Vec<String>) -> Cell<'static> {
    match values.len() {
        0 => Cell::Absent,
        1 => Cell::owned(&values.remove(0)),
        _ => Cell::Texts(values),
    }
}

impl Source for Cim {
    fn layers(&self) -> &[Layer] {
        &self.layers
    }

    fn rows(&mut self, ask: Ask<'_>, take: &mut dyn FnMut(Taken<'_>)) -> Result<(), Broken> {
        let mut done = 0;
        self.stage.each(ask.layer, &mut |object| {
            let mut cells = Vec::with_capacity(ask.columns.len());
            for column in ask.columns {
                cells.push(self.cell(object, column)?);
            }
            let drawn =
                if ask.drawn { places::drawn(&self.stage, object)? } else { Drawn::Nothing };
            done += 1;
            let row = Ok(Row { cells, drawn });
            take(Taken { mark: object.number, word: "", id: Some(&object.id), done, row });
            Ok(())
        })
    }

    fn row_name(&self, mark: i64) -> String {
        self.stage.name(mark).unwrap_or_default()
    }

    /// What stands twice, what is referred to and is not there, and what a sheet cannot say.
    fn check(&mut self, at: &Origin, note: &mut dyn FnMut(Found)) -> Result<(), Broken> {
        self.stage.doubled(&mut |class, id| {
            let args = [("name", id.to_owned())];
            note(Found::error(at.layer(class).row(id), SourceFindingId::NameTwice, args));
        })?;
        self.stage.dangling(&mut |class, id, name, to| {
            let at = at.layer(class).row(id).column(name);
            note(Found::error(at, SourceFindingId::ReferenceMissing, [("name", to.to_owned())]));
        })?;
        refuse::lines_in_parts(&self.stage, at, note)?;
        refuse::phases_apart(&self.stage, at, note)
    }
}
