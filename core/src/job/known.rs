//! What a writer had seen when writing: which code may be known at the pad.

use super::state::State;
use crate::{
    event::{Body, Event},
    quantity::{EventId, RunId},
    sighting::Seen,
};

/// Which of the events before it the writer of an event had seen.
#[derive(Clone, Copy)]
pub(super) struct Known<'a>(pub(super) &'a dyn Fn(&EventId) -> bool);

impl State {
    /// The run of a load step whose code its writer may know: the writer had seen it opened, or
    /// switched by it.
    pub(super) fn code_known(&self, event: &Event, seen: &Seen, known: Known<'_>) -> Vec<String> {
        let Seen::LoadStep { run, .. } = seen else { return Vec::new() };
        let opened = self.openings_of(run).any(|id| known.0(id));
        if opened || self.switched_by(run, event) { vec![run.to_string()] } else { Vec::new() }
    }

    /// The events that tell a run's code. One that was refused tells it as well.
    fn openings_of<'a>(&'a self, run: &'a RunId) -> impl Iterator<Item = &'a EventId> {
        let applied = self.applied.iter().map(|applied| &applied.event);
        let refused = self.refused.iter().map(|refused| &refused.event);
        applied.chain(refused).filter_map(move |event| match &event.body {
            Body::SwitchingRunEnded(ended) if ended.run == *run => Some(&event.id),
            _ => None,
        })
    }

    /// Whether the run was begun by the same person or on the same device: who switches by a code,
    /// and what shows it, know it.
    fn switched_by(&self, run: &RunId, event: &Event) -> bool {
        self.applied.iter().any(|applied| {
            let begun = &applied.event;
            matches!(&begun.body, Body::SwitchingRunBegun(body) if body.run == *run)
                && (begun.person == event.person || begun.device == event.device)
        })
    }
}
