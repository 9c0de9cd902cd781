//! One message to the desk and the answer to it.

use coldlug_core::exchange::{Body, ExchangeError, Head, Message, Problem, seal};
use serde::de::DeserializeOwned;

use crate::{
    phone::Phone,
    ports::{Reply, Transport},
    trouble::Trouble,
};

/// The status of an answer that is a message.
const ANSWERED: u16 = 200;
/// Most bytes of an error that are read.
const LONGEST_PROBLEM: usize = 64 * 1024;

impl Phone {
    /// Sends one message and opens its answer. The caller holds the turn.
    ///
    /// The message's number is used up in the store before anything is sent.
    pub(crate) fn ask<B: Body, A: Body + DeserializeOwned>(
        &self,
        transport: &dyn Transport,
        path: &str,
        body: B,
        rest: &[u8],
        most: usize,
    ) -> Result<(A, Vec<u8>), Trouble> {
        let (url, sent, number, desk) = {
            let mut held = self.lock();
            let desk = held.oneself.desk()?.clone();
            let number = held.store()?.take_number()?;
            let (own, key) = held.oneself.signer()?;
            let said = Head { from: own.device.clone(), number, answers: None, body };
            let message = seal(&said, rest, key).map_err(Trouble::NotFit)?;
            (format!("{}/exchange/{path}", own.desk_url), message, number, desk)
        };
        let reply = transport
            .send(url, sent.clone())
            .map_err(|error| Trouble::Offline(error.to_string()))?;
        let body = answered(reply)?;
        // Whatever is no message at all came from a gateway or a login page on the way.
        let message =
            Message::read(&body, most).map_err(|error| Trouble::Offline(error.to_string()))?;
        let (head, rest) =
            message.open_answer::<A>(&desk.key, &sent).map_err(Trouble::NotTheDesk)?;
        if head.from != desk.device || head.number != number {
            return Err(Trouble::NotTheDesk(ExchangeError::OtherAnswer));
        }
        Ok((head.body, rest.to_vec()))
    }
}

/// The body of an answer that is a message.
///
/// An error is not signed: only its id is believed, and nothing is undone because of it.
pub(crate) fn answered(reply: Reply) -> Result<Vec<u8>, Trouble> {
    if reply.status == ANSWERED {
        return Ok(reply.body);
    }
    let short = reply.body.len() <= LONGEST_PROBLEM;
    let problem: Option<Problem> =
        short.then(|| serde_json::from_slice(&reply.body).ok()).flatten();
    match problem.and_then(|problem| ExchangeError::from_id(&problem.refused)) {
        Some(ExchangeError::DeskInTrouble) | None => {
            Err(Trouble::Offline(format!("the answer has status {}", reply.status)))
        }
        Some(error) => Err(Trouble::NotTaken(error)),
    }
}
