//! At which steps of a plan each of its cautions is minded.

use std::collections::{BTreeMap, BTreeSet};

use crate::isolate::plan::{Caution, CautionId, Plan, StepAct};
use crate::plant::Plant;
use crate::quantity::AssetId;

/// Says at each step of the plan what of its cautions is to be minded there, in their order.
pub(in crate::isolate) fn note(plan: &mut Plan, plant: &Plant) {
    let mut about: BTreeMap<Option<&AssetId>, Vec<&Caution>> = BTreeMap::new();
    for caution in &plan.cautions {
        about.entry(caution.about.as_ref()).or_default().push(caution);
    }
    let lugs = lugs(&plan.cautions, plant);
    for step in plan.steps.iter_mut().chain(&mut plan.restoration) {
        let mut here: Vec<&Caution> = match (&step.branch, &step.service) {
            // The briefing, and what is done at a node, is about all of it.
            (None, None) => plan.cautions.iter().collect(),
            (branch, service) => {
                let behind = branch.as_ref().and_then(|branch| lugs.get(branch));
                let known =
                    branch.iter().chain(service).chain(behind.into_iter().flatten().copied());
                let at: BTreeSet<Option<&AssetId>> = known.map(Some).chain([None]).collect();
                at.iter().filter_map(|asset| about.get(asset)).flatten().copied().collect()
            }
        };
        here.retain(|caution| acts(caution.id).contains(&step.act));
        here.sort_unstable();
        step.cautions = here.into_iter().cloned().collect();
    }
}

/// The lugs, each with the sets and services behind it that a caution is about.
fn lugs<'a>(cautions: &'a [Caution], plant: &Plant) -> BTreeMap<AssetId, BTreeSet<&'a AssetId>> {
    let mut lugs: BTreeMap<AssetId, BTreeSet<&AssetId>> = BTreeMap::new();
    for about in cautions.iter().filter_map(|caution| caution.about.as_ref()) {
        let mut services = plant.services_of_set(about);
        services.insert(about.clone());
        for feed in services.iter().flat_map(|service| plant.feeds_of(service)) {
            let leads = feed.sets.contains(about) || feed.service == *about;
            if let Some(lug) = feed.lug.filter(|_| leads) {
                lugs.entry(lug).or_default().insert(about);
            }
        }
    }
    lugs
}

/// What is done where a caution counts.
const fn acts(id: CautionId) -> &'static [StepAct] {
    use StepAct::{
        AskMeters, Brief, ClampLegs, CloseMain, CloseSwitch, EndPickUp, InsertFuse, LandLeg,
        LiftLeg, OpenMain, OpenSwitch, ParkElbow, PickUp, ProveDead, ReadAmps, ReadMeter,
        SeatElbow, SecondWorker, SeeOpen, ShortLiftedToNeutral, SourceOff, TagAndLock,
        TestAndGround, VerifyNeutral,
    };
    match id {
        CautionId::CriticalCustomerOut => &[Brief, OpenMain, LiftLeg],
        CautionId::NeutralNotDead => &[LiftLeg, ProveDead],
        CautionId::NeutralIsEarth => &[LiftLeg, ProveDead, VerifyNeutral],
        CautionId::KnownSource => &[SourceOff, ShortLiftedToNeutral, ProveDead, TestAndGround],
        CautionId::PossibleSource => &[OpenMain, ShortLiftedToNeutral, ProveDead, TestAndGround],
        CautionId::LoadNotKnown => &[ReadAmps, PickUp, EndPickUp],
        CautionId::NoVisibleBreak => &[OpenSwitch, ParkElbow, SeeOpen, EndPickUp],
        CautionId::FuseLastResort | CautionId::FluidCold => {
            &[OpenSwitch, InsertFuse, PickUp, EndPickUp]
        }
        CautionId::ElbowCold => &[ParkElbow, EndPickUp],
        CautionId::ElbowTwoWorkers => &[SecondWorker],
        CautionId::NotLockable => &[TagAndLock, SeeOpen],
        CautionId::CtMetering => &[OpenMain, ProveDead, CloseMain],
        CautionId::MeteringNotKnown => &[ReadMeter],
        CautionId::SharedSet => &[AskMeters, LiftLeg],
        CautionId::UnmeteredLoads => &[AskMeters, ClampLegs],
        CautionId::Ferroresonance => {
            &[OpenSwitch, ParkElbow, CloseSwitch, SeatElbow, InsertFuse, PickUp, EndPickUp]
        }
        CautionId::SuspectCable => &[CloseSwitch, SeatElbow, InsertFuse, LandLeg, PickUp],
        CautionId::SeveralFeeds => &[ClampLegs, ProveDead],
    }
}
