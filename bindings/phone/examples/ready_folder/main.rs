//! Leaves a phone's folder with jobs on it, for trying a shell without a desk.
//!
//! `ready_folder DIR` makes DIR anew. The store is what a phone leaves after enrolment and a sync: two
//! jobs on a made-up sheet, one requested, one briefed by the person who carries the phone. Beside it
//! lies `seed`, 64 hex digits: the seed that the shell's key store gives. The same bytes every time.

mod desk;
mod ports;

use std::{error::Error, fs, path::Path, process::ExitCode, sync::Arc};

use coldlug_phone::{Answer, AskKind, Phone, Screen};

use ports::{Fixed, SEED};

type Done = Result<(), Box<dyn Error>>;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("usage: ready_folder DIR");
        return ExitCode::from(2);
    };
    match make(Path::new(&folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("ready_folder: {why}");
            ExitCode::FAILURE
        }
    }
}

fn make(folder: &Path) -> Done {
    if folder.exists() {
        fs::remove_dir_all(folder)?;
    }
    fs::create_dir_all(folder)?;
    desk::leave(&folder.join("phone.sqlite"))?;
    fs::write(folder.join("seed"), SEED.iter().map(|b| format!("{b:02x}")).collect::<String>())?;
    let ports = Arc::new(Fixed::default());
    let phone = Phone::open(folder.display().to_string(), ports.clone(), ports)?;
    brief(&phone, desk::BRIEFED)?;
    Ok(phone.close()?)
}

/// Does the first act of a job's screen, the briefing, with everything talked through and everybody
/// there.
fn brief(phone: &Phone, job: &str) -> Done {
    let (job, person) = (job.to_owned(), desk::PERSON.to_owned());
    let shown = phone.screen(job.clone(), person.clone())?;
    let offer = match (shown.screen, shown.acts.into_iter().next()) {
        (Screen::Briefing { .. }, Some(offer)) => offer,
        other => return Err(format!("the job begins with {other:?}").into()),
    };
    let mut answers = Vec::new();
    for ask in offer.asks {
        let AskKind::Several { of } = ask.kind else { continue };
        let all = of.into_iter().map(|choice| choice.value);
        answers.extend(all.map(|value| Answer { field: ask.field.clone(), value }));
    }
    let draft = phone.draft(job.clone(), person.clone(), offer.act, answers)?;
    phone.act(job, person, draft.statements)?;
    Ok(())
}
