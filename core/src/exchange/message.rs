//! One signed line, and the bytes it vouches for.

use serde::{Deserialize, Serialize, de::DeserializeOwned};
use serde_json::Value;

use super::{body::Body, error::ExchangeError};
use crate::{
    event::Sha256Hex,
    log::{DeviceKey, PublicKey, Signature, canonical, sha256, value_of},
    quantity::DeviceId,
};

/// Version of the form of a message.
const MESSAGE_FORM: u32 = 1;

/// Most bytes of the first line: names and counts of a few hundred jobs.
const LONGEST_LINE: usize = 256 * 1024;

/// The line of a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head<B> {
    /// Who says it.
    pub from: DeviceId,
    /// The sender's count of messages; in an answer, the number it answers.
    pub number: u64,
    /// In an answer: SHA-256 of the message it answers.
    pub answers: Option<Sha256Hex>,
    /// What is said.
    pub body: B,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Unsigned {
    message: u32,
    what: String,
    from: DeviceId,
    number: u64,
    answers: Option<Sha256Hex>,
    rest_sha256: Sha256Hex,
    body: Value,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Signed {
    message: u32,
    what: String,
    from: DeviceId,
    number: u64,
    answers: Option<Sha256Hex>,
    rest_sha256: Sha256Hex,
    body: Value,
    signature: Signature,
}

/// The bytes of a message: its signed line, then the rest.
pub fn seal<B: Body>(
    head: &Head<B>,
    rest: &[u8],
    key: &DeviceKey,
) -> Result<Vec<u8>, ExchangeError> {
    let unreadable = |_| ExchangeError::Unreadable;
    let body = serde_json::to_value(&head.body).map_err(unreadable)?;
    let unsigned = Unsigned {
        message: MESSAGE_FORM,
        what: B::WHAT.to_owned(),
        from: head.from.clone(),
        number: head.number,
        answers: head.answers,
        rest_sha256: sha256(rest),
        body,
    };
    let bytes = canonical(&unsigned).map_err(|_| ExchangeError::Unreadable)?;
    let signature = key.sign(&bytes);
    let Unsigned { message, what, from, number, answers, rest_sha256, body } = unsigned;
    let signed = Signed { message, what, from, number, answers, rest_sha256, body, signature };
    let mut sealed = canonical(&signed).map_err(|_| ExchangeError::Unreadable)?;
    sealed.push(b'\n');
    sealed.extend(rest);
    Ok(sealed)
}

/// A message as it came: readable, and not believed before it is opened with its sender's key.
#[derive(Debug, Clone)]
pub struct Message<'a> {
    unsigned: Value,
    from: DeviceId,
    number: u64,
    what: String,
    answers: Option<Sha256Hex>,
    rest_sha256: Sha256Hex,
    body: Value,
    signature: Signature,
    rest: &'a [u8],
}

impl<'a> Message<'a> {
    /// The parts of a message of at most `most` bytes.
    pub fn read(bytes: &'a [u8], most: usize) -> Result<Self, ExchangeError> {
        if bytes.len() > most {
            return Err(ExchangeError::TooLarge);
        }
        let end = bytes.iter().position(|&b| b == b'\n').ok_or(ExchangeError::Unreadable)?;
        let (line, rest) = bytes.split_at(end);
        if line.len() > LONGEST_LINE {
            return Err(ExchangeError::TooLarge);
        }
        let rest = rest.get(1..).unwrap_or_default();
        let value = value_of(line).map_err(|_| ExchangeError::Unreadable)?;
        let mut unsigned = value.clone();
        if let Some(members) = unsigned.as_object_mut() {
            members.remove("signature");
        }
        let signed: Signed =
            serde_json::from_value(value).map_err(|_| ExchangeError::Unreadable)?;
        if signed.message != MESSAGE_FORM {
            return Err(ExchangeError::Unreadable);
        }
        let Signed { what, from, number, answers, rest_sha256, body, signature, .. } = signed;
        Ok(Self { unsigned, from, number, what, answers, rest_sha256, body, signature, rest })
    }

    /// Who it says it is from.
    pub fn from(&self) -> &DeviceId {
        &self.from
    }

    /// Its number.
    pub fn number(&self) -> u64 {
        self.number
    }

    /// The body before the signature is checked: for an enrolment, whose key stands in it.
    pub fn unchecked<B: Body + DeserializeOwned>(&self) -> Result<B, ExchangeError> {
        if self.what != B::WHAT {
            return Err(ExchangeError::OtherKind);
        }
        serde_json::from_value(self.body.clone()).map_err(|_| ExchangeError::Unreadable)
    }

    /// Head and rest, once the signature holds and the rest is what the line vouches for.
    pub fn open<B: Body + DeserializeOwned>(
        &self,
        key: &PublicKey,
    ) -> Result<(Head<B>, &'a [u8]), ExchangeError> {
        let bytes = canonical(&self.unsigned).map_err(|_| ExchangeError::Unreadable)?;
        if !key.signed(&bytes, &self.signature) || sha256(self.rest) != self.rest_sha256 {
            return Err(ExchangeError::Signature);
        }
        let body = self.unchecked()?;
        let head =
            Head { from: self.from.clone(), number: self.number, answers: self.answers, body };
        Ok((head, self.rest))
    }

    /// Head and rest of the answer to a message this side has sent.
    pub fn open_answer<B: Body + DeserializeOwned>(
        &self,
        key: &PublicKey,
        sent: &[u8],
    ) -> Result<(Head<B>, &'a [u8]), ExchangeError> {
        let (head, rest) = self.open(key)?;
        if head.answers == Some(sha256(sent)) {
            Ok((head, rest))
        } else {
            Err(ExchangeError::OtherAnswer)
        }
    }
}
