//! What an opening is expected to break.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::isolate::read::AmpsLack;

/// What an amount of load rests on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum LoadBasis {
    /// Somebody read it.
    Read,
    /// Peaks on the record of every customer behind it.
    Recorded,
    /// Ratings of transformers, for some customer or all.
    Nameplate,
    /// The record does not tell: no feeder reaches it as the switches stand.
    Unknown,
}

/// What an opening is expected to break, as everything stands before the first step, on its fullest
/// conductor.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExpectedLoad {
    /// Amps at the peak hour, with diversity, whole amps upwards; where they were read what flows at
    /// least. None within a loop, where no share can be told without a study, and where the record does
    /// not tell.
    pub likely_amps: Option<u32>,
    /// Amps without diversity, or all that its loop supplies; where they were read what flows at most,
    /// the limit of error included. None where the record does not tell.
    pub most_amps: Option<u32>,
    /// What they rest on.
    pub basis: LoadBasis,
    /// Where the model and its numbers come from.
    pub source: String,
    /// What it may break; none where no rating is on the record, or it is never opened under load.
    pub load_break_amps: Option<u32>,
    /// It may meet more than it may break: somebody reads the amps before it is opened.
    pub read_first: bool,
    /// When it was read; none: nobody has, or nobody said when.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub read_at: Option<String>,
    /// Why what was read does not count, by the ids of the sentences; empty where it does.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub doubts: Vec<String>,
}

impl ExpectedLoad {
    /// Whether it was read, with nothing held against that.
    pub fn counts_as_read(&self) -> bool {
        self.basis == LoadBasis::Read && self.doubts.is_empty()
    }

    /// Why it is read first, by the ids of the sentences; empty: it is no more than it may break.
    pub fn lacks(&self) -> Vec<String> {
        if !self.read_first {
            return Vec::new();
        }
        if !self.doubts.is_empty() {
            return self.doubts.clone();
        }
        let over = self.likely_amps > self.load_break_amps;
        let why = match self.basis {
            LoadBasis::Read if over => AmpsLack::OverLoadBreak,
            LoadBasis::Read => AmpsLack::NearLoadBreak,
            LoadBasis::Recorded | LoadBasis::Nameplate | LoadBasis::Unknown => AmpsLack::NotRead,
        };
        vec![why.id().to_owned()]
    }
}
