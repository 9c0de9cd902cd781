//! How each device is opened and closed, as steps: lug, elbow, fuse, switch.

use std::collections::BTreeSet;

use super::gates::{LIFT, PROOF, closing};
use super::{at, at_branch};
use crate::gate::Rule;
use crate::isolate::plan::{Opening, Step, StepAct};
use crate::isolate::venting::{VENTINGS_BEFORE_DRAWN, VENTINGS_BEFORE_PUT_BACK};
use crate::isolate::zone::Request;
use crate::plant::{Device, Switch};
use crate::quantity::AssetId;

/// What is asked and looked at in the open cabinet before anything in it is touched, be it opened or
/// closed to pick customers up.
pub(super) fn ask(openings: &[Opening], loop_points: &[&Switch], steps: &mut Vec<Step>) {
    let mut seen = BTreeSet::new();
    for opening in openings.iter().filter(|o| !o.hold) {
        let Some(pad) = &opening.pad else { continue };
        if seen.insert(pad) {
            see(&opening.branch, steps);
        }
        if opening.device == Device::LugPair {
            for act in [StepAct::AskBolt, StepAct::AskRuns, StepAct::AskMeters] {
                steps.push(at(act, opening, &[]));
            }
        }
    }
    for switch in loop_points {
        if switch.pad.as_ref().is_some_and(|pad| seen.insert(pad)) {
            see(&switch.id, steps);
        }
    }
}

fn see(branch: &AssetId, steps: &mut Vec<Step>) {
    steps.push(at_branch(StepAct::SeeEnclosure, branch, &[Rule::BriefedBeforeCabinet]));
    steps.push(at_branch(StepAct::SeeDeadFront, branch, &[]));
}

/// Opens it, or sees that it is open; looks at the gap, tags and locks.
pub(super) fn open(opening: &Opening, request: &Request, steps: &mut Vec<Step>) {
    if opening.hold {
        steps.push(at(StepAct::SeeOpen, opening, &[]));
    } else {
        if opening.expected.as_ref().is_some_and(|load| load.read_first) {
            steps.push(at(StepAct::ReadAmps, opening, &[]));
        }
        match opening.device {
            Device::LugPair => return lift(opening, request, steps),
            Device::BayonetFuse => draw_fuse(opening, steps),
            Device::Elbow => park_elbow(opening, steps),
            _ => steps.push(at(StepAct::OpenSwitch, opening, &SWITCH)),
        }
    }
    if opening.visible_break {
        steps.push(at(StepAct::SeeGap, opening, &[]));
    }
    steps.push(at(StepAct::TagAndLock, opening, &[]));
}

const SWITCH: [Rule; 3] =
    [Rule::IdentifiedBeforeOpening, Rule::SwitchOrder, Rule::LoadBreakCoversAmps];

/// Lifts the legs of a set one at a time; the neutral stays. A leg that is off already is looked at
/// instead.
fn lift(opening: &Opening, request: &Request, steps: &mut Vec<Step>) {
    let off = request.lifted.get(&opening.branch);
    steps.push(at(StepAct::ClampLegs, opening, &[]));
    for (i, &leg) in opening.legs.iter().enumerate() {
        let on = |act, gates: &[Rule]| Step { leg: Some(leg), ..at(act, opening, gates) };
        let mut gates = LIFT.to_vec();
        if i > 0 {
            gates.push(Rule::CapAndRestrainBeforeNext);
            gates.push(Rule::LegCheckBeforeSecondLeg);
        }
        if off.is_some_and(|off| off.contains(&leg)) {
            steps.push(on(StepAct::SeeOpen, &[]));
        } else {
            steps.push(on(StepAct::LiftLeg, &gates));
        }
        steps.push(on(StepAct::CapAndRestrain, &[]));
        if request.at_base() {
            steps.push(on(StepAct::CheckLegAtBase, &[Rule::TesterProvenAroundProof]));
        }
    }
    steps.push(at(StepAct::TagAndLock, opening, &[]));
}

/// The tank is vented twice before a fuse is drawn, and beyond it is tested: a drawn fuse shows no
/// gap and is never the only proof.
fn draw_fuse(opening: &Opening, steps: &mut Vec<Step>) {
    before_opening(opening.device, &opening.branch, steps);
    let mut gates = SWITCH.to_vec();
    gates.push(Rule::PressureRelievedBeforeFuse);
    steps.push(at(StepAct::OpenSwitch, opening, &gates));
    steps.push(at(StepAct::TestBeyondFuse, opening, &PROOF));
}

/// Two qualified workers; the bushing is on the stand and grounded before the elbow is moved.
fn park_elbow(opening: &Opening, steps: &mut Vec<Step>) {
    before_opening(opening.device, &opening.branch, steps);
    steps.push(at(StepAct::ParkElbow, opening, &SWITCH));
}

/// What a device asks for before it is opened.
///
/// Source: for a fuse makers' sheets (vent first, not for routine disconnection, no visible break,
/// never the only proof of dead) and WAC 296-45-225 (vent first); the second venting is common
/// practice, no source. For an elbow WAC 296-45-225 (two qualified workers, hot stick) and a maker's
/// sheet (fit and ground the stand-off before breaking).
pub(super) fn before_opening(device: Device, branch: &AssetId, steps: &mut Vec<Step>) {
    let acts: &[StepAct] = match device {
        Device::BayonetFuse => &[StepAct::RelievePressure; VENTINGS_BEFORE_DRAWN],
        Device::Elbow => &[StepAct::SeeElbow, StepAct::SecondWorker, StepAct::FitParkingBushing],
        _ => &[],
    };
    steps.extend(acts.iter().map(|&act| at_branch(act, branch, &[])));
}

/// What a device asks for before it is closed; sources as for its opening.
pub(super) fn before_closing(device: Device, branch: &AssetId, steps: &mut Vec<Step>) {
    let acts: &[StepAct] = match device {
        Device::BayonetFuse => &[StepAct::RelievePressure; VENTINGS_BEFORE_PUT_BACK],
        Device::Elbow => &[StepAct::SecondWorker],
        _ => &[],
    };
    steps.extend(acts.iter().map(|&act| at_branch(act, branch, &[])));
}

/// Closes it again; what was found open stays so and loses its tag.
pub(super) fn close(opening: &Opening, stays_open: bool, steps: &mut Vec<Step>) {
    steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
    if stays_open {
        return;
    }
    let mut gates =
        closing(&[Rule::ShortRemovedBeforeLanding, Rule::TagsOffBeforeClosing, Rule::SwitchOrder]);
    before_closing(opening.device, &opening.branch, steps);
    let act = match opening.device {
        Device::Elbow => StepAct::SeatElbow,
        Device::BayonetFuse => {
            gates.push(Rule::PressureRelievedBeforeFuse);
            StepAct::InsertFuse
        }
        _ => StepAct::CloseSwitch,
    };
    steps.push(at(act, opening, &gates));
}

/// Lands the legs of a set, the neutral first seen to.
pub(super) fn land(opening: &Opening, shorted: bool, steps: &mut Vec<Step>) {
    if shorted {
        steps.push(at(StepAct::RemoveShort, opening, &closing(&[])));
    }
    steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
    steps.push(at(StepAct::CompareInsulation, opening, &[]));
    steps.push(at(StepAct::VerifyNeutral, opening, &[]));
    let gates = closing(&[
        Rule::ShortRemovedBeforeLanding,
        Rule::TagsOffBeforeClosing,
        Rule::InsulationComparedBeforeLanding,
        Rule::NeutralBeforeHot,
        Rule::MeterOutBeforeLanding,
        Rule::LiftedFirst,
    ]);
    for &leg in &opening.legs {
        steps.push(Step { leg: Some(leg), ..at(StepAct::LandLeg, opening, &gates) });
    }
}
