//! What verifying a record came to.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    event::Sha256Hex,
    log::{RecordError, Verified},
    quantity::{DeviceId, JobId},
};

/// Answer to "is this record whole?".
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordForm {
    /// True when every byte, signature and hash holds.
    pub whole: bool,
    /// What the record says of itself; null unless it is whole.
    pub record: Option<WholeRecordForm>,
    /// The first thing that is wrong; null when it is whole.
    pub fault: Option<RecordFaultForm>,
}

/// A record that holds. Whether its keys are the right devices' is for the reader to compare.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WholeRecordForm {
    /// The job.
    pub job: JobId,
    /// Each device that wrote, by name.
    pub devices: BTreeMap<DeviceId, RecordDeviceForm>,
    /// Entries in all.
    pub entries: usize,
    /// The device that signed the manifest.
    pub signer: DeviceId,
    /// Hash of the map sheet the job is pinned to.
    pub map_sheet_sha256: Option<Sha256Hex>,
    /// Hash of the rule sheet the job is pinned to.
    pub rule_sheet_sha256: Option<Sha256Hex>,
    /// Edition of the rules the job is pinned to.
    pub rules_edition: Option<String>,
}

/// One device's chain.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordDeviceForm {
    /// Its public key, hex.
    pub public_key: String,
    /// How many entries it wrote.
    pub entries: u64,
    /// Hash of its last entry; null when it wrote none.
    pub head: Option<Sha256Hex>,
}

/// What is wrong with a record. Nothing of it is used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordFaultForm {
    /// Which line, counted from one.
    pub line: usize,
    /// What is wrong with it.
    pub reason: String,
}

impl RecordForm {
    /// From what verifying gave.
    pub fn new(verified: &Result<Verified, RecordError>) -> Self {
        match verified {
            Ok(verified) => {
                Self { whole: true, record: Some(WholeRecordForm::new(verified)), fault: None }
            }
            Err(error) => {
                let fault = RecordFaultForm { line: error.line, reason: error.reason.to_string() };
                Self { whole: false, record: None, fault: Some(fault) }
            }
        }
    }
}

impl WholeRecordForm {
    fn new(verified: &Verified) -> Self {
        let Verified { header, manifest, log } = verified;
        let devices = header.devices.iter().map(|(device, key)| {
            let chain = RecordDeviceForm {
                public_key: key.to_string(),
                entries: manifest.counts.get(device).copied().unwrap_or(0),
                head: manifest.heads.get(device).copied(),
            };
            (device.clone(), chain)
        });
        Self {
            job: header.job.clone(),
            devices: devices.collect(),
            entries: log.len(),
            signer: manifest.signer.clone(),
            map_sheet_sha256: header.map_sheet_sha256,
            rule_sheet_sha256: header.rule_sheet_sha256,
            rules_edition: header.rules_edition.clone(),
        }
    }
}
