//! Everything known of a job.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    clear::Clear, conflict::Conflict, load_read::AmpsTaken, physical::Physical, picture::Picture,
    proofs::Proofs,
};
use crate::{
    caution::Subject,
    clearance::Clearances,
    event::{Answers, Deviation, Event, JobOpened, MapCorrected, VerdictShown},
    gate::{Refusal, Role, Rule, Stage},
    proof::{NeutralTest, Rotation},
    quantity::{AssetId, EventId, Instant, PersonId},
    reading::{OhmsReading, Taken, VoltsReading},
    sighting::{Evidence, SetAt},
};

/// An event that was applied.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Applied {
    /// The event as it was written, or as a correction says it should have been.
    pub event: Event,
    /// Rules it passed by a declared deviation alone: done without proof.
    pub deviated: BTreeSet<Rule>,
    /// The correction that took it out or changed it.
    pub corrected_by: Option<EventId>,
    /// True when a correction took it out.
    pub superseded: bool,
}

/// An event that was kept as refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// The event.
    pub event: Event,
    /// Why.
    pub refusal: Refusal,
}

/// Why and from where a job stands still.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// The event that stopped it.
    pub event: EventId,
    /// The stage it came from.
    pub from: Stage,
    /// A live reading where it should be dead: the identification is void until it is drawn anew.
    pub live: bool,
}

/// A voltage and who took it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VoltsTaken {
    /// Who.
    pub person: PersonId,
    /// The reading.
    pub taken: Taken<VoltsReading>,
}

/// An insulation reading of a set's lifted conductors.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct OhmsTaken {
    pub(super) pad: AssetId,
    pub(super) position: String,
    pub(super) both_ends_free: bool,
    pub(super) taken: Taken<OhmsReading>,
}

/// Since when it was known on each phone that the customer's own sources are off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct OffKnown {
    /// The event that switched them off.
    pub(super) by: EventId,
    /// The first instant of each boot at which its writer had seen that.
    pub(super) since: BTreeMap<String, Instant>,
}

/// A job: the fold of its events.
///
/// The physical state is kept apart from the stage, and is what a screen shows first.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The request, the crew, the pinned sheets; none: not opened yet.
    pub header: Option<JobOpened>,
    /// How far the job has come.
    pub stage: Stage,
    /// Whether it stands still, and from where.
    pub stopped: Option<Stop>,
    /// What is open, lifted, capped, shorted, grounded, tagged and locked, by whom, since when.
    pub physical: Physical,
    /// Whether anything of ours was ever open.
    pub ever_opened: bool,
    /// What a verdict is drawn from; none: not opened yet.
    pub evidence: Option<Evidence>,
    /// The set that a verdict found identified when it was last shown.
    pub identified: Option<SetAt>,
    /// Subjects that were briefed.
    pub briefed_subjects: BTreeSet<Subject>,
    /// People who were briefed.
    pub briefed_people: BTreeSet<PersonId>,
    pub(super) off_known: Option<OffKnown>,
    /// Pictures of the meter, in the order of the record.
    pub pictures: Vec<Picture>,
    /// The answers to the questions before a lift, by set.
    pub answers: BTreeMap<SetAt, Answers>,
    /// Every voltage, in the order of the record.
    pub volts: Vec<VoltsTaken>,
    /// Every current through something that opens, in the order of the record.
    pub amps: Vec<AmpsTaken>,
    /// The first of them that was read since anything was opened or closed.
    pub(super) amps_from: usize,
    pub(super) ohms: Vec<OhmsTaken>,
    /// The neutral under load, since the last closing.
    pub(super) neutral_test: Option<(AssetId, Taken<NeutralTest>)>,
    pub(super) rotation_found: Option<Rotation>,
    pub(super) rotation_now: Option<Rotation>,
    /// What was proven, and what came between.
    pub proofs: Proofs,
    /// The book of clearances.
    pub clearances: Clearances,
    /// Whether the work was inspected and released since it was handed over last.
    pub inspected: bool,
    pub(super) clear: Clear,
    /// Whether a clearance was ever accepted.
    pub ever_handed_over: bool,
    /// Steps taken although a rule stood before them, by event.
    pub without_proof: BTreeMap<EventId, BTreeSet<Rule>>,
    pub(super) deviations: BTreeMap<EventId, Vec<Deviation>>,
    /// The verdict that was shown last.
    pub shown: Option<(EventId, VerdictShown)>,
    /// Corrections of the map record.
    pub map_corrections: Vec<MapCorrected>,
    /// Every applied event, in fold order.
    pub applied: Vec<Applied>,
    /// Every event that was kept as refused.
    pub refused: Vec<Refused>,
    /// Refused acts on the world, for a person to settle.
    pub conflicts: BTreeMap<EventId, Conflict>,
    /// Events of unknown kind or version: since one is there, the job is read-only.
    pub unknown: Vec<Event>,
    /// Entries that were made late.
    pub late: BTreeSet<EventId>,
    pub(super) ids: BTreeSet<EventId>,
}

impl Default for State {
    fn default() -> Self {
        Self {
            header: None,
            stage: Stage::Requested,
            stopped: None,
            physical: Physical::default(),
            ever_opened: false,
            evidence: None,
            identified: None,
            briefed_subjects: BTreeSet::new(),
            briefed_people: BTreeSet::new(),
            off_known: None,
            pictures: Vec::new(),
            answers: BTreeMap::new(),
            volts: Vec::new(),
            amps: Vec::new(),
            amps_from: 0,
            ohms: Vec::new(),
            neutral_test: None,
            rotation_found: None,
            rotation_now: None,
            proofs: Proofs::default(),
            clearances: Clearances::default(),
            inspected: false,
            clear: Clear::default(),
            ever_handed_over: false,
            without_proof: BTreeMap::new(),
            deviations: BTreeMap::new(),
            shown: None,
            map_corrections: Vec::new(),
            applied: Vec::new(),
            refused: Vec::new(),
            conflicts: BTreeMap::new(),
            unknown: Vec::new(),
            late: BTreeSet::new(),
            ids: BTreeSet::new(),
        }
    }
}

impl State {
    /// Whether the job is read-only: it holds an event of unknown kind or version.
    pub fn is_read_only(&self) -> bool {
        !self.unknown.is_empty()
    }

    /// What a person is on this job; none: not on its crew.
    pub fn role_of(&self, person: &PersonId) -> Option<Role> {
        let crew = &self.header.as_ref()?.crew;
        crew.iter().find(|member| member.person == *person).map(|member| member.role)
    }

    /// Refused acts on the world that nobody has settled.
    pub fn open_conflicts(&self) -> Vec<EventId> {
        let open = self.conflicts.iter().filter(|(_, conflict)| conflict.settled.is_none());
        open.map(|(id, _)| id.clone()).collect()
    }

    /// The evidence, once the job is opened.
    pub(super) fn evidence_mut(&mut self) -> Option<&mut Evidence> {
        self.evidence.as_mut()
    }
}
