//! Names of what is supposed. A record that holds the same one loses nothing but advice.

use super::test::By;
use crate::quantity::{DeedId, MarksId, PersonId, PlacementId, RunId, SightingId, StayId};

/// People, things and deeds that are supposed, whatever the test.
pub(super) struct Names {
    /// The desk.
    pub(super) desk: PersonId,
    /// The customer.
    pub(super) customer: PersonId,
    /// The worker who is not at the premises, and who stands at the pad when that one is.
    reader: PersonId,
    first: PersonId,
    /// A stay that the other worker has not begun yet.
    pub(super) stay: StayId,
    /// Marks put on anew.
    pub(super) marks: MarksId,
    /// A deed.
    pub(super) deed: DeedId,
    /// A look.
    pub(super) look: SightingId,
}

impl Names {
    /// All of them.
    pub(super) fn new() -> Option<Self> {
        Some(Self {
            desk: supposed("desk")?,
            customer: supposed("customer")?,
            reader: supposed("other-worker")?,
            first: supposed("first-worker")?,
            stay: supposed("stay")?,
            marks: supposed("marks")?,
            deed: supposed("deed")?,
            look: supposed("look")?,
        })
    }

    /// The other of two workers.
    pub(super) fn other(&self, worker: &PersonId) -> &PersonId {
        if self.reader == *worker { &self.first } else { &self.reader }
    }

    /// The worker who has not begun a stay yet.
    pub(super) const fn reader(&self) -> &PersonId {
        &self.reader
    }

    /// Placement and run of a load step.
    pub(super) fn of_step(by: By, nth: usize) -> Option<(PlacementId, RunId)> {
        let by = match by {
            By::Mark => "mark",
            By::Position => "position",
        };
        Some((supposed(&format!("placement-{by}-{nth}"))?, supposed(&format!("run-{by}-{nth}"))?))
    }
}

fn supposed<T: TryFrom<String>>(what: &str) -> Option<T> {
    T::try_from(format!("supposed/{what}")).ok()
}
