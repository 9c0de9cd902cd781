//! The dispatcher makes and ends links.

use coldlug_core::{
    quantity::{ClearanceId, PersonId},
    screen::{Act, Answer},
};

use super::{
    act::{end_links, job_named},
    drawn, frame, when,
};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    desk::Desk,
    draw,
    entrance::Signed,
    link::{self, NoLink},
    pages::LinkPage,
    trouble::Trouble,
};

/// `POST /jobs/{job}/link`.
pub(crate) fn link(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let not_possible = || Trouble::Said("link-not-possible");
    let person = PersonId::new(asked.field("person")).map_err(|_| not_possible())?;
    let clearance = ClearanceId::new(asked.field("clearance")).map_err(|_| not_possible())?;
    let made = link::make(desk, &mut held, &job, &clearance, &person);
    let made = made.map_err(|why| match why {
        NoLink::NotPossible => not_possible(),
        NoLink::Trouble(trouble) => trouble,
    })?;
    drop(held);
    let page = LinkPage {
        frame: frame(desk, signed),
        job: job.to_string(),
        clearance: Some(clearance.to_string()),
        person: person.to_string(),
        url: made.url,
        qr_svg: made.qr_svg,
        until: when(made.until_ms),
    };
    drawn(200, page.render(&desk.words))
}

/// `POST /jobs/{job}/link/end`: nobody comes in by the links of this clearance any more. An offer
/// that is out is ended on record first.
pub(crate) fn end_link(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let clearance = ClearanceId::new(asked.field("clearance")).map_err(|_| Trouble::Unreadable)?;
    let carried = held.job(&job)?.ok_or(Trouble::NotHere)?;
    let known = carried.state.clearances.get(&clearance);
    if known.is_some_and(|known| known.by_link() && known.holder().is_none()) {
        let answer = Answer { field: "clearance".into(), value: clearance.to_string() };
        let done = draw::act(desk, &mut held, &job, &signed.person, Act::EndLink, &[answer])?;
        end_links(&mut held, &job, &done)?;
    }
    held.desk.end_links(&job, &clearance)?;
    Ok(see(&format!("/jobs/{job}")))
}
