//! The dispatcher makes and ends links.

use std::collections::BTreeMap;

use coldlug_core::{
    clearance::Standing,
    event::{Body, ClearanceEvent, ClearanceOp, Statement},
    quantity::{ClearanceId, PersonId},
};

use super::{act::job_named, drawn, frame, when};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    desk::Desk,
    entrance::Signed,
    link::{self, NoLink},
    pages::LinkPage,
    trouble::Trouble,
    write::{With, write},
};

/// `POST /jobs/{job}/link`.
pub(crate) fn link(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let not_possible = || Trouble::Said("link-not-possible");
    let person = PersonId::new(asked.field("person")).map_err(|_| not_possible())?;
    let clearance = match asked.field("clearance") {
        "" => link::NEXT,
        named => named,
    };
    let clearance = ClearanceId::new(clearance).map_err(|_| not_possible())?;
    let made = link::make(desk, &mut held, &job, &clearance, &person);
    let made = made.map_err(|why| match why {
        NoLink::NotPossible => not_possible(),
        NoLink::Trouble(trouble) => trouble,
    })?;
    drop(held);
    let page = LinkPage {
        frame: frame(desk, signed),
        job: job.to_string(),
        clearance: Some(clearance.to_string()).filter(|named| named != link::NEXT),
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
    let offered = |standing: &Standing| matches!(standing, Standing::Offered { .. });
    if known.is_some_and(|known| known.by_link() && offered(known.standing())) {
        let ended = ClearanceEvent { clearance: clearance.clone(), act: ClearanceOp::LinkEnded };
        let statement = Statement(Box::new(Body::Clearance(ended)));
        let with = With { secrets: &BTreeMap::new(), pictures: &[] };
        write(desk, &mut held, &job, &signed.person, vec![statement], with)?;
    }
    held.desk.end_links(&job, &clearance)?;
    Ok(see(&format!("/jobs/{job}")))
}
