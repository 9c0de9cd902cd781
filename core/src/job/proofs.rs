//! What was proven on this job, and the record of readings and operations it was proven from.

use std::collections::{BTreeMap, BTreeSet};

use super::{sheets::Sheets, state::State};
use crate::{
    event::ProofOf,
    plant::{Conductor, VoltageSystem},
    proof::{
        DeadProof, Happening, Judging, LegCheck, MissingDead, OpeningProof, ProvenDead, Zone,
        check_legs, prove_by_opening, prove_dead,
    },
    quantity::{AssetId, EventId, ProofId},
    reading::{Taken, VoltsReading},
    sighting::SetAt,
};

/// One thing of the record that proofs turn on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum CourseStep {
    /// A voltage, by its place in the state's list.
    Read(usize),
    /// A conductor was lifted or a switch opened.
    Opened { event: EventId, set: Option<SetAt>, leg: Option<Conductor> },
    /// Anything else that can change what the base sees.
    Operated { event: EventId },
}

/// What a proof showed.
#[derive(Debug, Clone, PartialEq)]
pub enum ProvenWhat {
    /// A zone is dead.
    Dead(ProvenDead),
    /// These legs of the base died with ours.
    Legs(Vec<Conductor>),
    /// The opening is what feeds the base.
    Opening,
    /// The base is live and healthy.
    Live,
}

/// A proof that stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proven {
    /// The proof.
    pub proof: ProofId,
    /// The event that declared it.
    pub event: EventId,
}

/// Everything proven, and what it was proven from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Proofs {
    /// Names that were used, whether the proof still stands or not.
    pub names: BTreeSet<ProofId>,
    /// Proofs of dead that stand.
    pub dead: BTreeMap<ProofId, ProvenDead>,
    /// The proof by opening, while it stands.
    pub opening: Option<Proven>,
    /// Lifted legs whose check at the base confirmed them.
    pub checked: BTreeMap<SetAt, BTreeSet<Conductor>>,
    /// The proof of live and healthy, while it stands.
    pub live: Option<Proven>,
    pub(super) course: Vec<CourseStep>,
    /// Where in the course the present opening begins: after the last closing.
    pub(super) course_from: usize,
    /// Where in the list of volts a proof of dead may begin: after the last opening, break or stop.
    pub(super) dead_from: usize,
    /// Where in the list of volts a proof of live may begin: after the last closing.
    pub(super) live_from: usize,
    /// The set that was lifted last.
    pub(super) set: Option<SetAt>,
}

/// What the record says about a proof that somebody declares.
pub(super) struct JudgedProof {
    pub(super) tester_proven: bool,
    pub(super) lacks: Vec<String>,
    pub(super) what: Option<ProvenWhat>,
}

impl JudgedProof {
    pub(super) fn proven(what: ProvenWhat) -> Self {
        Self { tester_proven: true, lacks: Vec::new(), what: Some(what) }
    }

    pub(super) fn lacks(lacks: Vec<String>) -> Self {
        Self { tester_proven: true, lacks, what: None }
    }
}

impl Proofs {
    /// A closing or a source: nothing that was dead still is.
    pub(super) fn void_dead(&mut self) {
        self.dead.clear();
    }

    /// A landing, a switch closed: the opening is no more.
    pub(super) fn void_opening(&mut self) {
        self.void_dead();
        self.opening = None;
        self.checked.clear();
        self.course_from = self.course.len();
    }

    /// The proof of dead of a zone that was proven last.
    pub fn dead_of(&self, zone: &Zone) -> Option<&ProvenDead> {
        self.dead.values().filter(|dead| dead.zone() == zone).max_by_key(|dead| dead.closed())
    }
}

/// The zone that a proof of dead is of; none for other proofs.
pub(super) fn zone_of(of: &ProofOf) -> Option<Zone> {
    match of {
        ProofOf::Dead { service } => Some(Zone::MeterBase { service: service.clone() }),
        ProofOf::Lifted { pad, position } => {
            Some(Zone::LiftedLegs { pad: pad.clone(), position: position.clone() })
        }
        ProofOf::BusDead { pad } => Some(Zone::PadBus { pad: pad.clone() }),
        ProofOf::OneLeg { .. } | ProofOf::Opening { .. } | ProofOf::Live { .. } => None,
    }
}

impl State {
    /// The voltage system of the target.
    pub fn system(&self, sheets: &Sheets<'_>) -> Option<VoltageSystem> {
        let service = &self.header.as_ref()?.service;
        sheets.plant.services.get(service).map(|service| service.system)
    }

    /// What readings of this job are judged with; none: not opened.
    pub fn judging<'a>(&'a self, sheets: &Sheets<'a>) -> Option<Judging<'a>> {
        let evidence = self.evidence.as_ref()?;
        Some(Judging {
            system: self.system(sheets)?,
            instruments: &evidence.instruments,
            proven: &evidence.proven,
            proven_since: &evidence.proven_since,
            rules: sheets.rules,
        })
    }

    /// The record of the present opening of a set, as the proofs take it.
    fn happened(&self, set: &SetAt) -> Vec<Happening<'_>> {
        let course = self.proofs.course.get(self.proofs.course_from..).unwrap_or_default();
        course
            .iter()
            .filter_map(|step| match step {
                CourseStep::Read(place) => {
                    self.volts.get(*place).map(|volts| Happening::Read(&volts.taken))
                }
                CourseStep::Opened { event, set: Some(of), leg } if of == set => {
                    Some(Happening::Opened { event, leg: *leg })
                }
                CourseStep::Opened { event, set: None, leg } => {
                    Some(Happening::Opened { event, leg: *leg })
                }
                CourseStep::Opened { event, .. } | CourseStep::Operated { event } => {
                    Some(Happening::Operated { event })
                }
            })
            .collect()
    }

    /// Volts since the last opening, break or stop, of those the filter keeps.
    pub(super) fn volts_since(
        &self,
        keep: impl Fn(&super::state::VoltsTaken) -> bool,
    ) -> Vec<Taken<VoltsReading>> {
        let since = self.volts.get(self.proofs.dead_from..).unwrap_or_default();
        since.iter().filter(|volts| keep(volts)).map(|volts| volts.taken.clone()).collect()
    }

    /// Checks the legs that are lifted of a set against what base and bus showed since.
    pub(super) fn leg_check(
        &self,
        sheets: &Sheets<'_>,
        service: &AssetId,
        set: &SetAt,
    ) -> Option<LegCheck> {
        let with = self.judging(sheets)?;
        Some(check_legs(service, &set.pad, &self.happened(set), with))
    }

    /// What the record says about a proof.
    pub(super) fn judge_proof(&self, sheets: &Sheets<'_>, of: &ProofOf) -> JudgedProof {
        let Some(with) = self.judging(sheets) else {
            return JudgedProof::lacks(vec!["job".into()]);
        };
        if let Some(zone) = zone_of(of) {
            return judged_dead(prove_dead(&zone, &self.volts_since(|_| true), with));
        }
        match of {
            ProofOf::OneLeg { service, pad, position, leg } => {
                let set = SetAt { pad: pad.clone(), position: position.clone() };
                match check_legs(service, pad, &self.happened(&set), with) {
                    LegCheck::Confirmed { lifted } if lifted.contains(leg) => {
                        JudgedProof::proven(ProvenWhat::Legs(lifted))
                    }
                    other => JudgedProof::lacks(vec![other.id().into()]),
                }
            }
            ProofOf::Opening { service, pad, position } => {
                let set = SetAt { pad: pad.clone(), position: position.clone() };
                let zone = Zone::MeterBase { service: service.clone() };
                let dead = self.proofs.dead_of(&zone);
                match prove_by_opening(service, pad, &self.happened(&set), dead, with) {
                    OpeningProof::Proven(_) => JudgedProof::proven(ProvenWhat::Opening),
                    OpeningProof::Void { why } => {
                        JudgedProof::lacks(why.iter().map(|why| why.id().into()).collect())
                    }
                    OpeningProof::Missing { missing } => {
                        JudgedProof::lacks(missing.iter().map(|lack| lack.id().into()).collect())
                    }
                }
            }
            ProofOf::Live { service } => self.judge_live(sheets, service),
            ProofOf::Dead { .. } | ProofOf::Lifted { .. } | ProofOf::BusDead { .. } => {
                JudgedProof::lacks(Vec::new())
            }
        }
    }
}

fn judged_dead(proof: DeadProof) -> JudgedProof {
    match proof {
        DeadProof::Proven(dead) => JudgedProof::proven(ProvenWhat::Dead(dead)),
        DeadProof::Live { most_likely, .. } => JudgedProof::lacks(vec![most_likely.id().into()]),
        DeadProof::Missing { missing } => {
            let is_tester = |lack: &MissingDead| {
                matches!(lack, MissingDead::TesterBefore | MissingDead::TesterAfter)
            };
            let lacks = missing.iter().filter(|lack| !is_tester(lack));
            JudgedProof {
                tester_proven: !missing.iter().any(is_tester),
                lacks: lacks.flat_map(MissingDead::said).collect(),
                what: None,
            }
        }
    }
}
