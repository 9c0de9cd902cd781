//! Acts on the world that the rules refused after they were done: for a person to settle.

use super::state::State;
use crate::{
    event::{Body, ConflictSettled, Event},
    gate::Rule,
    quantity::EventId,
};

/// A refused act on the world. Until a person settles it, nothing closes and nothing is offered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The rule that refused it.
    pub rule: Rule,
    /// The event that settled it.
    pub settled: Option<EventId>,
    /// Whether the field shows that it was done.
    pub stands: bool,
}

/// Whether an event, refused, leaves a doubt about the world: it says that something was operated
/// or changed hands.
pub(super) fn acts_on_the_world(event: &Event) -> bool {
    matches!(
        event.body,
        Body::Operation(_) | Body::MeterPulled(_) | Body::MeterSet(_) | Body::Clearance(_)
    )
}

impl State {
    pub(super) fn apply_settled(&mut self, event: &Event, body: &ConflictSettled) {
        let Some(conflict) = self.conflicts.get_mut(&body.refused) else { return };
        conflict.settled = Some(event.id.clone());
        conflict.stands = body.stands;
        let rule = conflict.rule;
        let refused = self.refused.iter().find(|refused| refused.event.id == body.refused);
        let Some(refused) = refused.map(|refused| refused.event.clone()).filter(|_| body.stands)
        else {
            return;
        };
        // What stands in the field stands in the physical state, and counts as proof of nothing. A
        // clearance is not the world: nobody comes to hold one by a settlement.
        match &refused.body {
            Body::Operation(done) => self.apply_operation(&refused, &done.operation),
            Body::MeterPulled(pulled) => self.apply_meter_pulled(&refused, pulled),
            Body::MeterSet(_) => self.apply_meter_set(),
            _ => {}
        }
        self.without_proof.entry(refused.id).or_default().insert(rule);
    }
}
