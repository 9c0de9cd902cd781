//! Job pages: contradicted, handed over, stopped.

use std::error::Error;

use coldlug_core::{
    diagram::{Asked, Diagram, Lifted, Room, Stands, diagram},
    form::{Beside, PlanForm, StepForm, WayForm},
    gate::Scope,
    isolate::{Request, isolate},
    mapsheet,
    plant::{Plant, SwitchState, derived},
    quantity::{AssetId, Instant, NodeId, amps},
    rule_sheet::RuleSheet,
    screen::{Act, AskKind, Passage, Screen, Shown, Tone, Unfit, fault_passages},
    sighting::SetAt,
    words::{Sentence, Words},
};
use coldlug_desk::pages::{ClearanceLine, CrewScreen, JobPage, NextLink, TimelineRow, Tried};

use super::{
    Page,
    made_up::{ask, at, choices, contradiction, frame, offer, said},
};

/// All of them.
pub(crate) fn pages(words: &Words) -> Result<Vec<Page>, Box<dyn Error>> {
    Ok(vec![
        ("job-contradicted", contradicted(words)?.render(words)?),
        ("job-handed-over", handed_over(words)?.render(words)?),
        ("job-stopped", stopped(words).render(words)?),
    ])
}

fn bare(shown: Shown) -> JobPage {
    JobPage {
        frame: frame(),
        job: "J-0004".into(),
        service: "S-4471".into(),
        scope: "The line side of the meter base".into(),
        shown,
        tried: None,
        judgement: None,
        timeline: timeline(),
        whole_timeline: false,
        plan: None,
        diagram: None,
        fault_current: Vec::new(),
        clearances: Vec::new(),
        next_links: Vec::new(),
        sticker: false,
        crew: Vec::new(),
        electricians: Vec::new(),
        conflicts: Vec::new(),
        corrections: Vec::new(),
        photos: Vec::new(),
    }
}

fn row(minute: i64, person: &str, device: &str, event: &str, text: &str) -> TimelineRow {
    TimelineRow {
        at: at(minute),
        person: person.into(),
        device: device.into(),
        sentence: said(text),
        refused: None,
        late: false,
        deviation: false,
        name: event.into(),
        corrected: false,
        entry: "ab".repeat(32),
    }
}

fn timeline() -> Vec<TimelineRow> {
    let (pad, house) = (("lineworker-1", "phone-pad"), ("lineworker-2", "phone-house"));
    vec![
        row(0, "dispatcher-1", "desk", "desk-1", "Job opened for S-4471."),
        row(9, pad.0, pad.1, "phone-pad-2", "Briefing held."),
        row(21, house.0, house.1, "phone-house-9", "Meter number 60 114 882 read."),
        row(24, pad.0, pad.1, "phone-pad-24", "PM-12: 3 sets counted and marked."),
        TimelineRow {
            refused: Some(said("Lift one leg at a time.")),
            late: true,
            ..row(29, pad.0, pad.1, "phone-pad-29", "L1 of PM-12 position 2 lifted.")
        },
        row(
            31,
            pad.0,
            pad.1,
            "phone-pad-31",
            "PM-12 position 2 stayed flat while the load was switched.",
        ),
    ]
}

fn everyone(words: &Words, shown: &Shown) -> Vec<CrewScreen> {
    let one = |person: &str, role: &str, device: Option<&str>, shown: Shown| CrewScreen {
        person: person.into(),
        role: said(role),
        device: device.map(Into::into),
        shown,
    };
    let mut other = shown.clone();
    other.acts =
        vec![offer(Act::BeginStay, Vec::new(), words), offer(Act::Stop, Vec::new(), words)];
    if let Some(first) = other.acts.first_mut() {
        first.permitted = false;
    }
    vec![
        one("lineworker-1", "lineworker", Some("phone-pad"), shown.clone()),
        one("electrician-1", "electrician", None, other),
    ]
}

fn stop(words: &Words) -> coldlug_core::screen::Offer {
    offer(Act::Stop, vec![ask("reason", "Why", AskKind::Text)], words)
}

fn contradicted(words: &Words) -> Result<JobPage, Box<dyn Error>> {
    let judgement = contradiction(words)?;
    let correct = vec![
        ask(
            "what",
            "What is wrong on the map",
            AskKind::One {
                of: choices(&[("feed", "Which set feeds the service"), ("tag", "The pad's tag")]),
            },
        ),
        ask("note", "What was seen", AskKind::Text),
    ];
    let shown = Shown {
        physical: vec![words.plain("physical-nothing")],
        headline: judgement.sentence.clone(),
        tone: Tone::Stop,
        screen: Screen::Ledger { judgement: Box::new(judgement.clone()) },
        acts: vec![offer(Act::CorrectMap, correct, words), stop(words)],
    };
    Ok(JobPage {
        judgement: Some(judgement),
        crew: everyone(words, &shown),
        electricians: vec!["electrician-1".into()],
        next_links: vec![NextLink { person: "electrician-1".into(), until: at(500) }],
        sticker: true,
        conflicts: vec![said("phone-pad-29 was refused: Lift one leg at a time.")],
        corrections: vec![said("PM-12 position 3 feeds S-4471, not position 2.")],
        ..bare(shown)
    })
}

fn lifted(words: &Words) -> Vec<Sentence> {
    let by = [("by", "lineworker-1"), ("at", "2026-11-24T09:41:00Z"), ("set", "PM-12 position 3")];
    let mut legs = by.to_vec();
    legs.push(("leg", "L1, L2"));
    vec![
        words.say("physical-lifted-safe", &legs),
        words.say("physical-shorted", &by),
        words.say(
            "physical-meter-out",
            &[("number", "60 114 882"), ("by", "lineworker-2"), ("at", "2026-11-24T09:30:00Z")],
        ),
    ]
}

fn handed_over(words: &Words) -> Result<JobPage, Box<dyn Error>> {
    let held = words.say("clearance-is-held", &[("clearance", "C-1"), ("person", "electrician-1")]);
    let shown = Shown {
        physical: lifted(words),
        headline: words.plain("stage-handed-over"),
        tone: Tone::Wait,
        screen: Screen::Clearance { holding: vec![held.clone()] },
        acts: vec![
            offer(
                Act::EndLink,
                vec![ask("clearance", "Which", AskKind::One { of: choices(&[("C-1", "C-1")]) })],
                words,
            ),
            stop(words),
        ],
    };
    Ok(JobPage {
        tried: Some(Tried {
            act: Act::EndLink,
            answers: Vec::new(),
            unfit: Some(Unfit {
                field: "clearance".into(),
                reason: words.say("unfit-missing", &[("what", "Which")]),
            }),
            refused: None,
        }),
        clearances: vec![ClearanceLine {
            clearance: "C-1".into(),
            sentence: held,
            person: "electrician-1".into(),
            keeps_open: true,
            link_until: Some(at(500)),
            may_link: false,
        }],
        crew: everyone(words, &shown),
        plan: Some(plan(words)?),
        diagram: Some(drawing(words)?),
        fault_current: faults(words)?,
        ..bare(shown)
    })
}

fn plan(words: &Words) -> Result<PlanForm, Box<dyn Error>> {
    let step = |text: &str| StepForm {
        sentence: said(text),
        gates: Vec::new(),
        wear: None,
        wear_changes: false,
        minds: Vec::new(),
    };
    let way = |openings: &[&str],
               out: &[&str],
               why: Option<Sentence>|
     -> Result<WayForm, Box<dyn Error>> {
        Ok(WayForm {
            openings: openings.iter().map(|text| said(text)).collect(),
            offered: true,
            dearer: false,
            still_out: out.len(),
            customers_out: out.iter().map(|id| AssetId::new(*id)).collect::<Result<_, _>>()?,
            exposure: if why.is_some() { 29 } else { 9 },
            operations: 3,
            fuses: 0,
            why_not_first: why,
        })
    };
    let behind = words.say("why-more-out", &[("more", "2")]);
    Ok(PlanForm {
        service: AssetId::new("S-4471")?,
        sentence: words.say("plan-best", &[("service", "S-4471")]),
        certain: Some(words.plain("plan-optimal")),
        withdrawn: Vec::new(),
        rejected: vec![said("PM-12-fuse: no gap to be seen")],
        out: Vec::new(),
        pick_ups: Vec::new(),
        loads: Vec::new(),
        changes: Vec::new(),
        ways: vec![
            way(&["lift the legs at PM-12 position 3", "open main S-4471/main"], &[], None)?,
            way(
                &["park elbow PM-11-out", "park elbow PM-13-in"],
                &["S-4470", "S-4472"],
                Some(behind),
            )?,
        ],
        steps: vec![step("Open the main"), step("Pull meter"), step("Lift L1 PM-12 position 3")],
        restoration: vec![step("Land L1 PM-12 position 3"), step("Set the meter")],
        worn_by: None,
        cautions: vec![words.plain("mind-neutral-not-dead")],
        way_left: None,
        not_allowed: Vec::new(),
        not_complete: None,
    })
}

/// The invented row of two pads, with the target at the first one's third position.
fn row_of_two() -> Result<Plant, Box<dyn Error>> {
    let sheet = include_str!("../../../phone/examples/ready_folder/map_sheet.geojson");
    let sheet = sheet.replace("P1V3", "S-4471").replace("P1", "PM-12");
    Ok(mapsheet::read(sheet.as_bytes())?.plant)
}

/// The fault current there, with a meter base that is too weak for it.
pub(crate) fn faults(words: &Words) -> Result<Vec<Passage>, Box<dyn Error>> {
    let service = AssetId::new("S-4471")?;
    let mut plant = row_of_two()?;
    if let Some(target) = plant.services.get_mut(&service) {
        target.withstand = Some(amps(2_000.0));
    }
    let identified = SetAt { pad: AssetId::new("PM-12")?, position: "3".into() };
    let beside = Beside { rules: &RuleSheet::default(), words };
    Ok(fault_passages(&plant, &service, Some(&identified), beside))
}

/// The same row, with the target's set lifted and proven dead.
fn drawing(words: &Words) -> Result<Diagram, Box<dyn Error>> {
    let plant = row_of_two()?;
    let service = AssetId::new("S-4471")?;
    let lug = AssetId::new("PM-12-lug3")?;
    let request = Request::new(service.clone(), Scope::BaseLineSide);
    let found = isolate(&plant, &request, &RuleSheet::default())?;
    let dead = ["S-4471", "S-4471:load", "PM-12:s3"];
    let dead = dead.into_iter().map(NodeId::new).collect::<Result<Vec<NodeId>, _>>()?;
    let open = [derived::meter(&service)?, derived::main(&service)?, lug.clone()];
    let wall_ms = 1_795_506_060_000;
    let proven_at = Instant { wall_ms, boot: "boot".into(), mono_ms: 0 };
    let stands = Stands {
        states: open.map(|branch| (branch, SwitchState::Open)).into(),
        lifted: [(lug, Lifted { legs: 2, of: 2, capped: true })].into(),
        shorted: dead.last().cloned().into_iter().collect(),
        proven: dead.into_iter().map(|node| (node, proven_at.clone())).collect(),
        ..Stands::default()
    };
    let asked = Asked {
        plant: &plant,
        found: &found,
        plan: found.plans.first(),
        stands: &stands,
        room: Room::Page,
    };
    Ok(diagram(&asked, words)?)
}

fn stopped(words: &Words) -> JobPage {
    bare(Shown {
        physical: lifted(words),
        headline: words.plain("stage-stopped"),
        tone: Tone::Stop,
        screen: Screen::Stopped { event: "phone-pad-44".into() },
        acts: vec![stop(words)],
    })
}
