//! What opens a job: the request, the crew, the pinned sheets, the briefing.

use std::{borrow::Cow, fmt, str::FromStr};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::{
    caution::Subject,
    gate::{Role, Scope},
    quantity::{AssetId, DeviceId, JobId, PersonId},
};

/// A SHA-256, written as 64 lower-case hex digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Sha256Hex(pub [u8; 32]);

impl fmt::Display for Sha256Hex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hex::encode(self.0))
    }
}

impl fmt::Debug for Sha256Hex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Sha256Hex({self})")
    }
}

impl FromStr for Sha256Hex {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let lower = text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
        let mut bytes = [0; 32];
        if lower && hex::decode_to_slice(text, &mut bytes).is_ok() {
            Ok(Self(bytes))
        } else {
            Err("a SHA-256 is 64 hex digits, lower case".into())
        }
    }
}

impl Serialize for Sha256Hex {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Sha256Hex {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(de::Error::custom)
    }
}

impl JsonSchema for Sha256Hex {
    fn schema_name() -> Cow<'static, str> {
        "Sha256Hex".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "pattern": "^[0-9a-f]{64}$" })
    }
}

/// One person of the crew.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CrewMember {
    /// Who.
    pub person: PersonId,
    /// As what.
    pub role: Role,
    /// The device they write on, where they carry one of the job's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<DeviceId>,
}

/// `job-opened`: the request, and what it is judged by.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JobOpened {
    /// The job.
    pub job: JobId,
    /// The service to be made dead.
    pub service: AssetId,
    /// Which conductors the work is on or near.
    pub scope: Scope,
    /// What the work is, in words.
    pub work: String,
    /// Hash of the map sheet's bytes.
    pub map_sheet_sha256: Sha256Hex,
    /// Hash of the rule sheet's bytes.
    pub rule_sheet_sha256: Sha256Hex,
    /// Edition of the rules this job is pinned to.
    pub rules_edition: String,
    /// Who works on it.
    pub crew: Vec<CrewMember>,
    /// The sealed code of the job's sticker, which the electrician puts on the meter base; none: there
    /// is none. See [`crate::sighting::seal_sticker`]: no phone of the crew holds the code itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sticker_sha256: Option<Sha256Hex>,
}

/// `briefed`: the tailboard briefing was held.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Briefed {
    /// What was talked through.
    pub subjects: Vec<Subject>,
    /// Who was there.
    pub present: Vec<PersonId>,
}
