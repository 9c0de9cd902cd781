//! Pages of a job that are read: the plan, drawn and step by step, the fault current, and why each set
//! is out or in. What a plan has read first, its page leads to.

use super::{
    Act, Device, Offer, Tone,
    ask::Once,
    build::{Scene, offer},
    fault::fault_of_job,
    may,
    passage::{Passage, PassageLine},
    physical_lines, why,
};
use crate::{
    diagram::{self, Diagram, Room, Status},
    form::{PlanForm, StepForm},
    gate::Stage,
    isolate::{ExpectedLoad, Isolation},
    job::{Sheets, State},
    quantity::PersonId,
    words::{Sentence, Words},
};

/// A page of a job that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Page {
    /// What to open, drawn, and step by step.
    Plan,
    /// What flows in a fault, and what follows from it.
    FaultCurrent,
    /// Why each set is out or in, sighting by sighting.
    Reasons,
}

/// A page as it is drawn: the physical state first, then what counts most.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageShown {
    /// The physical state, the most pressing line first.
    pub physical: Vec<Sentence>,
    /// What the page says on top.
    pub headline: Sentence,
    /// How that stands out.
    pub tone: Tone,
    /// The plan as a drawing; none: there is none to draw.
    pub diagram: Option<Diagram>,
    /// What it leads to: what has to be read before the plan can go on.
    pub acts: Vec<Offer>,
    /// Everything else.
    pub passages: Vec<Passage>,
}

/// What opens a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageKey {
    /// Which.
    pub page: Page,
    /// What stands on the key.
    pub label: Sentence,
    /// How it stands out, by the shape before it; none: as every key does.
    pub tone: Option<Tone>,
}

/// The pages that a job has: none before it is opened, no reasons before something is seen. What
/// must stop the work is said on the key: who never opens the page reads it too.
pub fn pages(state: &State, sheets: &Sheets<'_>, words: &Words) -> Vec<PageKey> {
    let Some(target) = state.target() else { return Vec::new() };
    let plan = PageKey { page: Page::Plan, label: words.plain("page-plan"), tone: None };
    // What is rated for nothing is over nothing: the whole record is not walked for every screen.
    let rated = sheets.plant.services.get(target).is_some_and(|service| {
        service.withstand.is_some()
            || service.sources.iter().any(|own| own.switch_withstand.is_some())
    });
    let faults = if rated { fault_of_job(state, sheets, words) } else { Vec::new() };
    let first = faults.into_iter().flat_map(|passage| passage.lines).next();
    let stops = first.filter(|line| line.tone == Some(Tone::Stop));
    let line = stops.unwrap_or_else(|| PassageLine::plain(words.plain("page-fault-current")));
    let faults = PageKey { page: Page::FaultCurrent, label: line.said, tone: line.tone };
    let seen = state.evidence.as_ref().is_some_and(|evidence| !evidence.sightings.is_empty());
    let label = words.plain("page-reasons");
    let reasons = seen.then_some(PageKey { page: Page::Reasons, label, tone: None });
    reasons.into_iter().chain([plan, faults]).collect()
}

/// A page of a job, for one person on this device at this moment.
pub fn page(
    of: Page,
    state: &State,
    sheets: &Sheets<'_>,
    who: &PersonId,
    device: &Device<'_>,
    words: &Words,
) -> PageShown {
    match of {
        Page::Plan => {
            let once = Once::default();
            plan(&Scene { state, sheets, who, device, words, judged: None, once: &once })
        }
        Page::FaultCurrent => fault_current(state, sheets, words),
        Page::Reasons => why::reasons(state, sheets, words),
    }
}

fn plan(scene: &Scene<'_>) -> PageShown {
    let Scene { state, sheets, words, .. } = *scene;
    let physical = physical_lines(state, words);
    let found = match state.plan(sheets, scene.device.now) {
        Ok(found) => found,
        Err(why) => {
            let headline = words.say("plan-none", &[("reason", &why.to_string())]);
            let (tone, diagram, acts, passages) = (Tone::Stop, None, Vec::new(), Vec::new());
            return PageShown { physical, headline, tone, diagram, acts, passages };
        }
    };
    let form = PlanForm::new(&found, words);
    let diagram = diagram::of_job(state, sheets, &found, Room::Pocket, words);
    let (headline, tone) = plan_headline(&found, &form, diagram.as_ref());
    let mut passages = plan_passages(form, words);
    passages.extend(diagram.as_ref().and_then(|drawn| in_words(drawn, words)));
    let acts = reads_first(&found).then(|| to_read(scene)).flatten().into_iter().collect();
    PageShown { physical, headline, tone, diagram, acts, passages }
}

/// Whether amps stand between the best plan and its openings, or between the crew and any plan.
fn reads_first(found: &Isolation) -> bool {
    let first = |load: Option<&ExpectedLoad>| load.is_some_and(|load| load.read_first);
    match found.plans.first() {
        Some(plan) => plan.openings.iter().any(|opening| first(opening.expected.as_ref())),
        None => found.not_allowed.iter().any(|branch| branch.expected.is_some()),
    }
}

/// What the page leads to: nothing before the briefing, as on the job's screen.
fn to_read(scene: &Scene<'_>) -> Option<Offer> {
    if scene.state.stage == Stage::Requested {
        return None;
    }
    let role = scene.state.role_of(scene.who)?;
    may(role, Act::ReadLoad).then(|| offer(Act::ReadLoad, true, scene)).flatten()
}

/// That nothing can be planned goes before how the zone stands. A zone that is proven dead is no leave
/// to put hands in: that is the clearance's to give.
fn plan_headline(
    found: &Isolation,
    form: &PlanForm,
    diagram: Option<&Diagram>,
) -> (Sentence, Tone) {
    match diagram {
        _ if found.plans.is_empty() => (form.sentence.clone(), Tone::Stop),
        None => (form.sentence.clone(), Tone::Wait),
        Some(drawn) => {
            let tone = match drawn.status {
                Status::Live | Status::NotProven => Tone::Wait,
                Status::Dead => Tone::Rest,
            };
            (drawn.verdict.clone(), tone)
        }
    }
}

/// The drawing row by row: for letters larger than it has room for.
fn in_words(drawn: &Diagram, words: &Words) -> Option<Passage> {
    let row = |line: &String| words.say("plan-drawn-row", &[("row", line)]);
    Passage::of(words.plain("plan-title-words"), drawn.lines.iter().map(row).collect())
}

fn plan_passages(form: PlanForm, words: &Words) -> Vec<Passage> {
    let mut ways = form.ways.iter().map(|way| way.line(words));
    let best = ways.next();
    let others = ways.chain(form.withdrawn).collect();
    let PlanForm { sentence, certain, way_left, changes, not_complete, .. } = form;
    let what = std::iter::once(sentence).chain(best).chain(certain);
    let what = what.chain(way_left).chain(changes);
    let out = form.out.into_iter().chain(form.pick_ups).collect();
    let steps = |all: Vec<StepForm>| {
        let lines = |step: StepForm| {
            let worn = step.wear.filter(|_| step.wear_changes);
            let from_here = |text: &str| words.say("wear-from-here", &[("wear", text)]);
            let worn = worn.map(|worn| {
                let spoken = from_here(&worn.spoken).spoken;
                Sentence { spoken, ..from_here(&worn.text) }
            });
            worn.into_iter().chain(step.minds).chain([step.sentence])
        };
        all.into_iter().flat_map(lines).collect::<Vec<Sentence>>()
    };
    let all: [(&str, Vec<Sentence>); 8] = [
        ("plan-title", what.chain(not_complete).collect()),
        ("plan-title-out", out),
        ("plan-title-loads", form.loads),
        ("plan-title-mind", form.cautions),
        ("plan-title-steps", steps(form.steps)),
        ("plan-title-back", steps(form.restoration).into_iter().chain(form.worn_by).collect()),
        ("plan-title-ways", others),
        ("plan-title-rejected", form.rejected),
    ];
    all.into_iter().filter_map(|(title, lines)| Passage::of(words.plain(title), lines)).collect()
}

fn fault_current(state: &State, sheets: &Sheets<'_>, words: &Words) -> PageShown {
    let physical = physical_lines(state, words);
    let mut passages = fault_of_job(state, sheets, words);
    let first = passages.first_mut().filter(|passage| !passage.lines.is_empty());
    // What counts most of it is the page's headline.
    let top = first.map(|passage| passage.lines.remove(0));
    let PassageLine { said, tone } =
        top.unwrap_or_else(|| PassageLine::plain(words.plain("page-fault-current")));
    passages.retain(|passage| !passage.lines.is_empty());
    let tone = tone.unwrap_or(Tone::Rest);
    PageShown { physical, headline: said, tone, diagram: None, acts: Vec::new(), passages }
}
