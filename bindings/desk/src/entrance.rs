//! The entrances: who may come in is asked here, before anything of a route is done.

use axum::response::Response;
use coldlug_core::{
    exchange::{ExchangeError, Problem},
    quantity::PersonId,
    words::Sentence,
};
use coldlug_store::desk::{Link, SessionTimes};

use crate::{
    answer::{Answered, bytes, page, see},
    asked::Asked,
    chance::{form_token, same},
    desk::Desk,
    exchange::Sealed,
    link,
    pages::{CSRF, ErrorPage, Frame, When},
    rates::Tries,
    routes::{Access, Doing, Route},
    trouble::{Trouble, status_of},
};

/// How long a session lasts: a shift, and two hours without being used. Common practice, no source.
pub(crate) const SESSION: SessionTimes =
    SessionTimes { whole_ms: 12 * 60 * 60 * 1000, idle_ms: 2 * 60 * 60 * 1000 };

/// A dispatcher who is signed in.
#[derive(Debug)]
pub(crate) struct Signed {
    pub(crate) person: PersonId,
    pub(crate) csrf: String,
}

/// Whoever bears the token of a link.
#[derive(Debug)]
pub(crate) struct Bearer {
    pub(crate) link: Link,
    pub(crate) token: String,
    pub(crate) csrf: String,
}

/// Who was let in, and what is done for them.
#[derive(Debug)]
pub(crate) enum Entered {
    Anyone(fn(&Desk, &Asked) -> Answered),
    Dispatcher(fn(&Desk, &Asked, &Signed) -> Answered, Signed),
    Link(fn(&Desk, &Asked, &Bearer) -> Answered, Bearer),
    /// Whose message it is stands inside its body.
    Device(fn(&Desk, &Asked) -> Sealed),
}

/// Who may come in, by the head alone: nothing is read of a body before this lets somebody in.
/// Whatever comes counts, also what cannot be read.
pub(crate) fn admit(
    desk: &Desk,
    route: &Route,
    address: &str,
    head: Result<Asked, Trouble>,
) -> Result<(Asked, Entered), Trouble> {
    desk.tries(Tries::Anything, address)?;
    let asked = head?;
    let by_browser = route.access() != Access::Device;
    if by_browser && asked.posted && asked.from_elsewhere {
        return Err(Trouble::Form);
    }
    let entered = match route.doing {
        Doing::Anyone(does) => Entered::Anyone(does),
        Doing::Dispatcher(does) => Entered::Dispatcher(does, signed(desk, &asked)?),
        Doing::Link(does) => Entered::Link(does, bearer(desk, &asked)?),
        Doing::Device(does) => Entered::Device(does),
    };
    Ok((asked, entered))
}

/// What a route answers, whatever happens.
pub(crate) fn answer(
    desk: &Desk,
    route: &Route,
    came: Result<(Asked, Entered), Trouble>,
) -> Response {
    let answered = match came {
        Ok((asked, Entered::Device(does))) => return to_phone(desk, does(desk, &asked)),
        Err(trouble) if route.access() == Access::Device => {
            return to_phone(desk, Err(trouble.exchange()));
        }
        Ok((asked, Entered::Anyone(does))) => does(desk, &asked),
        Ok((asked, Entered::Dispatcher(does, signed))) => {
            for_dispatcher(desk, &asked, &signed, does)
        }
        Ok((asked, Entered::Link(does, bearer))) => {
            ours(&asked, &bearer.csrf).and_then(|()| does(desk, &asked, &bearer))
        }
        Err(trouble) => Err(trouble),
    };
    answered.unwrap_or_else(|trouble| said(desk, &trouble, route.method == "POST"))
}

fn for_dispatcher(
    desk: &Desk,
    asked: &Asked,
    signed: &Signed,
    does: fn(&Desk, &Asked, &Signed) -> Answered,
) -> Answered {
    ours(asked, &signed.csrf)?;
    if asked.posted {
        // The body may have taken minutes, and the session may have ended meanwhile.
        self::signed(desk, asked)?;
    }
    does(desk, asked, signed)
}

/// A form that changes something carries the token of its session or link.
fn ours(asked: &Asked, csrf: &str) -> Result<(), Trouble> {
    if !asked.posted || same(asked.field(CSRF), csrf) { Ok(()) } else { Err(Trouble::Form) }
}

fn signed(desk: &Desk, asked: &Asked) -> Result<Signed, Trouble> {
    let cookie = asked.cookie.as_deref().ok_or(Trouble::SignIn)?;
    let now_ms = desk.now().wall_ms;
    let hash = session_hash(cookie);
    let person = desk.held().desk.session(&hash, now_ms, SESSION)?.ok_or(Trouble::SignIn)?;
    Ok(Signed { person, csrf: form_token(cookie) })
}

/// The hash a session is kept under.
pub(crate) fn session_hash(cookie: &str) -> coldlug_core::event::Sha256Hex {
    coldlug_core::log::sha256(format!("session {cookie}").as_bytes())
}

/// The link of a token. That it never was, is over, was ended or is another job's: one answer.
fn bearer(desk: &Desk, asked: &Asked) -> Result<Bearer, Trouble> {
    let token = asked.part("token");
    let mut held = desk.held();
    if held.desk.link(&link::hash_of(token), desk.now().wall_ms)?.is_none() {
        drop(held);
        desk.tries(Tries::Guess, &asked.address)?;
        return Err(Trouble::NotHere);
    }
    desk.tries(Tries::Link, token)?;
    let link = link::good(desk, &mut held, token)?;
    Ok(Bearer { link, token: token.to_owned(), csrf: form_token(token) })
}

fn to_phone(desk: &Desk, sealed: Sealed) -> Response {
    match sealed {
        Ok(sealed) => bytes(200, "application/octet-stream", sealed),
        Err(error) => problem(desk, error),
    }
}

fn problem(desk: &Desk, error: ExchangeError) -> Response {
    let problem = Problem::of(error, &desk.words);
    let text = serde_json::to_vec(&problem).unwrap_or_default();
    bytes(status_of(error), "application/json", text)
}

/// What a person is told when it was not done.
fn said(desk: &Desk, trouble: &Trouble, posted: bool) -> Response {
    match trouble {
        Trouble::SignIn if !posted => return see(way_in(desk)),
        Trouble::Damaged(reason) | Trouble::Desk(reason) => tracing::error!(%reason, "page"),
        _ => {}
    }
    let sentence = trouble.sentence(&desk.words);
    error_page(desk, trouble.status(), sentence)
}

/// Where somebody who is not signed in begins.
fn way_in(desk: &Desk) -> &'static str {
    match desk.held().desk.dispatchers() {
        Ok(people) if people.is_empty() => "/start",
        _ => "/sign-in",
    }
}

/// A page that says one sentence.
pub(crate) fn error_page(desk: &Desk, status: u16, sentence: Sentence) -> Response {
    let shown = ErrorPage { frame: bare(desk), sentence, back: None };
    page(status, shown.render(&desk.words).unwrap_or_default())
}

/// Around a page of nobody in particular.
pub(crate) fn bare(desk: &Desk) -> Frame {
    Frame { at: Some(When::new(&desk.now())), ..Frame::default() }
}
