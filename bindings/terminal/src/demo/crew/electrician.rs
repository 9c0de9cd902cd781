//! The electrician: tests before taking the clearance, works, and releases it. On the job with a
//! link they use their own phone's browser; on the other, the phone of the lineworker at the
//! premises.

use coldlug_core::{
    event::{Body, ClearanceEvent, ClearanceOp, Operation, OperationDone, OwnTest},
    plant::{Conductor, Pair},
    quantity::{ClearanceId, EventId},
    reading::{Place, Side},
};

use crate::demo::{
    halt::Halt,
    people::{Hand, PhoneAt},
    play::{Browser, Play},
    tools::Tool,
    web::{Page, Visitor},
};

const WHO: Hand = Hand::Electrician;
/// More points than any test of a base has.
const MOST_POINTS: usize = 60;

/// Takes the clearance on the strength of their own test, on the lineworker's phone.
pub(crate) fn accept(
    play: &mut Play<'_>,
    clearance: &ClearanceId,
    readings: Vec<EventId>,
) -> Result<(), Halt> {
    play.pass_s(20);
    act(play, clearance, ClearanceOp::Accepted { test: OwnTest::Readings { readings } })
}

/// Does the work in the base.
pub(crate) fn work(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(2400);
    let service = play.job.service.clone();
    let findings = play.job.story.work_done.to_owned();
    if play.browser.is_some() {
        return on_page(play, "work-done", &[("findings", &findings)]);
    }
    let operation = Operation::WorkDone { service, findings };
    play.write(WHO, Body::Operation(OperationDone { operation, making_safe: false }))?;
    Ok(())
}

/// Hands and tools are clear: releases the clearance.
pub(crate) fn release(play: &mut Play<'_>, clearance: &ClearanceId) -> Result<(), Halt> {
    play.pass_s(60);
    if play.browser.is_some() {
        return on_page(play, "release", &[("all-clear", "yes")]);
    }
    act(play, clearance, ClearanceOp::Released)
}

fn act(play: &mut Play<'_>, clearance: &ClearanceId, act: ClearanceOp) -> Result<(), Halt> {
    let body = Body::Clearance(ClearanceEvent { clearance: clearance.clone(), act });
    play.write(WHO, body)?;
    Ok(())
}

/// Opens the link on their own phone: the lineworker at the premises shows it at the base.
pub(crate) fn open_link(play: &mut Play<'_>, clearance: &ClearanceId) -> Result<(), Halt> {
    if play.browser.is_some() {
        return Ok(());
    }
    play.pass_s(30);
    play.meet(PhoneAt::House)?;
    let at = play.house_phone.link(&play.job.id, clearance.as_str(), &WHO.person()?)?;
    let (desk, token) = at.split_once("/at/").ok_or(Halt::stuck("a link without its token"))?;
    let visitor = Visitor::new(desk).of(WHO.name(), play.house_phone.script());
    let (mut visitor, at) = (visitor, format!("/at/{token}"));
    visitor.get(&at)?.fine()?;
    play.browser = Some(Browser { visitor, at });
    Ok(())
}

/// Says on their own page which service they are at.
pub(crate) fn say_where(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(40);
    play.all_meet()?;
    let service = play.job.service.to_string();
    on_page(play, "say-where", &[("which-premises", &service)])
}

/// Enters their tester, reads every point that their page asks for, and takes the clearance: how
/// many readings that were.
pub(crate) fn test_and_accept(play: &mut Play<'_>) -> Result<usize, Halt> {
    play.pass_s(60);
    play.all_meet()?;
    let tester = Tool::OwnTester.id()?;
    let nameplate = [
        ("instrument-name", tester.as_str()),
        ("instrument-class", "low-impedance-voltmeter"),
        ("category", "cat-iv"),
        ("category-volts", "600"),
        ("range", "600"),
        ("resolution", "0.1"),
        ("accuracy-percent", "1.5"),
        ("accuracy-counts", "5"),
        ("calibration-due", "2029-12-31"),
    ];
    on_page(play, "enter-instrument", &nameplate)?;
    let mut count = 0;
    for _ in 0..MOST_POINTS {
        let page = page(play)?;
        let Ok(form) = page.form("/read-point") else { break };
        let Some(field) = form.fields.iter().find(|field| field.starts_with("volts-")) else {
            break;
        };
        play.pass_s(8);
        let (place, between) = point(play, field)?;
        let volts = play.site.volts(&place, between, &play.clock)?.to_string();
        let mut answers = vec![(field.as_str(), volts.as_str())];
        for (asked, answer) in [("known-source", "truck inverter"), ("tester", tester.as_str())] {
            if form.fields.iter().any(|field| field == asked) {
                answers.push((asked, answer));
            }
        }
        on_page(play, "read-point", &answers)?;
        count += 1;
    }
    play.pass_s(20);
    on_page(play, "accept", &[])?;
    Ok(count)
}

/// Their page as it stands.
fn page(play: &mut Play<'_>) -> Result<Page, Halt> {
    let browser = play.browser.as_mut().ok_or(Halt::stuck("the electrician has no link"))?;
    Ok(browser.visitor.get(&browser.at)?.fine()?)
}

/// Does an act that their page offers; phones and desk know of it then.
fn on_page(play: &mut Play<'_>, act: &str, answers: &[(&str, &str)]) -> Result<(), Halt> {
    let page = page(play)?;
    let form = page.form(&format!("/{act}"))?;
    let browser = play.browser.as_mut().ok_or(Halt::stuck("the electrician has no link"))?;
    let answered = browser.visitor.send(&form, answers)?;
    if let Some(problem) = answered.problem() {
        return Err(Halt::stuck(format!("the electrician's page refuses {act}: {problem}")));
    }
    answered.fine()?;
    play.desk_wrote = true;
    Ok(())
}

/// Where and between what a field of the page asks for volts: `volts-line-L1-N` say.
fn point(play: &Play<'_>, field: &str) -> Result<(Place, Pair), Halt> {
    let strange = || Halt::stuck(format!("the page asks for {field}"));
    let mut parts = field.trim_start_matches("volts-").rsplitn(3, '-');
    let (two, one) = (parts.next(), parts.next());
    let conductor = |name: Option<&str>| {
        let all = [Conductor::L1, Conductor::L2, Conductor::N, Conductor::G];
        all.into_iter().find(|c| Some(c.to_string().as_str()) == name).ok_or_else(strange)
    };
    let between = Pair(conductor(one)?, conductor(two)?);
    let service = play.job.service.clone();
    let place = match parts.next() {
        Some("line") => Place::MeterBase { service, side: Side::Line },
        Some("load") => Place::MeterBase { service, side: Side::Load },
        Some("jaws") => Place::MeterBase { service, side: Side::AcrossJaws },
        Some("known-source") => Place::KnownSource { what: "truck inverter".to_owned() },
        _ => return Err(strange()),
    };
    Ok((place, between))
}
