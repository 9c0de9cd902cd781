//! A device becomes known, by a one-time code.

use coldlug_core::exchange::{Enrol, Enrolled, ExchangeError, MOST_OTHER_BYTES, Message};
use coldlug_store::desk::Enrolment;

use super::{Sealed, reply, trouble};
use crate::{asked::Asked, chance::code_hash, desk::Desk, rates::Tries};

/// `POST /exchange/enrol`.
pub(crate) fn enrol(desk: &Desk, asked: &Asked) -> Sealed {
    let message = Message::read(&asked.body, MOST_OTHER_BYTES)?;
    let key = message.unchecked::<Enrol>()?.public_key;
    let (head, _) = message.open::<Enrol>(&key)?;
    if head.number != 1 {
        return Err(ExchangeError::Replayed);
    }
    desk.tries(Tries::Guess, &asked.address).map_err(|_| ExchangeError::TooMany)?;
    if head.from == desk.device || key == desk.public_key() {
        return Err(ExchangeError::DeviceName);
    }
    let code = code_hash(&head.body.code);
    let now_ms = desk.now().wall_ms;
    let became = desk.held().desk.enrol_device(&code, &head.from, &key, now_ms);
    match became.map_err(|error| trouble(&error))? {
        Enrolment::Enrolled { person } => {
            let body = Enrolled { desk_key: desk.public_key(), person };
            reply(desk, head.number, &asked.body, body, &[])
        }
        Enrolment::NoCode => Err(ExchangeError::Code),
        Enrolment::NameTaken => Err(ExchangeError::DeviceName),
    }
}
