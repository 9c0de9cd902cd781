//! One simulated job: the field, its record and the crew are made up from the spec, the job is
//! played, and what came of it is counted.

use coldlug_core::{job::Sheets, mapsheet, plant::Plant, quantity::AssetId, rule_sheet::RuleSheet};
use coldlug_field::{
    case::Case,
    fault::Fault,
    kit::Kit,
    seed::stream,
    solvable::{Unsolvable, Wanted, solvable},
    world::{FieldError, World},
};

use super::{
    crew::{Crew, Halt, Order, Site},
    plant::plant_of,
    slip::{Slip, Slips},
    spec::{Falsehood, Outcome, Policy, SavedJob, Spec},
};

/// A kit that fails does so at the start, or at some moment of the first hours; invented.
const LATEST_ONSET_S: f64 = 7_200.0;
/// What the gates ask of the field, by the default rule sheet.
pub(super) const WANTED: Wanted = Wanted {
    step_amps: 12.5,
    least_share: 0.6,
    most_share: 1.15,
    ways_without_step: 2,
    no_load_amps: 1.0,
    dead_volts: 5.0,
};

/// Everything a job is played with.
struct Ground {
    world: World,
    plant: Plant,
    target: String,
    next_door: Option<String>,
    kits: (Kit, Kit),
    onset_s: f64,
    slips: Slips,
    solvable: Result<(), &'static str>,
}

/// Plays one job.
pub(crate) fn play(spec: &Spec<'_>) -> Outcome {
    played(spec, None)
}

/// Plays one job and keeps it as files that `coldlug judge` reads.
pub(crate) fn play_recorded(spec: &Spec<'_>) -> (Outcome, SavedJob) {
    let mut saved = SavedJob {
        map_sheet: Vec::new(),
        rule_sheet: RuleSheet::default_text().replace(
            "tolerated_false_causes = 1",
            &format!("tolerated_false_causes = {}", spec.tolerated),
        ),
        events: String::new(),
    };
    let outcome = played(
        spec,
        Some(&mut |crew, plant| {
            saved.map_sheet = mapsheet::canonical_bytes(plant).unwrap_or_default();
            let applied = crew.state.applied.iter();
            let lines = applied.filter_map(|applied| applied.event.to_line().ok());
            saved.events = lines.map(|line| line + "\n").collect();
        }),
    );
    (outcome, saved)
}

/// Whoever keeps a job's record when it is over.
type Keeper<'a> = &'a mut dyn FnMut(&Crew<'_>, &Plant);

fn played(spec: &Spec<'_>, keep: Option<Keeper<'_>>) -> Outcome {
    let ground = match ground(spec) {
        Ok(ground) => ground,
        Err(why) => return nothing_played(why),
    };
    let rules = RuleSheet { tolerated_false_causes: spec.tolerated, ..RuleSheet::default() };
    // A record names its sheets by their hashes. Where nobody keeps one, the job need not wait for
    // them: it is pinned to these sheets by any name.
    let sheets = if keep.is_some() {
        Sheets::new(&ground.plant, &rules)
    } else {
        let unkept = || "0".repeat(64);
        Sheets::by_hashes(&ground.plant, &rules, unkept(), unkept())
    };
    #[cfg(feature = "weakened")]
    let sheets = sheets.under(spec.conditions);
    let solvable = ground.solvable;
    let Ok(target) = AssetId::new(ground.target.clone()) else {
        return nothing_played(Halt::BROKEN.0);
    };
    let site = Site::new(ground.world, &ground.target, ground.kits, ground.onset_s, spec.seed);
    let Ok(site) = site else { return nothing_played(Halt::BROKEN.0) };
    let order = Order {
        sheets: &sheets,
        site,
        slips: ground.slips,
        target,
        next_door: ground.next_door,
        keys: spec.keys,
        seed: spec.seed,
    };
    let Ok(mut crew) = Crew::new(order) else { return nothing_played(Halt::BROKEN.0) };
    let done = match spec.policy {
        Policy::Coldlug => crew.work(),
        policy => crew.work_blind(policy),
    };
    if let Some(keep) = keep {
        keep(&crew, &ground.plant);
    }
    let truth = &crew.truth;
    let wrong = truth.wrong_advised + truth.wrong_against;
    let all_true = spec.faults.is_empty() && !spec.wrong_map;
    Outcome {
        solvable,
        finished: done.is_ok() && (spec.policy == Policy::Coldlug || wrong == 0),
        wrong_openings_advised: truth.wrong_advised,
        wrong_openings_against: truth.wrong_against,
        idle_dropped: truth.idle_dropped,
        caught_after_one_leg: wrong > 0 && (truth.caught || !crew.state.ever_handed_over),
        false_proven_dead: truth.false_dead,
        needless_stop: done.is_err() && all_true && solvable.is_ok(),
        stopped: done.err().map(|Halt(why)| why),
        tests: crew.count.tests,
        looks: crew.count.looks,
        refused_by: crew.count.refused.iter().map(|(rule, count)| (*rule, *count)).collect(),
        events: u32::try_from(crew.state.applied.len()).unwrap_or(u32::MAX),
    }
}

/// A job that could not even be set up.
fn nothing_played(why: &'static str) -> Outcome {
    Outcome {
        solvable: Err(why),
        finished: false,
        wrong_openings_advised: 0,
        wrong_openings_against: 0,
        idle_dropped: 0,
        caught_after_one_leg: false,
        false_proven_dead: 0,
        needless_stop: false,
        stopped: Some(why),
        tests: 0,
        looks: 0,
        refused_by: Vec::new(),
        events: 0,
    }
}

/// The field of a spec, if it has room for everything that is to be false.
fn ground(spec: &Spec<'_>) -> Result<Ground, &'static str> {
    let of_field = spec.faults.iter().filter_map(|falsehood| match falsehood {
        Falsehood::Field(fault) => Some(*fault),
        Falsehood::Slip(_) => None,
    });
    let of_field: Vec<Fault> = of_field.collect();
    let slips = spec.faults.iter().filter_map(|falsehood| match falsehood {
        Falsehood::Slip(slip) => Some(*slip),
        Falsehood::Field(_) => None,
    });
    let slips: Vec<Slip> = slips.collect();
    let broken = |_: FieldError| Halt::BROKEN.0;
    let case = Case::draw(spec.seed, &of_field, spec.wrong_map).map_err(broken)?;
    let next_door = next_door(&case.world, &case.target).map_err(broken)?;
    let no_room = case.arranged.len() < of_field.len() || case.misdrawn != spec.wrong_map;
    if no_room || next_door.is_none() && slips.iter().any(|slip| slip.needs_next_door()) {
        return Err("no-room-for-fault");
    }
    let solvable = solvable(&case.world, &case.record, &case.kit, &case.target, &WANTED);
    let solvable = solvable.map_err(broken)?.map_err(Unsolvable::id);
    let plant = plant_of(&case.record, &case.world).map_err(|_| Halt::BROKEN.0)?;
    let mut draw = stream(spec.seed, "job");
    let sound = Kit::sound(&mut draw);
    let onset_s = if draw.chance(0.5) { 0.0 } else { draw.between(0.0, LATEST_ONSET_S) };
    let slips = Slips::new(slips, stream(spec.seed, "slips"));
    let Case { world, kit, target, .. } = case;
    Ok(Ground { world, plant, target, next_door, kits: (kit, sound), onset_s, slips, solvable })
}

/// The house next door: on the same pad if there is one, since that is the worse mistake.
fn next_door(world: &World, target: &str) -> Result<Option<String>, FieldError> {
    let on_pad = world.next_door_on_pad(target)?;
    Ok(match on_pad {
        Some(house) => Some(house.to_owned()),
        None => world.next_door(target)?.map(str::to_owned),
    })
}

#[cfg(test)]
mod tests;
