//! A job: its state first, then everything that is on record about it.

use std::{cmp::Reverse, collections::BTreeSet};

use askama::Template;
use coldlug_core::{
    diagram::{Diagram, Dress},
    form::{JudgementForm, PlanForm, ReasonForm},
    quantity::SightingId,
    screen::{AskKind, Offer, Passage, ProofName, Screen, Shown},
    words::{Sentence, Words},
};

use super::{
    ACT, CSRF, Frame, NEXT_CLEARANCE, Tried, Unrendered, When,
    act::{Form, forms},
    render::draw,
};

/// `GET /jobs/{job}`.
///
/// Acts go to `POST /jobs/{job}/act`, links are made by `POST /jobs/{job}/link` (fields `person`,
/// `clearance`; empty: the next that is offered) and ended by `POST /jobs/{job}/link/end` (field
/// `clearance`; [`NEXT_CLEARANCE`]: those for the next that is offered).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobPage {
    /// Around the page.
    pub frame: Frame,
    /// The job.
    pub job: String,
    /// The service to be made dead.
    pub service: String,
    /// What is to be made dead.
    pub scope: String,
    /// What the signed-in dispatcher sees and may do.
    pub shown: Shown,
    /// An act that was tried and not done.
    pub tried: Option<Tried>,
    /// What the evidence amounts to; none: the job is not opened.
    pub judgement: Option<JudgementForm>,
    /// Everything that was written down, in the order of the record.
    pub timeline: Vec<TimelineRow>,
    /// Whether all of it is drawn (`?timeline=all`), not the newest alone.
    pub whole_timeline: bool,
    /// What to open and who goes out; none: nothing can be planned.
    pub plan: Option<PlanForm>,
    /// The plan as a one-line diagram; none: there is none to draw.
    pub diagram: Option<Diagram>,
    /// The fault current at the pad and at the base, and what follows from it.
    pub fault_current: Vec<Passage>,
    /// Who holds what.
    pub clearances: Vec<ClearanceLine>,
    /// Links for the next clearance that is offered: they are of no clearance yet.
    pub next_links: Vec<NextLink>,
    /// Whether the job has a sticker to print.
    pub sticker: bool,
    /// Every crew member's screen.
    pub crew: Vec<CrewScreen>,
    /// Electricians of the crew who carry no device: a link can be made for each.
    pub electricians: Vec<String>,
    /// Acts on record that cannot both stand.
    pub conflicts: Vec<Sentence>,
    /// Corrections of the map record that the job leaves.
    pub corrections: Vec<Sentence>,
    /// Pictures.
    pub photos: Vec<PhotoLine>,
}

/// One entry of the timeline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimelineRow {
    /// When.
    pub at: When,
    /// Who.
    pub person: String,
    /// On which device.
    pub device: String,
    /// What.
    pub sentence: Sentence,
    /// Why it counts for nothing; none: it counts.
    pub refused: Option<Sentence>,
    /// Whether it was written down late.
    pub late: bool,
    /// Whether it was done by a declared deviation.
    pub deviation: bool,
    /// The name others know it by: a sighting's own, where it is one, or the event's. The ledger
    /// points here.
    pub name: String,
    /// Whether a later entry corrected it or took it back.
    pub corrected: bool,
    /// Its entry's hash.
    pub entry: String,
}

/// A clearance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClearanceLine {
    /// Its name.
    pub clearance: String,
    /// What is with it, in words.
    pub sentence: Sentence,
    /// To whom it was offered.
    pub person: String,
    /// Whether it keeps everything open.
    pub keeps_open: bool,
    /// Until when its link is good; none: there is no link.
    pub link_until: Option<When>,
    /// Whether a link can be made for it now.
    pub may_link: bool,
}

/// A link for the next clearance that is offered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextLink {
    /// Who bears it.
    pub person: String,
    /// Until when it is good.
    pub until: When,
}

/// A crew member's screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrewScreen {
    /// Who.
    pub person: String,
    /// In which role, in words.
    pub role: Sentence,
    /// On which device; none: by link.
    pub device: Option<String>,
    /// What they see.
    pub shown: Shown,
}

/// A picture on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoLine {
    /// Its SHA-256.
    pub sha256: String,
    /// What it is said to show.
    pub sentence: Sentence,
    /// Whether its bytes have come.
    pub here: bool,
}

#[derive(Template)]
#[template(path = "job.html")]
struct Drawn<'a> {
    page: &'a JobPage,
    frame: &'a Frame,
    words: &'a Words,
    act_to: String,
}

/// How much of a timeline is drawn at once: a page stays light on a slow link.
const NEWEST: usize = 25;
/// How many sightings are named behind one claim or set at once, for the same reason.
const MOST_NAMED: usize = 6;
/// How many reasons are told of one set or stay at once, for the same reason.
const MOST_REASONS: usize = 3;

impl Drawn<'_> {
    /// The rows that are drawn, the newest first.
    fn newest(&self) -> impl Iterator<Item = &TimelineRow> {
        let most = if self.page.whole_timeline { usize::MAX } else { NEWEST };
        self.page.timeline.iter().rev().take(most)
    }

    /// How many rows are not drawn.
    fn older(&self) -> usize {
        if self.page.whole_timeline { 0 } else { self.page.timeline.len().saturating_sub(NEWEST) }
    }

    /// Where something that was seen stands in the timeline.
    fn entry(&self, name: &str) -> String {
        let older = self.page.timeline.iter().rev().skip(NEWEST).any(|row| row.name == name);
        if older && !self.page.whole_timeline {
            format!("?timeline=all#{name}")
        } else {
            format!("#{name}")
        }
    }

    /// The newest of some sightings, the newest first, each with where it stands; all of them where
    /// the whole timeline is drawn.
    fn seen_in(&self, sightings: &BTreeSet<SightingId>) -> Vec<(String, String)> {
        let at = |name: &str| self.page.timeline.iter().position(|row| row.name == name);
        let mut names: Vec<&str> = sightings.iter().map(SightingId::as_str).collect();
        names.sort_by_cached_key(|name| Reverse(at(name)));
        names
            .into_iter()
            .take(self.most_named())
            .map(|name| (self.entry(name), name.to_owned()))
            .collect()
    }

    /// How many of them [`Drawn::seen_in`] leaves out.
    fn unnamed(&self, sightings: &BTreeSet<SightingId>) -> usize {
        sightings.len().saturating_sub(self.most_named())
    }

    fn most_named(&self) -> usize {
        if self.page.whole_timeline { usize::MAX } else { MOST_NAMED }
    }

    /// Whether there is a reason for or against anything.
    #[allow(clippy::unused_self, reason = "a template calls what it is drawn from")]
    fn has_reasons(&self, judgement: &JudgementForm) -> bool {
        let sets = judgement.candidates.iter().map(|row| &row.reasons);
        sets.chain(judgement.premises.iter().map(|stay| &stay.reasons)).any(|all| !all.is_empty())
    }

    /// The reasons that are drawn, those that count first.
    fn told<'r>(&self, reasons: &'r [ReasonForm]) -> &'r [ReasonForm] {
        let most = if self.page.whole_timeline { usize::MAX } else { MOST_REASONS };
        reasons.get(..most).unwrap_or(reasons)
    }

    /// How many of them [`Drawn::told`] leaves out.
    fn untold(&self, reasons: &[ReasonForm]) -> usize {
        reasons.len().saturating_sub(self.told(reasons).len())
    }

    /// The diagram as SVG; every text in it is escaped by core.
    fn svg(&self) -> Option<String> {
        self.page.diagram.as_ref().map(|diagram| diagram.svg(Dress::InPage))
    }

    /// A dispatcher reads no points.
    #[allow(clippy::unused_self, reason = "the templates ask every page that draws screens")]
    fn point_form(&self) -> Option<Form<'_>> {
        None
    }

    fn forms(&self) -> Vec<Form<'_>> {
        let to = |_: &Offer| self.act_to.as_str();
        forms(&self.page.shown.acts, to, &self.frame.csrf, self.page.tried.as_ref())
    }
}

impl JobPage {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        let act_to = format!("/jobs/{}/act", self.job);
        draw(&Drawn { page: self, frame: &self.frame, words, act_to })
    }
}
