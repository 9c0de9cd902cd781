//! A job's screen for one person, and what the desk has as the device that draws or drafts it.

use std::collections::BTreeMap;

use axum::body::Bytes;
use coldlug_core::{
    event::Statement,
    quantity::{Instant, JobId, PersonId},
    screen::{Act, Answer, Device, Draft, Shown, Unfit, draft, screen},
};

use crate::{
    carried::Carried,
    desk::Desk,
    held::Held,
    trouble::Trouble,
    write::{With, write},
};

/// What is needed to lend a [`Device`].
pub(crate) struct Drawer {
    now: Instant,
    written: u64,
    chance: [u8; 32],
    secrets: BTreeMap<String, String>,
    head: Option<coldlug_core::event::Sha256Hex>,
}

impl Drawer {
    /// The desk as a device of a job.
    pub(crate) fn new(desk: &Desk, held: &mut Held, job: &JobId) -> Result<Self, Trouble> {
        let secrets = held.jobs.secrets(job)?;
        let carried = held.job(job)?.ok_or(Trouble::NotHere)?;
        let last = carried.log.chain(&desk.device).last();
        let mut chance = [0; 32];
        desk.settings.surroundings.random(&mut chance)?;
        Ok(Self {
            now: desk.now(),
            written: last.map_or(0, coldlug_core::log::Entry::seq),
            chance,
            secrets,
            head: last.map(coldlug_core::log::Entry::hash),
        })
    }

    /// The same without what was left for one person alone: what somebody else may look at. The code
    /// of a switching run is on no screen but that of who switches.
    pub(crate) fn for_others(mut self) -> Self {
        self.secrets.clear();
        self
    }

    fn lend<'a>(&'a self, desk: &'a Desk) -> Device<'a> {
        Device {
            device: &desk.device,
            now: &self.now,
            written: self.written,
            chance: &self.chance,
            secrets: &self.secrets,
            instruments: &[],
            head: self.head,
        }
    }

    /// What a person sees.
    pub(crate) fn shown(&self, desk: &Desk, carried: &Carried, who: &PersonId) -> Shown {
        screen(&carried.state, &carried.sheets.lend(), who, &self.lend(desk), &desk.words)
    }

    fn draft(
        &self,
        desk: &Desk,
        carried: &Carried,
        who: &PersonId,
        act: Act,
        answers: &[Answer],
    ) -> Result<Draft, Unfit> {
        let (state, sheets) = (&carried.state, carried.sheets.lend());
        draft(state, &sheets, who, act, answers, &self.lend(desk), &desk.words)
    }
}

/// A form as it was filled in.
#[derive(Debug)]
pub(crate) struct Filled {
    /// What was answered, a picture by its hash.
    pub(crate) answers: Vec<Answer>,
    /// The bytes of the pictures, kept once the act is let through.
    pub(crate) pictures: Vec<Bytes>,
}

/// Does an act for a person at the desk or by a link: drafts, decides, signs, keeps. All or none.
/// `may`: whether what was drafted is within what the person came in for.
pub(crate) fn act(
    desk: &Desk,
    held: &mut Held,
    job: &JobId,
    who: &PersonId,
    act: Act,
    filled: &Filled,
    may: impl FnOnce(&[Statement]) -> bool,
) -> Result<Vec<Statement>, Trouble> {
    let drawer = Drawer::new(desk, held, job)?;
    let carried = held.job(job)?.ok_or(Trouble::NotHere)?;
    let Draft { statements, secrets } =
        drawer.draft(desk, carried, who, act, &filled.answers).map_err(Trouble::Unfit)?;
    if !may(&statements) {
        return Err(Trouble::NotHere);
    }
    let with = With { secrets: &secrets, pictures: &filled.pictures };
    write(desk, held, job, who, statements.clone(), with)?;
    Ok(statements)
}
