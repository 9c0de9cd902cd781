//! The electrician's page, behind a link.

use coldlug_core::{
    event::{Body, Statement},
    quantity::ClearanceId,
    screen::{Act, fault_at_base},
};
use coldlug_store::desk::Link;

use super::{
    act::{end_links, filled, tried},
    again, drawn, when,
};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    desk::Desk,
    draw::{self, Drawer},
    entrance::{Bearer, bare},
    held::Held,
    link,
    pages::{ElectricianPage, Frame, Tried},
    trouble::Trouble,
};

/// `GET /at/{token}`.
pub(crate) fn at(desk: &Desk, _: &Asked, bearer: &Bearer) -> Answered {
    page(desk, &mut desk.held(), &bearer.link, bearer, 200, None)
}

/// `POST /at/{token}/{act}`.
pub(crate) fn act_at(desk: &Desk, asked: &Asked, bearer: &Bearer) -> Answered {
    let act = Act::named(asked.part("act")).ok_or(Trouble::NotHere)?;
    let filled = filled(asked)?;
    let mut held = desk.held();
    // Since the entrance let them in, the link may have ended or have become another clearance's: it
    // counts as it is under the lock in which the act is written.
    let good_for = &link::good(desk, &mut held, &bearer.token)?;
    let mut named = None;
    let may = |statements: &[Statement]| {
        named = clearance_of(statements);
        named.as_ref().is_none_or(|named| link::is_for(good_for, named))
    };
    match draw::act(desk, &mut held, &good_for.job, &good_for.person, act, &filled, may) {
        Ok(statements) => {
            if let Some(named) = named.filter(|named| *named != good_for.clearance) {
                held.desk.bind_link(&link::hash_of(&bearer.token), &named)?;
            }
            if end_links(&mut held, &good_for.job, &statements)? {
                // The link ends with this; its last page is this answer.
                return page(desk, &mut held, good_for, bearer, 200, None);
            }
            Ok(see(&format!("/at/{}", bearer.token)))
        }
        Err(trouble) => again(trouble, |trouble| {
            let status = trouble.status();
            let tried = tried(desk, act, filled.answers, trouble);
            page(desk, &mut held, good_for, bearer, status, Some(tried))
        }),
    }
}

/// The clearance that statements are about.
fn clearance_of(statements: &[Statement]) -> Option<ClearanceId> {
    statements.iter().find_map(|Statement(body)| match body.as_ref() {
        Body::Clearance(written) => Some(written.clearance.clone()),
        _ => None,
    })
}

fn page(
    desk: &Desk,
    held: &mut Held,
    good_for: &Link,
    bearer: &Bearer,
    status: u16,
    tried: Option<Tried>,
) -> Answered {
    let drawer = Drawer::new(desk, held, &good_for.job)?;
    let carried = held.job(&good_for.job)?.ok_or(Trouble::NotHere)?;
    let page = ElectricianPage {
        frame: Frame { csrf: bearer.csrf.clone(), ..bare(desk) },
        token: bearer.token.clone(),
        person: good_for.person.to_string(),
        job: good_for.job.to_string(),
        until: when(good_for.until_ms),
        shown: drawer.shown(desk, carried, &good_for.person),
        fault_current: fault_at_base(&carried.state, &carried.sheets.lend(), &desk.words),
        tried,
    };
    drawn(status, page.render(&desk.words))
}
