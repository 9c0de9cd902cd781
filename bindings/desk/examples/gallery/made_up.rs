//! Made-up people, moments, sentences, offers.

use std::num::NonZeroU8;

use coldlug_core::{
    form::{
        CandidateForm, ClaimForm, Clauses, ExplanationsForm, JudgementForm, ReasonForm,
        SettlingTestForm, VerdictName,
    },
    quantity::{AssetId, Decimal, IdError, Instant, PersonId, SightingId},
    reconcile::{
        Confirm, Contradiction, Explaining, Explanation, Explanations, FalseClaim, Finding, SeenBy,
        SetReason,
    },
    screen::{Act, Ask, AskKind, Choice, Offer},
    sighting::{Cause, Evidence, Ground, Handle, Leg, Placement, Run, SetAt},
    words::{Sentence, Words},
};
use coldlug_desk::pages::{Frame, When};

/// A sentence that is only here.
pub(crate) fn said(text: &str) -> Sentence {
    Sentence { id: "made-up".into(), text: text.into(), spoken: text.into() }
}

/// A moment of the made-up day.
fn moment(minute: i64) -> Instant {
    let wall_ms = 1_795_503_600_000 + minute * 60_000;
    Instant { wall_ms, boot: "boot".into(), mono_ms: minute * 60_000 }
}

/// The same, as pages show it.
pub(crate) fn at(minute: i64) -> When {
    When::new(&moment(minute))
}

/// A dispatcher's page.
pub(crate) fn frame() -> Frame {
    Frame {
        person: Some("dispatcher-1".into()),
        csrf: "token-of-the-session".into(),
        at: Some(at(64)),
        done: None,
    }
}

/// A page of nobody.
pub(crate) fn outside() -> Frame {
    Frame { person: None, csrf: "token-of-the-form".into(), at: None, done: None }
}

/// An act on offer.
pub(crate) fn offer(act: Act, asks: Vec<Ask>, words: &Words) -> Offer {
    Offer { act, label: words.plain(act.id()), permitted: true, asks }
}

/// One thing asked.
pub(crate) fn ask(field: &str, label: &str, kind: AskKind) -> Ask {
    Ask { field: field.into(), label: said(label), kind, required: true }
}

/// Choices with their labels.
pub(crate) fn choices(of: &[(&str, &str)]) -> Vec<Choice> {
    of.iter().map(|(value, label)| Choice { value: (*value).into(), label: said(label) }).collect()
}

fn set(pad: &str, position: &str) -> Result<SetAt, IdError> {
    Ok(SetAt { pad: AssetId::new(pad)?, position: position.into() })
}

fn claim(kind: &str, sentence: &str, standing: &str, by: &[&str]) -> Result<ClaimForm, IdError> {
    Ok(ClaimForm {
        claim: kind.into(),
        sentence: sentence.into(),
        standing: standing.into(),
        sightings: by.iter().map(|id| SightingId::new(*id)).collect::<Result<_, _>>()?,
    })
}

/// Two findings that one false claim explains.
fn explanations(words: &Words) -> Result<ExplanationsForm, IdError> {
    let (service, neighbour) = (AssetId::new("S-4471")?, AssetId::new("S-4472")?);
    let seen = Contradiction::FedByAnother { service: service.clone(), at: set("PM-12", "3")? };
    let not = Contradiction::NotFed { service: service.clone(), at: set("PM-12", "2")? };
    let finding = |what: &Contradiction, by: &str| {
        let sightings = [SightingId::new(by)?].into();
        Ok::<_, IdError>(Finding { what: what.clone(), sightings })
    };
    let explained = Explanations {
        findings: vec![finding(&seen, "phone-pad-24")?, finding(&not, "phone-pad-31")?],
        hypotheses: Vec::new(),
        explanations: vec![Explanation {
            rank: 1,
            claims: vec![Explaining {
                claim: FalseClaim::SetsSwapped { one: service, other: neighbour.clone() },
                explains: [seen, not].into(),
                confirm: Confirm::LoadStep { service: neighbour, at: set("PM-12", "2")? },
            }],
            leaves: [].into(),
        }],
    };
    Ok(ExplanationsForm::new(&explained, words))
}

/// What speaks for or against a set of the made-up pad.
fn reason(
    position: &str,
    ground: Ground,
    sighting: &str,
    false_if: Vec<Cause>,
    told: Clauses<'_>,
) -> Result<ReasonForm, IdError> {
    let at = moment(30);
    let reason = SetReason {
        set: set("PM-12", position)?,
        ground,
        speaks_for: ground == Ground::LoadStepSeen,
        counts: true,
        waits_for: [].into(),
        seen: vec![SeenBy { sighting: SightingId::new(sighting)?, who: PersonId::new("bo")?, at }],
        false_if,
    };
    Ok(ReasonForm::of_set(&reason, &AssetId::new("S-4471")?, told))
}

/// What was done with the clamp and the load.
fn job() -> Result<Evidence, IdError> {
    let mut job = Evidence::new(AssetId::new("S-4471")?);
    let placed = Placement {
        id: "phone-pad-22".try_into()?,
        pad: AssetId::new("PM-12")?,
        handle: Handle::Position { position: "3".into() },
        leg: Some(Leg::L1),
        runs_in_jaws: NonZeroU8::MIN,
        instrument: "clamp-3".try_into()?,
        at: moment(24),
    };
    let run = Run {
        id: "phone-house-21".try_into()?,
        stay: "house".try_into()?,
        doer: PersonId::new("ana")?,
        outlet: "kitchen".into(),
        load_amps: Decimal::scaled(12, 0),
        load_tolerance_percent: Decimal::scaled(10, 0),
        sealed: String::new(),
        size_slot: 0,
        begun: moment(25),
        opened: None,
        ended: None,
    };
    job.placements.insert(placed.id.clone(), placed);
    job.runs.insert(run.id.clone(), run);
    Ok(job)
}

/// A ledger in which map and field do not agree.
pub(crate) fn contradiction(words: &Words) -> Result<JudgementForm, IdError> {
    let feeds = "PM-12 position 2 feeds S-4471";
    let test = |id: &str, sentence: Sentence, minutes| SettlingTestForm {
        test: id.into(),
        sentence,
        outcomes: vec![
            words.plain("outcome-step-seen").text,
            words.plain("outcome-step-flat").text,
        ],
        steps_left: 1,
        exposure: 2,
        minutes,
    };
    let outlet = words.plain("outlet-any").text;
    let counted = Cause::LugPositions { pad: AssetId::new("PM-12")? };
    let placed = Cause::Placement { placement: "phone-pad-22".try_into()? };
    let switched = Cause::Run { run: "phone-house-21".try_into()? };
    let job = job()?;
    let told = Clauses { evidence: &job, words };
    let if_not = told.clause(&counted);
    let step = [
        ("set", "PM-12 position 3"),
        ("by", "by counting lug positions"),
        ("outlet", &*outlet),
        ("leg", "L1"),
    ];
    Ok(JudgementForm {
        service: AssetId::new("S-4471")?,
        until: None,
        verdict: VerdictName::Contradicted,
        sentence: words.plain("verdict-contradicted"),
        set: None,
        contradicted: vec![claim("claim-feeds", feeds, "contradicts", &["phone-pad-31"])?],
        no_set_left: false,
        doubts: vec![words.say("doubt-set", &[("set", "PM-12 position 3"), ("causes", &if_not)])],
        still_excluded: Vec::new(),
        premises: Vec::new(),
        candidates: vec![
            CandidateForm {
                set: Some(set("PM-12", "1")?),
                possible: false,
                excluded_by: [SightingId::new("phone-pad-24")?].into(),
                reasons: Vec::new(),
            },
            CandidateForm {
                set: Some(set("PM-12", "2")?),
                possible: false,
                excluded_by: [SightingId::new("phone-pad-31")?].into(),
                reasons: vec![reason(
                    "2",
                    Ground::LoadStepFlat,
                    "phone-pad-31",
                    vec![counted.clone(), switched.clone()],
                    told,
                )?],
            },
            CandidateForm {
                set: Some(set("PM-12", "3")?),
                possible: true,
                excluded_by: [].into(),
                reasons: vec![reason(
                    "3",
                    Ground::LoadStepSeen,
                    "phone-pad-24",
                    vec![counted, placed, switched],
                    told,
                )?],
            },
            CandidateForm {
                set: None,
                possible: true,
                excluded_by: [].into(),
                reasons: Vec::new(),
            },
        ],
        ledger: vec![
            claim("claim-feeds", feeds, "contradicts", &["phone-pad-24", "phone-pad-31"])?,
            claim("claim-set-count", "PM-12 holds 3 sets", "agrees", &["phone-pad-24"])?,
            claim(
                "claim-meter-number",
                "S-4471 has meter 60 114 882",
                "agrees",
                &["phone-house-9"],
            )?,
            claim("claim-conductor", "PM-12 position 2 is aluminium 4/0", "unsettled", &[])?,
        ],
        explanations: explanations(words)?,
        settling_tests: vec![
            test("test-load-step", words.say("test-load-step", &step), 12),
            test("test-picture-of-meter", words.plain("test-picture-of-meter"), 3),
        ],
        idle: Vec::new(),
    })
}
