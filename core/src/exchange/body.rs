//! What can be said, each with its name on the line.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::{
    event::Sha256Hex,
    log::PublicKey,
    quantity::{ClearanceId, DeviceId, JobId, PersonId},
};

/// Something that can be said.
pub trait Body: Serialize {
    /// Its name on the line.
    const WHAT: &'static str;
}

macro_rules! bodies {
    ($($name:ident = $what:literal;)*) => {
        $(impl Body for $name { const WHAT: &'static str = $what; })*
    };
}

bodies! {
    Enrol = "enrol";
    Enrolled = "enrolled";
    Offer = "offer";
    OfferAnswer = "offer-answer";
    SheetAsked = "sheet-asked";
    SheetHere = "sheet-here";
    PhotoGiven = "photo-given";
    PhotoKept = "photo-kept";
    PhotoAsked = "photo-asked";
    PhotoHere = "photo-here";
    LinkAsked = "link-asked";
    LinkMade = "link-made";
}

/// A device wants to be known. Signed with the key that stands in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Enrol {
    /// The one-time code, as it was read or typed.
    pub code: String,
    /// The device's public key.
    pub public_key: PublicKey,
}

/// The device is known. Signed with the desk's key, which stands in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Enrolled {
    /// The desk's public key: compare its first digits with those beside the code.
    pub desk_key: PublicKey,
    /// Who carries the device, as the dispatcher said when the code was made.
    pub person: PersonId,
}

/// What a phone has, job by job and chain by chain; its entries that the desk lacks follow.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Offer {
    /// How many entries of each chain are on this phone.
    pub have: BTreeMap<JobId, BTreeMap<DeviceId, u64>>,
}

/// What became of the entries; entries that the phone lacks follow.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OfferAnswer {
    /// One for every line that came, in their order.
    pub receipts: Vec<Receipt>,
    /// Every job this device works on.
    pub jobs: BTreeMap<JobId, JobNews>,
    /// More entries wait at the desk: offer again.
    pub more: bool,
}

/// What became of one entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Receipt {
    /// Hash of the entry; of the line's bytes where it is no entry.
    pub entry: Sha256Hex,
    /// What became of it.
    pub outcome: Outcome,
}

/// What became of one entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "became", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Outcome {
    /// It is kept, and will be after a kill.
    Kept,
    /// It was there already.
    Already,
    /// It was not taken.
    Refused {
        /// Why.
        reason: String,
    },
}

/// What the desk has of a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobNews {
    /// The devices of the job and their keys, the desk's own among them.
    pub devices: BTreeMap<DeviceId, PublicKey>,
    /// How many entries of each chain are at the desk.
    pub have: BTreeMap<DeviceId, u64>,
    /// SHA-256 of the map sheet's bytes.
    pub map_sheet: Sha256Hex,
    /// SHA-256 of the rule sheet's bytes.
    pub rule_sheet: Sha256Hex,
    /// Photos that entries name and the desk does not have.
    pub photos_wanted: Vec<Sha256Hex>,
}

/// Which sheet of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SheetKind {
    /// The map sheet.
    MapSheet,
    /// The rule sheet.
    RuleSheet,
}

/// The phone wants a sheet of a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetAsked {
    /// The job.
    pub job: JobId,
    /// Which sheet.
    pub sheet: SheetKind,
}

/// The sheet's bytes follow.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetHere {
    /// The job.
    pub job: JobId,
    /// Which sheet.
    pub sheet: SheetKind,
}

/// A photo's bytes follow.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoGiven {
    /// The job.
    pub job: JobId,
    /// SHA-256 of its bytes, as entries name it.
    pub photo: Sha256Hex,
}

/// The photo is kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoKept {
    /// Which.
    pub photo: Sha256Hex,
}

/// The phone wants a photo that an entry names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoAsked {
    /// The job.
    pub job: JobId,
    /// Which.
    pub photo: Sha256Hex,
}

/// The photo's bytes follow.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoHere {
    /// Which.
    pub photo: Sha256Hex,
}

/// The phone wants a link for somebody who carries no device of the job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkAsked {
    /// The job.
    pub job: JobId,
    /// The one clearance it is good for, offered or about to be.
    pub clearance: ClearanceId,
    /// Who is to use it.
    pub person: PersonId,
}

/// The link is made; an SVG of its QR code follows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkMade {
    /// The address to open.
    pub url: String,
    /// Until when it is good, milliseconds since 1970 UTC by the desk's clock.
    pub until_ms: i64,
}
