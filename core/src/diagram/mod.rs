//! The one-line diagram of a plan: from each source to the work zone, as a list of strokes and texts
//! in whole units, and as SVG.
//!
//! It reads from the top like a strip map. A conductor runs down a rail; what is on it has one row
//! with its name and, in heavier letters, how it stands. A bar branches to the right. Every state
//! has its own shape and its own word, and none a colour:
//!
//! | shape | word |
//! |---|---|
//! | heavy unbroken line | `live`, or `not proven`: drawn alike, since what is not proven is treated as live |
//! | thin broken line | `proven dead`: both ends are in a proof of dead that stands, and no feeder reaches them |
//! | gap between two bars | `open` |
//! | gap with a cap on the end | `lifted` |
//! | ring beside a gap | the meter is `out` |
//! | the earth symbol of IEC 60617 | `grounded`, `shorted to neutral` |
//! | numbered ring | an opening of the plan, in the order of its steps |
//! | frame with a hatched edge | the work zone |
//!
//! Nothing is left out silently: pads that only pass supply on are folded with their number, and
//! what hangs beside the way without a say in it is counted where it hangs.

mod fact;
mod flow;
mod fold;
mod label;
mod mark;
mod paint;
mod row;
mod shown;
mod sign;
mod stands;
mod svg;
mod tree;
mod web;

#[cfg(test)]
mod tests;

pub use fact::Status;
pub use mark::{Face, Mark, Pen, Room, Spot, Stroke};
pub use stands::{Lifted, Stands};
pub use svg::{Dress, STYLE};

use std::collections::BTreeSet;

use crate::isolate::{Isolation, Plan, StepAct, Turn};
use crate::job::{Sheets, State};
use crate::plant::{Network, Plant};
use crate::quantity::{AssetId, IdError};
use crate::words::{Sentence, Words};

/// What is to be drawn.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The map record, as the field corrected it.
    pub plant: &'a Plant,
    /// The zone and its sources.
    pub found: &'a Isolation,
    /// The plan whose openings are numbered; none: nothing is.
    pub plan: Option<&'a Plan>,
    /// How everything stands now.
    pub stands: &'a Stands,
    /// Where it is going to stand.
    pub room: Room,
}

/// A one-line diagram: strokes and texts, in whole units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagram {
    /// What it shows.
    pub title: Sentence,
    /// How the zone stands: read first.
    pub verdict: Sentence,
    /// The same as a thing to go by.
    pub status: Status,
    /// Width; letters are sized for it.
    pub width: i32,
    /// Height.
    pub height: i32,
    /// What is drawn, in the order it is drawn in.
    pub marks: Vec<Mark>,
    /// Each row in words, from the top: for who does not see the drawing.
    pub lines: Vec<String>,
}

/// Draws the diagram.
pub fn diagram(asked: &Asked<'_>, words: &Words) -> Result<Diagram, IdError> {
    let network = Network::of(asked.plant)?;
    let facts = fact::Facts::new(asked, &network)?;
    let shown = shown::shown(&facts);
    let rows = row::rows(&facts, &shown, words);
    let service = [("service", asked.found.service.as_str())];
    let title = words.say("diagram-title", &service);
    let status = facts.zone_status();
    let verdict = words.say(status.verdict(), &service);
    let mut under = Vec::new();
    if let Some(at) = facts.zone_proven_at() {
        under.push(words.say("diagram-proven-at", &[("at", &at.to_text())]));
    }
    if !facts.numbers.is_empty() {
        under.push(words.plain("diagram-order"));
    }
    if shown.cut {
        under.push(words.plain("diagram-more-ways"));
    }
    if facts.may_feed_back() {
        under.push(words.plain("diagram-may-feed-back"));
    }
    let (marks, height) = paint::paint(&verdict, &under, &rows, asked.room);
    let lines = under.iter().map(|line| line.text.clone());
    let lines = lines.chain(rows.iter().map(row::Row::line)).filter(|l| !l.is_empty()).collect();
    let width = asked.room.width();
    Ok(Diagram { title, verdict, status, width, height, marks, lines })
}

/// The diagram of a job's own plan, as the job stands now; none where the map has no room for what
/// was corrected.
pub fn of_job(
    state: &State,
    sheets: &Sheets<'_>,
    found: &Isolation,
    room: Room,
    words: &Words,
) -> Option<Diagram> {
    let plant = state.corrected(sheets.plant).ok()?;
    let stands = Stands::of_job(state, &plant).ok()?;
    let asked = Asked { plant: &plant, found, plan: found.plans.first(), stands: &stands, room };
    diagram(&asked, words).ok()
}

impl Diagram {
    /// All of it in words, line by line: for who does not see the drawing.
    pub fn spoken(&self) -> String {
        let all = std::iter::once(&self.verdict.spoken).chain(&self.lines);
        all.map(String::as_str).collect::<Vec<&str>>().join("\n")
    }
}

/// The branches that a plan opens or holds open, in the order of the steps that do it.
fn in_order_of_steps(plan: &Plan) -> Vec<AssetId> {
    let opens = |act: StepAct| act == StepAct::SeeOpen || act.turn() == Some(Turn::Opens);
    let openings: BTreeSet<&AssetId> = plan.openings.iter().map(|o| &o.branch).collect();
    let mut order: Vec<AssetId> = Vec::new();
    let done = plan.steps.iter().filter(|s| opens(s.act)).filter_map(|s| s.branch.as_ref());
    let all = plan.openings.iter().map(|o| &o.branch);
    for branch in done.filter(|b| openings.contains(b)).chain(all) {
        if !order.contains(branch) {
            order.push(branch.clone());
        }
    }
    order
}
