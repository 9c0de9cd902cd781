//! A dispatcher begins, by a one-time code.

use coldlug_core::quantity::PersonId;

use super::{again, drawn, sign_in::begin};
use crate::{
    answer::Answered, asked::Asked, chance::code_hash, desk::Desk, entrance::bare, pages::Start,
    password, rates::Tries, trouble::Trouble,
};

/// Longest name of a person at the desk.
const LONGEST_NAME: usize = 40;

/// `GET /start`.
pub(crate) fn start_page(desk: &Desk, _: &Asked) -> Answered {
    drawn(200, Start { frame: bare(desk), ..Start::default() }.render(&desk.words))
}

/// `POST /start`.
pub(crate) fn start(desk: &Desk, asked: &Asked) -> Answered {
    match begun(desk, asked) {
        Ok(person) => begin(desk, &person),
        Err(trouble) => again(trouble, |trouble| {
            let page = Start {
                frame: bare(desk),
                name: asked.field("name").to_owned(),
                code: asked.field("code").to_owned(),
                problem: Some(trouble.sentence(&desk.words)),
            };
            drawn(trouble.status(), page.render(&desk.words))
        }),
    }
}

fn begun(desk: &Desk, asked: &Asked) -> Result<PersonId, Trouble> {
    desk.tries(Tries::Guess, &asked.address)?;
    let person = person(asked.field("name"))?;
    let typed = asked.untrimmed("password");
    if typed.chars().count() < password::LEAST_CHARACTERS || typed.len() > password::MOST_BYTES {
        return Err(Trouble::Said("desk-password-length"));
    }
    // Hashed before the code is looked at, so that every try takes as long.
    let kept = password::keep(typed, desk.settings.strength, &*desk.settings.surroundings)?;
    let code = code_hash(asked.field("code"));
    let now_ms = desk.now().wall_ms;
    if desk.held().desk.add_dispatcher(&code, &person, &kept, now_ms)? {
        Ok(person)
    } else {
        Err(Trouble::Said("desk-start-refused"))
    }
}

/// A person's name as it may stand in addresses and lists: letters, digits, dashes and dots.
pub(super) fn person(typed: &str) -> Result<PersonId, Trouble> {
    if plain(typed) {
        PersonId::new(typed).map_err(|_| Trouble::Said("desk-name-not-usable"))
    } else {
        Err(Trouble::Said("desk-name-not-usable"))
    }
}

/// Whether a name is short and holds nothing that means something elsewhere.
pub(super) fn plain(typed: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '.';
    !typed.is_empty() && typed.len() <= LONGEST_NAME && typed.chars().all(plain)
}
