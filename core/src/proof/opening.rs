//! Proof by opening: base live before, only our opening between, base dead after, bus still live.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    Judging, Point, ProvenDead, Zone,
    happening::{Course, Happening, Said, base_points},
};
use crate::{
    plant::Conductor,
    quantity::{AssetId, EventId},
    reading::Liveness,
};

/// What an opening shows about the identity of a set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "outcome")]
pub enum OpeningProof {
    /// What we opened is what feeds this base.
    Proven(ProvenByOpening),
    /// It shows nothing, and cannot be made to by more readings.
    Void {
        /// Every reason.
        why: Vec<VoidOpening>,
    },
    /// Not shown yet.
    Missing {
        /// Everything that is missing.
        missing: Vec<MissingOpening>,
    },
}

/// A set proven by opening it. Only [`prove_by_opening`] makes one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ProvenByOpening {
    service: AssetId,
    pad: AssetId,
}

impl ProvenByOpening {
    /// The service whose set it is.
    pub const fn service(&self) -> &AssetId {
        &self.service
    }

    /// The pad it was opened in.
    pub const fn pad(&self) -> &AssetId {
        &self.pad
    }
}

/// Why an opening shows nothing.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "void", deny_unknown_fields)]
pub enum VoidOpening {
    /// A leg of the base was dead before anything was opened.
    BaseDeadBefore {
        /// Which.
        leg: Conductor,
    },
    /// Something else was operated between the readings.
    OtherOperation {
        /// Which event.
        event: EventId,
    },
    /// The bus of the pad is dead after the opening: the feeder may have gone.
    BusDead {
        /// Which leg.
        leg: Conductor,
    },
    /// The base is live after the opening: another set feeds it.
    BaseLiveAfter {
        /// Which reading.
        event: EventId,
    },
    /// The proof of dead is of something else.
    OtherZone,
}

/// One thing a proof by opening lacks.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "lacks", deny_unknown_fields)]
pub enum MissingOpening {
    /// Nothing was opened.
    Opening,
    /// A leg of the base was not read live before.
    BaseLiveBefore {
        /// Which.
        leg: Conductor,
    },
    /// A leg of the bus was not read live after the base was read dead.
    BusLiveAfter {
        /// Which.
        leg: Conductor,
    },
    /// The base was not proven dead after the opening.
    DeadAfter,
}

impl VoidOpening {
    /// Its stable id, which is the id of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::BaseDeadBefore { .. } => "opening-base-dead-before",
            Self::OtherOperation { .. } => "opening-other-operation",
            Self::BusDead { .. } => "opening-bus-dead",
            Self::BaseLiveAfter { .. } => "opening-base-live-after",
            Self::OtherZone => "opening-other-zone",
        }
    }
}

impl MissingOpening {
    /// Its stable id, which is the id of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::Opening => "opening-nothing-opened",
            Self::BaseLiveBefore { .. } => "opening-base-live-before",
            Self::BusLiveAfter { .. } => "opening-bus-live-after",
            Self::DeadAfter => "opening-dead-after",
        }
    }
}

/// Judges whether opening a set showed that it feeds a base.
///
/// `happened` is the record from the last live reading of the base on, complete, and in its order;
/// `dead` the proof of dead of that base. The bus must be read live after the last reading of the
/// base, or the feeder may have gone between.
pub fn prove_by_opening(
    service: &AssetId,
    pad: &AssetId,
    happened: &[Happening<'_>],
    dead: Option<&ProvenDead>,
    with: Judging<'_>,
) -> OpeningProof {
    let Some(course) = Course::of(happened) else {
        return OpeningProof::Missing { missing: vec![MissingOpening::Opening] };
    };
    let legs = with.system.legs();
    let (mut void, mut missing) = (Vec::new(), Vec::new());
    let mut used = Vec::new();

    for &leg in legs {
        let (said, at) = course.before(&Point::at_base(service, leg), with);
        used.extend(at);
        match said {
            Said::Read(Liveness::Live) => {}
            Said::Read(Liveness::Dead) => void.push(VoidOpening::BaseDeadBefore { leg }),
            Said::Read(Liveness::Undecided) | Said::NotRead => {
                missing.push(MissingOpening::BaseLiveBefore { leg });
            }
        }
    }

    let last_dead = match dead {
        None => None,
        Some(dead) if *dead.zone() != (Zone::MeterBase { service: service.clone() }) => {
            void.push(VoidOpening::OtherZone);
            None
        }
        Some(dead) => {
            let places = dead.readings().iter().map(|event| course.place_after(event));
            places.collect::<Option<Vec<_>>>().and_then(|places| places.into_iter().max())
        }
    };
    match last_dead {
        Some(at) => used.push(at),
        None => missing.push(MissingOpening::DeadAfter),
    }

    for &leg in legs {
        let (said, at) = course.after(&Point::on_bus(pad, leg), with);
        used.extend(at);
        match said {
            Said::Read(Liveness::Dead) => void.push(VoidOpening::BusDead { leg }),
            Said::Read(Liveness::Live) if at > last_dead => {}
            Said::Read(_) | Said::NotRead => missing.push(MissingOpening::BusLiveAfter { leg }),
        }
    }

    let lives = course.lives_after(&base_points(service, legs), with);
    void.extend(lives.into_iter().map(|event| VoidOpening::BaseLiveAfter { event }));
    if let (Some(&from), Some(&to)) = (used.iter().min(), used.iter().max()) {
        let others = course.operated(from, to).into_iter();
        void.extend(others.map(|event| VoidOpening::OtherOperation { event }));
    }

    if !void.is_empty() {
        OpeningProof::Void { why: void }
    } else if !missing.is_empty() {
        OpeningProof::Missing { missing }
    } else {
        OpeningProof::Proven(ProvenByOpening { service: service.clone(), pad: pad.clone() })
    }
}

#[cfg(test)]
mod tests;
