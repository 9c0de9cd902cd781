//! A job's page.

use std::collections::BTreeMap;

use coldlug_core::{
    clearance::{Clearance, Standing},
    diagram::{self, Room},
    event::Body,
    form::{JudgementForm, PlanForm},
    gate::Role,
    job::State,
    quantity::{ClearanceId, EventId, JobId},
    reconcile::judge,
    screen::{TimelineLine, fault_of_job, timeline},
};
use coldlug_store::desk::Link;

use super::{act::job_named, drawn, frame, when};
use crate::{
    answer::Answered,
    asked::Asked,
    carried::Carried,
    desk::Desk,
    draw::Drawer,
    entrance::Signed,
    held::Held,
    link::{NEXT, may_have},
    pages::{ClearanceLine, CrewScreen, JobPage, NextLink, PhotoLine, TimelineRow, Tried, When},
    trouble::Trouble,
};

/// `GET /jobs/{job}`.
pub(crate) fn job(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let whole = asked.queried("timeline") == "all";
    drawn_page(desk, &mut held, signed, &job, 200, None, whole)
}

/// The page of a job, after an act that was tried where there was one.
pub(super) fn job_page(
    desk: &Desk,
    held: &mut Held,
    signed: &Signed,
    job: &JobId,
    status: u16,
    tried: Option<Tried>,
) -> Answered {
    drawn_page(desk, held, signed, job, status, tried, false)
}

fn drawn_page(
    desk: &Desk,
    held: &mut Held,
    signed: &Signed,
    job: &JobId,
    status: u16,
    tried: Option<Tried>,
    whole: bool,
) -> Answered {
    let now_ms = desk.now().wall_ms;
    let drawer = Drawer::new(desk, held, job)?.for_others();
    let links = held.desk.links(job, now_ms)?;
    held.job(job)?;
    let Held { carried, photos, .. } = held;
    let carried = carried.get(job).ok_or(Trouble::NotHere)?;
    let state = &carried.state;
    let header = state.header.as_ref().ok_or(Trouble::NotHere)?;
    let crew = header.crew.iter().filter(|member| member.role != Role::Dispatcher);
    let here = |photo: &coldlug_core::event::Sha256Hex| PhotoLine {
        sha256: photo.to_string(),
        sentence: desk.words.plain("desk-photo"),
        here: photos.has(photo),
    };
    let plan = state.plan(&carried.sheets.lend(), &desk.now()).ok();
    let page = JobPage {
        frame: frame(desk, signed),
        job: job.to_string(),
        service: header.service.to_string(),
        scope: scope(desk, &header.scope.to_string()),
        shown: drawer.shown(desk, carried, &signed.person),
        tried,
        judgement: judgement(desk, carried),
        timeline: rows(desk, carried),
        whole_timeline: whole,
        plan: plan.as_ref().map(|found| PlanForm::new(found, &desk.words)),
        diagram: plan.as_ref().and_then(|found| {
            let sheets = carried.sheets.lend();
            diagram::of_job(state, &sheets, found, Room::Page, &desk.words)
        }),
        fault_current: fault_of_job(state, &carried.sheets.lend(), &desk.words),
        clearances: clearances(desk, state, &links),
        next_links: next_links(&links),
        sticker: header.sticker_sha256.is_some(),
        crew: crew
            .clone()
            .map(|member| CrewScreen {
                person: member.person.to_string(),
                role: desk.words.plain(role_id(member.role)),
                device: member.device.as_ref().map(ToString::to_string),
                shown: drawer.shown(desk, carried, &member.person),
            })
            .collect(),
        electricians: crew
            .filter(|member| member.role == Role::Electrician && member.device.is_none())
            .map(|member| member.person.to_string())
            .collect(),
        conflicts: state
            .open_conflicts()
            .iter()
            .filter_map(|id| state.conflicts.get(id))
            .map(|conflict| desk.words.plain(conflict.rule.id()))
            .collect(),
        corrections: state
            .map_corrections
            .iter()
            .map(|made| {
                let places = [("feature", made.feature.as_str()), ("claim", &made.claim)];
                desk.words.say("desk-correction", &places)
            })
            .collect(),
        photos: carried.photos.iter().map(here).collect(),
    };
    drawn(status, page.render(&desk.words))
}

fn judgement(desk: &Desk, carried: &Carried) -> Option<JudgementForm> {
    let (state, sheets) = (&carried.state, carried.sheets.lend());
    let evidence = state.evidence.as_ref()?;
    let judged = judge(sheets.plant, sheets.rules, evidence);
    let until = state.applied.last().map(|applied| &applied.event.id);
    Some(JudgementForm::new(evidence, until, &judged, &desk.words))
}

fn role_id(role: Role) -> &'static str {
    match role {
        Role::Lineworker => "desk-role-lineworker",
        Role::Electrician => "desk-role-electrician",
        Role::Dispatcher => "desk-role-dispatcher",
        Role::Engineer => "desk-role-engineer",
    }
}

/// The timeline, each row under the name that others know it by: a sighting's own, or the event's.
fn rows(desk: &Desk, carried: &Carried) -> Vec<TimelineRow> {
    let sighted =
        carried.log.in_order().into_iter().filter_map(|entry| match &entry.event().body {
            Body::Sighting(made) => Some((entry.event().id.clone(), made.sighting.to_string())),
            _ => None,
        });
    let named: BTreeMap<EventId, String> = sighted.collect();
    let lines = timeline(&carried.log, &carried.sheets.lend(), &desk.words).into_iter();
    lines
        .map(|line| {
            let name = named.get(&line.event).cloned();
            row(name.unwrap_or_else(|| line.event.to_string()), line)
        })
        .collect()
}

fn row(name: String, line: TimelineLine) -> TimelineRow {
    TimelineRow {
        name,
        corrected: line.corrected_by.is_some(),
        at: When::new(&line.at),
        person: line.person.to_string(),
        device: line.device.to_string(),
        sentence: line.sentence,
        refused: line.refused,
        late: line.late,
        deviation: !line.deviation.is_empty(),
        entry: line.entry.to_string(),
    }
}

/// What is to be dead, in words where it has a name.
fn scope(desk: &Desk, scope: &str) -> String {
    let id = format!("desk-scope-{scope}");
    if desk.words.has(&id) { desk.words.plain(&id).text } else { scope.to_owned() }
}

fn clearances(desk: &Desk, state: &State, links: &[Link]) -> Vec<ClearanceLine> {
    let line = |(id, clearance): (&ClearanceId, &Clearance)| {
        let (sentence, person) = match clearance.standing() {
            Standing::Held { holder } => ("clearance-is-held", Some(holder)),
            Standing::Offered { to } if clearance.by_link() => ("clearance-by-link", Some(to)),
            Standing::Offered { to } => ("clearance-on-offer", Some(to)),
            Standing::Refused => ("desk-clearance-refused", None),
            Standing::Released => ("desk-clearance-released", None),
            Standing::Abandoned => ("desk-clearance-abandoned", None),
            Standing::LinkEnded => ("desk-clearance-link-ended", None),
        };
        let until = links.iter().filter(|link| link.clearance == *id).map(|link| link.until_ms);
        let named = person.map_or(String::new(), ToString::to_string);
        let places = [("clearance", id.as_str()), ("person", named.as_str())];
        ClearanceLine {
            clearance: id.to_string(),
            sentence: desk.words.say(sentence, &places),
            keeps_open: person.is_some(),
            link_until: until.max().map(when),
            may_link: person.is_some_and(|person| may_have(state, id, person)),
            person: named,
        }
    };
    state.clearances.iter().map(line).collect()
}

/// Links that were made before a clearance was offered, and are of none yet.
fn next_links(links: &[Link]) -> Vec<NextLink> {
    let waiting = links.iter().filter(|link| link.clearance.as_str() == NEXT);
    let line =
        |link: &Link| NextLink { person: link.person.to_string(), until: when(link.until_ms) };
    waiting.map(line).collect()
}
