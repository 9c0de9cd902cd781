//! From a job's state to the screen somebody sees.

use super::{
    Act, Device, JobLine, Offer, Screen, Shown, Tone,
    ask::{Once, asks},
    crew, desk, electrician, may, physical_lines,
    told::remark_lines,
    tone::tone,
};
use crate::{
    gate::{Role, Stage},
    job::{Sheets, State},
    quantity::PersonId,
    reconcile::{Judgement, judge},
    words::{Sentence, Words},
};

/// What a screen is drawn from.
pub(super) struct Scene<'a> {
    pub(super) state: &'a State,
    pub(super) sheets: &'a Sheets<'a>,
    pub(super) who: &'a PersonId,
    pub(super) device: &'a Device<'a>,
    pub(super) words: &'a Words,
    /// What the evidence amounts to; none: the job is not opened.
    pub(super) judged: Option<&'a Judgement>,
    /// What the acts of the screen find alike.
    pub(super) once: &'a Once<'a>,
}

/// A screen before its acts are asked what they ask.
pub(super) struct Drawn {
    pub(super) headline: Sentence,
    pub(super) screen: Screen,
    /// The one that leads on first.
    pub(super) acts: Vec<Act>,
}

/// The screen of a job for one person.
///
/// Acts that have no place now are left out; the first that is left leads on.
pub fn screen(
    state: &State,
    sheets: &Sheets<'_>,
    who: &PersonId,
    device: &Device<'_>,
    words: &Words,
) -> Shown {
    let evidence = state.evidence.as_ref();
    let judged = evidence.map(|evidence| judge(sheets.plant, sheets.rules, evidence));
    let judged = judged.as_ref();
    let once = Once::judged(judged);
    let scene = Scene { state, sheets, who, device, words, judged, once: &once };
    let role = state.role_of(who);
    let drawn = match role {
        Some(Role::Lineworker) => crew::drawn(&scene),
        Some(Role::Electrician) => electrician::drawn(&scene),
        Some(Role::Dispatcher | Role::Engineer) | None => desk::drawn(&scene),
    };
    let mut acts: Vec<Offer> = Vec::new();
    for act in drawn.acts.into_iter().chain([Act::Stop]) {
        let permitted = role.is_some_and(|role| may(role, act));
        let twice = acts.iter().any(|offer| offer.act == act);
        if twice || (!permitted && act != Act::Stop) {
            continue;
        }
        acts.extend(offer(act, permitted, &scene));
    }
    let mut physical = physical_lines(state, words);
    physical.extend(remark_lines(state, sheets, words));
    let tone = tone(&scene, &drawn.screen);
    Shown { physical, headline: drawn.headline, tone, screen: drawn.screen, acts }
}

/// An act with what it asks; none: it has no place now.
pub(super) fn offer(act: Act, permitted: bool, scene: &Scene<'_>) -> Option<Offer> {
    let Scene { state, sheets, who, device, words, once, .. } = *scene;
    let asks = asks(state, sheets, who, act, device, words, once)?;
    Some(Offer { act, label: words.plain(act.id()), permitted, asks })
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
    Shown {
        physical: Vec::new(),
        headline,
        tone: Tone::Rest,
        screen: Screen::JobList { jobs },
        acts: Vec::new(),
    }
}

/// The id of a stage in the words.
pub(super) fn stage_id(state: &State) -> &'static str {
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
