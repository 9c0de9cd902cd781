//! What would settle it: the next test, chosen by how few are then left.

mod test;

use std::collections::BTreeMap;

pub use test::{By, SettlingTest, Test};

use super::{
    judge::{Found, answer},
    ledger::claimed_set,
    verdict::PremisesVerdict,
};
use crate::{
    plant::{Conductor, Plant},
    quantity::{AssetId, PersonId, RunId, SightingId, StayId},
    rule_sheet::RuleSheet,
    sighting::{
        Candidate, Cause, Conditions, Drawn, Evidence, Excludes, Ground, Idle, Limits, Premises,
        PremisesEffect, RestsOn, Seen, SetAt, SetEffect, Stay, resolve,
    },
};

/// The tests to offer, best first.
pub(crate) fn tests(
    plant: &Plant,
    rules: &RuleSheet,
    limits: &Limits,
    evidence: &Evidence,
    drawn: &Drawn,
    found: &Found,
) -> Vec<SettlingTest> {
    if found.identified.is_some() {
        return Vec::new();
    }
    let with_cost = |test: Test, steps_left: u32| SettlingTest {
        exposure: test.exposure(rules),
        minutes: test.minutes(),
        test,
        steps_left,
    };
    let Some(stay) = stay_to_use(evidence, found) else {
        return vec![with_cost(Test::BeginStay, FULL)];
    };
    let mut open: Vec<SetAt> = found
        .candidates
        .iter()
        .filter(|row| row.excluded_by.is_empty())
        .filter_map(|row| match &row.candidate {
            Candidate::Set(set) => Some(set.clone()),
            Candidate::Elsewhere => None,
        })
        .collect();
    let claimed = claimed_set(plant, &evidence.target);
    let unclear = unclear_steps(evidence, drawn);
    open.sort_by_key(|set| {
        let claimed_pad = claimed.as_ref().is_some_and(|claimed| claimed.pad == set.pad);
        let tried = unclear.iter().filter(|&at| at == set).count();
        (tried, claimed.as_ref() != Some(set), !claimed_pad, set.clone())
    });
    let Some(likeliest) = open.first() else {
        return where_to_look(plant, evidence, claimed.as_ref())
            .into_iter()
            .map(|pad| with_cost(Test::SearchPad { pad }, FULL))
            .collect();
    };
    let others = u32::try_from(open.len() - 1).unwrap_or(u32::MAX);
    let drawn = bearing_on(likeliest, drawn);
    let offer = Offer { evidence, drawn: &drawn, limits, stay, x: likeliest };
    let (fewest, needed) = offer.fewest();
    let mut ranked: Vec<SettlingTest> =
        needed.into_iter().map(|test| with_cost(test, fewest.saturating_add(others))).collect();
    ranked.sort_by_key(|test| (test.steps_left, test.exposure, test.minutes, test.test.clone()));
    ranked
}

/// Tests of a whole identification with nothing known: two premises looks and two load steps.
const FULL: u32 = 4;

/// The open stay, one that is identified first.
fn stay_to_use<'a>(evidence: &'a Evidence, found: &Found) -> Option<&'a StayId> {
    let open = || evidence.stays.values().filter(|stay| Stay::is_open(stay));
    let identified = open().find(|stay| {
        matches!(found.premises.get(&stay.id), Some(PremisesVerdict::Identified { service })
            if *service == evidence.target)
    });
    identified.or_else(|| open().next_back()).map(|stay| &stay.id)
}

/// The set of every load step that came out neither seen nor flat: such a set waits its turn.
fn unclear_steps(evidence: &Evidence, drawn: &Drawn) -> Vec<SetAt> {
    drawn
        .idle
        .iter()
        .filter(|(_, reason)| **reason == Idle::StepUnclear)
        .filter_map(|(id, _)| match &evidence.sightings.get(id)?.seen {
            Seen::LoadStep { placement, .. } => {
                let placement = evidence.placements.get(placement)?;
                resolve(evidence, &placement.pad, &placement.handle)
            }
            _ => None,
        })
        .collect()
}

/// Pads whose sets nobody has marked yet: the claimed one first, then the next along the cable.
fn where_to_look(plant: &Plant, evidence: &Evidence, claimed: Option<&SetAt>) -> Vec<AssetId> {
    let marked = |pad: &AssetId| evidence.marks_on(pad).is_some();
    let Some(claimed) = claimed else { return Vec::new() };
    let mut ring = vec![claimed.pad.clone()];
    let mut known = ring.clone();
    while !ring.is_empty() {
        let fresh: Vec<AssetId> = ring.iter().filter(|pad| !marked(pad)).cloned().collect();
        if !fresh.is_empty() {
            return fresh;
        }
        let mut next: Vec<AssetId> = ring
            .iter()
            .flat_map(|pad| plant.next_pads(pad))
            .filter(|pad| !known.contains(pad))
            .collect();
        next.sort();
        next.dedup();
        known.extend(next.iter().cloned());
        ring = next;
    }
    Vec::new()
}

/// What can bear on the verdict about one set: the flat readings of others cannot.
fn bearing_on(x: &SetAt, drawn: &Drawn) -> Drawn {
    let x = Candidate::Set(x.clone());
    let sets = drawn
        .sets
        .iter()
        .filter(|effect| {
            matches!(effect.excludes, Excludes::AllBut(_)) || effect.excludes.excludes(&x)
        })
        .cloned()
        .collect();
    Drawn { premises: drawn.premises.clone(), sets, idle: BTreeMap::new() }
}

struct Offer<'a> {
    evidence: &'a Evidence,
    drawn: &'a Drawn,
    limits: &'a Limits,
    stay: &'a StayId,
    x: &'a SetAt,
}

impl Offer<'_> {
    fn kinds(&self) -> Vec<Test> {
        let step =
            |by| Test::LoadStep { set: self.x.clone(), by, leg: Conductor::L1, outlet: None };
        vec![
            Test::ReadMeterNumber,
            Test::ReadPlate,
            Test::PictureOfMeter,
            step(By::Mark),
            step(By::Position),
            Test::AskElectrician,
            Test::AskCustomer,
        ]
    }

    /// The fewest further tests that would identify `x` if all come out for it, and every test
    /// that is part of some such choice. All kinds, where no choice suffices.
    fn fewest(&self) -> (u32, Vec<Test>) {
        let kinds = self.kinds();
        for size in 1..=kinds.len() {
            let mut needed: Vec<Test> = Vec::new();
            for mask in 0_u32..1 << kinds.len() {
                if mask.count_ones() as usize != size {
                    continue;
                }
                let chosen: Vec<&Test> = kinds
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| mask & (1 << i) != 0)
                    .map(|(_, kind)| kind)
                    .collect();
                if self.suffices(&chosen) {
                    needed.extend(chosen.into_iter().cloned());
                    // The first choice in the order of kinds is the one a crew would make.
                    needed.dedup();
                    return (u32::try_from(size).unwrap_or(u32::MAX), needed);
                }
            }
        }
        (FULL, kinds)
    }

    fn suffices(&self, chosen: &[&Test]) -> bool {
        let mut drawn = self.drawn.clone();
        for test in chosen {
            self.suppose(test, &mut drawn);
        }
        answer(self.evidence, &drawn, self.limits, Conditions::ALL)
            .identified
            .is_some_and(|(set, _)| set == *self.x)
    }

    /// Adds what a test that comes out for `x` would add.
    fn suppose(&self, test: &Test, drawn: &mut Drawn) {
        let worker = self.evidence.stays.get(self.stay).map(|stay| stay.person.clone());
        let Some(worker) = worker else { return };
        let records = Some(Cause::MeterRecords);
        let plate = Some(Cause::Plates);
        let premises = match test {
            Test::ReadMeterNumber => self.look(worker, records, None, Ground::MeterNumber),
            Test::ReadPlate => self.look(worker, plate, None, Ground::AddressPlate),
            Test::PictureOfMeter => self.look(other(), records, None, Ground::MeterPhoto),
            Test::AskCustomer => self.look(named("customer"), None, None, Ground::CustomerWord),
            Test::AskElectrician => {
                self.look(named("electrician"), None, None, Ground::ElectricianWord)
            }
            Test::LoadStep { set, by, .. } => {
                let run = supposed_run(*by);
                drawn.sets.extend(self.step(set, *by, worker, run.clone()));
                self.look(other(), records, run, Ground::MeterPhoto)
            }
            _ => None,
        };
        drawn.premises.extend(premises);
    }

    fn look(
        &self,
        by: impl Into<Option<PersonId>>,
        cause: Option<Cause>,
        in_run: Option<RunId>,
        ground: Ground,
    ) -> Option<PremisesEffect> {
        let by = by.into()?;
        let report = match ground {
            Ground::ElectricianWord => Cause::Electrician,
            _ => self.evidence.report_of(&by, self.stay),
        };
        let target = Premises::Service(self.evidence.target.clone());
        Some(PremisesEffect {
            sighting: supposed_sighting()?,
            stay: self.stay.clone(),
            by,
            in_run,
            excludes: Excludes::AllBut(target),
            causes: cause.into_iter().chain([report]).collect(),
            ground,
        })
    }

    fn step(&self, set: &SetAt, by: By, doer: PersonId, run: Option<RunId>) -> Option<SetEffect> {
        let run = run?;
        let fresh = match by {
            By::Mark => "supposed/by-mark",
            By::Position => "supposed/by-position",
        };
        let handle = match by {
            By::Position => Cause::LugPositions { pad: set.pad.clone() },
            By::Mark => {
                let (marks, _) = self.evidence.mark_of(set)?;
                Cause::Marks { marks: marks.clone() }
            }
        };
        let placement = Cause::Placement { placement: fresh.try_into().ok()? };
        Some(SetEffect {
            sightings: vec![supposed_sighting()?],
            set: set.clone(),
            excludes: Excludes::AllBut(Candidate::Set(set.clone())),
            causes: [placement, handle, Cause::Run { run: run.clone() }].into(),
            rests_on: [RestsOn {
                stay: self.stay.clone(),
                reports: [self.evidence.report_of(&doer, self.stay)].into(),
                run: Some(run),
            }]
            .into(),
            ground: Ground::LoadStepSeen,
        })
    }
}

fn named(who: &str) -> Option<PersonId> {
    format!("supposed/{who}").try_into().ok()
}

fn other() -> Option<PersonId> {
    named("other-worker")
}

fn supposed_run(by: By) -> Option<RunId> {
    let name = match by {
        By::Mark => "supposed/run-by-mark",
        By::Position => "supposed/run-by-position",
    };
    name.try_into().ok()
}

fn supposed_sighting() -> Option<SightingId> {
    "supposed".try_into().ok()
}
