//! Acts on a clearance: offered, taken on one's own test, released, ended otherwise.

use super::{
    form::{Form, Pick, WORDS},
    opening::done,
};
use crate::{
    clearance::{Clearance, Standing},
    event::{Body, ClearanceEvent, ClearanceOp, Operation, OwnTest},
    gate::Role,
    quantity::ClearanceId,
    screen::{points::DeadTest, word},
};

type Bodies = Option<Vec<Body>>;

fn acted(clearance: ClearanceId, act: ClearanceOp) -> Vec<Body> {
    vec![Body::Clearance(ClearanceEvent { clearance, act })]
}

/// Clearances that a test keeps, to choose from: who they are with stands on the choice.
fn clearances(form: &Form<'_>, keep: impl Fn(&Clearance) -> bool) -> Vec<Pick<ClearanceId>> {
    let all = form.state.clearances.iter().filter(|(_, clearance)| keep(clearance));
    all.map(|(id, clearance)| {
        let with = match clearance.standing() {
            Standing::Offered { to } => to.as_str(),
            Standing::Held { holder } => holder.as_str(),
            _ => "",
        };
        let places = [("clearance", id.as_str()), ("person", with)];
        let label = form.words.say("choice-clearance", &places);
        Pick { value: id.to_string(), label, means: id.clone() }
    })
    .collect()
}

pub(super) fn offer(form: &mut Form<'_>) -> Bodies {
    let people = form.others(&[Role::Electrician, Role::Lineworker]);
    let to = form.one("ask-to", people, "unfit-nobody-to-offer");
    let ways =
        vec![form.pick("here", "choice-here", false), form.pick("link", "choice-by-link", true)];
    let by_link = form.one("ask-how-offered", ways, "unfit-not-now");
    let zone = form.state.work_zone();
    let mut proofs: Vec<_> = form
        .state
        .proofs
        .dead
        .iter()
        .filter(|(_, dead)| Some(dead.zone()) == zone.as_ref())
        .collect();
    proofs.sort_by_key(|(_, dead)| dead.closed().clone());
    let Some(proof) = proofs.last().map(|(proof, _)| (*proof).clone()) else {
        return form.lacking("unfit-no-proof");
    };
    let Some(record_sha256) = form.device.head else { return form.lacking("unfit-no-record") };
    let clearance = form.fresh("c", 0)?;
    let act = ClearanceOp::Offered { to: to?, proof, record_sha256, by_link: by_link? };
    Some(acted(clearance, act))
}

/// The clearance that is on offer to the writer.
fn offered_to_me(form: &mut Form<'_>) -> Option<ClearanceId> {
    let who = form.who;
    let picks = clearances(
        form,
        |clearance| matches!(clearance.standing(), Standing::Offered { to } if to == who),
    );
    form.one_of_several("ask-clearance", picks, "unfit-no-offer")
}

/// The clearance that the writer holds.
fn held_by_me(form: &mut Form<'_>) -> Option<ClearanceId> {
    let who = form.who;
    let picks = clearances(form, |clearance| clearance.holder() == Some(who));
    form.one_of_several("ask-clearance", picks, "unfit-nothing-held")
}

pub(super) fn accept(form: &mut Form<'_>) -> Bodies {
    let clearance = offered_to_me(form);
    let zone = form.state.work_zone();
    let test = zone
        .and_then(|zone| DeadTest::of(form.state, form.sheets, form.who, &zone, form.device.now));
    // An empty or open test goes to the gate as it is: the gate says what it lacks.
    let readings = test.map(|test| test.readings).unwrap_or_default();
    Some(acted(clearance?, ClearanceOp::Accepted { test: OwnTest::Readings { readings } }))
}

pub(super) fn accept_witnessed(form: &mut Form<'_>) -> Bodies {
    let clearance = offered_to_me(form);
    let stood_by = form.affirmed("ask-stood-by");
    let clearance = clearance?;
    stood_by?;
    let proof = form.state.clearances.get(&clearance)?.proof().clone();
    Some(acted(clearance, ClearanceOp::Accepted { test: OwnTest::Witnessed { proof } }))
}

/// Not taken, or taken back by who offered it here.
pub(super) fn refuse(form: &mut Form<'_>) -> Bodies {
    let who = form.who;
    let picks = clearances(form, |clearance| match clearance.standing() {
        Standing::Offered { to } => to == who || (clearance.by() == who && !clearance.by_link()),
        _ => false,
    });
    let clearance = form.one_of_several("ask-clearance", picks, "unfit-no-offer");
    let reason = form.text("ask-reason", WORDS);
    Some(acted(clearance?, ClearanceOp::Refused { reason: reason? }))
}

pub(super) fn work_done(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    let findings = form.text("ask-findings", WORDS);
    Some(vec![done(form, Operation::WorkDone { service, findings: findings? })])
}

pub(super) fn release(form: &mut Form<'_>) -> Bodies {
    let clearance = held_by_me(form);
    let clear = form.affirmed("ask-all-clear");
    let clearance = clearance?;
    clear?;
    Some(acted(clearance, ClearanceOp::Released))
}

/// Passed on to somebody who tested on this phone, or stood by.
pub(super) fn transfer(form: &mut Form<'_>) -> Bodies {
    let clearance = held_by_me(form)?;
    let people = form.others(&[Role::Electrician, Role::Lineworker]);
    let to = form.one("ask-to", people, "unfit-nobody-to-offer");
    let ways = vec![
        form.pick("own-test", "choice-own-test", false),
        form.pick("stood-by", "choice-stood-by", true),
    ];
    let stood_by = form.one("ask-how-tested", ways, "unfit-not-now");
    let (to, stood_by) = (to?, stood_by?);
    let test = if stood_by {
        let proof = form.state.clearances.get(&clearance)?.proof().clone();
        OwnTest::Witnessed { proof }
    } else {
        let zone = form.state.work_zone();
        let test = zone
            .and_then(|zone| DeadTest::of(form.state, form.sheets, &to, &zone, form.device.now));
        OwnTest::Readings { readings: test.map(|test| test.readings).unwrap_or_default() }
    };
    Some(acted(clearance, ClearanceOp::Transferred { to, test }))
}

pub(super) fn abandon(form: &mut Form<'_>) -> Bodies {
    let picks = clearances(form, |clearance| clearance.holder().is_some());
    let clearance = form.one("ask-clearance", picks, "unfit-nothing-held-at-all");
    let people =
        form.others(&[Role::Lineworker, Role::Electrician, Role::Dispatcher, Role::Engineer]);
    let second_person = form.one("ask-second-person", people, "unfit-nobody-else");
    let reason = form.text("ask-reason", WORDS);
    let attempts = form.text("ask-attempts", WORDS);
    let looked_for_people = form.yes_no("ask-looked-for-people");
    let seen_clear = form.yes_no("ask-seen-clear");
    let base_closed = form.yes_no("ask-base-closed");
    let attempts = attempts?;
    let each = attempts.split(';').map(str::trim).filter(|attempt| !attempt.is_empty());
    let act = ClearanceOp::Abandoned {
        second_person: second_person?,
        reason: reason?,
        attempts: each.map(str::to_owned).collect(),
        looked_for_people: looked_for_people?,
        seen_clear: seen_clear?,
        base_closed: base_closed?,
    };
    Some(acted(clearance?, act))
}

pub(super) fn end_link(form: &mut Form<'_>) -> Bodies {
    let picks = clearances(form, |clearance| {
        clearance.by_link() && matches!(clearance.standing(), Standing::Offered { .. })
    });
    let clearance = form.one("ask-clearance", picks, "unfit-no-link")?;
    Some(acted(clearance, ClearanceOp::LinkEnded))
}

pub(super) fn inspect(form: &mut Form<'_>) -> Bodies {
    if !word::has_place(form.state, word::phone(form.state, form.who, form.device.device)) {
        return form.lacking("unfit-not-now");
    }
    let service = form.target()?.clone();
    let findings = form.text("ask-findings", WORDS);
    let released = form.yes_no("ask-may-be-energised");
    let operation = Operation::Inspected { service, findings: findings?, released: released? };
    Some(vec![done(form, operation)])
}
