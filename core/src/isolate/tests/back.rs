//! How a plan is put back, walked step by step, whatever the scope.

use std::collections::BTreeSet;

use super::*;

/// The fixture with everything customers may have: a pulled meter, mains, a source of their own.
fn own_source(service: &str) -> Vec<Value> {
    let own = json!([{"type": "battery", "kw": 5, "transfer_switch": true}]);
    with(row(), service, "customer_sources", own)
}

const SCOPES: [&str; 5] =
    ["base-line-side", "base-both-sides", "pad-secondary", "pad-primary", "cable:P1::out:P2::in"];

/// Every plan of every scope, with and without own sources, by both rules for what shows no gap.
fn every_plan() -> Vec<Plan> {
    let mut all = Vec::new();
    for scope in SCOPES {
        for features in [row(), own_source("P1V1"), own_source("P1V3")] {
            for unseen in [false, true] {
                let rules = RuleSheet {
                    allow_opening_without_visible_break: unseen,
                    ..RuleSheet::default()
                };
                let request = Request::new(id("P1V1"), scope.parse().unwrap());
                let found = isolate(&plant_of(&features), &request, &rules).unwrap();
                assert!(!found.plans.is_empty(), "{scope}");
                assert_eq!(found.withdrawn, [], "{scope}");
                all.extend(found.plans.into_iter().chain(found.dearer));
            }
        }
    }
    all
}

const fn puts_back(act: StepAct) -> bool {
    matches!(
        act,
        StepAct::LandLeg
            | StepAct::CloseSwitch
            | StepAct::SeatElbow
            | StepAct::InsertFuse
            | StepAct::SetMeter
            | StepAct::CloseMain
            | StepAct::SourceOn
    )
}

/// Tags and locks come off before what they hold is operated.
#[test]
fn a_tag_is_off_before_what_it_holds_is_closed() {
    let mut with_main = 0;
    for plan in every_plan() {
        let tagged = plan.steps.iter().filter(|s| s.act == StepAct::TagAndLock);
        for branch in tagged.filter_map(|s| s.branch.as_ref()) {
            let back = || plan.restoration.iter().enumerate();
            let here = |s: &Step| s.branch.as_ref() == Some(branch);
            let off: Vec<usize> = back()
                .filter(|(_, s)| here(s) && s.act == StepAct::RemoveTagAndLock)
                .map(|(n, _)| n)
                .collect();
            assert_eq!(off.len(), 1, "{branch} of {:?}", opened(&plan));
            let closed = back().find(|(_, s)| here(s) && puts_back(s.act)).map(|(n, _)| n);
            assert!(closed.is_none_or(|closed| off[0] < closed), "{branch}");
            with_main += usize::from(branch.as_str().ends_with("/main"));
        }
    }
    assert!(with_main > 0);
}

/// No step's own gates refuse the plan: what asks for a proven supply stands after the proof, and
/// nothing that is put back comes between them but what asks for it too.
#[test]
fn live_is_proven_before_what_asks_for_it() {
    let asks = |s: &Step| s.gates.contains(&Rule::LiveProvenBeforeLoad);
    let mut asked = BTreeSet::new();
    for plan in every_plan() {
        let mut proven = false;
        for step in &plan.restoration {
            proven |= step.act == StepAct::ProveLive;
            assert!(proven || !asks(step), "{step:?} of {:?}", opened(&plan));
            if matches!(step.act, StepAct::SetMeter | StepAct::CloseMain | StepAct::SourceOn) {
                assert!(asks(step), "{step:?}");
                asked.insert(step.act);
            } else if puts_back(step.act) || step.act == StepAct::EndPickUp {
                proven = false;
            }
        }
        assert_eq!(plan.restoration.last().map(|s| s.act), Some(StepAct::ProveLive));
        assert!(proven);
    }
    assert_eq!(asked.len(), 3);
}
