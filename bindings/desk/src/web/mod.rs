//! What people do at the desk and by a link: from a request to a page.

mod act;
mod board;
mod crew;
mod electrician;
mod files;
mod fixed;
mod job;
mod link;
mod new_job;
mod sheets;
mod sign_in;
mod start;
mod sticker;

use axum::response::Response;
use coldlug_core::quantity::Instant;

use crate::{
    answer::{Answered, page},
    desk::Desk,
    entrance::{Signed, bare},
    pages::{Frame, Unrendered, When},
    trouble::Trouble,
};

pub(crate) use act::act;
pub(crate) use board::board;
pub(crate) use crew::{device_code, devices, dispatcher_code, dispatchers, revoke};
pub(crate) use electrician::{act_at, at};
pub(crate) use files::{corrections, every_correction, photo, record};
pub(crate) use fixed::{enrol, health, script, style};
pub(crate) use job::job;
pub(crate) use link::{end_link, link};
pub(crate) use new_job::{new_job, prepare_job};
pub(crate) use sheets::{bring_sheet, map_sheets};
pub(crate) use sign_in::{sign_in, sign_in_page, sign_out};
pub(crate) use start::{start, start_page};
pub(crate) use sticker::sticker;

/// Around a page of a dispatcher.
fn frame(desk: &Desk, signed: &Signed) -> Frame {
    Frame { person: Some(signed.person.to_string()), csrf: signed.csrf.clone(), ..bare(desk) }
}

/// A moment by the wall clock alone.
fn when(wall_ms: i64) -> When {
    When::new(&Instant { wall_ms, boot: String::new(), mono_ms: 0 })
}

/// A page that was drawn.
fn drawn(status: u16, html: Result<String, Unrendered>) -> Answered {
    html.map(|html| page(status, html)).map_err(|error| Trouble::bug(&error))
}

/// A form that was filled in and not taken comes back; trouble of the desk's own does not.
fn again(trouble: Trouble, page: impl FnOnce(Trouble) -> Answered) -> Result<Response, Trouble> {
    match trouble {
        Trouble::Damaged(_) | Trouble::Desk(_) | Trouble::SignIn | Trouble::NotHere => Err(trouble),
        said => page(said),
    }
}
