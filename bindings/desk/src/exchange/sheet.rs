//! The sheets of a job, as bytes.

use coldlug_core::exchange::{ExchangeError, MOST_OTHER_BYTES, SheetAsked, SheetHere};
use coldlug_store::desk::DeviceEnrolled;

use super::{Done, Sealed, answer, trouble};
use crate::{asked::Asked, desk::Desk, held::Held};

/// `POST /exchange/sheet`.
pub(crate) fn sheet(desk: &Desk, asked: &Asked) -> Sealed {
    answer(desk, &asked.body, MOST_OTHER_BYTES, give)
}

fn give(held: &mut Held, who: &DeviceEnrolled, body: &SheetAsked, _: &[u8]) -> Done<SheetHere> {
    let SheetAsked { job, sheet } = body;
    if held.job_of(job, &who.device, &who.public_key).map_err(|error| trouble(&error))?.is_none() {
        return Err(ExchangeError::NoSuchJob);
    }
    let bytes = held
        .jobs
        .sheet_of(job, (*sheet).into())
        .map_err(|error| trouble(&error))?
        .ok_or(ExchangeError::NotHere)?;
    Ok((SheetHere { job: job.clone(), sheet: *sheet }, bytes))
}
