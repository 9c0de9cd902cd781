//! The electrician's page, behind a link.

use coldlug_core::screen::Act;

use super::{
    act::{answers_of, end_links, tried},
    again, drawn, when,
};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    desk::Desk,
    draw::{self, Drawer},
    entrance::{Bearer, bare},
    held::Held,
    pages::{ElectricianPage, Frame, Tried},
    trouble::Trouble,
};

/// `GET /at/{token}`.
pub(crate) fn at(desk: &Desk, _: &Asked, bearer: &Bearer) -> Answered {
    page(desk, &mut desk.held(), bearer, 200, None)
}

/// `POST /at/{token}/{act}`.
pub(crate) fn act_at(desk: &Desk, asked: &Asked, bearer: &Bearer) -> Answered {
    let act = Act::named(asked.part("act")).ok_or(Trouble::NotHere)?;
    let mut held = desk.held();
    let answers = answers_of(&held, asked)?;
    let link = &bearer.link;
    match draw::act(desk, &mut held, &link.job, &link.person, act, &answers) {
        Ok(statements) => {
            if end_links(&mut held, &link.job, &statements)? {
                // The link ends with this; its last page is this answer.
                return page(desk, &mut held, bearer, 200, None);
            }
            Ok(see(&format!("/at/{}", bearer.token)))
        }
        Err(trouble) => again(trouble, |trouble| {
            let status = trouble.status();
            let tried = tried(desk, act, answers, trouble);
            page(desk, &mut held, bearer, status, Some(tried))
        }),
    }
}

fn page(
    desk: &Desk,
    held: &mut Held,
    bearer: &Bearer,
    status: u16,
    tried: Option<Tried>,
) -> Answered {
    let link = &bearer.link;
    let drawer = Drawer::new(desk, held, &link.job)?;
    let carried = held.job(&link.job)?.ok_or(Trouble::NotHere)?;
    let page = ElectricianPage {
        frame: Frame { csrf: bearer.csrf.clone(), ..bare(desk) },
        token: bearer.token.clone(),
        person: link.person.to_string(),
        job: link.job.to_string(),
        until: when(link.until_ms),
        shown: drawer.shown(desk, carried, &link.person),
        tried,
    };
    drawn(status, page.render(&desk.words))
}
