//! Dead, proven; the work handed over and taken back.

use coldlug_core::{
    event::{Body, ClearanceEvent, ClearanceOp, ProofOf},
    gate::Rule,
    plant::{Conductor, Pair},
    proof::Zone,
    quantity::{ClearanceId, EventId, ProofId},
    words::Words,
};

use super::{Course, open::prove, refusal_row};
use crate::demo::{
    crew::{electrician, pad},
    halt::Halt,
    people::Hand,
    play::Play,
    tools::Tool,
};

/// The one clearance of the job.
pub(crate) fn clearance() -> Result<ClearanceId, Halt> {
    Ok(ClearanceId::new("clearance-1")?)
}

fn offer(play: &mut Play<'_>, proof: ProofId) -> Result<(ClearanceId, Body), Halt> {
    let clearance = clearance()?;
    let act = ClearanceOp::Offered {
        to: Hand::Electrician.person()?,
        proof,
        record_sha256: play.house_phone.head(&play.job.id)?,
        by_link: play.job.story.by_link,
    };
    let body = Body::Clearance(ClearanceEvent { clearance: clearance.clone(), act });
    Ok((clearance, body))
}

pub(super) fn too_early(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let one_leg = course.one_leg.clone().ok_or_else(|| Halt::stuck("no leg was checked"))?;
    let (_, body) = offer(play, one_leg)?;
    play.refused(Hand::House, body, Rule::DeadProvenBeforeHandover)?;
    let step = words.plain("demo-step-hand-over-too-early");
    let seen = words.plain("demo-seen-no-proof");
    refusal_row(play, step, seen, Rule::DeadProvenBeforeHandover, words);
    Ok(())
}

/// Every point of a zone, in the order of the list that the software shows.
fn read_zone(
    play: &mut Play<'_>,
    who: Hand,
    tool: Tool,
    zone: &Zone,
) -> Result<Vec<EventId>, Halt> {
    let system = play.system()?;
    let mut readings = vec![play.prove_volts(who, tool)?];
    for point in zone.points(system) {
        readings.push(play.read_volts(who, tool, &point.place, point.between)?);
    }
    readings.push(play.prove_volts(who, tool)?);
    Ok(readings)
}

pub(super) fn prove_dead(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    play.pass_s(60);
    let service = play.job.service.clone();
    let zone = Zone::MeterBase { service: service.clone() };
    let readings = read_zone(play, Hand::House, Tool::HouseTester, &zone)?;
    let count = readings.len().to_string();
    let of = ProofOf::Dead { service: service.clone() };
    course.dead = Some(prove(play, Hand::House, of, readings)?);
    play.row(
        words.plain("demo-step-prove-dead"),
        words.say("demo-seen-dead", &[("count", &count)]),
        words.plain("demo-shown-dead"),
        &[Rule::WaitAfterSourcesOff, Rule::TesterProvenAroundProof, Rule::ProofHolds],
    );
    let pairs = [Pair(Conductor::L1, Conductor::N), Pair(Conductor::L2, Conductor::N)];
    let bus = pad::volts_on_bus(play, &set.pad, &pairs)?;
    let volts = play.last_volts(2)?;
    let of = ProofOf::Opening { service, pad: set.pad.clone(), position: set.position.clone() };
    prove(play, Hand::House, of, bus)?;
    let shown = play.shown(Hand::House, words)?;
    play.row(
        words.plain("demo-step-prove-by-opening"),
        words.say("demo-seen-opening", &[("bus", &volts)]),
        shown,
        &[Rule::ProofHolds],
    );
    Ok(())
}

pub(super) fn make_ends_safe(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    let (pad, position) = (set.pad.clone(), set.position.clone());
    let zone = Zone::LiftedLegs { pad: pad.clone(), position: position.clone() };
    let readings = read_zone(play, Hand::Pad, Tool::PadTester, &zone)?;
    prove(play, Hand::Pad, ProofOf::Lifted { pad, position }, readings)?;
    pad::short(play, &set, true)?;
    let shown = play.shown(Hand::House, words)?;
    play.row(
        words.plain("demo-step-ends-safe"),
        words.plain("demo-seen-ends-safe"),
        shown,
        &[Rule::LiftedTestedBeforeShort],
    );
    Ok(())
}

pub(super) fn hand_over(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let dead = course.dead.clone().ok_or_else(|| Halt::stuck("dead is not proven"))?;
    play.pass_s(30);
    let (clearance, body) = offer(play, dead)?;
    play.write(Hand::House, body)?;
    let shown = play.shown(Hand::House, words)?;
    play.row(
        words.plain("demo-step-offer"),
        words.say("demo-seen-offer", &[("to", Hand::Electrician.name())]),
        shown,
        &[
            Rule::DeadProvenBeforeHandover,
            Rule::ProofFreshBeforeHandover,
            Rule::ProofByOpeningBeforeHandover,
            Rule::LiftedSafeBeforeHandover,
        ],
    );
    let count = if play.job.story.by_link {
        electrician::open_link(play, &clearance)?;
        if play.hold {
            play.all_meet()?;
        }
        if let Some(browser) = play.browser.as_ref().filter(|_| play.hold) {
            return Err(Halt::Held { at: browser.at.clone() });
        }
        electrician::test_and_accept(play)?.to_string()
    } else {
        let zone = Zone::MeterBase { service: play.job.service.clone() };
        let readings = read_zone(play, Hand::Electrician, Tool::OwnTester, &zone)?;
        let count = readings.len().to_string();
        electrician::accept(play, &clearance, readings)?;
        count
    };
    course.clearance = Some(clearance);
    let shown = play.shown(Hand::House, words)?;
    play.row(
        words.plain("demo-step-accept"),
        words.say("demo-seen-own-test", &[("count", &count)]),
        shown,
        &[Rule::HolderTestsBeforeAccept],
    );
    Ok(())
}

pub(super) fn close_too_early(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let body = pad::land_body(&course.set()?, Conductor::L1);
    play.refused(Hand::Pad, body, Rule::NoClearanceHeldBeforeClosing)?;
    let step = words.plain("demo-step-close-too-early");
    let seen = words.say("demo-seen-held", &[("holder", Hand::Electrician.name())]);
    refusal_row(play, step, seen, Rule::NoClearanceHeldBeforeClosing, words);
    Ok(())
}

pub(super) fn work_and_release(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let clearance = course.clearance.clone().ok_or_else(|| Halt::stuck("no clearance is held"))?;
    electrician::work(play)?;
    electrician::release(play, &clearance)?;
    let done = play.job.story.work_done;
    let shown = play.shown(Hand::House, words)?;
    play.row(
        words.plain("demo-step-work"),
        words.say("demo-seen-work", &[("work", done)]),
        shown,
        &[Rule::HolderReleases],
    );
    Ok(())
}
