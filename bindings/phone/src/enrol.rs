//! Enrolment: once, by what a dispatcher shows.

use std::sync::Arc;

use coldlug_core::{
    exchange::{self, Enrol, Enrolled, ExchangeError, Head, MOST_OTHER_BYTES, Message, seal},
    log::{DeviceKey, PublicKey},
};
use coldlug_store::{Own, OwnDesk};

use crate::{
    error::PhoneError,
    own::Enrolment,
    phone::{Phone, key_of},
    ports::Transport,
    sync::answered,
    trouble::Trouble,
};

/// The number of every enrolment: the desk counts a device's messages from there.
const FIRST: u64 = 1;

/// What a dispatcher shows: four parts, or one QR code that holds them all.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Invitation {
    /// The desk's address.
    pub desk_url: String,
    /// The one-time code.
    pub code: String,
    /// The name this phone gets.
    pub device: String,
    /// How the desk's key begins: 16 hex digits.
    pub key_digits: String,
}

/// The invitation in a QR code.
#[uniffi::export]
pub fn read_invitation(text: String) -> Result<Invitation, PhoneError> {
    let read: Result<exchange::Invitation, ExchangeError> = text.parse();
    match (read, coldlug_core::words::Words::english()) {
        (Ok(read), _) => Ok(Invitation {
            desk_url: read.desk_url,
            code: read.code,
            device: read.device.into(),
            key_digits: read.key_digits,
        }),
        (Err(why), Ok(words)) => Err(Trouble::NotFit(why).say(&words)),
        (Err(why), Err(_)) => Err(PhoneError::Internal {
            detail: why.to_string(),
            said: crate::Sentence {
                id: why.id().into(),
                text: why.id().into(),
                spoken: why.id().into(),
            },
        }),
    }
}

#[uniffi::export]
impl Phone {
    /// Enrols this phone at a desk. Its key is made and kept before anything is sent, so an answer
    /// that is lost is asked for again with the same code.
    pub fn enrol(
        &self,
        invitation: Invitation,
        transport: Arc<dyn Transport>,
    ) -> Result<Enrolment, PhoneError> {
        let outcome = self.enrol_now(&invitation, &*transport);
        self.said(outcome)
    }
}

impl Phone {
    fn enrol_now(
        &self,
        invitation: &Invitation,
        transport: &dyn Transport,
    ) -> Result<Enrolment, Trouble> {
        let Invitation { desk_url, code, device, key_digits } = invitation;
        let invitation = exchange::Invitation::new(desk_url, code, device, key_digits)
            .map_err(Trouble::NotFit)?;
        let _turn = self.turn()?;
        let public_key = self.public_key()?;
        let (url, sealed) = self.ask_in(&invitation, public_key)?;
        let reply = transport
            .send(url, sealed.clone())
            .map_err(|error| Trouble::Offline(error.to_string()))?;
        let body = answered(reply)?;
        let message = Message::read(&body, MOST_OTHER_BYTES)
            .map_err(|error| Trouble::Offline(error.to_string()))?;
        let desk = desk_of(&message, &invitation, &sealed)?;
        let enrolment = {
            let mut held = self.lock();
            let own = Own {
                device: invitation.device,
                public_key,
                desk_url: invitation.desk_url,
                desk: Some(desk),
            };
            held.store()?.set_own(&own)?;
            held.oneself.own = Some(own);
            held.oneself.enrolment().ok_or(Trouble::NotEnrolled)?
        };
        self.feed.bump();
        Ok(enrolment)
    }

    /// The public key of this phone, whose seed the shell keeps from now on.
    fn public_key(&self) -> Result<PublicKey, Trouble> {
        if let Some(key) = &self.lock().oneself.key {
            return Ok(key.public());
        }
        let seed = self.chance()?;
        self.keys.keep(seed.to_vec()).map_err(|error| Trouble::Port(error.to_string()))?;
        let key: DeviceKey = key_of(&seed)?;
        let public = key.public();
        self.lock().oneself.key = Some(key);
        Ok(public)
    }

    /// Where to send what. Who the phone is about to be is kept first; a phone that is somebody
    /// already stays who it is, at the desk it has, until that desk has answered.
    fn ask_in(
        &self,
        invitation: &exchange::Invitation,
        public_key: PublicKey,
    ) -> Result<(String, Vec<u8>), Trouble> {
        let mut held = self.lock();
        let before = held.oneself.own.clone().filter(|own| own.public_key == public_key);
        match before {
            Some(Own { device, desk: Some(_), .. }) if device != invitation.device => {
                return Err(Trouble::OtherDevice(device));
            }
            Some(Own { desk: Some(desk), .. }) if !invitation.names(&desk.key) => {
                return Err(Trouble::NotTheDesk(ExchangeError::NotTheDesk));
            }
            Some(Own { desk: Some(_), .. }) => {}
            _ => {
                let own = Own {
                    device: invitation.device.clone(),
                    public_key,
                    desk_url: invitation.desk_url.clone(),
                    desk: None,
                };
                held.store()?.set_own(&own)?;
                held.oneself.own = Some(own);
            }
        }
        let body = Enrol { code: invitation.code.clone(), public_key };
        let said = Head { from: invitation.device.clone(), number: FIRST, answers: None, body };
        let (_, key) = held.oneself.signer()?;
        let message = seal(&said, &[], key).map_err(Trouble::NotFit)?;
        Ok((format!("{}/exchange/enrol", invitation.desk_url), message))
    }
}

/// The desk that answered, once its key is the one that was shown beside the code.
fn desk_of(
    message: &Message<'_>,
    invitation: &exchange::Invitation,
    sealed: &[u8],
) -> Result<OwnDesk, Trouble> {
    let claimed: Enrolled = message.unchecked().map_err(Trouble::NotTheDesk)?;
    if !invitation.names(&claimed.desk_key) {
        return Err(Trouble::NotTheDesk(ExchangeError::Signature));
    }
    let (head, _) =
        message.open_answer::<Enrolled>(&claimed.desk_key, sealed).map_err(Trouble::NotTheDesk)?;
    let Enrolled { desk_key, person } = head.body;
    Ok(OwnDesk { device: head.from, key: desk_key, person })
}
