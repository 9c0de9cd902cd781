//! Supply comes back.

use coldlug_core::{
    event::{Body, Closed, ProofOf},
    gate::Rule,
    plant::{Conductor, Pair},
    quantity::EventId,
    reading::{Place, Side},
    words::Words,
};

use super::{Course, LEGS, open::prove};
use crate::demo::{
    crew::{house, pad},
    halt::Halt,
    people::Hand,
    play::Play,
    tools::Tool,
};

pub(super) fn inspect(play: &mut Play<'_>, words: &Words) -> Result<(), Halt> {
    // The base is looked over before anything else; each phone then waits for the other's word.
    house::inspect(play)?;
    pad::say_clear(play)?;
    let found = play.job.story.inspection;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-inspect"),
        words.say("demo-seen-inspection", &[("found", found)]),
        shown,
        &[Rule::NoClearanceHeldBeforeClosing],
    );
    Ok(())
}

pub(super) fn restore(play: &mut Play<'_>, course: &mut Course, words: &Words) -> Result<(), Halt> {
    let set = course.set()?;
    pad::short(play, &set, false)?;
    let megohms = pad::insulation(play, &set)?;
    let shown: Vec<String> = megohms.iter().map(|m| format!("{m} Mohm")).collect();
    pad::verify_neutral(play, &set)?;
    play.row(
        words.plain("demo-step-before-landing"),
        words.say("demo-seen-insulation", &[("megohms", &shown.join(", "))]),
        words.plain("demo-shown-insulation"),
        &[Rule::NoClearanceHeldBeforeClosing, Rule::NoLinkOfferBeforeClosing],
    );
    for leg in LEGS {
        pad::land(play, &set, leg)?;
    }
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-land"),
        words.plain("demo-seen-landed"),
        shown,
        &[
            Rule::InspectedBeforeRestore,
            Rule::ShortRemovedBeforeLanding,
            Rule::MeterOutBeforeLanding,
            Rule::InsulationComparedBeforeLanding,
            Rule::NeutralBeforeHot,
            Rule::ClearSaidBeforeClosing,
        ],
    );
    Ok(())
}

pub(super) fn prove_live(
    play: &mut Play<'_>,
    _course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let readings = live_readings(play)?;
    let volts = play.last_volts(4)?;
    let service = play.job.service.clone();
    prove(play, Hand::Pad, ProofOf::Live { service }, readings)?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-prove-live"),
        words.say("demo-seen-live", &[("volts", &volts)]),
        shown,
        &[Rule::ProofHolds],
    );
    Ok(())
}

/// The lineworker of the pad comes to the base with tester, clamp and load: neutral and polarity
/// first, then the legs, then the neutral under load.
fn live_readings(play: &mut Play<'_>) -> Result<Vec<EventId>, Halt> {
    use Conductor::{G, L1, L2, N};
    play.pass_s(120);
    let place = Place::MeterBase { service: play.job.service.clone(), side: Side::Line };
    let mut readings = vec![play.prove_volts(Hand::Pad, Tool::PadTester)?];
    for pair in [Pair(N, G), Pair(L1, N), Pair(L2, N), Pair(L1, L2)] {
        readings.push(play.read_volts(Hand::Pad, Tool::PadTester, &place, pair)?);
    }
    readings.push(play.test_neutral()?);
    Ok(readings)
}

pub(super) fn set_meter(play: &mut Play<'_>, words: &Words) -> Result<(), Halt> {
    house::set_meter(play)?;
    house::close_main(play)?;
    house::end_stay(play)?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-set-meter"),
        words.plain("demo-seen-meter-set"),
        shown,
        &[Rule::MainOpenBeforeSet, Rule::LiveProvenBeforeLoad],
    );
    Ok(())
}

pub(super) fn close(play: &mut Play<'_>, words: &Words) -> Result<(), Halt> {
    play.pass_s(60);
    let summary = play.job.story.summary.to_owned();
    play.write(Hand::Pad, Body::Closed(Closed { summary }))?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-close"),
        words.plain("demo-seen-close"),
        shown,
        &[Rule::LiveProvenBeforeClose, Rule::NothingLeftOpenBeforeClose],
    );
    Ok(())
}
