//! What happened inside a stay or a run, by the clock of the phone that was there.

use super::{
    condition::{Condition, Conditions},
    evidence::{Evidence, Run, Stay},
};
use crate::quantity::{Age, Instant, StayId};

/// The stay by its name, unless it was withdrawn.
pub(crate) fn standing<'a>(
    evidence: &'a Evidence,
    stay: &StayId,
    conditions: Conditions,
) -> Option<&'a Stay> {
    evidence
        .stays
        .get(stay)
        .filter(|s| !s.withdrawn || !conditions.keep(Condition::WithdrawnStaysAreOut))
}

/// Whether `at` lies in the stay. The phone that began the stay has to be the one that says so.
pub(crate) fn holds(stay: &Stay, at: &Instant) -> bool {
    between(&stay.begun, stay.ended.as_ref(), at)
}

/// Whether `at`, counted by another person's device, is not known to lie outside the stay. The
/// order of entries keeps such a report out once the stay has ended.
pub(crate) fn may_hold(stay: &Stay, at: &Instant) -> bool {
    at.boot != stay.begun.boot || holds(stay, at)
}

/// Whether `at` lies inside the run.
pub(crate) fn inside_run(run: &Run, at: &Instant) -> bool {
    run.ended.is_some() && between(&run.begun, run.ended.as_ref(), at)
}

/// Whether the whole run lies in the stay and is over.
pub(crate) fn run_in_stay(run: &Run, stay: &Stay) -> bool {
    let over = run.ended.as_ref().is_some_and(|ended| {
        run.begun.boot == ended.boot && known(ended.age_of(&run.begun)) && holds(stay, ended)
    });
    over && holds(stay, &run.begun)
}

fn between(begun: &Instant, ended: Option<&Instant>, at: &Instant) -> bool {
    known(at.age_of(begun)) && ended.is_none_or(|ended| known(ended.age_of(at)))
}

fn known(age: Age) -> bool {
    matches!(age, Age::Known(_))
}
