//! Premises and cable set, settled by the tests the software asks for.

use coldlug_core::{
    event::{Body, MapCorrected, ShownVerdict, VerdictShown},
    form::{name, test_sentence, verdict_sentence},
    gate::{EDITION, Rule},
    mapsheet::MapCorrection,
    quantity::{EventId, SightingId},
    reconcile::{Judgement, Test, Verdict},
    sighting::{Candidate, SetAt},
    words::{Sentence, Words},
};
use serde_json::json;

use super::Course;
use crate::demo::{
    crew::advice::{Outcome, follow},
    halt::Halt,
    people::Hand,
    play::Play,
};

/// More tests than any honest job needs; then the crew stops and calls the dispatcher.
const MOST_TESTS: usize = 100;

pub(super) fn settle(play: &mut Play<'_>, course: &mut Course, words: &Words) -> Result<(), Halt> {
    let mut last = std::mem::discriminant(&play.judgement()?.verdict);
    for _ in 0..MOST_TESTS {
        let judged = play.judgement()?;
        if let Some(set) = judged.identified() {
            course.set = Some(set.clone());
            return Ok(());
        }
        let (test, outcome) = follow(play, &mut course.memory, &judged.settling)?;
        let judged = play.judgement()?;
        let shown = verdict_sentence(&play.job.service, &judged, words);
        let now = std::mem::discriminant(&judged.verdict);
        if now != last {
            last = now;
            show(play, &judged)?;
        }
        let step = test_sentence(&test, words);
        let seen = seen_sentence(&outcome, words);
        play.row(step, seen, shown, gates(&test));
    }
    Err(Halt::stuck("a hundred tests have not settled it"))
}

/// Which gates stand before a test.
fn gates(test: &Test) -> &'static [Rule] {
    match test {
        Test::BeginStay | Test::BeginStayAnew => &[Rule::CrewOnly],
        Test::SearchPad { .. } => &[Rule::BriefedBeforeCabinet],
        Test::LoadStep { .. } => &[Rule::RunInsideStay, Rule::CodeOpenedMatchesSeal],
        _ => &[Rule::StayOpenForSightings],
    }
}

/// Writes down what was shown, as the screen does when the verdict changes.
fn show(play: &mut Play<'_>, judged: &Judgement) -> Result<(), Halt> {
    let shown = match &judged.verdict {
        Verdict::Identified { set, .. } => ShownVerdict::Identified { set: set.clone() },
        Verdict::Contradicted { claims, .. } => ShownVerdict::Contradicted {
            claims: claims.iter().map(|row| row.claim.id().to_owned()).collect(),
            sightings: against(judged),
        },
        Verdict::Unsettled => ShownVerdict::Unsettled {
            candidates: possible(judged).cloned().collect(),
            elsewhere: true,
        },
    };
    let after: Option<EventId> =
        play.at_pad(|state, _| state.applied.last().map(|applied| applied.event.id.clone()))?;
    let body = Body::VerdictShown(VerdictShown { shown, after, rules_edition: EDITION.to_owned() });
    play.write(Hand::Pad, body)?;
    Ok(())
}

fn against(judged: &Judgement) -> Vec<SightingId> {
    let mut sightings: Vec<SightingId> =
        judged.candidates.iter().flat_map(|row| row.excluded_by.iter().cloned()).collect();
    sightings.sort();
    sightings.dedup();
    sightings
}

fn possible(judged: &Judgement) -> impl Iterator<Item = &SetAt> {
    judged.candidates.iter().filter(|row| row.excluded_by.is_empty()).filter_map(|row| {
        match &row.candidate {
            Candidate::Set(set) => Some(set),
            Candidate::Elsewhere => None,
        }
    })
}

fn seen_sentence(outcome: &Outcome, words: &Words) -> Sentence {
    match outcome {
        Outcome::AtPremises { sources } => {
            words.say("demo-seen-stay", &[("count", &sources.to_string())])
        }
        Outcome::Read(what) => words.say("demo-seen-read", &[("what", what)]),
        Outcome::Seen { set, leg, moved } => words.say(
            "demo-seen-step",
            &[("set", &name(set)), ("leg", &leg.to_string()), ("moved", &moved.to_string())],
        ),
        Outcome::Unclear { set } => words.say("demo-seen-unclear", &[("set", &name(set))]),
        Outcome::Flat { set } => words.say("demo-seen-flat", &[("set", &name(set))]),
        Outcome::Marked(looks) => words.say("demo-seen-marked", &[("looks", &looks.join(", "))]),
    }
}

pub(super) fn correct_map(
    play: &mut Play<'_>,
    course: &mut Course,
    words: &Words,
) -> Result<(), Halt> {
    let set = course.set()?;
    let service = play.job.service.clone();
    let claimed = play.claimed()?;
    let judged = play.judgement()?;
    let sightings: Vec<SightingId> = match &judged.verdict {
        Verdict::Identified { holds, .. } => {
            holds.first().map(|all| all.by.iter().cloned().collect()).unwrap_or_default()
        }
        _ => Vec::new(),
    };
    let was = json!({ "pad": claimed.pad.as_str(), "position": claimed.position });
    let now = json!({ "pad": set.pad.as_str(), "position": set.position });
    let claim = "service-at-pad".to_owned();
    play.pass_s(60);
    let body = Body::MapCorrection(MapCorrected {
        claim: claim.clone(),
        feature: service.clone(),
        lon_deg: None,
        lat_deg: None,
        was: was.clone(),
        now: now.clone(),
        sightings: sightings.clone(),
    });
    play.write(Hand::Pad, body)?;
    course.corrections.push(MapCorrection { claim, feature: service.clone(), was, now, sightings });
    play.row(
        words.plain("demo-step-correct-map"),
        words.say("demo-seen-correction", &[("was", claimed.pad.as_str()), ("now", &name(&set))]),
        words.say("demo-shown-correction", &[("service", service.as_str())]),
        &[Rule::NamedThingsThere],
    );
    Ok(())
}
