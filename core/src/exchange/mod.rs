//! What phone and desk say to each other.
//!
//! A message is one signed line and the bytes it vouches for. The line is canonical JSON (RFC 8785):
//! who says it, the number of the message, what it is, its body, the SHA-256 of the bytes after the
//! line, and an Ed25519 signature over all of that. What follows are entries, one a line, or the
//! bytes of a sheet or a photo.
//!
//! A phone numbers its messages upwards; the desk takes no number twice and none below the last.
//! An answer names the hash of the message it answers. Entries are signed for themselves, so that a
//! message can be lost, repeated or overtaken without harm: each entry has a receipt of its own, and
//! what has no receipt is offered again.

mod body;
mod error;
mod invitation;
mod limits;
mod message;
mod offer;
mod photo;

#[cfg(test)]
mod tests;

pub use body::{
    Body, Enrol, Enrolled, JobNews, LinkAsked, LinkMade, Offer, OfferAnswer, Outcome, PhotoAsked,
    PhotoGiven, PhotoHere, PhotoKept, Receipt, SheetAsked, SheetHere, SheetKind,
};
pub use error::{ExchangeError, Problem};
pub use invitation::Invitation;
pub use limits::{
    MOST_GIVEN_BYTES, MOST_OFFER_BYTES, MOST_OFFER_LINES, MOST_OTHER_BYTES, MOST_PHOTO_BYTES,
    MOST_SHEET_BYTES,
};
pub use message::{Head, Message, seal};
pub use offer::{counts, entries_after, read_entries, receive, write_entries};
pub use photo::{PhotoForm, photos_named};
