//! How each device is opened and closed, as steps: lug, elbow, fuse, switch.

use super::gates::{LIFT, PROOF, closing};
use super::{at, step};
use crate::gate::Rule;
use crate::isolate::plan::{Opening, Step, StepAct};
use crate::plant::Device;

/// What is asked and looked at in the open cabinet before anything in it is touched.
pub(super) fn ask(openings: &[Opening], steps: &mut Vec<Step>) {
    let mut seen = Vec::new();
    for opening in openings.iter().filter(|o| o.pad.is_some() && !o.hold) {
        if !seen.contains(&&opening.pad) {
            seen.push(&opening.pad);
            steps.push(at(StepAct::SeeEnclosure, opening, &[Rule::BriefedBeforeCabinet]));
            steps.push(at(StepAct::SeeDeadFront, opening, &[]));
        }
        if opening.device == Device::LugPair {
            for act in [StepAct::AskBolt, StepAct::AskRuns, StepAct::AskMeters] {
                steps.push(at(act, opening, &[]));
            }
        }
    }
}

/// Opens it, or sees that it is open; looks at the gap, tags and locks.
pub(super) fn open(opening: &Opening, at_base: bool, steps: &mut Vec<Step>) {
    if opening.hold {
        steps.push(at(StepAct::SeeOpen, opening, &[]));
    } else {
        if opening.expected.as_ref().is_some_and(|load| load.read_first) {
            steps.push(at(StepAct::ReadAmps, opening, &[]));
        }
        match opening.device {
            Device::LugPair => return lift(opening, at_base, steps),
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

/// Lifts the legs of a set one at a time; the neutral stays.
fn lift(opening: &Opening, at_base: bool, steps: &mut Vec<Step>) {
    steps.push(at(StepAct::ClampLegs, opening, &[]));
    for (i, &leg) in opening.legs.iter().enumerate() {
        let on = |act, gates: &[Rule]| Step { leg: Some(leg), ..at(act, opening, gates) };
        let mut gates = LIFT.to_vec();
        if i > 0 {
            gates.push(Rule::CapAndRestrainBeforeNext);
            gates.push(Rule::LegCheckBeforeSecondLeg);
        }
        steps.push(on(StepAct::LiftLeg, &gates));
        steps.push(on(StepAct::CapAndRestrain, &[]));
        if at_base {
            steps.push(on(StepAct::CheckLegAtBase, &[Rule::TesterProvenAroundProof]));
        }
    }
    steps.push(at(StepAct::TagAndLock, opening, &[]));
}

/// The tank is vented twice before a fuse is drawn, and beyond it is tested: a drawn fuse shows no
/// gap and is never the only proof.
///
/// Source: makers' sheets (vent first, not for routine disconnection, no visible break, never the
/// only proof of dead) and WAC 296-45-225 (vent first); the second venting is common practice, no
/// source.
fn draw_fuse(opening: &Opening, steps: &mut Vec<Step>) {
    for _ in 0..2 {
        steps.push(at(StepAct::RelievePressure, opening, &[]));
    }
    let mut gates = SWITCH.to_vec();
    gates.push(Rule::PressureRelievedBeforeFuse);
    steps.push(at(StepAct::OpenSwitch, opening, &gates));
    steps.push(at(StepAct::TestBeyondFuse, opening, &PROOF));
}

/// Two qualified workers; the bushing is on the stand and grounded before the elbow is moved.
///
/// Source: WAC 296-45-225 (two qualified workers, hot stick) and a maker's sheet (fit and ground the
/// stand-off before breaking).
fn park_elbow(opening: &Opening, steps: &mut Vec<Step>) {
    for act in [StepAct::SeeElbow, StepAct::SecondWorker, StepAct::FitParkingBushing] {
        steps.push(at(act, opening, &[]));
    }
    steps.push(at(StepAct::ParkElbow, opening, &SWITCH));
}

/// Closes it again; what was held open stays so and loses its tag.
pub(super) fn close(opening: &Opening, steps: &mut Vec<Step>) {
    steps.push(at(StepAct::RemoveTagAndLock, opening, &closing(&[])));
    if opening.hold {
        return;
    }
    let mut gates =
        closing(&[Rule::ShortRemovedBeforeLanding, Rule::TagsOffBeforeClosing, Rule::SwitchOrder]);
    let act = match opening.device {
        Device::Elbow => {
            steps.push(at(StepAct::SecondWorker, opening, &[]));
            StepAct::SeatElbow
        }
        Device::BayonetFuse => {
            steps.push(at(StepAct::RelievePressure, opening, &[]));
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

/// A loop point closed or opened again.
pub(super) fn loop_point(act: StepAct, branch: &crate::quantity::AssetId) -> Step {
    let gates = match act {
        StepAct::PickUp => vec![Rule::LoopPointMeasured, Rule::SwitchOrder],
        _ => closing(&[Rule::SwitchOrder, Rule::LoadBreakCoversAmps]),
    };
    Step { branch: Some(branch.clone()), ..step(act, &gates) }
}
