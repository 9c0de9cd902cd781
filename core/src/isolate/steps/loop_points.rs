//! How a loop point is closed to pick customers up and opened again, as steps, by what it is.

use super::devices::{before_closing, before_opening};
use super::gates::{PROOF, closing};
use super::{Work, at_branch};
use crate::gate::Rule;
use crate::isolate::plan::{Step, StepAct};
use crate::plant::{Device, Switch};
use crate::quantity::AssetId;

impl Work<'_> {
    /// What is closed to pick customers up, in that order.
    pub(super) fn loop_points(&self) -> Vec<&Switch> {
        self.pick_ups.iter().filter_map(|p| self.plant.switches.get(&p.close)).collect()
    }

    /// Closes them, each measured first and handled as its kind asks for. An elbow that has stood
    /// parked is looked at before it is moved.
    pub(super) fn pick_up(&self, steps: &mut Vec<Step>) {
        for switch in self.loop_points() {
            let branch = &switch.id;
            steps.push(at_branch(StepAct::MeasureAcross, branch, &[]));
            let mut gates =
                vec![Rule::LoopPointMeasured, Rule::TagsOffBeforeClosing, Rule::SwitchOrder];
            match switch.device {
                Device::Elbow => steps.push(at_branch(StepAct::SeeElbow, branch, &[])),
                Device::BayonetFuse => gates.push(Rule::PressureRelievedBeforeFuse),
                _ => {}
            }
            before_closing(switch.device, branch, steps);
            steps.push(at_branch(StepAct::PickUp, branch, &gates));
        }
    }

    /// Opens them again, the last closed first, those that were closed before this plan too. They
    /// then stand as they normally do: no tag of ours is left on them.
    pub(super) fn end_pick_up(&self, steps: &mut Vec<Step>) {
        let opens = |branch: &&AssetId| self.openings.iter().all(|o| o.branch != **branch);
        let before = self.request.picked_up.iter().filter(opens);
        let before = before.filter_map(|branch| self.plant.switches.get(branch));
        let all: Vec<&Switch> = before.chain(self.loop_points()).collect();
        for switch in all.into_iter().rev() {
            let branch = &switch.id;
            let mut gates = closing(&[
                Rule::IdentifiedBeforeOpening,
                Rule::SwitchOrder,
                Rule::LoadBreakCoversAmps,
            ]);
            if switch.device == Device::BayonetFuse {
                gates.push(Rule::PressureRelievedBeforeFuse);
            }
            before_opening(switch.device, branch, steps);
            steps.push(at_branch(StepAct::EndPickUp, branch, &gates));
            // Where sources may be tied, both sides stay fed: there is nothing dead beyond it.
            if switch.device == Device::BayonetFuse && !self.may_tie {
                steps.push(at_branch(StepAct::TestBeyondFuse, branch, &PROOF));
            }
            if switch.visible_break {
                steps.push(at_branch(StepAct::SeeGap, branch, &[]));
            }
        }
    }
}
