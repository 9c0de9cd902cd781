//! What is open, lifted, capped, shorted, grounded, tagged and locked: by whom, since when.

use std::collections::BTreeMap;

use super::vented::Vented;
use crate::{
    event::{Event, OwnSources},
    plant::{Conductor, SwitchState, SwitchStates},
    quantity::{AssetId, Decimal, DeedId, EventId, Instant, InstrumentId, NodeId, PersonId},
    sighting::SetAt,
};

/// Who did it, when, by which event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Touch {
    /// The event.
    pub event: EventId,
    /// Who.
    pub person: PersonId,
    /// When.
    pub at: Instant,
}

impl Touch {
    pub(super) fn of(event: &Event) -> Self {
        Self { event: event.id.clone(), person: event.person.clone(), at: event.when() }
    }
}

/// A conductor that is off its lug.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LiftedLeg {
    /// Lifted.
    pub lifted: Touch,
    /// Capped to rated voltage.
    pub capped: Option<Touch>,
    /// Restrained.
    pub restrained: Option<Touch>,
    /// Tagged.
    pub tagged: Option<Touch>,
}

/// The target's meter, out of its base.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeterOut {
    /// The pull.
    pub deed: DeedId,
    /// Who, when.
    pub touch: Touch,
    /// The number read on it in the hand.
    pub number_in_hand: Option<String>,
    /// The customer's own sources as they were found then.
    pub own_sources: OwnSources,
}

/// A customer's main.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Main {
    /// Open or closed.
    pub open: bool,
    /// Who, when.
    pub touch: Touch,
}

/// A customer's own sources.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sources {
    /// Switched off.
    pub off: bool,
    /// Who, when.
    pub touch: Touch,
}

/// What was measured across an open point.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// Volts.
    pub across_volts: Decimal,
    /// With which instrument; none: nobody said.
    pub instrument: Option<InstrumentId>,
    /// Who, when.
    pub touch: Touch,
}

/// The physical state. A leg that is not named here is on its lug, a switch that is not named is as
/// it normally is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Physical {
    /// Lifted conductors, by set.
    pub legs: BTreeMap<SetAt, BTreeMap<Conductor, LiftedLeg>>,
    /// Sets whose lifted legs are shorted to neutral.
    pub shorts: BTreeMap<SetAt, Touch>,
    /// Grounds that are on.
    pub grounds: BTreeMap<NodeId, Touch>,
    /// Switches that were operated, and how they stand.
    pub switches: BTreeMap<AssetId, (SwitchState, Touch)>,
    /// Locks.
    pub locks: BTreeMap<AssetId, Touch>,
    /// Tags.
    pub tags: BTreeMap<AssetId, Touch>,
    /// The target's meter, when it is out.
    pub meter_out: Option<MeterOut>,
    /// Mains that were operated.
    pub mains: BTreeMap<AssetId, Main>,
    /// Own sources that were operated.
    pub sources: BTreeMap<AssetId, Sources>,
    /// Neutrals that were verified since the last lift of their set.
    pub neutrals: BTreeMap<SetAt, Touch>,
    /// Every venting of a tank, in the order of the record.
    pub vented: Vec<Vented>,
    /// How many of them came before a switch was opened or closed last.
    pub(super) vented_before: BTreeMap<AssetId, usize>,
    /// Loop points that were measured since anything was opened or closed.
    pub measured: BTreeMap<AssetId, Measured>,
}

impl Physical {
    /// A lifted conductor.
    pub fn lifted(&self, set: &SetAt, leg: Conductor) -> Option<&LiftedLeg> {
        self.legs.get(set)?.get(&leg)
    }

    /// The lifted conductors of a set.
    pub fn lifted_of(&self, set: &SetAt) -> Vec<Conductor> {
        self.legs.get(set).map(|legs| legs.keys().copied().collect()).unwrap_or_default()
    }

    /// Whether a service's main is known to be open.
    pub fn main_open(&self, service: &AssetId) -> bool {
        self.mains.get(service).is_some_and(|main| main.open)
    }

    /// How the operated switches stand, as the network takes it.
    pub fn switch_states(&self) -> SwitchStates {
        self.switches.iter().map(|(id, (state, _))| (id.clone(), *state)).collect()
    }

    /// Shorts and grounds that are on, by name.
    pub fn grounds_on(&self) -> Vec<String> {
        let shorts = self.shorts.keys().map(|set| format!("{}:{}", set.pad, set.position));
        shorts.chain(self.grounds.keys().map(ToString::to_string)).collect()
    }

    /// True when nothing is lifted, shorted or grounded.
    pub fn all_landed(&self) -> bool {
        self.legs.is_empty() && self.shorts.is_empty() && self.grounds.is_empty()
    }
}
