//! Leaves a phone's folder with jobs on it, for trying a shell without a desk.
//!
//! `ready_folder DIR` makes DIR anew. The store is what a phone leaves after enrolment, a sync and a
//! first half hour: two jobs on a made-up sheet, one requested, one at the open pad with its sets
//! marked and a clamp in hand. Beside it lies `seed`, 64 hex digits: the seed that the shell's key
//! store gives. The same bytes every time.

mod desk;
mod ports;

use std::{error::Error, fs, path::Path, process::ExitCode, sync::Arc};

use coldlug_phone::{Act, Answer, AskKind, Phone, STORE};

use ports::{Fixed, SEED};

type Done = Result<(), Box<dyn Error>>;

/// What the clamp's nameplate says, and what it showed on a load of the crew's own.
const CLAMP: &[(&str, &str)] = &[
    ("instrument-name", "clamp-1"),
    ("instrument-class", "clamp"),
    ("category", "cat-iv"),
    ("category-volts", "600"),
    ("range", "400"),
    ("resolution", "0.1"),
    ("accuracy-percent", "2"),
    ("accuracy-counts", "5"),
    ("calibration-due", "2027-03-31"),
];
const SHOWN_RIGHT: &[(&str, &str)] = &[
    ("instrument", "clamp-1"),
    ("known", "heater of 1500 W"),
    ("known-tolerance", "5"),
    ("shown", "12.4"),
    ("expected", "12.5"),
];
const MARKED: &[(&str, &str)] = &[("pad", "P1"), ("positions", "1 2 3")];

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
    desk::leave(&folder.join(STORE))?;
    let seed: Vec<String> = SEED.iter().map(|byte| format!("{byte:02x}")).collect();
    fs::write(folder.join("seed"), seed.concat())?;
    let ports = Arc::new(Fixed::default());
    let phone = Phone::open(folder.display().to_string(), ports.clone(), ports)?;
    let briefing = everything(&phone, Act::Brief)?;
    does(&phone, Act::Brief, briefing)?;
    for (act, said) in [
        (Act::EnterInstrument, CLAMP),
        (Act::ProveInstrument, SHOWN_RIGHT),
        (Act::MarkSets, MARKED),
    ] {
        let answers = said.iter().map(|(field, value)| answer(field, value)).collect();
        does(&phone, act, answers).map_err(|why| format!("{act:?}: {why}"))?;
    }
    Ok(phone.close()?)
}

fn answer(field: &str, value: &str) -> Answer {
    Answer { field: field.to_owned(), value: value.to_owned() }
}

/// Every choice of every ask of an act: everything talked through, everybody there.
fn everything(phone: &Phone, act: Act) -> Result<Vec<Answer>, Box<dyn Error>> {
    let shown = phone.screen(desk::WORKED_ON.to_owned(), desk::PERSON.to_owned())?;
    let offer = shown.acts.into_iter().find(|offer| offer.act == act);
    let mut answers = Vec::new();
    for ask in offer.ok_or("the act is not offered")?.asks {
        let AskKind::Several { of } = ask.kind else { continue };
        answers.extend(of.iter().map(|choice| answer(&ask.field, &choice.value)));
    }
    Ok(answers)
}

fn does(phone: &Phone, act: Act, answers: Vec<Answer>) -> Done {
    let (job, person) = (desk::WORKED_ON.to_owned(), desk::PERSON.to_owned());
    let draft = phone.draft(job.clone(), person.clone(), act, answers)?;
    phone.act(job, person, draft.statements)?;
    Ok(())
}
