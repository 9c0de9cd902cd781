//! Photos, both ways. Only those that an entry of the job names are taken or given.

use coldlug_core::{
    event::Sha256Hex,
    exchange::{
        ExchangeError, MOST_OTHER_BYTES, MOST_PHOTO_BYTES, PhotoAsked, PhotoForm, PhotoGiven,
        PhotoHere, PhotoKept,
    },
    log::sha256,
    quantity::JobId,
};
use coldlug_store::desk::DeviceEnrolled;

use super::{Done, Sealed, answer, trouble};
use crate::{asked::Asked, desk::Desk, held::Held};

/// `POST /exchange/photo`.
pub(crate) fn photo(desk: &Desk, asked: &Asked) -> Sealed {
    answer(desk, &asked.body, MOST_PHOTO_BYTES, keep)
}

/// `POST /exchange/photo-of`.
pub(crate) fn photo_of(desk: &Desk, asked: &Asked) -> Sealed {
    answer(desk, &asked.body, MOST_OTHER_BYTES, give)
}

fn named(
    held: &mut Held,
    who: &DeviceEnrolled,
    job: &JobId,
    photo: &Sha256Hex,
) -> Result<(), ExchangeError> {
    let carried =
        held.job_of(job, &who.device, &who.public_key).map_err(|error| trouble(&error))?;
    let carried = carried.ok_or(ExchangeError::NoSuchJob)?;
    if carried.photos.contains(photo) { Ok(()) } else { Err(ExchangeError::NotHere) }
}

fn keep(held: &mut Held, who: &DeviceEnrolled, body: &PhotoGiven, bytes: &[u8]) -> Done<PhotoKept> {
    let PhotoGiven { job, photo } = body;
    named(held, who, job, photo)?;
    if sha256(bytes) != *photo {
        return Err(ExchangeError::OtherBytes);
    }
    PhotoForm::of(bytes)?;
    held.photos.keep(bytes).map_err(|error| trouble(&error))?;
    Ok((PhotoKept { photo: *photo }, Vec::new()))
}

fn give(held: &mut Held, who: &DeviceEnrolled, body: &PhotoAsked, _: &[u8]) -> Done<PhotoHere> {
    let PhotoAsked { job, photo } = body;
    named(held, who, job, photo)?;
    let bytes =
        held.photos.photo(photo).map_err(|error| trouble(&error))?.ok_or(ExchangeError::NotHere)?;
    Ok((PhotoHere { photo: *photo }, bytes))
}
