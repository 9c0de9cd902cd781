//! What can be written down: kinds and versions.
//!
//! One event is one JSON line, unsigned: `id, kind, version, at, device, person, body`, and
//! `late_wall_ms` on an entry made late. An entry of the log is a signed event. Quantities are
//! decimal strings with the unit in the name (`"amps": "12.5"`). Every kind has an example that is
//! kept under test, see [`examples`].

mod body;
mod clearance;
mod course;
mod envelope;
mod example;
mod lines;
mod measured;
mod opened;
mod operation;
mod premises;
mod schema;
mod strict;

pub use body::{Body, KINDS};
pub use clearance::{ClearanceEvent, ClearanceOp, OwnTest, ProofMade, ProofOf};
pub use course::{
    Closed, ConflictSettled, Correction, Deviation, Interrupted, Interruption, MapCorrected,
    Resumed, ShownVerdict, Statement, Stopped, VerdictShown, WrongDrop,
};
pub use envelope::{Event, EventError, VERSION};
pub use example::examples;
pub use lines::{EventsError, LONGEST_LINE, LineError, MOST_BYTES, MOST_EVENTS, parse_events};
pub use measured::{
    AmpsRead, InstrumentEntered, InstrumentProven, MarksPut, NeutralTested, OhmsRead,
    PlacementMade, RotationRead, Shown, SightingMade, VoltsRead,
};
pub use opened::{Briefed, CrewMember, JobOpened, Sha256Hex};
pub use operation::{Answers, Bolt, Enclosure, Front, Operation, OperationDone};
pub use premises::{
    Bypass, MeterPulled, MeterSet, OwnSources, PictureTaken, StayBegun, StayEnded, StayWithdrawn,
    SwitchingRunBegun, SwitchingRunEnded, ToneOn,
};
pub use schema::schema;
pub use strict::{StrictError, strict_value};
