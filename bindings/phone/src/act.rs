//! Acts: statements are parsed strictly, decided in their order, signed, and kept all or none.

use std::collections::BTreeMap;

use coldlug_core::{
    event::{Body, Event, LONGEST_LINE, Sha256Hex, Statement, strict_value},
    gate::Role,
    job::decide,
    log::{DeviceKey, Entry, fold_next, sha256},
    quantity::{Instant, JobId, PersonId},
    screen::event_name,
};
use coldlug_store::{Own, OwnInstrument};

use crate::{
    carried::Whole,
    error::PhoneError,
    phone::{Held, Phone, job_id},
    receipt::Receipt,
    trouble::Trouble,
};

/// Most statements of one act: every point of a proof on a four-wire base, and room.
const MOST_STATEMENTS: usize = 100;
/// Room that an event needs around its statement, bytes.
const ENVELOPE: usize = 2048;
/// How many drafts are remembered: a person has one in hand.
const DRAFTS: usize = 8;

/// Secrets of drafts that were not acted on yet, by the hash of their statements.
#[derive(Debug, Default)]
pub(crate) struct Drafted(Vec<(Sha256Hex, BTreeMap<String, String>)>);

impl Drafted {
    /// Remembers what a draft would leave on this device.
    pub(crate) fn remember(&mut self, statements: &[String], secrets: BTreeMap<String, String>) {
        let name = name_of(statements);
        self.0.retain(|(other, _)| *other != name);
        self.0.push((name, secrets));
        if self.0.len() > DRAFTS {
            self.0.remove(0);
        }
    }

    fn of(&self, statements: &[String]) -> BTreeMap<String, String> {
        let name = name_of(statements);
        let found = self.0.iter().find(|(other, _)| *other == name);
        found.map(|(_, secrets)| secrets.clone()).unwrap_or_default()
    }
}

fn name_of(statements: &[String]) -> Sha256Hex {
    sha256(statements.join("\n").as_bytes())
}

/// Everything that is the same for all statements of one act.
struct Writer<'a> {
    own: &'a Own,
    key: &'a DeviceKey,
    person: PersonId,
    now: Instant,
}

#[uniffi::export]
impl Phone {
    /// Writes statements down for a person: all of them, or none.
    ///
    /// Each is JSON with `kind`, `version` and `body`, as a draft gives it. A refusal names the rule;
    /// nothing is written then. What this returns for is kept.
    pub fn act(
        &self,
        job: String,
        person: String,
        statements: Vec<String>,
    ) -> Result<Receipt, PhoneError> {
        let outcome = self.act_now(job, person, &statements);
        self.said(outcome)
    }
}

impl Phone {
    fn act_now(
        &self,
        job: String,
        person: String,
        statements: &[String],
    ) -> Result<Receipt, Trouble> {
        let (job, person) = (job_id(job)?, PersonId::new(person)?);
        let read = read(statements)?;
        let now = self.now()?;
        let entries = {
            let mut held = self.lock();
            let secrets = held.drafted.of(statements);
            let mut ahead = false;
            let outcome = held.write(&job, person, now, read, &secrets, &mut ahead);
            if outcome.is_err() && ahead {
                // Some statements stand in memory alone: it is filled from the store again.
                held.forget(&job);
            }
            outcome?
        };
        let revision = self.feed.bump();
        Ok(Receipt { written: entries.iter().map(Into::into).collect(), revision })
    }
}

fn read(statements: &[String]) -> Result<Vec<Statement>, Trouble> {
    let refused = |reason: String| Trouble::Invalid { place: "statements", reason };
    if statements.is_empty() || statements.len() > MOST_STATEMENTS {
        return Err(refused(format!("{} of them: 1 to {MOST_STATEMENTS}", statements.len())));
    }
    statements
        .iter()
        .map(|text| {
            if text.len() > LONGEST_LINE - ENVELOPE {
                return Err(refused(format!("one has {} bytes", text.len())));
            }
            let value = strict_value(text).map_err(|error| refused(error.to_string()))?;
            serde_json::from_value(value).map_err(|error| refused(error.to_string()))
        })
        .collect()
}

impl Held {
    /// Decides, signs and keeps. Once `ahead` is set, memory has what the store may not have.
    fn write(
        &mut self,
        job: &JobId,
        person: PersonId,
        now: Instant,
        statements: Vec<Statement>,
        secrets: &BTreeMap<String, String>,
        ahead: &mut bool,
    ) -> Result<Vec<Entry>, Trouble> {
        let (oneself, carried) = self.writer_of(job)?;
        let (own, key) = oneself.signer()?;
        let mut whole = carried.whole().ok_or(Trouble::NoSuchJob)?;
        let writer = Writer { own, key, person, now };
        let mut entries = Vec::new();
        for statement in statements {
            entries.extend(writer.write(&mut whole, statement, ahead)?);
        }
        let kept = own_instruments(&entries, &whole);
        self.store()?.append_own(job, &entries, secrets, &kept)?;
        Ok(entries)
    }
}

/// What becomes of the instruments that this phone keeps over jobs: a lineworker's that was entered on
/// it is kept, and one that is taken back or corrected goes with what was wrong.
fn own_instruments(entries: &[Entry], whole: &Whole<'_>) -> Vec<OwnInstrument> {
    let mut kept = Vec::new();
    for event in entries.iter().map(Entry::event) {
        if whole.state.role_of(&event.person) != Some(Role::Lineworker) {
            continue;
        }
        match &event.body {
            Body::Instrument(entered) => {
                kept.push(OwnInstrument::Kept(entered.instrument.clone()));
            }
            Body::Correction(correction) => {
                let mut before = whole.log.in_order().into_iter().map(Entry::event);
                let wrong = before
                    .find(|other| other.id == correction.corrects && other.device == event.device);
                let Some(Body::Instrument(wrong)) = wrong.map(|wrong| &wrong.body) else {
                    continue;
                };
                kept.push(OwnInstrument::Dropped(wrong.instrument.id.clone()));
                let instead = correction.instead.as_ref().map(|instead| &*instead.0);
                if let Some(Body::Instrument(instead)) = instead {
                    kept.push(OwnInstrument::Kept(instead.instrument.clone()));
                }
            }
            _ => {}
        }
    }
    kept
}

impl Writer<'_> {
    /// One statement, into memory.
    fn write(
        &self,
        whole: &mut Whole<'_>,
        statement: Statement,
        ahead: &mut bool,
    ) -> Result<Vec<Entry>, Trouble> {
        let mut entries = Vec::new();
        let written = whole.log.chain(&self.own.device).last().map_or(0, Entry::seq);
        let event = Event {
            id: event_name(&self.own.device, written + 1)?,
            at: self.now.clone(),
            device: self.own.device.clone(),
            person: self.person.clone(),
            late_wall_ms: None,
            body: *statement.0,
        };
        for event in decide(whole.state, &whole.sheets, event)? {
            let entry = whole.log.sign(event, self.key)?;
            // What could not be read back must not be kept.
            if Entry::from_bytes(&entry.to_bytes()?)? != entry {
                return Err(Trouble::Bug("an entry does not read back".into()));
            }
            *ahead = true;
            whole.log.admit(entry.clone())?;
            fold_next(whole.state, &whole.sheets, whole.log, &entry);
            entries.push(entry);
        }
        Ok(entries)
    }
}
