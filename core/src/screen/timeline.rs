//! Everything on record of a job, line by line, in fold order.

use std::{collections::BTreeMap, ops::ControlFlow::Continue};

use schemars::JsonSchema;
use serde::Serialize;

use super::told::event_sentence;
use crate::{
    event::Sha256Hex,
    gate::Rule,
    job::{Outcome, Sheets},
    log::{Log, replay},
    quantity::{DeviceId, EventId, Instant, PersonId},
    words::{Sentence, Words},
};

/// One entry of a job's record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TimelineLine {
    /// When it was written down.
    pub at: Instant,
    /// By whom.
    pub person: PersonId,
    /// On which device.
    pub device: DeviceId,
    /// Its kind.
    pub kind: String,
    /// What it says, as it was written.
    pub sentence: Sentence,
    /// Why it counts for nothing; null: it counts.
    pub refused: Option<Sentence>,
    /// What lacked or stood in the way, by name or in words, where it was refused.
    pub lacked: Vec<String>,
    /// Whether it was written down late: `at` is when it was typed.
    pub late: bool,
    /// Rules that it passed by a declared deviation alone: done without proof.
    pub deviation: Vec<Rule>,
    /// The correction that took it out or changed it; null: it stands as written.
    pub corrected_by: Option<EventId>,
    /// Its event.
    pub event: EventId,
    /// Its place in its device's chain, from one.
    pub seq: u64,
    /// Its entry's hash.
    pub entry: Sha256Hex,
}

/// The record of a job in fold order, each entry with what became of it.
pub fn timeline(log: &Log, sheets: &Sheets<'_>, words: &Words) -> Vec<TimelineLine> {
    let mut lines = Vec::with_capacity(log.len());
    let state = replay(log, sheets, |entry, outcome| {
        let event = entry.event();
        let (refused, lacked, deviation) = match outcome {
            Outcome::Refused(why) => {
                (Some(words.plain(why.rule.id())), words.lacked(&why.which), Vec::new())
            }
            Outcome::Applied { deviated } => (None, Vec::new(), deviated.iter().copied().collect()),
            Outcome::Unknown => {
                (Some(words.plain(Rule::UnknownKindReadOnly.id())), Vec::new(), Vec::new())
            }
        };
        lines.push(TimelineLine {
            at: event.at.clone(),
            person: event.person.clone(),
            device: event.device.clone(),
            kind: event.body.kind().to_owned(),
            sentence: event_sentence(&event.body, words),
            refused,
            lacked,
            late: event.late_wall_ms.is_some(),
            deviation,
            corrected_by: None,
            event: event.id.clone(),
            seq: entry.seq(),
            entry: entry.hash(),
        });
        Continue(())
    });
    let corrected: BTreeMap<&EventId, &EventId> = state
        .applied
        .iter()
        .filter_map(|applied| Some((&applied.event.id, applied.corrected_by.as_ref()?)))
        .collect();
    for line in lines.iter_mut().filter(|line| line.refused.is_none()) {
        line.corrected_by = corrected.get(&line.event).map(|by| (*by).clone());
    }
    lines
}
