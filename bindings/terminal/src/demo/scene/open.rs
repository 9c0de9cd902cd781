//! From the identified set to both legs lifted.

use coldlug_core::{
    event::{Body, OwnSources, ProofMade, ProofOf},
    form::opening_sentence,
    gate::Rule,
    isolate::isolate,
    plant::{Conductor, Pair},
    quantity::{Decimal, EventId, ProofId},
    reading::Side,
    sighting::SetAt,
    words::Words,
};

use super::{Course, refusal_row};
use crate::demo::{
    crew::{
        house::{open_main, pull_meter as pull, read_meter_number, volts_at_base},
        pad,
    },
    halt::Halt,
    people::Hand,
    play::Play,
    scene::begin::SCOPE,
    tools::Tool,
};

/// What the gate of a lift stands on; the rules in the order they are asked.
const LIFT: &[Rule] = &[
    Rule::QuestionsBeforeLift,
    Rule::IdentifiedBeforeOpening,
    Rule::MeterOutBeforeLift,
    Rule::AmpsFreshBeforeLift,
    Rule::NoLoadBeforeLift,
    Rule::NoLoadWithMeterOut,
    Rule::ClampProvenAfterAmps,
    Rule::NoLoadWhileLoosened,
];

pub(super) fn plan(play: &mut Play<'_>, course: &mut Course, words: &Words) -> Result<(), Halt> {
    let service = play.job.service.clone();
    let found = play.at_pad(|state, sheets| {
        let plant = state.corrected(sheets.plant).map_err(|why| why.to_string())?;
        let last = state.applied.last().map(|applied| applied.event.when());
        let now = last.ok_or("the job is not opened")?;
        let request = state
            .plan_request(sheets, &plant, (&service, &SCOPE), &now)
            .map_err(|why| why.to_string())?;
        isolate(&plant, &request, sheets.rules).map_err(|why| why.to_string())
    })?;
    let found = found.map_err(Halt::stuck)?;
    let best = found.plans.first().ok_or_else(|| Halt::stuck("nothing can be opened here"))?;
    let set = course.set()?;
    let lifts = best.openings.iter().any(|opening| {
        opening.pad.as_ref() == Some(&set.pad)
            && opening.position.as_deref() == Some(set.position.as_str())
    });
    if !lifts {
        return Err(Halt::stuck("the best plan is not to lift the legs of the identified set"));
    }
    let openings: Vec<String> =
        best.openings.iter().map(|opening| opening_sentence(opening, words).text).collect();
    let openings = openings.join(", ");
    let out = best.customers_out.len().to_string();
    let ways = found.plans.len().to_string();
    play.pass_s(90);
    play.row(
        words.plain("demo-step-plan"),
        words.say("demo-seen-plan", &[("count", &ways)]),
        words.say("demo-shown-plan", &[("openings", &openings), ("out", &out)]),
        &[Rule::IdentifiedBeforeOpening],
    );
    Ok(())
}

pub(super) fn questions(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    pad::answer(play, &set)?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-questions"),
        words.plain("demo-seen-questions"),
        shown,
        &[Rule::BriefedBeforeCabinet],
    );
    Ok(())
}

pub(super) fn pull_meter(play: &mut Play<'_>, words: &Words) -> Result<(), Halt> {
    read_meter_number(play)?;
    open_main(play)?;
    let number = pull(play, OwnSources::NoneFound)?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-pull-meter"),
        words.say("demo-seen-number-in-hand", &[("number", &number)]),
        shown,
        &[
            Rule::MeterNumberReadBeforePull,
            Rule::OwnSourcesOffBeforePull,
            Rule::MainOpenBeforePull,
            Rule::NoDamageBeforePull,
        ],
    );
    Ok(())
}

pub(super) fn lift_too_early(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    let body = pad::lift_body(play, &set, Conductor::L1)?;
    play.refused(Hand::Pad, body, Rule::AmpsFreshBeforeLift)?;
    let step = words.plain("demo-step-lift-too-early");
    let seen = words.plain("demo-seen-no-fresh-amps");
    refusal_row(play, step, seen, Rule::AmpsFreshBeforeLift, words);
    Ok(())
}

/// Leg to neutral, both legs.
const LEG_TO_NEUTRAL: [Pair; 2] =
    [Pair(Conductor::L1, Conductor::N), Pair(Conductor::L2, Conductor::N)];

pub(super) fn last_readings(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    volts_at_base(play, Tool::HouseTester, Hand::House, Side::Line, &LEG_TO_NEUTRAL)?;
    let amps = amps(play, &set, Conductor::L1)?;
    play.row(
        words.plain("demo-step-last-readings"),
        words.say("demo-seen-amps", &[("amps", &amps)]),
        words.plain("demo-shown-no-load"),
        &[Rule::KnownInstrument],
    );
    Ok(())
}

/// A load on another set, so that a zero means something; every conductor of the set; the clamp on
/// a load again.
fn amps(play: &mut Play<'_>, set: &SetAt, next: Conductor) -> Result<String, Halt> {
    pad::find_load(play, set)?;
    let read = pad::amps_on_every_conductor(play, set, next)?;
    play.prove_clamp()?;
    let shown: Vec<String> =
        read.iter().map(|(leg, amps): &(Conductor, Decimal)| format!("{leg} {amps} A")).collect();
    Ok(shown.join(", "))
}

pub(super) fn first_leg(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    pad::lift(play, &set, Conductor::L1)?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.say("demo-step-lift", &[("leg", "L1")]),
        words.plain("demo-seen-lifted"),
        shown,
        LIFT,
    );
    let mut readings =
        volts_at_base(play, Tool::HouseTester, Hand::House, Side::Line, &LEG_TO_NEUTRAL)?;
    let base = play.last_volts(2)?;
    readings.extend(pad::volts_on_bus(play, &set.pad, &LEG_TO_NEUTRAL)?);
    let bus = play.last_volts(2)?;
    let of = ProofOf::OneLeg {
        service: play.job.service.clone(),
        pad: set.pad.clone(),
        position: set.position.clone(),
        leg: Conductor::L1,
    };
    course.one_leg = Some(prove(play, Hand::Pad, of, readings)?);
    play.row(
        words.plain("demo-step-leg-check"),
        words.say("demo-seen-leg-check", &[("base", &base), ("bus", &bus)]),
        words.plain("demo-shown-leg-check"),
        &[Rule::ProofHolds],
    );
    Ok(())
}

pub(super) fn second_leg(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    let amps = amps(play, &set, Conductor::L2)?;
    pad::lift(play, &set, Conductor::L2)?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.say("demo-step-lift", &[("leg", "L2")]),
        words.say("demo-seen-amps", &[("amps", &amps)]),
        shown,
        &[
            Rule::AmpsFreshBeforeLift,
            Rule::NoLoadBeforeLift,
            Rule::ClampProvenAfterAmps,
            Rule::NoLoadWhileLoosened,
            Rule::OneLegAtATime,
            Rule::CapAndRestrainBeforeNext,
            Rule::LegCheckBeforeSecondLeg,
        ],
    );
    Ok(())
}

/// Writes a proof down.
pub(super) fn prove(
    play: &mut Play<'_>,
    who: Hand,
    of: ProofOf,
    readings: Vec<EventId>,
) -> Result<ProofId, Halt> {
    play.pass_s(10);
    let proof = ProofId::new(play.names.next("proof"))?;
    let body = Body::Proof(ProofMade { proof: proof.clone(), of, readings });
    play.write(who, body)?;
    Ok(proof)
}
