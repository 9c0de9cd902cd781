//! The job's sticker: a code that the desk alone can tell, printed for the electrician to put on the
//! meter base. Records hold it sealed, so no phone of the crew knows it before it is seen there.

use coldlug_core::{event::Sha256Hex, log::sha256, quantity::JobId, sighting::seal_sticker};

use crate::{chance, desk::Desk, trouble::Trouble};

/// Letters on a sticker: nobody guesses 36 bits from a picture that shows another.
const LETTERS: usize = 8;

/// The code on a job's sticker. It is made from the desk's own signature, so that it need not be kept
/// and nobody without the desk's key can work it out.
pub(crate) fn code(desk: &Desk, job: &JobId) -> String {
    let signed = desk.key.sign(format!("sticker of {job}").as_bytes());
    chance::letters_of(&sha256(&signed.0), LETTERS)
}

/// The code as the record of a job holds it.
pub(crate) fn sealed(desk: &Desk, job: &JobId) -> Result<Sha256Hex, Trouble> {
    seal_sticker(&code(desk, job)).parse().map_err(|error: String| Trouble::bug(&error))
}
