//! What phones say to the desk: `POST /exchange/...`.
//!
//! A message is believed once its signature holds and its number is above every number taken before;
//! the number is written down before anything is done. What a stranger sends learns nothing: an
//! unknown device and a wrong signature get the same answer.

mod enrol;
mod offer;
mod photo;
mod sheet;

use coldlug_core::exchange::{Body, ExchangeError, Head, Message, seal};
use coldlug_core::log::sha256;
use coldlug_store::{StoreError, desk::DeviceEnrolled};
use serde::de::DeserializeOwned;

use crate::{asked::Asked, desk::Desk, held::Held, link, rates::Tries};

pub(crate) use enrol::enrol;
pub(crate) use offer::offer;
pub(crate) use photo::{photo, photo_of};
pub(crate) use sheet::sheet;

/// The answer to a message, or why it is not taken.
pub(crate) type Sealed = Result<Vec<u8>, ExchangeError>;

/// What is done for a device.
type Done<A> = Result<(A, Vec<u8>), ExchangeError>;

/// Opens a message, takes its number, does what it asks, and seals the answer.
fn answer<B: Body + DeserializeOwned, A: Body>(
    desk: &Desk,
    bytes: &[u8],
    most: usize,
    does: impl FnOnce(&mut Held, &DeviceEnrolled, &B, &[u8]) -> Done<A>,
) -> Sealed {
    let message = Message::read(bytes, most)?;
    let mut held = desk.held();
    let known = held.desk.device(message.from()).map_err(|error| trouble(&error))?;
    let known = known.ok_or(ExchangeError::Signature)?;
    let (line, rest) = message.open::<B>(&known.public_key)?;
    if known.revoked_ms.is_some() {
        return Err(ExchangeError::UnknownDevice);
    }
    let tries = desk.tries(Tries::Device, known.device.as_str());
    tries.map_err(|_| ExchangeError::TooMany)?;
    let now_ms = desk.now().wall_ms;
    let fresh = held
        .desk
        .take_number(&known.device, line.number, now_ms)
        .map_err(|error| trouble(&error))?;
    if !fresh {
        return Err(ExchangeError::Replayed);
    }
    let (body, rest) = does(&mut held, &known, &line.body, rest)?;
    reply(desk, line.number, bytes, body, &rest)
}

fn reply<A: Body>(desk: &Desk, number: u64, sent: &[u8], body: A, rest: &[u8]) -> Sealed {
    let head = Head { from: desk.device.clone(), number, answers: Some(sha256(sent)), body };
    seal(&head, rest, &desk.key)
}

/// A store's trouble is written to the desk's own diagnostics; the phone learns that there is one.
fn trouble(error: &StoreError) -> ExchangeError {
    tracing::error!(%error, "exchange");
    ExchangeError::DeskInTrouble
}

/// `POST /exchange/link`.
pub(crate) fn make_link(desk: &Desk, asked: &Asked) -> Sealed {
    use coldlug_core::exchange::{LinkAsked, LinkMade, MOST_OTHER_BYTES};
    answer(desk, &asked.body, MOST_OTHER_BYTES, |held, who, body: &LinkAsked, _| {
        let carried = held
            .job_of(&body.job, &who.device, &who.public_key)
            .map_err(|error| trouble(&error))?;
        if carried.is_none() {
            return Err(ExchangeError::NoSuchJob);
        }
        let made = link::make(desk, held, &body.job, &body.clearance, &body.person);
        let made = made.map_err(|why| match why {
            link::NoLink::NotPossible => ExchangeError::Link,
            link::NoLink::Trouble(trouble) => trouble.exchange(),
        })?;
        let answer = LinkMade { url: made.url, until_ms: made.until_ms };
        Ok((answer, made.qr_svg.into_bytes()))
    })
}
