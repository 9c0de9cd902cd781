//! Whoever takes over is told what is still to be done, by how everything stands.

use super::crew::{Crew, Desk};
use crate::{
    diagram::Stands,
    isolate::{Plan, StepAct},
    quantity::AssetId,
};

impl Crew<'_> {
    /// The first plan as everything stands, which is as the drawing has it.
    fn planned_now(&self) -> Plan {
        let now = self.state.applied.last().unwrap().event.when();
        let found = self.state.plan(&self.sheets, &now).unwrap();
        let present = self.state.present(self.sheets.plant).unwrap();
        let stands = Stands::of_job(&self.state, self.sheets.plant).unwrap();
        assert_eq!(stands.states, present.states);
        found.plans.into_iter().next().unwrap()
    }
}

fn count(steps: &[crate::isolate::Step], act: StepAct) -> usize {
    steps.iter().filter(|s| s.act == act).count()
}

/// Everything that is to be undone in the end, however much of it is done by now.
fn goes_back(plan: &Plan) {
    for (act, times) in [(StepAct::LandLeg, 2), (StepAct::SetMeter, 1), (StepAct::CloseMain, 1)] {
        assert_eq!(count(&plan.restoration, act), times, "{act:?}");
    }
}

#[test]
fn what_is_done_is_not_told_again() {
    let desk = Desk::new();
    let mut crew = Crew::new(&desk);
    crew.ready_to_lift();
    let plan = crew.planned_now();
    for done in [StepAct::OpenMain, StepAct::ReadMeter, StepAct::PullMeter] {
        assert_eq!(count(&plan.steps, done), 0, "{done:?}");
    }
    let meter = AssetId::new("P1V2/meter").unwrap();
    let seen = |s: &&crate::isolate::Step| s.act == StepAct::SeeOpen;
    assert!(plan.steps.iter().filter(seen).any(|s| s.branch.as_ref() == Some(&meter)));
    assert_eq!((count(&plan.steps, StepAct::LiftLeg), plan.operations), (2, 2));
    goes_back(&plan);
    crew.lifts("L1");
    let plan = crew.planned_now();
    assert_eq!((count(&plan.steps, StepAct::LiftLeg), plan.operations), (1, 1));
    assert_eq!(count(&plan.steps, StepAct::CheckLegAtBase), 2);
    goes_back(&plan);
    crew.checks_first_leg();
    crew.lifts_last_and_proves();
    let plan = crew.planned_now();
    assert_eq!((count(&plan.steps, StepAct::LiftLeg), plan.operations), (0, 0));
    assert_eq!(count(&plan.steps, StepAct::ProveDead), 1);
    goes_back(&plan);
}
