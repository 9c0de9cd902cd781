//! What every proof is judged with, and the points it asks for.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    plant::{Conductor, Pair, VoltageSystem},
    quantity::{AssetId, Instant, InstrumentId, Time},
    reading::{
        Instrument, JudgedVolts, Liveness, Moment, Place, Side, Taken, VoltsReading, judge_volts,
        liveness,
    },
    rule_sheet::RuleSheet,
};

/// What readings are judged with.
#[derive(Debug, Clone, Copy)]
pub struct Judging<'a> {
    /// The voltage system of the service.
    pub system: VoltageSystem,
    /// The instruments of the job.
    pub instruments: &'a BTreeMap<InstrumentId, Instrument>,
    /// When each was last shown to work on a known source.
    pub proven: &'a BTreeMap<InstrumentId, Instant>,
    /// Since when each has been shown to work without a failure in between.
    pub proven_since: &'a BTreeMap<InstrumentId, Instant>,
    /// The utility's limits.
    pub rules: &'a RuleSheet,
}

/// Where something is proven dead.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case", tag = "zone", deny_unknown_fields)]
pub enum Zone {
    /// A meter base: line side, load side, and across each pair of jaws.
    MeterBase {
        /// The service.
        service: AssetId,
    },
    /// The lifted legs of a set, at the pad.
    LiftedLegs {
        /// The pad.
        pad: AssetId,
        /// The lug position.
        position: String,
    },
    /// The secondary bus of a pad.
    PadBus {
        /// The pad.
        pad: AssetId,
    },
}

/// One place and one pair that must be read.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(deny_unknown_fields)]
pub struct Point {
    /// Where.
    pub place: Place,
    /// Between which conductors.
    pub between: Pair,
}

impl Zone {
    /// Everything that must read dead, in order.
    pub fn points(&self, system: VoltageSystem) -> Vec<Point> {
        let all = |place: &Place| -> Vec<Point> {
            let pairs = system.pairs_to_test().into_iter();
            pairs.map(|between| Point { place: place.clone(), between }).collect()
        };
        match self {
            Self::MeterBase { service } => {
                let side = |side| Place::MeterBase { service: service.clone(), side };
                let mut points = all(&side(Side::Line));
                points.extend(all(&side(Side::Load)));
                points.extend(
                    system.legs().iter().map(|&leg| Point {
                        place: side(Side::AcrossJaws),
                        between: Pair(leg, leg),
                    }),
                );
                points
            }
            Self::LiftedLegs { pad, position } => {
                all(&Place::LiftedLegs { pad: pad.clone(), position: position.clone() })
            }
            Self::PadBus { pad } => all(&Place::PadBus { pad: pad.clone() }),
        }
    }

    /// Whether a voltage there is a voltage in this zone. Lifted conductors belong to the base they
    /// lead to, so a live one anywhere stops the proof of a base.
    pub fn holds(&self, place: &Place) -> bool {
        match (self, place) {
            (Self::MeterBase { service }, Place::MeterBase { service: read, .. }) => {
                service == read
            }
            (Self::MeterBase { .. }, Place::LiftedLegs { .. }) => true,
            (Self::LiftedLegs { pad, position }, Place::LiftedLegs { pad: read, position: at }) => {
                pad == read && position == at
            }
            (Self::PadBus { pad }, Place::PadBus { pad: read }) => pad == read,
            _ => false,
        }
    }
}

impl Point {
    /// The point a reading was taken at, its pair in the one order.
    pub fn of(reading: &VoltsReading) -> Self {
        let Pair(one, other) = reading.between;
        let between = Pair::of(one, other).unwrap_or(reading.between);
        Self { place: reading.place.clone(), between }
    }

    /// Whether a reading was taken here.
    pub(super) fn is_of(&self, reading: &VoltsReading) -> bool {
        let Pair(one, other) = reading.between;
        self.place == reading.place
            && self.between == Pair::of(one, other).unwrap_or(reading.between)
    }

    /// A leg to neutral at the line side of a base.
    pub(super) fn at_base(service: &AssetId, leg: Conductor) -> Self {
        let place = Place::MeterBase { service: service.clone(), side: Side::Line };
        Self { place, between: Pair(leg, Conductor::N) }
    }

    /// A leg to neutral on the bus of a pad.
    pub(super) fn on_bus(pad: &AssetId, leg: Conductor) -> Self {
        Self { place: Place::PadBus { pad: pad.clone() }, between: Pair(leg, Conductor::N) }
    }
}

impl Judging<'_> {
    /// Judges a reading as of `now`.
    pub(super) fn volts(
        &self,
        taken: &Taken<VoltsReading>,
        now: &Instant,
        proven: Option<&Instant>,
        window: Time,
    ) -> JudgedVolts {
        let instrument = self.instruments.get(&taken.reading.instrument);
        let moment = Moment { now, taken: &taken.at, proven, window };
        judge_volts(&taken.reading, instrument, moment, self.rules)
    }

    /// Judges a reading as of the moment it was taken, its instrument taken as shown to work.
    pub(super) fn as_taken(&self, taken: &Taken<VoltsReading>) -> JudgedVolts {
        self.volts(taken, &taken.at, Some(&taken.at), self.rules.proof_window())
    }

    /// Whether a reading shows its tester to work: live on a known source, nothing held against it,
    /// and the tester has not failed against something known since, nor before without being held to
    /// it again.
    pub(super) fn is_check(&self, taken: &Taken<VoltsReading>) -> bool {
        if !matches!(taken.reading.place, Place::KnownSource { .. }) {
            return false;
        }
        let since = self.proven_since.get(&taken.reading.instrument);
        let shown =
            |since: &Instant| since.boot != taken.at.boot || since.mono_ms <= taken.at.mono_ms;
        if !since.is_some_and(shown) {
            return false;
        }
        let judged = self.as_taken(taken);
        judged.liveness == Liveness::Live && judged.validation.is_accepted()
    }

    /// What a reading says before anything is held against it.
    pub(super) fn at_face(&self, taken: &Taken<VoltsReading>) -> Liveness {
        let judged = self.as_taken(taken);
        match judged.liveness {
            Liveness::Live => Liveness::Live,
            Liveness::Dead | Liveness::Undecided => liveness(judged.bound, self.rules),
        }
    }
}

/// True when both were counted by one boot and `one` comes first.
pub(super) fn is_before(one: &Instant, other: &Instant) -> bool {
    one.boot == other.boot && one.mono_ms < other.mono_ms
}
