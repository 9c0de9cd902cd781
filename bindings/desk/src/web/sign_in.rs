//! Signing in and out.

use axum::http::{HeaderValue, header};
use coldlug_core::quantity::PersonId;

use super::{again, drawn};
use crate::{
    answer::{Answered, see},
    asked::{Asked, COOKIE},
    chance,
    desk::Desk,
    entrance::{SESSION, Signed, bare, session_hash},
    pages::SignIn,
    password,
    rates::Tries,
    trouble::Trouble,
};

/// `GET /sign-in`.
pub(crate) fn sign_in_page(desk: &Desk, _: &Asked) -> Answered {
    drawn(200, SignIn { frame: bare(desk), ..SignIn::default() }.render(&desk.words))
}

/// `POST /sign-in`.
pub(crate) fn sign_in(desk: &Desk, asked: &Asked) -> Answered {
    match known(desk, asked) {
        Ok(person) => begin(desk, &person),
        Err(trouble) => again(trouble, |trouble| {
            let page = SignIn {
                frame: bare(desk),
                name: asked.field("name").to_owned(),
                problem: Some(trouble.sentence(&desk.words)),
            };
            drawn(trouble.status(), page.render(&desk.words))
        }),
    }
}

/// Who it is. An unknown name and a wrong password take the same work and get the same answer.
fn known(desk: &Desk, asked: &Asked) -> Result<PersonId, Trouble> {
    let refused = Trouble::Said("desk-sign-in-refused");
    let name = asked.field("name");
    desk.tries(Tries::Guess, &asked.address)?;
    desk.tries(Tries::Account, &name.chars().take(60).collect::<String>())?;
    let typed = asked.untrimmed("password");
    if typed.len() > password::MOST_BYTES {
        return Err(refused);
    }
    let person = PersonId::new(name).ok();
    let kept = match &person {
        Some(person) => desk.held().desk.password(person)?,
        None => None,
    };
    let fits = password::fits(typed, kept.as_ref().unwrap_or(&desk.nobodys))?;
    match (person, kept) {
        (Some(person), Some(_)) if fits => Ok(person),
        _ => Err(refused),
    }
}

/// Begins a session.
pub(super) fn begin(desk: &Desk, person: &PersonId) -> Answered {
    let cookie = chance::token::<32>(&*desk.settings.surroundings)?;
    let now_ms = desk.now().wall_ms;
    desk.held().desk.begin_session(&session_hash(&cookie), person, now_ms, SESSION)?;
    with_cookie(desk, &cookie, SESSION.whole_ms / 1000, "/")
}

/// `POST /sign-out`.
pub(crate) fn sign_out(desk: &Desk, asked: &Asked, _: &Signed) -> Answered {
    if let Some(cookie) = &asked.cookie {
        desk.held().desk.end_session(&session_hash(cookie))?;
    }
    with_cookie(desk, "", 0, "/sign-in")
}

fn with_cookie(desk: &Desk, value: &str, seconds: i64, place: &str) -> Answered {
    let secure = if desk.is_encrypted() { "; Secure" } else { "" };
    let cookie =
        format!("{COOKIE}={value}; Path=/; Max-Age={seconds}; HttpOnly; SameSite=Strict{secure}");
    let cookie = HeaderValue::from_str(&cookie).map_err(|error| Trouble::bug(&error))?;
    let mut answer = see(place);
    answer.headers_mut().insert(header::SET_COOKIE, cookie);
    Ok(answer)
}
