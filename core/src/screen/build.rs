//! From a job's state to the screen somebody sees.

use super::{
    Act, Device, JobLine, LegLine, Offer, PointLine, ProofName, Screen, Shown, ask::asks, holding,
    ledger::ledger, may, physical_lines,
};
use crate::{
    caution::Subject,
    gate::Stage,
    job::{Sheets, State},
    plant::{Conductor, VoltageSystem},
    proof::Zone,
    quantity::PersonId,
    sighting::SetAt,
    words::{Sentence, Words},
};

/// The screen of a job for one person.
pub fn screen(
    state: &State,
    sheets: &Sheets<'_>,
    who: &PersonId,
    device: &Device<'_>,
    words: &Words,
) -> Shown {
    let (headline, screen, acts) = about(state, sheets, words);
    let role = state.role_of(who);
    let offer = |&act: &Act| Offer {
        act,
        label: words.plain(act.id()),
        permitted: role.is_some_and(|role| may(role, act)),
        asks: asks(state, sheets, who, act, device, words),
    };
    let acts = acts.iter().chain(&[Act::Stop]).map(offer).collect();
    Shown { physical: physical_lines(state, words), headline, screen, acts }
}

/// The list of jobs.
pub fn job_list<'a>(states: impl Iterator<Item = &'a State>, words: &Words) -> Shown {
    let jobs: Vec<JobLine> = states
        .map(|state| JobLine {
            job: state.header.as_ref().map(|header| header.job.clone()),
            physical: physical_lines(state, words)
                .into_iter()
                .next()
                .unwrap_or_else(|| words.plain("physical-nothing")),
            stage: words.plain(stage_id(state)),
        })
        .collect();
    let headline = words.say("headline-jobs", &[("count", &jobs.len().to_string())]);
    Shown { physical: Vec::new(), headline, screen: Screen::JobList { jobs }, acts: Vec::new() }
}

/// The id of a stage in the words.
fn stage_id(state: &State) -> &'static str {
    if state.stopped.is_some() {
        return "stage-stopped";
    }
    match state.stage {
        Stage::Requested => "stage-requested",
        Stage::Briefed => "stage-briefed",
        Stage::Found => "stage-found",
        Stage::Identified => "stage-identified",
        Stage::Opened => "stage-opened",
        Stage::ProvenDead => "stage-proven-dead",
        Stage::HandedOver => "stage-handed-over",
        Stage::Returned => "stage-returned",
        Stage::Restored => "stage-restored",
        Stage::ProvenLive => "stage-proven-live",
        Stage::Closed => "stage-closed",
    }
}

fn about(state: &State, sheets: &Sheets<'_>, words: &Words) -> (Sentence, Screen, &'static [Act]) {
    let headline = words.plain(stage_id(state));
    if let Some(stop) = &state.stopped {
        let screen = Screen::Stopped { event: stop.event.to_string() };
        return (headline, screen, &[Act::Resume, Act::Secure]);
    }
    match state.stage {
        Stage::Requested => {
            let missing = Subject::ALL
                .iter()
                .filter(|subject| !state.briefed_subjects.contains(subject))
                .map(|subject| words.plain(subject.id()).text);
            (headline, Screen::Briefing { missing: missing.collect() }, &[Act::Brief])
        }
        Stage::Briefed | Stage::Found => match ledger(state, sheets, words) {
            Some((verdict, screen)) => (verdict, screen, &[Act::BeginStay, Act::CorrectMap]),
            None => (headline, Screen::Briefing { missing: Vec::new() }, &[Act::Brief]),
        },
        Stage::Identified => {
            let acts = &[Act::Answer, Act::PullMeter, Act::ReadAmps, Act::Lift, Act::CorrectMap];
            (headline, lift(state, sheets, words), acts)
        }
        Stage::Opened if all_lifted(state, sheets) => {
            let acts = &[Act::ProveDead, Act::ProveByOpening, Act::Short, Act::Secure];
            (headline, proof(ProofName::Dead, state, sheets, words), acts)
        }
        Stage::Opened => {
            let acts = &[Act::Secure, Act::CheckLeg, Act::ReadAmps, Act::Lift, Act::Land];
            (headline, lift(state, sheets, words), acts)
        }
        Stage::ProvenDead => {
            (headline, clearance(state, words), &[Act::Short, Act::Offer, Act::Accept])
        }
        Stage::HandedOver => (headline, clearance(state, words), &[Act::Release, Act::Inspect]),
        Stage::Returned => {
            let acts = &[Act::RemoveShort, Act::ReadInsulation, Act::VerifyNeutral, Act::Land];
            (headline, Screen::Restore { legs: legs(state, sheets, words) }, acts)
        }
        Stage::Restored => (
            headline,
            proof(ProofName::Live, state, sheets, words),
            &[Act::ProveLive, Act::SetMeter],
        ),
        Stage::ProvenLive => {
            (headline, proof(ProofName::Live, state, sheets, words), &[Act::SetMeter, Act::Close])
        }
        Stage::Closed => {
            let map_corrections = state.map_corrections.len();
            (headline, Screen::Closed { map_corrections }, &[])
        }
    }
}

fn system(state: &State, sheets: &Sheets<'_>) -> Option<VoltageSystem> {
    let service = &state.header.as_ref()?.service;
    sheets.plant.services.get(service).map(|service| service.system)
}

/// The set in hand: the identified one, or the one that something is lifted of.
pub(super) fn set_in_hand(state: &State) -> Option<&SetAt> {
    state.physical.legs.keys().next().or(state.identified.as_ref())
}

fn hot_legs(state: &State, sheets: &Sheets<'_>) -> &'static [Conductor] {
    system(state, sheets).map_or(&[], VoltageSystem::legs)
}

fn all_lifted(state: &State, sheets: &Sheets<'_>) -> bool {
    set_in_hand(state).is_some_and(|set| {
        hot_legs(state, sheets).iter().all(|leg| state.physical.lifted(set, *leg).is_some())
    })
}

fn legs(state: &State, sheets: &Sheets<'_>, words: &Words) -> Vec<LegLine> {
    let Some(set) = set_in_hand(state) else { return Vec::new() };
    hot_legs(state, sheets)
        .iter()
        .map(|leg| {
            let id = match state.physical.lifted(set, *leg) {
                None => "leg-on-lug",
                Some(lifted) if lifted.capped.is_some() && lifted.restrained.is_some() => {
                    "leg-lifted-safe"
                }
                Some(_) => "leg-lifted-loose",
            };
            LegLine { leg: leg.to_string(), state: words.plain(id) }
        })
        .collect()
}

fn lift(state: &State, sheets: &Sheets<'_>, words: &Words) -> Screen {
    match set_in_hand(state) {
        Some(set) => Screen::Lift { set: set.clone(), legs: legs(state, sheets, words) },
        None => Screen::Restore { legs: Vec::new() },
    }
}

fn proof(of: ProofName, state: &State, sheets: &Sheets<'_>, words: &Words) -> Screen {
    let points = match (&state.header, system(state, sheets)) {
        (Some(header), Some(system)) => {
            let zone = Zone::MeterBase { service: header.service.clone() };
            zone.points(system)
                .into_iter()
                .map(|point| PointLine {
                    place: point.place,
                    between: point.between.to_string(),
                    label: words.plain("point"),
                    volts: None,
                    fits: None,
                    next: false,
                })
                .collect()
        }
        _ => Vec::new(),
    };
    Screen::Proof { of, points }
}

fn clearance(state: &State, words: &Words) -> Screen {
    Screen::Clearance { holding: holding(state, words) }
}
