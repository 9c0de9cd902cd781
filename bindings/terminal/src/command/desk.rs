//! `coldlug desk`: the desk, until it is asked to end.

use std::{io::Write, sync::Arc};

use coldlug_core::words::Words;
use coldlug_desk::{Desk, Settings, Strength};

use crate::{cli, exit::Exit, print::Print, surroundings::System, trouble::Trouble};

/// Starts the desk, says where it is and how to begin, and waits.
pub(crate) fn run<W: Write>(
    args: &cli::Desk,
    words: &Words,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let settings = Settings {
        data: args.data.clone(),
        bind: args.bind,
        public_url: args.public_url.clone(),
        surroundings: Arc::new(System::new()?),
        strength: Strength::USUAL,
    };
    let desk = Desk::start(settings).map_err(|error| {
        let todo = words.plain("desk-start-todo").text;
        Trouble::refused(words.plain("desk-start-what").text, error.to_string(), todo)
    })?;
    let url = desk.public_url().to_owned();
    let folder = std::path::absolute(&args.data).unwrap_or_else(|_| args.data.clone());
    print.line(words.say("desk-runs-at", &[("url", &url)]).text)?;
    let folder = folder.display().to_string();
    print.line(words.say("desk-keeps-in", &[("folder", &folder)]).text)?;
    if let Some(code) = desk.first_code() {
        print.line(words.say("desk-first-code", &[("code", code)]).text)?;
        print.line(words.say("desk-first-code-where", &[("url", &url)]).text)?;
    }
    print.line(words.plain("desk-ends-by").text)?;
    desk.wait();
    Ok(Exit::Yes)
}
