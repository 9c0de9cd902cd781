//! What a check of a map sheet came to.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    mapsheet::{Finding, MapSheet, Refused, Written},
    plant::Plant,
};

/// Answer to "does this map sheet hold together?".
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckForm {
    /// True when the sheet is accepted; a sheet with any error is refused whole.
    pub accepted: bool,
    /// The sheet as it was understood; none when it is refused.
    pub sheet: Option<SheetForm>,
    /// Everything that was found: all errors of a refused sheet, all warnings of an accepted one.
    pub findings: Vec<Finding>,
}

/// What a sheet holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetForm {
    /// Its name.
    pub name: String,
    /// Its edition.
    pub edition: String,
    /// Whether it is an invention and no real place.
    pub invented: bool,
    /// SHA-256 of its canonical bytes, 64 hexadecimal digits; jobs pin it.
    pub sha256: String,
    /// Feeders.
    pub sources: usize,
    /// Everything that opens.
    pub switches: usize,
    /// Primary cables.
    pub cables: usize,
    /// Transformers.
    pub transformers: usize,
    /// Cabinets.
    pub pads: usize,
    /// Pedestals.
    pub pedestals: usize,
    /// Secondary cable sets.
    pub sets: usize,
    /// Services.
    pub services: usize,
}

impl CheckForm {
    /// From what reading the sheet gave.
    pub fn new(read: &Result<MapSheet, Refused>) -> Self {
        match read {
            Ok(sheet) => Self {
                accepted: true,
                sheet: Some(SheetForm::new(&sheet.plant, &sheet.hash)),
                findings: sheet.warnings.clone(),
            },
            Err(refused) => {
                Self { accepted: false, sheet: None, findings: refused.findings.clone() }
            }
        }
    }
}

impl SheetForm {
    /// How many features it has.
    pub fn features(&self) -> usize {
        self.sources
            + self.switches
            + self.cables
            + self.transformers
            + self.pads
            + self.pedestals
            + self.sets
            + self.services
    }

    pub(super) fn written(of: &Written) -> Self {
        let [sources, switches, cables, transformers, pads, pedestals, sets, services] = of.counts;
        Self {
            name: of.name.clone(),
            edition: of.edition.clone(),
            invented: of.invented,
            sha256: of.hash.clone(),
            sources,
            switches,
            cables,
            transformers,
            pads,
            pedestals,
            sets,
            services,
        }
    }

    fn new(plant: &Plant, hash: &str) -> Self {
        Self {
            name: plant.name.clone(),
            edition: plant.edition.clone(),
            invented: plant.invented,
            sha256: hash.to_owned(),
            sources: plant.sources.len(),
            switches: plant.switches.len(),
            cables: plant.cables.len(),
            transformers: plant.transformers.len(),
            pads: plant.pads.len(),
            pedestals: plant.pedestals.len(),
            sets: plant.sets.len(),
            services: plant.services.len(),
        }
    }
}
