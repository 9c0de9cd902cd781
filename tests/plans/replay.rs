//! A plan's steps played on the sheet, step by step, there and back.

use coldlug_core::isolate::{Plan, StepAct};

use super::world::World;

/// What a step does to its branch; a set is open with its last leg and closed with its first.
fn turns(act: StepAct, is_last_leg: bool) -> Option<bool> {
    use StepAct as A;
    match act {
        A::OpenMain | A::SourceOff | A::PullMeter | A::OpenSwitch | A::ParkElbow | A::EndPickUp => {
            Some(false)
        }
        A::LiftLeg if is_last_leg => Some(false),
        A::PickUp
        | A::LandLeg
        | A::CloseSwitch
        | A::SeatElbow
        | A::InsertFuse
        | A::SetMeter
        | A::CloseMain
        | A::SourceOn => Some(true),
        _ => None,
    }
}

/// Plays it, and fails at the first step that does what it must not.
pub(crate) fn play(
    world: &World,
    plan: &Plan,
    target: &str,
    zone: u64,
    sources: u64,
    may_tie: bool,
) -> Result<(), String> {
    let at_first = world.closed_now();
    let mut closed = at_first;
    let supplied_first = world.reach(world.feeder_bits(), closed);
    let told =
        |id: &str| id == target || plan.customers_out.iter().any(|o| o.service.as_str() == id);
    let mut dead = false;
    for (n, step) in plan.steps.iter().chain(&plan.restoration).enumerate() {
        let says = |what: &str| Err(format!("step {n}, {:?} {:?}: {what}", step.act, step.branch));
        let legs = plan.openings.iter().find(|o| Some(&o.branch) == step.branch.as_ref());
        let is_last = legs.is_some_and(|o| o.legs.last() == step.leg.as_ref());
        if let (Some(closes), Some(branch)) = (turns(step.act, is_last), &step.branch) {
            let bit = 1_u64 << world.branch(branch.as_str());
            closed = if closes { closed | bit } else { closed & !bit };
            dead &= !closes || step.act == StepAct::PickUp;
        }
        dead |= step.act == StepAct::ProveDead;
        let supplied = world.reach(world.feeder_bits(), closed);
        for (id, house) in &world.houses {
            if supplied_first & house != 0 && supplied & house == 0 && !told(id) {
                return says(&format!("{id} goes out untold"));
            }
        }
        if dead && world.reach(zone, closed) & sources != 0 {
            return says("a source reaches the zone");
        }
        for (i, one) in world.feeders.iter().enumerate() {
            for other in &world.feeders[i + 1..] {
                let apart = world.reach(*one, at_first) & other == 0;
                if apart && world.reach(*one, closed) & other != 0 && !may_tie {
                    return says("two feeders are tied");
                }
            }
        }
    }
    // And in the end everything stands as it stood, own mains and meters included.
    if closed == at_first { Ok(()) } else { Err("something is left open or closed".to_owned()) }
}
