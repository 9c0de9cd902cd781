//! The desk writes: for its dispatchers, and for electricians who carry no device.

use std::collections::BTreeMap;

use axum::body::Bytes;
use coldlug_core::{
    event::{Event, Statement},
    exchange::photos_named,
    job::{decide, fold},
    log::{Entry, sha256},
    quantity::{EventId, JobId, PersonId},
    screen::event_name,
};

use crate::{desk::Desk, held::Held, trouble::Trouble};

/// What is kept together with statements.
#[derive(Debug, Clone, Copy)]
pub(crate) struct With<'a> {
    /// What was drafted for the desk alone.
    pub(crate) secrets: &'a BTreeMap<String, String>,
    /// Pictures that came with them. Those that they name are kept when every statement was let
    /// through, just before the statements: a picture taken here is here when its entry is.
    pub(crate) pictures: &'a [Bytes],
}

/// Decides, signs and keeps statements, all or none. When this returns, they survive a kill.
pub(crate) fn write(
    desk: &Desk,
    held: &mut Held,
    job: &JobId,
    person: &PersonId,
    statements: Vec<Statement>,
    with: With<'_>,
) -> Result<(), Trouble> {
    let carried = held.job(job)?.ok_or(Trouble::NotHere)?;
    let sheets = carried.sheets.lend();
    let (mut log, mut state) = (carried.log.clone(), carried.state.clone());
    let at = desk.now();
    let mut entries = Vec::new();
    for Statement(body) in statements {
        let place = log.chain(&desk.device).last().map_or(1, |entry| entry.seq() + 1);
        let event = Event {
            id: named(desk, place)?,
            at: at.clone(),
            device: desk.device.clone(),
            person: person.clone(),
            late_wall_ms: None,
            body: *body,
        };
        for event in decide(&state, &sheets, event).map_err(Trouble::Refused)? {
            let entry: Entry = log.append(event, &desk.key)?;
            fold(&mut state, &sheets, entry.event());
            entries.push(entry);
        }
    }
    let photos = photos_named(&log);
    for picture in with.pictures.iter().filter(|picture| photos.contains(&sha256(picture))) {
        held.photos.keep(picture)?;
    }
    held.jobs.append_all(job, &entries, with.secrets)?;
    if let Some(carried) = held.carried.get_mut(job) {
        carried.photos = photos;
        carried.log = log;
        carried.state = state;
    }
    Ok(())
}

/// The name of the desk's event at a place of its chain.
pub(crate) fn named(desk: &Desk, place: u64) -> Result<EventId, Trouble> {
    event_name(&desk.device, place).map_err(|error| Trouble::bug(&error))
}
