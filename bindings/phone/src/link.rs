//! A link for somebody of the crew who carries no device.

use std::sync::Arc;

use coldlug_core::{
    exchange::{LinkAsked, LinkMade, MOST_OTHER_BYTES},
    quantity::{ClearanceId, PersonId},
};

use crate::{
    error::PhoneError,
    phone::{Phone, job_id},
    ports::Transport,
    trouble::Trouble,
};

/// A link and how to show it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Link {
    /// The address.
    pub url: String,
    /// Its QR code, an SVG.
    pub qr_svg: String,
    /// Until when it is good, milliseconds since 1970 UTC by the desk's clock.
    pub until_ms: i64,
}

#[uniffi::export]
impl Phone {
    /// Asks the desk for a link, good for one clearance and one person. What the desk must know of
    /// the clearance has to be synced first.
    pub fn link(
        &self,
        job: String,
        clearance: String,
        person: String,
        transport: Arc<dyn Transport>,
    ) -> Result<Link, PhoneError> {
        let outcome = self.link_now(job, clearance, person, &*transport);
        self.said(outcome)
    }
}

impl Phone {
    fn link_now(
        &self,
        job: String,
        clearance: String,
        person: String,
        transport: &dyn Transport,
    ) -> Result<Link, Trouble> {
        let body = LinkAsked {
            job: job_id(job)?,
            clearance: ClearanceId::new(clearance)?,
            person: PersonId::new(person)?,
        };
        let _turn = self.turn()?;
        let (made, rest): (LinkMade, _) =
            self.ask(transport, "link", body, &[], MOST_OTHER_BYTES)?;
        let qr_svg = String::from_utf8(rest)
            .map_err(|_| Trouble::Offline("the picture of the link is not text".into()))?;
        Ok(Link { url: made.url, qr_svg, until_ms: made.until_ms })
    }
}
