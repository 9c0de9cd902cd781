//! Plans that are withdrawn when they are played: what is told of those that are left.

use super::*;

fn price(plan: &Plan) -> (usize, u32, u32) {
    (plan.still_out, plan.exposure, plan.operations)
}

/// The question with every plan withdrawn that opens one of these sets.
fn without(all: &[Value], scope: &str, sets: &[Vec<&str>]) -> Isolation {
    let request = Request::new(id("P1V1"), scope.parse().unwrap());
    let falls = |plan: &Plan| sets.contains(&opened(plan));
    isolate_by(&plant_of(all), &request, &RuleSheet::default(), |_, plan| {
        falls(plan).then_some((0, Breach::CustomerLost))
    })
    .unwrap()
}

/// The best of each means in turn: what is left is the next best, also by the same means, and is
/// called the best only where none that was withdrawn cost less.
#[test]
fn the_next_best_takes_the_place_of_what_is_withdrawn() {
    for scope in ["base-line-side", "pad-primary", "cable:P1::out:P2::in"] {
        let whole = ask(&row(), "P1V1", scope);
        let all: Vec<&Plan> = told(&whole).collect();
        for fallen in &all {
            let found = without(&row(), scope, &[opened(fallen)]);
            assert!(found.withdrawn.len() == 1 && !found.complete, "{scope}");
            let left: Vec<Vec<&str>> = told(&found).map(opened).collect();
            assert!(!left.contains(&opened(fallen)), "{scope}");
            for other in all.iter().filter(|other| opened(other) != opened(fallen)) {
                assert!(left.contains(&opened(other)), "{scope}: {:?}", opened(other));
            }
            let best = found.plans.first().unwrap();
            let proven = found.proof == Proof::Optimal;
            assert_eq!(proven, price(best) <= price(fallen), "{scope}: {:?}", opened(fallen));
            // What only the withdrawn one beat is dear no more.
            for plan in &found.dearer {
                let beats = |other: &Plan| {
                    let (a, b) = (price(other), price(plan));
                    a != b && a.0 <= b.0 && a.1 <= b.1 && a.2 <= b.2
                };
                assert!(told(&found).any(beats), "{scope}: {:?}", opened(plan));
            }
        }
    }
    let found = without(&row(), "cable:P1::out:P2::in", &[vec!["P1-out", "P2-in"]]);
    plan_with(&found, &["P1-in", "P2-in"]);
}

#[test]
fn where_nothing_holds_nothing_is_proven_and_no_way_is_blamed() {
    let request = Request::new(id("P1V1"), Scope::BaseLineSide);
    let plant = plant_of(&row());
    let breach = |_: &Replay<'_>, _: &Plan| Some((2, Breach::ZoneEnergised));
    let found = isolate_by(&plant, &request, &RuleSheet::default(), breach).unwrap();
    assert_eq!((found.plans.len(), found.dearer.len()), (0, 0));
    assert!(!found.complete && found.infeasible.is_none() && found.withdrawn.len() > 2);
    assert!(matches!(found.proof, Proof::BestWithinBound { customers_out_at_least: 0, .. }));
    let mut sets: Vec<&Vec<AssetId>> = found.withdrawn.iter().map(|w| &w.branches).collect();
    sets.sort();
    let count = sets.len();
    sets.dedup();
    assert_eq!(sets.len(), count, "none is withdrawn twice");
}
