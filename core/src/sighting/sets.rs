//! What sightings say about the second question: which cable set feeds the target?

use std::collections::{BTreeMap, BTreeSet};

use super::{
    cause::Cause,
    clamp::amps_bound,
    condition::{Condition, Conditions},
    effect::{Candidate, Excludes, Ground, Idle, RestsOn, SetEffect},
    evidence::{DeedKind, Evidence, Handle, Leg, Placement, SetAt},
    limits::Limits,
    load_step::{Step, read_step},
    seen::{End, Seen, Sighting},
    stay,
};
use crate::{
    plant::{Conductor, Plant},
    quantity::{AssetId, PersonId, SightingId, StayId},
    reading::{Instrument, InstrumentClass},
};

/// Draws the set effects of all sightings; what excludes nothing goes to `idle` with its reason.
pub(crate) fn effects(
    plant: &Plant,
    limits: &Limits,
    evidence: &Evidence,
    conditions: Conditions,
    idle: &mut BTreeMap<SightingId, Idle>,
) -> Vec<SetEffect> {
    let draw = Draw { plant, limits, evidence, conditions };
    let mut effects = Vec::new();
    let mut flats = Vec::new();
    for sighting in evidence.sightings.values() {
        let drawn = match &sighting.seen {
            seen if !is_of_sets(seen) || idle.contains_key(&sighting.id) => continue,
            Seen::LoadStep { .. } => draw.load_step(sighting, &mut flats),
            Seen::Amps { .. } => draw.loaded_meter_out(sighting),
            Seen::Conductor { end: End::Lug { pad, handle }, .. } => {
                draw.differing_ends(sighting, pad, handle, &mut effects)
            }
            Seen::Tone { .. } => draw.tone(sighting).map(Some),
            Seen::Marker { end: End::Lug { pad, handle }, text } => {
                draw.marker(sighting, pad, handle, text, &mut effects).map(|()| None)
            }
            _ => continue,
        };
        match drawn {
            Ok(Some(effect)) => effects.push(effect),
            Ok(None) => {}
            Err(reason) => {
                idle.insert(sighting.id.clone(), reason);
            }
        }
    }
    draw.flat_sets(&flats, &mut effects, idle);
    effects
}

/// Whether something seen may say anything of the sets. Most does not, and is passed over first.
const fn is_of_sets(seen: &Seen) -> bool {
    matches!(
        seen,
        Seen::LoadStep { .. }
            | Seen::Amps { .. }
            | Seen::Conductor { end: End::Lug { .. }, .. }
            | Seen::Tone { .. }
            | Seen::Marker { end: End::Lug { .. }, .. }
    )
}

/// The set a handle stands for: what the record of the marks says, or the counted position.
pub fn resolve(evidence: &Evidence, pad: &AssetId, handle: &Handle) -> Option<SetAt> {
    let position = match handle {
        Handle::Position { position } => position.clone(),
        Handle::Mark { marks, mark } => {
            let go = evidence.marks.get(marks).filter(|go| go.pad == *pad)?;
            go.sets.iter().find(|set| set.mark == *mark)?.position.clone()
        }
    };
    Some(SetAt { pad: pad.clone(), position })
}

/// A reading that was flat on one leg.
struct Flat {
    sighting: SightingId,
    set: SetAt,
    leg: Leg,
    /// Stay and outlet of the run: the same load on the same leg of the premises.
    load_at: (StayId, String),
    causes: BTreeSet<Cause>,
    rests_on: RestsOn,
}

pub(super) struct Draw<'a> {
    plant: &'a Plant,
    pub(super) limits: &'a Limits,
    pub(super) evidence: &'a Evidence,
    pub(super) conditions: Conditions,
}

impl<'a> Draw<'a> {
    pub(super) fn cause(&self, condition: Condition, cause: Cause) -> Option<Cause> {
        self.conditions.keep(condition).then_some(cause)
    }

    /// Whose reports say that something was done in a stay.
    pub(super) fn reports<const N: usize>(
        &self,
        people: [&PersonId; N],
        stay: &StayId,
    ) -> BTreeSet<Cause> {
        people.into_iter().map(|person| self.evidence.report_of(person, stay)).collect()
    }

    /// What somebody hears and reads at the pad with no code to keep them from knowing what would fit.
    pub(super) fn pad_report(&self, person: &PersonId) -> Option<Cause> {
        let cause = Cause::PadReport { person: person.clone() };
        self.cause(Condition::PadReportIsOneCause, cause)
    }

    /// The placement, its set and leg, and the causes it brings along.
    fn placed(&self, placement: &'a Placement) -> Result<(SetAt, Leg, BTreeSet<Cause>), Idle> {
        let set = resolve(self.evidence, &placement.pad, &placement.handle)
            .ok_or(Idle::PlacementUnusable)?;
        let leg = match placement.leg {
            Some(leg @ (Conductor::L1 | Conductor::L2 | Conductor::L3)) => leg,
            None if !self.conditions.keep(Condition::OneConductorInTheJaws) => Conductor::L1,
            _ => return Err(Idle::PlacementUnusable),
        };
        let causes = [
            self.cause(
                Condition::PlacementIsACause,
                Cause::Placement { placement: placement.id.clone() },
            ),
            self.cause(Condition::HandleIsACause, handle_cause(&placement.pad, &placement.handle)),
        ];
        Ok((set, leg, causes.into_iter().flatten().collect()))
    }

    /// The clamp of a placement, if it was shown to read right before `sighting` and has not failed
    /// since.
    fn clamp(&self, placement: &Placement, sighting: &Sighting) -> Result<&'a Instrument, Idle> {
        let clamp =
            self.evidence.instruments.get(&placement.instrument).ok_or(Idle::ClampNotProven)?;
        let proven = self
            .evidence
            .proven_since
            .get(&placement.instrument)
            .is_some_and(|at| at.boot != sighting.at.boot || at.mono_ms <= sighting.at.mono_ms)
            && !self.evidence.is_void(&placement.id);
        let usable = clamp.class == InstrumentClass::Clamp && clamp.makes_sense();
        if proven && usable { Ok(clamp) } else { Err(Idle::ClampNotProven) }
    }

    fn load_step(
        &self,
        sighting: &Sighting,
        flats: &mut Vec<Flat>,
    ) -> Result<Option<SetEffect>, Idle> {
        let Seen::LoadStep { run, placement, load_off_amps, slots } = &sighting.seen else {
            return Ok(None);
        };
        let run = self.evidence.runs.get(run).ok_or(Idle::RunNotWhole)?;
        let at =
            stay::standing(self.evidence, &run.stay, self.conditions).ok_or(Idle::NotInAStay)?;
        if !stay::run_in_stay(run, at) && self.conditions.keep(Condition::StayEndsByLeaving) {
            return Err(Idle::RunNotWhole);
        }
        let placement = self.evidence.placements.get(placement).ok_or(Idle::PlacementUnusable)?;
        let clamp = self.clamp(placement, sighting)?;
        let (set, leg, mut causes) = self.placed(placement)?;
        let step = read_step(run, *load_off_amps, slots, clamp, self.limits, self.conditions)?;
        causes.extend(self.cause(Condition::RunIsACause, Cause::Run { run: run.id.clone() }));
        let rests_on = RestsOn {
            stay: run.stay.clone(),
            reports: self.reports([&run.doer, &at.person], &run.stay),
            run: Some(run.id.clone()),
        };
        match step {
            Step::Unclear => Err(Idle::StepUnclear),
            Step::Seen => Ok(Some(SetEffect {
                sightings: vec![sighting.id.clone()],
                excludes: Excludes::AllBut(Candidate::Set(set.clone())),
                set,
                causes,
                rests_on: BTreeSet::from([rests_on]),
                ground: Ground::LoadStepSeen,
            })),
            Step::Flat { quiet } => {
                causes.extend(self.cause(
                    Condition::ClampIsACause,
                    Cause::Instrument { instrument: clamp.id.clone() },
                ));
                if !quiet && self.conditions.keep(Condition::FlatSetIsQuiet) {
                    causes.extend(self.sources_off(&run.stay).ok_or(Idle::SetNotQuiet)?);
                    // Somebody else's generation on a shared set hides a step just as well.
                    let (pad, position) = (set.pad.clone(), set.position.clone());
                    let shared = Cause::SharedSet { pad, position };
                    causes.extend(self.cause(Condition::SharedSetIsACause, shared));
                }
                let sighting = sighting.id.clone();
                let load_at = (run.stay.clone(), run.outlet.trim().to_lowercase());
                flats.push(Flat { sighting, set, leg, load_at, causes, rests_on });
                Ok(None)
            }
        }
    }

    /// The sightings that are not stale.
    pub(super) fn fresh(&self) -> impl Iterator<Item = &'a Sighting> + use<'a> {
        let (evidence, window_s) = (self.evidence, self.limits.fresh_s);
        evidence.sightings.values().filter(move |sighting| !evidence.is_old(sighting, window_s))
    }

    /// The causes of somebody's report that the target's own sources are off, if there is one.
    fn sources_off(&self, at: &StayId) -> Option<Vec<Cause>> {
        let reporter = self.fresh().find_map(|s| match &s.seen {
            Seen::SourcesOff { stay } if stay == at => {
                let known = self.evidence.stays.get(at)?;
                (known.person == s.who && stay::holds(known, &s.at)).then(|| s.who.clone())
            }
            _ => None,
        })?;
        let report = self.evidence.report_of(&reporter, at);
        Some(self.cause(Condition::ReportedConditionIsACause, report).into_iter().collect())
    }

    /// Pairs of flat readings on two legs of one set, with the load at one outlet: from another
    /// outlet it may have been on the other leg, and both readings flat on the target's own set.
    fn flat_sets(
        &self,
        flats: &[Flat],
        effects: &mut Vec<SetEffect>,
        idle: &mut BTreeMap<SightingId, Idle>,
    ) {
        let both = self.conditions.keep(Condition::FlatOnBothLegs);
        for (i, one) in flats.iter().enumerate() {
            let partners = flats.iter().enumerate().filter(|(j, other)| {
                let legs = if both { other.leg != one.leg } else { i == *j };
                other.set == one.set && other.load_at == one.load_at && legs
            });
            let mut alone = true;
            for (j, other) in partners {
                alone = false;
                if j < i {
                    continue;
                }
                let rests_on = BTreeSet::from([one.rests_on.clone(), other.rests_on.clone()]);
                effects.push(SetEffect {
                    sightings: vec![one.sighting.clone(), other.sighting.clone()],
                    set: one.set.clone(),
                    excludes: only(&one.set),
                    causes: one.causes.union(&other.causes).cloned().collect(),
                    rests_on,
                    ground: Ground::LoadStepFlat,
                });
            }
            if alone {
                idle.insert(one.sighting.clone(), Idle::FlatOnOneLeg);
            }
        }
    }

    fn loaded_meter_out(&self, sighting: &Sighting) -> Result<Option<SetEffect>, Idle> {
        let Seen::Amps { placement, deed: Some(deed), amps } = &sighting.seen else {
            return Err(Idle::OrdersTheSearch);
        };
        let deed = self
            .evidence
            .deeds
            .get(deed)
            .filter(|deed| deed.kind == DeedKind::MeterPulled)
            .ok_or(Idle::NotTheTargetsMeter)?;
        let at =
            stay::standing(self.evidence, &deed.stay, self.conditions).ok_or(Idle::NotInAStay)?;
        if !stay::holds(at, &deed.at) && self.conditions.keep(Condition::StayEndsByLeaving) {
            return Err(Idle::NotInAStay);
        }
        let in_hand = deed.number_in_hand.as_ref().is_some_and(|number| {
            self.plant.services_with_meter(number).iter().eq([&self.evidence.target])
        });
        if !in_hand && self.conditions.keep(Condition::NumberReadInHand) {
            return Err(Idle::NotTheTargetsMeter);
        }
        let placement = self.evidence.placements.get(placement).ok_or(Idle::PlacementUnusable)?;
        let clamp = self.clamp(placement, sighting)?;
        let (set, _, mut causes) = self.placed(placement)?;
        let read = amps_bound(clamp, *amps, self.limits);
        if read.value - read.limit_of_error < self.limits.no_load {
            return Err(Idle::NotClearlyLoaded);
        }
        let (pad, position) = (set.pad.clone(), set.position.clone());
        causes.extend(
            [
                self.cause(
                    Condition::ClampIsACause,
                    Cause::Instrument { instrument: clamp.id.clone() },
                ),
                self.cause(Condition::DeedIsACause, Cause::Deed { deed: deed.id.clone() }),
                self.cause(Condition::SharedSetIsACause, Cause::SharedSet { pad, position }),
                self.cause(Condition::MeterRecordsAreOneCause, Cause::MeterRecords),
            ]
            .into_iter()
            .flatten(),
        );
        Ok(Some(SetEffect {
            sightings: vec![sighting.id.clone()],
            excludes: only(&set),
            set,
            causes,
            rests_on: BTreeSet::from([RestsOn {
                stay: deed.stay.clone(),
                reports: self.reports([&deed.doer, &at.person], &deed.stay),
                run: None,
            }]),
            ground: Ground::LoadedMeterOut,
        }))
    }

    /// A look at the lugs against every look at the base.
    fn differing_ends(
        &self,
        sighting: &Sighting,
        pad: &AssetId,
        handle: &Handle,
        effects: &mut Vec<SetEffect>,
    ) -> Result<Option<SetEffect>, Idle> {
        let set = resolve(self.evidence, pad, handle).ok_or(Idle::PlacementUnusable)?;
        let before = effects.len();
        for other in self.fresh() {
            let Seen::Conductor { end: End::Base { stay }, .. } = &other.seen else { continue };
            let Some(at) = stay::standing(self.evidence, stay, self.conditions) else { continue };
            let theirs = at.person == other.who
                && (stay::holds(at, &other.at)
                    || !self.conditions.keep(Condition::StayEndsByLeaving));
            if theirs && differ(&sighting.seen, &other.seen) {
                effects.push(self.ends_differ(sighting, other, &set, handle, stay));
            }
        }
        if effects.len() == before { Err(Idle::EndsDoNotDiffer) } else { Ok(None) }
    }

    fn ends_differ(
        &self,
        lug: &Sighting,
        base: &Sighting,
        set: &SetAt,
        handle: &Handle,
        stay: &StayId,
    ) -> SetEffect {
        let (pad, position) = (set.pad.clone(), set.position.clone());
        let report = self.evidence.report_of(&base.who, stay);
        let causes = [
            Some(Cause::Look { sighting: lug.id.clone() }),
            Some(Cause::Look { sighting: base.id.clone() }),
            self.cause(Condition::ReportIsOneCause, report),
            self.cause(Condition::HandleIsACause, handle_cause(&set.pad, handle)),
            self.cause(Condition::SpliceIsACause, Cause::UnmappedSplice { pad, position }),
        ];
        SetEffect {
            sightings: vec![lug.id.clone(), base.id.clone()],
            set: set.clone(),
            excludes: only(set),
            causes: causes.into_iter().flatten().collect(),
            rests_on: BTreeSet::from([RestsOn {
                stay: stay.clone(),
                reports: self.reports([&base.who], stay),
                run: None,
            }]),
            ground: Ground::ConductorDiffers,
        }
    }
}

fn only(set: &SetAt) -> Excludes<Candidate> {
    Excludes::These(BTreeSet::from([Candidate::Set(set.clone())]))
}

pub(super) fn handle_cause(pad: &AssetId, handle: &Handle) -> Cause {
    match handle {
        Handle::Mark { marks, .. } => Cause::Marks { marks: marks.clone() },
        Handle::Position { .. } => Cause::LugPositions { pad: pad.clone() },
    }
}

fn differ(one: &Seen, other: &Seen) -> bool {
    match (one, other) {
        (Seen::Conductor { metal: a, size: p, .. }, Seen::Conductor { metal: b, size: q, .. }) => {
            a != b || p.as_ref().zip(q.as_ref()).is_some_and(|(p, q)| p != q)
        }
        _ => false,
    }
}
