//! A phone of the crew: the phone's own API, with the field's clock and HTTP to the desk.

use std::{path::Path, sync::Arc};

use coldlug_core::{
    event::{Body, Event, Sha256Hex, Statement},
    gate::Rule,
    job::{Sheets, State},
    log::{Entry, Log},
    quantity::{EventId, JobId, PersonId},
};
use coldlug_phone::{Invitation, PhoneError, Shown};

use super::{
    clock::Clock,
    halt::Halt,
    people::PhoneAt,
    script::{Script, Step},
    wire::{FieldClock, FieldKeys, Http},
};

/// A phone of the crew.
pub(crate) struct Phone {
    at: PhoneAt,
    phone: Arc<coldlug_phone::Phone>,
    desk: Arc<Http>,
    script: Script,
}

impl Phone {
    /// A phone in its folder.
    pub(crate) fn open(
        at: PhoneAt,
        folder: &Path,
        clock: &Clock,
        seed: u64,
        script: &Script,
    ) -> Result<Self, Halt> {
        let name = at.name();
        let keys = FieldKeys::new(folder, name, seed);
        let clock = FieldClock { clock: clock.clone(), device: name };
        let phone = coldlug_phone::Phone::open(
            folder.display().to_string(),
            Arc::new(clock),
            Arc::new(keys),
        )?;
        Ok(Self { at, phone, desk: Arc::new(Http), script: script.clone() })
    }

    /// Where what is done is written down.
    pub(crate) fn script(&self) -> &Script {
        &self.script
    }

    fn write(&self, step: Step<'_>) {
        self.script.phone(self.at.name(), step);
    }

    fn heads(&self, job: &JobId) -> Result<Vec<(String, String)>, Halt> {
        self.look(job, |_, _, log| {
            log.heads().into_iter().map(|(d, head)| (d.to_string(), head.to_string())).collect()
        })
    }

    /// Which phone it is.
    pub(crate) fn at(&self) -> PhoneAt {
        self.at
    }

    /// Enrols at the desk by what the dispatcher shows.
    pub(crate) fn enrol(&self, invitation: Invitation) -> Result<(), Halt> {
        self.phone.enrol(invitation, self.desk.clone())?;
        self.write(Step::Enrol);
        Ok(())
    }

    /// Syncs with the desk. Whatever is left over stops the play: on loopback nothing may be.
    pub(crate) fn sync(&self) -> Result<(), Halt> {
        let report = self.phone.sync(self.desk.clone())?;
        self.write(Step::Sync);
        if let Some(problem) = report.problems.first() {
            let why = format!("{}: {}", problem.said.text, problem.detail);
            return Err(Halt::stuck(format!("{} and the desk: {why}", self.at.name())));
        }
        if report.complete {
            Ok(())
        } else {
            Err(Halt::stuck(format!("{} and the desk are not done", self.at.name())))
        }
    }

    /// Writes one thing down for a person: its event's name.
    pub(crate) fn act(&self, job: &JobId, person: &PersonId, body: Body) -> Result<EventId, Halt> {
        let (heads, statements) = (self.heads(job)?, vec![statement(body)?]);
        let receipt = self.phone.act(job.to_string(), person.to_string(), statements.clone())?;
        let writes: Vec<String> = receipt.written.iter().map(|one| one.event.clone()).collect();
        let (job, person) = (job.as_str(), person.as_str());
        let step = Step::Act { job, person, statements: &statements, writes: &writes };
        self.script.phone_of(self.at.name(), step, heads);
        let written = receipt.written.first().ok_or(Halt::stuck("nothing was written"))?;
        Ok(EventId::new(written.event.as_str())?)
    }

    /// Tries what this rule must refuse.
    pub(crate) fn refused(
        &self,
        job: &JobId,
        person: &PersonId,
        body: Body,
        wanted: Rule,
    ) -> Result<(), Halt> {
        let (heads, statements) = (self.heads(job)?, vec![statement(body)?]);
        let tried = self.phone.act(job.to_string(), person.to_string(), statements.clone());
        let (job, person, rule) = (job.as_str(), person.as_str(), wanted.id());
        let step = Step::Refused { job, person, statements: &statements, rule };
        self.script.phone_of(self.at.name(), step, heads);
        match tried {
            Err(PhoneError::Refused { rule, .. }) if rule == wanted.id() => Ok(()),
            Err(other) => Err(Halt::NotRefused { wanted, got: other.to_string() }),
            Ok(_) => Err(Halt::NotRefused { wanted, got: "let through".to_owned() }),
        }
    }

    /// Looks at the job as core has it.
    pub(crate) fn look<T>(
        &self,
        job: &JobId,
        at: impl FnOnce(&State, &Sheets<'_>, &Log) -> T,
    ) -> Result<T, Halt> {
        Ok(self.phone.look(job.as_str(), at)?)
    }

    /// The screen of a person.
    pub(crate) fn screen(&self, job: &JobId, person: &PersonId) -> Result<Shown, Halt> {
        Ok(self.phone.screen(job.to_string(), person.to_string())?)
    }

    /// Keeps a picture.
    pub(crate) fn photo(&self, job: &JobId, bytes: Vec<u8>) -> Result<Sha256Hex, Halt> {
        let hex = hex::encode(&bytes);
        let hash = self.phone.photo(job.to_string(), bytes)?;
        self.write(Step::Photo { job: job.as_str(), bytes: hex, hash: &hash });
        hash.parse().map_err(|why: String| Halt::stuck(why))
    }

    /// The bytes of a picture that somebody else took.
    pub(crate) fn picture(&self, job: &JobId, photo: Sha256Hex) -> Result<Vec<u8>, Halt> {
        let bytes = self.phone.picture(job.to_string(), photo.to_string())?;
        self.write(Step::Picture { job: job.as_str(), hash: &photo.to_string() });
        Ok(bytes)
    }

    /// Asks for a link: its address.
    pub(crate) fn link(
        &self,
        job: &JobId,
        clearance: &str,
        person: &PersonId,
    ) -> Result<String, Halt> {
        let (job, person, named) = (job.to_string(), person.to_string(), self.script.next_link());
        let step = Step::Link { job: &job, clearance, person: &person, named: &named };
        self.write(step);
        let way = self.desk.clone();
        let url = self.phone.link(job, clearance.to_owned(), person, way)?.url;
        if let Some((_, path)) = url.split_once("/at/") {
            self.script.stands_for(&format!("/at/{path}"), &named);
        }
        Ok(url)
    }

    /// Hash of the newest entry of this phone, as somebody is shown it.
    pub(crate) fn head(&self, job: &JobId) -> Result<Sha256Hex, Halt> {
        let name = self.at.device()?;
        let head = self.look(job, |_, _, log| log.heads().get(&name).copied())?;
        head.ok_or_else(|| Halt::stuck("this phone has written nothing yet"))
    }

    /// Holds the two phones against each other: same entries, same state.
    pub(crate) fn same_as(&self, other: &Self, job: &JobId) -> Result<(), Halt> {
        let copy = |phone: &Self| {
            phone.look(job, |state, _, log| {
                let entries: Vec<_> = log.in_order().into_iter().map(Entry::hash).collect();
                (entries, state.clone())
            })
        };
        if copy(self)? == copy(other)? { Ok(()) } else { Err(Halt::Apart) }
    }

    /// Writes down that a job is over, and what the phones wrote on it.
    pub(crate) fn ends(&self, job: &JobId, person: &PersonId) -> Result<(), Halt> {
        let phones = [PhoneAt::Pad.device()?, PhoneAt::House.device()?];
        let events: Vec<Event> = self.look(job, |_, _, log| {
            let all = log.in_order().into_iter().map(|entry| entry.event().clone());
            all.filter(|event| phones.contains(&event.device)).collect()
        })?;
        self.write(Step::End { job: job.as_str(), person: person.as_str(), events: &events });
        Ok(())
    }

    /// The events in fold order, one a line.
    pub(crate) fn events_file(&self, job: &JobId) -> Result<Vec<u8>, Halt> {
        let lines = self.look(job, |_, _, log| {
            log.in_order().into_iter().map(|entry| entry.event().to_line()).collect::<Vec<_>>()
        })?;
        let mut bytes = Vec::new();
        for line in lines {
            bytes.extend(line?.into_bytes());
            bytes.push(b'\n');
        }
        Ok(bytes)
    }

    /// Puts the phone away.
    pub(crate) fn close(&self) -> Result<(), Halt> {
        Ok(self.phone.close()?)
    }
}

fn statement(body: Body) -> Result<String, Halt> {
    serde_json::to_string(&Statement(Box::new(body)))
        .map_err(|why| Halt::stuck(format!("a statement that cannot be written: {why}")))
}
