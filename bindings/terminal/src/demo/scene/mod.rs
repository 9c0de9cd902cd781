//! The scenes of a job, each a row of the table or a few.

mod begin;
mod hand_over;
mod open;
mod restore;
mod settle;

use coldlug_core::{
    gate::Rule,
    plant::Conductor,
    quantity::{ClearanceId, ProofId},
    sighting::SetAt,
    words::{Sentence, Words},
};

pub(crate) use hand_over::clearance;

use super::{crew::advice::Memory, halt::Halt, play::Play, row::Row, story::Scene};

/// The two hot legs of a split-phase set.
pub(crate) const LEGS: [Conductor; 2] = [Conductor::L1, Conductor::L2];

/// What one scene leaves for the next.
#[derive(Debug, Default)]
pub(crate) struct Course {
    /// What the crew remembers of its tests.
    pub(crate) memory: Memory,
    /// The identified set.
    pub(crate) set: Option<SetAt>,
    /// The proof that one leg died.
    pub(crate) one_leg: Option<ProofId>,
    /// The proof of dead.
    pub(crate) dead: Option<ProofId>,
    /// The clearance.
    pub(crate) clearance: Option<ClearanceId>,
    /// Corrections of the map.
    pub(crate) corrections: Vec<coldlug_core::mapsheet::MapCorrection>,
}

impl Course {
    /// The identified set.
    pub(crate) fn set(&self) -> Result<SetAt, Halt> {
        self.set.clone().ok_or_else(|| Halt::stuck("no set is identified"))
    }
}

/// Plays one scene.
pub(crate) fn play(
    scene: Scene,
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    match scene {
        Scene::Open => {
            begin::open(play, words);
            Ok(())
        }
        Scene::Brief => begin::brief(play, words),
        Scene::Instruments => begin::instruments(play, words),
        Scene::FindPad => begin::find_pad(play, words),
        Scene::Settle => settle::settle(play, course, words),
        Scene::CorrectMap => settle::correct_map(play, course, words),
        Scene::Plan => open::plan(play, course, words),
        Scene::Questions => open::questions(play, course, words),
        Scene::PullMeter => open::pull_meter(play, words),
        Scene::LiftTooEarly => open::lift_too_early(play, course, words),
        Scene::LastReadings => open::last_readings(play, course, words),
        Scene::FirstLeg => open::first_leg(play, course, words),
        Scene::SecondLeg => open::second_leg(play, course, words),
        Scene::HandOverTooEarly => hand_over::too_early(play, course, words),
        Scene::ProveDead => hand_over::prove_dead(play, course, words),
        Scene::MakeEndsSafe => hand_over::make_ends_safe(play, course, words),
        Scene::HandOver => hand_over::hand_over(play, course, words),
        Scene::CloseTooEarly => hand_over::close_too_early(play, course, words),
        Scene::WorkAndRelease => hand_over::work_and_release(play, course, words),
        Scene::Inspect => restore::inspect(play, words),
        Scene::Restore => restore::restore(play, course, words),
        Scene::ProveLive => restore::prove_live(play, course, words),
        Scene::SetMeter => restore::set_meter(play, words),
        Scene::Close => restore::close(play, words),
    }
}

/// Adds the row of a refusal: the rule that refused is the gate, its sentence is what was shown.
pub(crate) fn refusal_row(
    play: &mut Play<'_>,
    step: Sentence,
    seen: Sentence,
    rule: Rule,
    words: &Words,
) {
    let shown = words.plain(rule.id());
    play.rows.push(Row { step, seen, shown, gates: vec![rule], refused: true });
}
