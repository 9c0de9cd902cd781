//! Links for an electrician who carries no device of the job.

use coldlug_core::{
    clearance::Standing,
    gate::Role,
    job::State,
    quantity::{ClearanceId, JobId, PersonId},
};
use coldlug_store::{StoreError, desk::Link};
use qrcode::{QrCode, render::svg};

use crate::{chance, desk::Desk, held::Held, trouble::Trouble};

/// How long a link is good: a long shift. Common practice, no source.
const LINK_MS: i64 = 12 * 60 * 60 * 1000;
/// The clearance of a link that is made before one is offered: the next one. The link is then good
/// for the first that its bearer acts on, and for no other.
pub(crate) const NEXT: &str = crate::pages::NEXT_CLEARANCE;
/// Most links of one job that are good at once.
const MOST_LINKS: usize = 40;

/// A link that was made. Its token stands here alone.
pub(crate) struct Made {
    pub(crate) url: String,
    pub(crate) qr_svg: String,
    pub(crate) until_ms: i64,
}

/// Why no link is made.
pub(crate) enum NoLink {
    /// Not for this clearance or not for this person.
    NotPossible,
    /// The desk is in trouble.
    Trouble(Trouble),
}

impl From<Trouble> for NoLink {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

impl From<StoreError> for NoLink {
    fn from(error: StoreError) -> Self {
        Self::Trouble(error.into())
    }
}

/// Makes a link for one clearance, offered or about to be, and one electrician of the crew.
pub(crate) fn make(
    desk: &Desk,
    held: &mut Held,
    job: &JobId,
    clearance: &ClearanceId,
    person: &PersonId,
) -> Result<Made, NoLink> {
    let now_ms = desk.now().wall_ms;
    let carried = held.job(job)?.ok_or(NoLink::NotPossible)?;
    if !may_have(&carried.state, clearance, person) {
        return Err(NoLink::NotPossible);
    }
    if held.desk.links(job, now_ms)?.len() >= MOST_LINKS {
        return Err(NoLink::Trouble(Trouble::TooMany));
    }
    let token = chance::token::<16>(&*desk.settings.surroundings)?;
    let until_ms = now_ms.saturating_add(LINK_MS);
    let link =
        Link { job: job.clone(), clearance: clearance.clone(), person: person.clone(), until_ms };
    held.desk.put_link(&hash_of(&token), &link)?;
    let url = format!("{}/at/{token}", desk.public_url);
    let qr_svg = qr(&url)?;
    Ok(Made { url, qr_svg, until_ms })
}

/// The hash a link is kept under.
pub(crate) fn hash_of(token: &str) -> coldlug_core::event::Sha256Hex {
    coldlug_core::log::sha256(format!("link {token}").as_bytes())
}

/// The link of a token, as it is now. That it never was, is over, was ended or is another's: one
/// answer.
pub(crate) fn good(desk: &Desk, held: &mut Held, token: &str) -> Result<Link, Trouble> {
    let link = held.desk.link(&hash_of(token), desk.now().wall_ms)?.ok_or(Trouble::NotHere)?;
    let carried = held.job(&link.job).map_err(Trouble::of_job)?.ok_or(Trouble::NotHere)?;
    if may_have(&carried.state, &link.clearance, &link.person) {
        Ok(link)
    } else {
        Err(Trouble::NotHere)
    }
}

/// Whether a link is good for this clearance.
pub(crate) fn is_for(link: &Link, clearance: &ClearanceId) -> bool {
    link.clearance == *clearance || link.clearance.as_str() == NEXT
}

/// Whether this person may have a link for this clearance: an electrician of the crew without a
/// device, and a clearance that is theirs by link, on offer, held, or not offered yet.
pub(crate) fn may_have(state: &State, clearance: &ClearanceId, person: &PersonId) -> bool {
    let crew = state.header.as_ref().map_or(&[][..], |header| &header.crew);
    let electrician = crew.iter().any(|member| {
        member.person == *person && member.role == Role::Electrician && member.device.is_none()
    });
    let theirs = match state.clearances.get(clearance) {
        None => true,
        Some(known) => {
            known.by_link()
                && match known.standing() {
                    Standing::Offered { to } => to == person,
                    Standing::Held { holder } => holder == person,
                    Standing::Refused
                    | Standing::Released
                    | Standing::Abandoned
                    | Standing::LinkEnded => false,
                }
        }
    };
    electrician && theirs
}

/// The QR code of an address, as an SVG element.
pub(crate) fn qr(text: &str) -> Result<String, Trouble> {
    let code = QrCode::new(text).map_err(|error| Trouble::bug(&error))?;
    let drawn = code.render::<svg::Color<'_>>().min_dimensions(240, 240).build();
    // The element alone: inside a page there is no XML declaration.
    Ok(drawn.find("<svg").and_then(|at| drawn.get(at..)).unwrap_or_default().to_owned())
}
