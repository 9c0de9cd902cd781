//! Acts that steer a job: briefing, verdict, corrections, conflicts, stops, the close.

use serde_json::{Value, json};

use super::{
    event_name,
    form::{Form, Pick, WORDS, named},
};
use crate::{
    caution::Subject,
    event::{
        Body, Briefed, Closed, ConflictSettled, Correction, Deviation, Interrupted, Interruption,
        MapCorrected, Resumed, ShownVerdict, Stopped, VerdictShown, WrongDrop,
    },
    gate::{EDITION, Role, Stage, rule_book},
    job::correctable,
    quantity::{AssetId, EventId, PersonId},
    reconcile::{Claim, Standing},
    screen::event_sentence,
    words::Sentence,
};

type Bodies = Option<Vec<Body>>;

pub(super) fn brief(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let subjects: Vec<Pick<Subject>> = Subject::ALL
        .iter()
        .map(|subject| form.pick(subject.id(), subject.id(), *subject))
        .collect();
    let subjects = form.several("ask-subjects", subjects);
    let crew = form.state.header.iter().flat_map(|header| &header.crew);
    let mut people: Vec<PersonId> = crew.map(|member| member.person.clone()).collect();
    people.sort();
    people.dedup();
    let present = form.several("ask-present", people.into_iter().map(named).collect());
    Some(vec![Body::Briefed(Briefed { subjects: subjects?, present: present? })])
}

/// The verdict as it stands is written down: from here on it is what was shown.
pub(super) fn take_verdict(form: &mut Form<'_>) -> Bodies {
    let judged = form.judgement()?;
    let Some(set) = judged.identified().cloned() else {
        return form.lacking("unfit-not-identified");
    };
    let after = form.state.applied.last().map(|applied| applied.event.id.clone());
    let shown = ShownVerdict::Identified { set };
    Some(vec![Body::VerdictShown(VerdictShown { shown, after, rules_edition: EDITION.to_owned() })])
}

/// What a claim of the record is about and says, as a correction of the map names it.
fn claimed(claim: &Claim) -> (&'static str, AssetId, Value) {
    match claim {
        Claim::Feeds { service, set } => {
            let was = json!({ "pad": set.pad.as_str(), "position": set.position });
            ("service-at-pad", service.clone(), was)
        }
        Claim::MeterNumber { service, numbers } => {
            let was = numbers.first().map_or(Value::Null, |number| number.as_str().into());
            ("meter-number", service.clone(), was)
        }
        Claim::Conductor { set, metal, size } => {
            let metal = match metal {
                crate::plant::Metal::Al => "al",
                crate::plant::Metal::Cu => "cu",
            };
            (
                "conductor",
                set.pad.clone(),
                json!({ "position": set.position, "conductor": format!("{metal} {size}") }),
            )
        }
        Claim::SetCount { pad, count } => ("set-count", pad.clone(), json!(count)),
        Claim::Tag { pad, tag } => ("tag", pad.clone(), tag.as_str().into()),
        Claim::Place { pad } => ("place", pad.clone(), Value::Null),
    }
}

/// A claim that what was seen contradicts; for the way to the target the identified set stands in
/// its place, for everything else what is typed.
pub(super) fn correct_map(form: &mut Form<'_>) -> Bodies {
    let judged = form.judgement()?;
    let identified = judged.identified().cloned();
    let mut rows = judged.ledger.clone();
    // What speaks against the record first; the rest may be corrected from a look as well.
    rows.sort_by_key(|row| row.standing != Standing::Contradicts);
    let picks: Vec<Pick<_>> = rows
        .into_iter()
        .map(|row| {
            let text = crate::form::claim_sentence(&row.claim, form.words);
            let label = Sentence { id: row.claim.id().into(), text: text.clone(), spoken: text };
            // A pad may carry several tags; of every other kind there is one claim.
            let value = match &row.claim {
                Claim::Tag { tag, .. } => format!("{}:{tag}", row.claim.id()),
                claim => claim.id().to_owned(),
            };
            Pick { value, label, means: row }
        })
        .collect();
    let row = form.one("ask-claim", picks, "unfit-no-claim");
    let found = form.text_if("ask-found-instead", WORDS);
    let (row, found) = (row?, found?);
    let (claim, feature, was) = claimed(&row.claim);
    let now = match (&row.claim, identified) {
        (Claim::Feeds { .. }, Some(set)) => {
            json!({ "pad": set.pad.as_str(), "position": set.position })
        }
        _ if found.is_empty() => return form.unfit("ask-found-instead", "unfit-missing"),
        (Claim::SetCount { .. }, _) => match found.parse::<u16>() {
            Ok(count) => json!(count),
            Err(_) => return form.unfit("ask-found-instead", "unfit-whole-number"),
        },
        _ => Value::String(found),
    };
    Some(vec![Body::MapCorrection(MapCorrected {
        claim: claim.to_owned(),
        feature,
        lon_deg: None,
        lat_deg: None,
        was,
        now,
        sightings: row.sightings.into_iter().collect(),
    })])
}

/// The newest entries of this person that can be taken back whole. What was operated stays operated,
/// and what was seen in a stay goes with the stay alone.
pub(super) fn take_back(form: &mut Form<'_>) -> Bodies {
    let kind_of = |body: &Body| {
        let stays = matches!(body, Body::Operation(_) | Body::Briefed(_) | Body::VerdictShown(_));
        correctable(body) && !stays
    };
    let words = form.words;
    let applied = form.state.applied.iter().rev();
    let own = applied.filter(|applied| {
        !applied.superseded && applied.event.person == *form.who && kind_of(&applied.event.body)
    });
    let picks: Vec<Pick<EventId>> = own
        .take(5)
        .map(|applied| {
            let at = applied.event.at.to_text();
            let said = event_sentence(&applied.event.body, words).text;
            let places = [("said", said.as_str()), ("at", at.as_str())];
            Pick {
                value: applied.event.id.to_string(),
                label: words.say("choice-entry", &places),
                means: applied.event.id.clone(),
            }
        })
        .collect();
    let corrects = form.one("ask-entry", picks, "unfit-nothing-written");
    let reason = form.text("ask-reason", WORDS);
    Some(vec![Body::Correction(Correction { corrects: corrects?, instead: None, reason: reason? })])
}

/// The next entry of this device passes a rule, and is marked done without proof.
pub(super) fn deviate(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let rules = rule_book().iter().filter(|entry| entry.deviable);
    let rules = rules.map(|entry| form.pick(entry.id, entry.id, entry.rule)).collect();
    let rule = form.one("ask-rule", rules, "unfit-not-now");
    let reason = form.text("ask-reason", WORDS);
    let people = form.others(&[Role::Lineworker, Role::Electrician, Role::Dispatcher]);
    let second_person = form.one("ask-second-person", people, "unfit-nobody-else");
    // The declaration is the next entry, the step the one after it.
    let place = form.device.written.saturating_add(2);
    let Ok(step) = event_name(form.device.device, place) else {
        return form.lacking("unfit-device-name");
    };
    Some(vec![Body::Deviation(Deviation {
        rule: rule?,
        step,
        reason: reason?,
        second_person: second_person?,
    })])
}

pub(super) fn interrupt(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let kinds = vec![
        form.pick("break", "choice-break", Interruption::Break),
        form.pick("shift-change", "choice-shift-change", Interruption::ShiftChange),
        form.pick("source-doubt", "choice-source-doubt", Interruption::SourceDoubt),
    ];
    let by = form.one("ask-interrupted-by", kinds, "unfit-not-now")?;
    Some(vec![Body::Interrupted(Interrupted { by })])
}

pub(super) fn wrong_drop(form: &mut Form<'_>) -> Bodies {
    let target = form.target()?.clone();
    let mut premises = form.premises();
    premises.retain(|pick| pick.means.as_ref() != Some(&target));
    let service = form.one("ask-who-lost-supply", premises, "unfit-not-now");
    let told = form.yes_no("ask-told");
    let life_support_asked = form.yes_no("ask-life-support-asked");
    let main_off = form.yes_no("ask-their-main-off");
    Some(vec![Body::WrongDrop(WrongDrop {
        service: service?,
        told: told?,
        life_support_asked: life_support_asked?,
        main_off: main_off?,
    })])
}

pub(super) fn settle_conflict(form: &mut Form<'_>) -> Bodies {
    let (state, words) = (form.state, form.words);
    let picks: Vec<Pick<EventId>> = state
        .open_conflicts()
        .into_iter()
        .map(|id| {
            let refused = state.refused.iter().find(|refused| refused.event.id == id);
            let said = refused.map(|refused| event_sentence(&refused.event.body, words).text);
            let at = refused.map(|refused| refused.event.at.to_text()).unwrap_or_default();
            let who = refused.map(|refused| refused.event.person.as_str()).unwrap_or_default();
            let places = [
                ("said", said.as_deref().unwrap_or_default()),
                ("at", at.as_str()),
                ("person", who),
            ];
            let label = words.say("choice-conflict", &places);
            Pick { value: id.to_string(), label, means: id }
        })
        .collect();
    let refused = form.one("ask-conflict", picks, "unfit-no-conflict");
    let stands = form.yes_no("ask-stands");
    let finding = form.text("ask-finding", WORDS);
    Some(vec![Body::ConflictSettled(ConflictSettled {
        refused: refused?,
        stands: stands?,
        finding: finding?,
    })])
}

/// The stages a job can be led back to, the furthest first.
const STAGES: [(Stage, &str, &str); 10] = [
    (Stage::ProvenLive, "proven-live", "stage-proven-live"),
    (Stage::Restored, "restored", "stage-restored"),
    (Stage::Returned, "returned", "stage-returned"),
    (Stage::HandedOver, "handed-over", "stage-handed-over"),
    (Stage::ProvenDead, "proven-dead", "stage-proven-dead"),
    (Stage::Opened, "opened", "stage-opened"),
    (Stage::Identified, "identified", "stage-identified"),
    (Stage::Found, "found", "stage-found"),
    (Stage::Briefed, "briefed", "stage-briefed"),
    (Stage::Requested, "requested", "stage-requested"),
];

pub(super) fn resume(form: &mut Form<'_>) -> Bodies {
    let Some(stop) = &form.state.stopped else { return form.lacking("unfit-not-stopped") };
    let furthest = if stop.live { Stage::Found } else { stop.from };
    let stages = STAGES.iter().filter(|(stage, ..)| *stage <= furthest);
    let picks = stages.map(|(stage, value, id)| form.pick(value, id, *stage)).collect();
    let stage = form.one("ask-back-to", picks, "unfit-not-now");
    let checks = form.text("ask-gone-over", WORDS);
    Some(vec![Body::Resumed(Resumed { stage: stage?, checks: vec![checks?] })])
}

pub(super) fn close(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let summary = form.text("ask-summary", WORDS);
    Some(vec![Body::Closed(Closed { summary: summary? })])
}

/// One tap stops: the reason may come later.
pub(super) fn stop(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let reason = form.text_if("ask-stop-reason", WORDS);
    let made_safe = form.text_if("ask-made-safe", WORDS);
    let (mut reason, made_safe) = (reason?, made_safe?);
    if reason.is_empty() {
        reason = form.words.plain("stopped-without-reason").text;
    }
    let made_safe = if made_safe.is_empty() { Vec::new() } else { vec![made_safe] };
    Some(vec![Body::Stopped(Stopped { reason, made_safe })])
}
