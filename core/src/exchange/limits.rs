//! How large what comes may be. Common practice, no source: a job has some 1,500 entries of about
//! 1 KiB, and a slow link carries 1 MiB in a minute or two.

/// Most bytes of an offer and of its answer.
pub const MOST_OFFER_BYTES: usize = 1024 * 1024;
/// Most entries of an offer.
pub const MOST_OFFER_LINES: usize = 2000;
/// Most bytes of the entries that the desk gives in one answer.
pub const MOST_GIVEN_BYTES: usize = 256 * 1024;
/// Most bytes of a message that carries a photo.
pub const MOST_PHOTO_BYTES: usize = 12 * 1024 * 1024;
/// Most bytes of a message that carries a sheet.
pub const MOST_SHEET_BYTES: usize = crate::mapsheet::MOST_BYTES + MOST_OTHER_BYTES;
/// Most bytes of any other message.
pub const MOST_OTHER_BYTES: usize = 64 * 1024;
