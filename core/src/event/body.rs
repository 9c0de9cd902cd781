//! The closed list of kinds, and what is not on it kept as it came.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use serde_json::Value;

use super::{
    clearance::{ClearanceEvent, ProofMade},
    course::{
        Closed, ConflictSettled, Correction, Deviation, Interrupted, MapCorrected, Resumed,
        Statement, Stopped, VerdictShown, WrongDrop,
    },
    envelope::VERSION,
    measured::{
        AmpsRead, InstrumentEntered, InstrumentProven, MarksPut, NeutralTested, OhmsRead,
        PlacementMade, RotationRead, SightingMade, VoltsRead,
    },
    opened::{Briefed, JobOpened},
    operation::{Answers, OperationDone},
    premises::{
        MeterPulled, MeterSet, PictureTaken, StayBegun, StayEnded, StayWithdrawn,
        SwitchingRunBegun, SwitchingRunEnded, ToneOn,
    },
};

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident($body:ty) = $kind:literal;)*) => {
        /// What an event says, one variant a kind.
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum Body {
            $($(#[$doc])* $name($body),)*
            /// A kind or version that is not known here: kept as it came, never applied, and from
            /// then on the job is read-only.
            Unknown {
                /// Its kind.
                kind: String,
                /// Its version.
                version: u32,
                /// Its body as it came.
                raw: Value,
            },
        }

        /// Every kind that is known, in the order of the work.
        pub const KINDS: &[&str] = &[$($kind,)*];

        impl Body {
            /// The name of its kind.
            pub fn kind(&self) -> &str {
                match self {
                    $(Self::$name(_) => $kind,)*
                    Self::Unknown { kind, .. } => kind,
                }
            }

            /// The version of its kind.
            pub fn version(&self) -> u32 {
                match self {
                    Self::Unknown { version, .. } => *version,
                    _ => VERSION,
                }
            }

            /// The body from its kind, version and JSON: an unknown kind or version is kept, a
            /// known one that does not hold its fields is refused with the reason.
            pub(super) fn from_parts(
                kind: String, version: u32, body: Value,
            ) -> Result<Self, serde_json::Error> {
                match (kind.as_str(), version) {
                    $(($kind, VERSION) => Ok(Self::$name(serde_json::from_value(body)?)),)*
                    _ => Ok(Self::Unknown { kind, version, raw: body }),
                }
            }

            /// The body as JSON, without its kind.
            pub(super) fn to_value(&self) -> Result<Value, serde_json::Error> {
                match self {
                    $(Self::$name(body) => serde_json::to_value(body),)*
                    Self::Unknown { raw, .. } => Ok(raw.clone()),
                }
            }
        }

        /// The schemas of all bodies, by kind.
        pub(super) fn schemas(generator: &mut SchemaGenerator) -> Vec<(&'static str, Schema)> {
            vec![$(($kind, generator.subschema_for::<$body>()),)*]
        }
    };
}

kinds! {
    /// The request, the crew, the pinned sheets.
    JobOpened(JobOpened) = "job-opened";
    /// The tailboard briefing.
    Briefed(Briefed) = "briefed";
    /// Somebody is at the premises.
    StayBegun(StayBegun) = "stay-begun";
    /// Somebody leaves the premises.
    StayEnded(StayEnded) = "stay-ended";
    /// A stay is taken back whole.
    StayWithdrawn(StayWithdrawn) = "stay-withdrawn";
    /// An instrument is entered.
    Instrument(InstrumentEntered) = "instrument";
    /// An instrument was held to something known.
    InstrumentProven(InstrumentProven) = "instrument-proven";
    /// Marks were put on the sets of a pad.
    MarksPut(MarksPut) = "marks-put";
    /// A clamp was placed.
    Placement(PlacementMade) = "placement";
    /// A coded switching run begins.
    SwitchingRunBegun(SwitchingRunBegun) = "switching-run-begun";
    /// A coded switching run is over and its code is opened.
    SwitchingRunEnded(SwitchingRunEnded) = "switching-run-ended";
    /// A picture of the meter was taken.
    Picture(PictureTaken) = "picture";
    /// The meter was pulled.
    MeterPulled(MeterPulled) = "meter-pulled";
    /// The meter was set back.
    MeterSet(MeterSet) = "meter-set";
    /// A tone was put on at the premises.
    ToneOn(ToneOn) = "tone-on";
    /// Something was seen or measured.
    Sighting(SightingMade) = "sighting";
    /// The questions before a lift.
    Answers(Answers) = "answers";
    /// One voltage.
    Volts(VoltsRead) = "volts";
    /// One current through something that opens.
    Amps(AmpsRead) = "amps";
    /// One insulation reading.
    Ohms(OhmsRead) = "ohms";
    /// The neutral under a known load.
    NeutralTested(NeutralTested) = "neutral-tested";
    /// The phase rotation.
    RotationRead(RotationRead) = "rotation-read";
    /// Something was operated.
    Operation(OperationDone) = "operation";
    /// Readings that are said to prove something.
    Proof(ProofMade) = "proof";
    /// One act on a clearance.
    Clearance(ClearanceEvent) = "clearance";
    /// An earlier event was wrong.
    Correction(Correction) = "correction";
    /// The field disagrees with the map record.
    MapCorrection(MapCorrected) = "map-correction";
    /// A step is taken although a rule stands before it.
    Deviation(Deviation) = "deviation";
    /// A verdict was shown.
    VerdictShown(VerdictShown) = "verdict-shown";
    /// A conflict was settled by a person.
    ConflictSettled(ConflictSettled) = "conflict-settled";
    /// Dead must be proven again.
    Interrupted(Interrupted) = "interrupted";
    /// A customer who was not the target lost supply.
    WrongDrop(WrongDrop) = "wrong-drop";
    /// The job stands still.
    Stopped(Stopped) = "stopped";
    /// A stopped job goes on.
    Resumed(Resumed) = "resumed";
    /// The job is over.
    Closed(Closed) = "closed";
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Parts {
    kind: String,
    version: u32,
    body: Value,
}

impl Serialize for Statement {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let body = self.0.to_value().map_err(serde::ser::Error::custom)?;
        Parts { kind: self.0.kind().into(), version: self.0.version(), body }.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Statement {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let parts = Parts::deserialize(deserializer)?;
        Body::from_parts(parts.kind, parts.version, parts.body)
            .map(|body| Self(Box::new(body)))
            .map_err(de::Error::custom)
    }
}

impl JsonSchema for Statement {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Statement".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "description": "Kind, version and body as they stand in an event.",
            "required": ["kind", "version", "body"],
            "additionalProperties": false,
            "properties": {
                "kind": { "type": "string" },
                "version": { "type": "integer", "minimum": 1 },
                "body": { "type": "object" }
            }
        })
    }
}
