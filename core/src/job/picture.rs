//! Pictures of the meter: taken on one phone, read on another.

use crate::{
    event::{Event, PictureTaken},
    quantity::{Instant, PersonId, RunId, StayId},
    sighting::Seen,
};

/// A picture on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// SHA-256 of its bytes, hex.
    pub photo: String,
    /// Who took it.
    pub by: PersonId,
    /// When.
    pub at: Instant,
    /// The stay it was taken in.
    pub stay: StayId,
    /// The run it was taken inside, by its taker's word.
    pub run: Option<RunId>,
}

impl Picture {
    pub(super) fn of(event: &Event, body: &PictureTaken) -> Self {
        Self {
            photo: body.photo.to_string(),
            by: event.person.clone(),
            at: event.when(),
            stay: body.stay.clone(),
            run: body.run.clone(),
        }
    }

    /// Whether a reading of a picture is a reading of this one, by everything it says of it.
    pub(super) fn is_read_by(&self, seen: &Seen) -> bool {
        let Some(of) = seen.of_picture() else { return false };
        self.photo == of.photo
            && self.by == *of.taken_by
            && self.at == *of.taken_at
            && self.stay == *of.stay
            && self.run.as_ref() == of.run
    }
}
