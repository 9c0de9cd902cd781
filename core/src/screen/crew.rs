//! The lineworker's screens, and in which order their acts stand: the one that leads on first.
//!
//! Two work at once: who has begun a stay is at the premises, everybody else at the pad. What comes
//! next for each is read from the record, so that it stands right again after a break, a shift
//! change or a storm.

use super::{
    Act,
    about::{about, all_lifted, hot_legs},
    ask::asks,
    build::{Drawn, Scene},
    handover,
    points::{self, DeadTest, Next},
    searching::searching,
    switching, word,
};
use crate::{
    gate::Stage,
    plant::derived,
    proof::{Insulation, Point, Zone},
    quantity::AssetId,
    reading::{InstrumentClass, Place},
    sighting::{Seen, SetAt},
};

/// What may be done at the premises besides what leads on.
const AT_THE_HOUSE: &[Act] = &[
    Act::ReadMeterNumber,
    Act::ReadPlate,
    Act::TakePicture,
    Act::CustomersWord,
    Act::NotToBeHad,
    Act::LookAtBase,
    Act::MarkerAtBase,
    Act::ToneOn,
    Act::BeginRun,
    Act::OpenMain,
    Act::SourcesOff,
    Act::PullMeter,
    Act::ReadBase,
    Act::ReadRotation,
    Act::EndStay,
];
/// What may be done at the pad besides what leads on.
const AT_THE_PAD: &[Act] = &[
    Act::ReadPicture,
    Act::MarkSets,
    Act::ReadTag,
    Act::BareStep,
    Act::ReadSticker,
    Act::LookAtSet,
    Act::MarkerAtSet,
    Act::CompareTone,
    Act::TakeFix,
    Act::Clamp,
    Act::WriteKeys,
    Act::ReadAmps,
    Act::Answer,
    Act::ReadBus,
    Act::BeginStay,
];
/// What may always be done.
const ALWAYS: &[Act] = &[
    Act::OwnInstrument,
    Act::EnterInstrument,
    Act::ProveInstrument,
    Act::CorrectMap,
    Act::TakeBack,
    Act::WithdrawStay,
    Act::Deviate,
    Act::Interrupt,
    Act::WrongDrop,
];
/// What opens more than legs, and takes it back.
const SWITCHING: &[Act] = &[
    Act::OpenSwitch,
    Act::ReadLoad,
    Act::LockAndTag,
    Act::RelievePressure,
    Act::PutGround,
    Act::TakeGround,
    Act::TakeLock,
    Act::MeasureLoop,
    Act::CloseSwitch,
];

/// The screen of a lineworker.
pub(super) fn drawn(scene: &Scene<'_>) -> Drawn {
    let state = scene.state;
    if let Some((id, clearance)) = handover::own(scene) {
        let mut drawn = handover::drawn(scene, id, clearance);
        drawn.acts.extend(rest(scene));
        return drawn;
    }
    if let Some(run) = switching::own_run(scene) {
        let headline = scene.words.plain("headline-switching");
        let acts = vec![Act::EndRun, Act::TakePicture, Act::CustomersWord];
        return Drawn { headline, screen: switching::prompts(scene, run), acts };
    }
    if let Some(run) = switching::run_to_read(scene)
        && state.stopped.is_none()
    {
        let headline = scene.words.plain("headline-keys");
        let acts = vec![Act::WriteKeys, Act::Clamp, Act::ReadPicture, Act::TakeBack];
        return Drawn { headline, screen: switching::keys(scene, run), acts };
    }
    let mut drawn = about(scene);
    if state.stopped.is_some() {
        drawn.acts = vec![
            Act::Secure,
            Act::Resume,
            Act::OpenMain,
            Act::SourcesOff,
            Act::Brief,
            Act::SettleConflict,
            Act::Abandon,
        ];
        drawn.acts.extend(SWITCHING);
        return drawn;
    }
    if state.stage == Stage::Closed {
        return drawn;
    }
    drawn.acts.push(Act::SettleConflict);
    let mut next = next(scene);
    let restores = state.stage >= Stage::Returned || word::given(scene);
    let waited_for = word::waited_for(scene).filter(|_| restores);
    if waited_for.is_some() {
        next.retain(|act| !word::closes(*act));
    }
    let has_place = |&act: &Act| {
        let (state, who, device) = (state, scene.who, scene.device);
        asks(state, scene.sheets, who, act, device, scene.words, scene.once).is_some()
    };
    if state.stage > Stage::Found && !next.iter().any(has_place) {
        drawn.headline = scene.words.plain("headline-wait");
    }
    // Who is to be heard goes before what can be readied meanwhile.
    if let Some(waited_for) = waited_for {
        drawn.headline = waited_for;
    }
    drawn.acts.extend(next);
    drawn.acts.extend(rest(scene));
    drawn
}

fn rest(scene: &Scene<'_>) -> Vec<Act> {
    let mut acts = Vec::new();
    if scene.state.stage > Stage::Requested {
        let (here, there) =
            if at_house(scene) { (AT_THE_HOUSE, AT_THE_PAD) } else { (AT_THE_PAD, AT_THE_HOUSE) };
        acts.extend(here);
        acts.extend(there);
        acts.extend([Act::Lift, Act::Secure, Act::CheckLeg, Act::ReadPoint, Act::ProveDead]);
        acts.extend([Act::ProveByOpening, Act::Offer, Act::Refuse, Act::Abandon, Act::Inspect]);
        acts.extend([Act::RemoveShort, Act::Land, Act::ReadSupply, Act::SetMeter]);
        acts.extend(SWITCHING);
        acts.push(Act::Brief);
    }
    acts.extend(ALWAYS);
    acts.push(Act::Close);
    acts
}

/// Whether this person is at the premises on record.
pub(super) fn at_house(scene: &Scene<'_>) -> bool {
    scene
        .state
        .evidence
        .iter()
        .flat_map(|evidence| evidence.stays.values())
        .any(|stay| stay.person == *scene.who && stay.is_open())
}

/// What leads on, by stage.
fn next(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    match state.stage {
        Stage::Requested => vec![Act::Brief],
        Stage::Briefed | Stage::Found => searching(scene),
        Stage::Identified if scene.judged.is_some_and(|judged| judged.identified().is_none()) => {
            searching(scene)
        }
        Stage::Identified => before_the_first_leg(scene),
        Stage::Opened if all_lifted(scene) => proving(scene),
        Stage::Opened => between_the_legs(scene),
        Stage::ProvenDead => handing_over(scene),
        Stage::HandedOver => inspecting(scene),
        Stage::Returned => word::first(scene).into_iter().chain(restoring(scene)).collect(),
        Stage::Restored => word::first(scene).into_iter().chain(proving_live(scene)).collect(),
        Stage::ProvenLive => word::first(scene).into_iter().chain(ending(scene)).collect(),
        Stage::Closed => Vec::new(),
    }
}

/// Each leg of the base to neutral.
fn base_legs(scene: &Scene<'_>) -> Vec<Point> {
    let service = scene.state.target();
    service
        .map(|service| points::legs_at(&points::base(service), hot_legs(scene)))
        .unwrap_or_default()
}

/// Each leg of the bus of the pad in hand to neutral.
fn bus_legs(scene: &Scene<'_>) -> Vec<Point> {
    let set = scene.state.set_in_hand();
    set.map(|set| points::legs_at(&Place::PadBus { pad: set.pad.clone() }, hot_legs(scene)))
        .unwrap_or_default()
}

fn before_the_first_leg(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    let mut acts = Vec::new();
    let service = state.target().and_then(|target| scene.sheets.plant.services.get(target));
    let three = hot_legs(scene).len() > 2;
    if three && state.rotations().0.is_none() {
        acts.push(Act::ReadRotation);
    }
    let base_read = points::all_read(&base_legs(scene), &state.volts_since_operation());
    if at_house(scene) {
        if state.physical.meter_out.is_none() {
            if let Some(service) = service {
                if !state.physical.main_open(&service.id) {
                    acts.push(Act::OpenMain);
                }
                let off = state.physical.sources.get(&service.id).is_some_and(|own| own.off);
                if !service.sources.is_empty() && !off {
                    acts.push(Act::SourcesOff);
                }
            }
            if !number_read(scene) {
                acts.push(Act::ReadMeterNumber);
            }
            acts.push(Act::PullMeter);
        } else if !base_read {
            acts.push(Act::ReadBase);
        }
        return acts;
    }
    let Some(set) = state.set_in_hand() else { return acts };
    if !state.answers.contains_key(set) {
        acts.push(Act::Answer);
    }
    if state.physical.meter_out.is_some() && base_read {
        acts.extend(lifting(scene, set));
    }
    acts
}

/// Whether this person read the number on the meter in the stay they are in.
fn number_read(scene: &Scene<'_>) -> bool {
    let Some(evidence) = &scene.state.evidence else { return false };
    evidence.sightings.values().any(|sighting| match &sighting.seen {
        Seen::MeterNumber { stay, .. } => {
            evidence.stays.get(stay).is_some_and(|stay| stay.person == *scene.who && stay.is_open())
        }
        _ => false,
    })
}

/// Amps on every leg that is still on its lug, the clamp on a load again, then the lift; no lift
/// after a load was read.
fn lifting(scene: &Scene<'_>, set: &SetAt) -> Vec<Act> {
    if !scene.state.loaded_with_meter_out(scene.sheets, set).is_empty() {
        return vec![Act::ReadAmps];
    }
    let (state, now) = (scene.state, scene.device.now);
    if state.waits_for_clamp(scene.sheets, set, now) {
        vec![Act::ProveInstrument, Act::ReadAmps, Act::Lift]
    } else if state.legs_without_amps(scene.sheets, set, now).is_empty() {
        vec![Act::Lift, Act::ReadAmps]
    } else {
        vec![Act::ReadAmps, Act::Lift]
    }
}

fn between_the_legs(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    let mut acts = vec![Act::Secure];
    let Some(set) = state.set_in_hand() else {
        acts.extend(SWITCHING);
        acts.extend([Act::ReadPoint, Act::ProveDead]);
        return acts;
    };
    let checked = state.proofs.checked.get(set);
    let all = state.physical.lifted_of(set);
    if all.iter().all(|leg| checked.is_some_and(|checked| checked.contains(leg))) {
        if !at_house(scene) {
            acts.extend(lifting(scene, set));
        }
        return acts;
    }
    let since = state.volts_since_operation();
    let (base, bus) = (base_legs(scene), bus_legs(scene));
    match (points::all_read(&base, &since), points::all_read(&bus, &since), at_house(scene)) {
        (true, true, _) => acts.extend([Act::CheckLeg, Act::ReadBase, Act::ReadBus]),
        (false, _, true) => acts.push(Act::ReadBase),
        (_, false, false) => acts.push(Act::ReadBus),
        _ => {}
    }
    if !state.tagged_lugs(scene.sheets.plant, set).is_empty() {
        acts.push(Act::TakeLock);
    }
    acts.push(Act::Land);
    acts
}

/// The own test of the zone, if there is one to make.
fn own_test(scene: &Scene<'_>, zone: &Zone) -> Option<DeadTest> {
    DeadTest::of(scene.state, scene.sheets, scene.who, zone, scene.device.now)
}

fn proving(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    let mut acts = vec![Act::Secure];
    let (Some(zone), Some(set)) = (state.work_zone(), state.set_in_hand()) else { return acts };
    if state.waits_for_sources(scene.sheets, scene.device.now) {
        // Nothing leads on before the wait is over; a test begun now would have to be done again.
        return acts;
    }
    if state.needs_short(scene.sheets)
        && !state.physical.shorts.contains_key(set)
        && !at_house(scene)
    {
        let ends = Zone::LiftedLegs { pad: set.pad.clone(), position: set.position.clone() };
        let whole = own_test(scene, &ends).is_some_and(|test| test.next == Next::Nothing);
        acts.push(if whole { Act::Short } else { Act::ReadLifted });
    }
    if state.proofs.dead_of(&zone).is_none() {
        let test = own_test(scene, &zone);
        let whole = test.as_ref().is_some_and(|test| test.next == Next::Nothing);
        let begun = test.is_some_and(|test| !test.readings.is_empty());
        if whole {
            acts.push(Act::ProveDead);
        } else if begun || at_house(scene) {
            acts.push(Act::ReadPoint);
        }
        return acts;
    }
    if state.proofs.opening.is_none() {
        // The bus once more, after the last reading of the base, or the feeder may have gone.
        let from_base = state
            .volts
            .iter()
            .rposition(|taken| matches!(taken.taken.reading.place, Place::MeterBase { .. }));
        let since = state.volts.get(from_base.map_or(0, |at| at + 1)..).unwrap_or_default();
        let bus_read = points::all_read(&bus_legs(scene), &since.iter().collect::<Vec<_>>());
        if bus_read {
            acts.push(Act::ProveByOpening);
        } else if !at_house(scene) {
            acts.push(Act::ReadBus);
        }
    }
    acts
}

fn handing_over(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    if word::given(scene) {
        return restoring(scene);
    }
    let mut acts = vec![Act::Secure];
    let zone = state.work_zone();
    let dead = zone.as_ref().and_then(|zone| state.proofs.dead_of(zone));
    let fresh = dead.is_some_and(|dead| dead.is_fresh(scene.device.now, scene.sheets.rules));
    if let (Some(set), false) = (state.set_in_hand(), at_house(scene))
        && state.needs_short(scene.sheets)
        && !state.physical.shorts.contains_key(set)
    {
        acts.extend([Act::ReadLifted, Act::Short]);
    }
    if !state.clearances.blocks_closing().is_empty() {
        acts.push(Act::Refuse);
    } else if word::given_by_anybody(scene) {
        acts.extend([Act::Inspect, Act::Offer]);
    } else if fresh {
        acts.push(Act::Offer);
    } else if let Some(test) = zone.and_then(|zone| own_test(scene, &zone)) {
        // Offered is on the phone that proved; the pad's phone cannot know that proof's age.
        if test.next == Next::Nothing {
            acts.push(Act::ProveDead);
        } else if at_house(scene) || !test.readings.is_empty() {
            acts.push(Act::ReadPoint);
        }
    }
    acts
}

fn inspecting(scene: &Scene<'_>) -> Vec<Act> {
    if scene.state.clearances.blocks_closing().is_empty() {
        vec![Act::Inspect, Act::Offer]
    } else {
        vec![Act::Interrupt, Act::Refuse, Act::Abandon]
    }
}

fn restoring(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    if at_house(scene) {
        return Vec::new();
    }
    let mut acts = vec![Act::RemoveShort, Act::TakeGround];
    let Some(set) = state.set_in_hand() else {
        acts.extend([Act::TakeLock, Act::MeasureLoop, Act::CloseSwitch]);
        return acts;
    };
    if !matches!(state.insulation_of(scene.sheets, set), Some(Insulation::Sound { .. })) {
        let evidence = state.evidence.as_ref();
        let proven = evidence.is_some_and(|evidence| {
            evidence.instruments.values().any(|instrument| {
                instrument.class == InstrumentClass::InsulationTester
                    && evidence.proven.contains_key(&instrument.id)
            })
        });
        acts.extend((!proven).then_some(Act::ProveInstrument));
        acts.push(Act::ReadInsulation);
    }
    if !state.physical.neutrals.contains_key(set) {
        acts.push(Act::VerifyNeutral);
    }
    acts.push(Act::Land);
    acts
}

fn proving_live(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    let all = points::supply_points(state, scene.sheets).unwrap_or_default();
    let read = points::supply_read(state, &all, scene.sheets, scene.device.now);
    let mut acts = Vec::new();
    if read.len() < all.len() {
        acts.push(Act::ReadSupply);
    } else if !state.neutral_tested() {
        acts.push(Act::TestNeutral);
    }
    let (found, now) = state.rotations();
    if found.is_some() && now.is_none() {
        acts.push(Act::ReadRotation);
    }
    acts.extend([Act::ProveLive, Act::TestNeutral, Act::ReadSupply]);
    acts
}

fn ending(scene: &Scene<'_>) -> Vec<Act> {
    let state = scene.state;
    let physical = &state.physical;
    let mut acts = Vec::new();
    let target = state.target();
    let off = |target: &&AssetId| physical.sources.get(*target).is_some_and(|own| own.off);
    // What hangs on it comes off first.
    let mut untagged = |act, tagged: Vec<String>| {
        acts.extend((!tagged.is_empty()).then_some(Act::TakeLock));
        acts.push(act);
    };
    if let Some(target) = target.filter(|_| physical.meter_out.is_some()) {
        untagged(Act::SetMeter, state.tagged_at(target, derived::meter));
    } else if let Some(target) = target.filter(|target| physical.main_open(target)) {
        untagged(Act::CloseMain, state.tagged_at(target, derived::main));
    } else if let Some(target) = target.filter(off) {
        untagged(Act::SourcesOn, state.tagged_sources(target));
    } else if !physical.locks.is_empty() || !physical.tags.is_empty() {
        acts.push(Act::TakeLock);
    } else if at_house(scene) {
        acts.push(Act::EndStay);
    } else if !state.is_open_now(scene.sheets) {
        acts.push(Act::Close);
    }
    acts
}
