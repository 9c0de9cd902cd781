//! What is asked of one simulated job, and what came of it.

use std::fmt;

use coldlug_core::{gate::Rule, sighting::Conditions};
use coldlug_field::{fault::Fault, mistake::MistakeKind};

use super::slip::Slip;

/// What is asked of one job. The same spec gives the same job and the same outcome anywhere.
///
/// A world that has no room for all faults is drawn again, from the same seed and the number of
/// the try; a fault for which no try has room makes the job unsolvable (`no-room-for-fault`).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spec<'a> {
    /// Everything made up follows from this number.
    pub(crate) seed: u64,
    /// What is false in this job.
    pub(crate) faults: &'a [Falsehood],
    /// Whether the map besides names the wrong set or pad.
    pub(crate) wrong_map: bool,
    /// Who says what to open.
    pub(crate) policy: Policy,
    /// How many causes the rule sheet tolerates as false; none only in the simulator.
    pub(crate) tolerated: u32,
    /// The conditions of the identification rule that are kept.
    #[cfg_attr(
        not(feature = "weakened"),
        expect(dead_code, reason = "what ships keeps them all and has no way to be asked")
    )]
    pub(crate) conditions: Conditions,
    /// What is typed at the pad in each slot of a load step.
    pub(crate) keys: Keying,
}

/// What came of one job. Truth is known from the field alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Outcome {
    /// Whether a crew that knew the truth could meet every gate; else why not, by id.
    pub(crate) solvable: Result<(), &'static str>,
    /// Closed, with its proof by opening.
    pub(crate) finished: bool,
    /// Lifts on a set that does not feed the target alone, as the software advised.
    pub(crate) wrong_openings_advised: u32,
    /// The same, on another set than the software had named.
    pub(crate) wrong_openings_against: u32,
    /// Lifts of the target's set while others hung on it whom no map shows, and who drew nothing
    /// that a clamp can tell from an idle leg, neither when it was read nor when it was lifted.
    pub(crate) idle_dropped: u32,
    /// The wrong set was noticed with one leg up, or by the proof by opening.
    pub(crate) caught_after_one_leg: bool,
    /// Proofs of dead passed, or offers accepted, with live volts on some conductor of that base.
    pub(crate) false_proven_dead: u32,
    /// Stopped with no hazard and no falsehood present.
    pub(crate) needless_stop: bool,
    /// Why the crew stopped, by id; none: it did not.
    pub(crate) stopped: Option<&'static str>,
    /// Each pad searched, coded run read, tone comparison and meter pulled for identity.
    pub(crate) tests: u32,
    /// Looks at the premises: number, plate, sticker, picture outside a run, words.
    pub(crate) looks: u32,
    /// How often each rule refused a step of this job.
    pub(crate) refused_by: Vec<(Rule, u32)>,
    /// Events written.
    pub(crate) events: u32,
}

/// A job as files that `coldlug judge` reads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SavedJob {
    /// The map sheet, GeoJSON.
    pub(crate) map_sheet: Vec<u8>,
    /// The rule sheet, TOML.
    pub(crate) rule_sheet: String,
    /// The events, JSON Lines.
    pub(crate) events: String,
}

/// One thing that is false in a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Falsehood {
    /// In the world, the record or the instruments.
    Field(Fault),
    /// By somebody's hand.
    Slip(Slip),
}

impl Falsehood {
    /// Every one, in a fixed order.
    pub(crate) fn all() -> Vec<Self> {
        let field = Fault::ALL.into_iter().map(Self::Field);
        field.chain(Slip::ALL.iter().copied().map(Self::Slip)).collect()
    }

    /// Its stable id.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Field(fault) => fault.id(),
            Self::Slip(slip) => slip.id(),
        }
    }

    /// The one with this id.
    pub(crate) fn by_id(id: &str) -> Option<Self> {
        Self::all().into_iter().find(|falsehood| falsehood.id() == id)
    }

    /// Whether it can make a sighting of the premises false: two of these at once are the stated
    /// limit of one tolerated false cause.
    pub(crate) fn is_of_premises(self) -> bool {
        match self {
            Self::Field(fault) => matches!(
                fault,
                Fault::Record(MistakeKind::WrongMeterNumber | MistakeKind::SwappedMeters)
                    | Fault::MetersExchanged
                    | Fault::PlatesExchanged
            ),
            Self::Slip(slip) => slip.is_of_premises(),
        }
    }
}

/// Who says what to open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Policy {
    /// The software's rule.
    Coldlug,
    /// What the map says.
    MapOnly,
    /// What the map says, at the pad whose tag matches.
    MapAndTag,
    /// The set whose amps change most when the load is switched or the meter pulled, once.
    AmpsOnly,
    /// The same, among the sets whose metal is that seen at the base.
    MetalAndAmps,
}

impl Policy {
    /// Every policy; ours first.
    pub(crate) const ALL: [Self; 5] =
        [Self::Coldlug, Self::MapOnly, Self::MapAndTag, Self::AmpsOnly, Self::MetalAndAmps];

    /// Its stable id, as the JSON has it.
    pub(crate) const fn id(self) -> &'static str {
        match self {
            Self::Coldlug => "coldlug",
            Self::MapOnly => "map_only",
            Self::MapAndTag => "map_and_tag",
            Self::AmpsOnly => "amps_only",
            Self::MetalAndAmps => "metal_and_amps",
        }
    }

    /// As it is typed: its id.
    pub(crate) fn read(typed: &str) -> Result<Self, String> {
        let known = Self::ALL.map(Self::id);
        let found = Self::ALL.into_iter().find(|policy| policy.id() == typed);
        found.ok_or_else(|| format!("one of {}", known.join(", ")))
    }
}

impl fmt::Display for Policy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.id())
    }
}

/// What is typed at the pad in the slots of a coded load step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Keying {
    /// One key a slot, and the amps at one change drawn at random.
    OneSize,
    /// The amps before and after every slot.
    EverySlot,
}

impl Keying {
    /// Its stable id.
    pub(crate) const fn id(self) -> &'static str {
        match self {
            Self::OneSize => "one-size",
            Self::EverySlot => "every-slot",
        }
    }

    /// As it is typed: its id.
    pub(crate) fn read(typed: &str) -> Result<Self, String> {
        let all = [Self::OneSize, Self::EverySlot];
        let found = all.into_iter().find(|keys| keys.id() == typed);
        found.ok_or_else(|| format!("one of {}", all.map(Self::id).join(", ")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_falsehood_is_found_by_its_own_id() {
        let all = Falsehood::all();
        let ids: BTreeSet<&str> = all.iter().map(|falsehood| falsehood.id()).collect();
        assert_eq!(ids.len(), all.len());
        for falsehood in all {
            assert_eq!(Falsehood::by_id(falsehood.id()), Some(falsehood));
        }
        assert_eq!(Falsehood::by_id("no-such-fault"), None);
    }
}
