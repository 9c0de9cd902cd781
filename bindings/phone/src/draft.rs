//! Screens and drafts: both are drawn for one person, on this device, at this moment.

use std::collections::BTreeMap;

use coldlug_core::{
    log::Entry,
    quantity::{Instant, JobId, PersonId},
    screen::{self, Device},
};

use crate::{
    ask::{Act, Answer},
    carried::Whole,
    error::PhoneError,
    phone::{Held, Phone, job_id},
    screen::Shown,
    trouble::Trouble,
};

/// What an act would write down: hand it to `act` as it is.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Draft {
    /// In their order; all are written or none.
    pub statements: Vec<String>,
}

#[uniffi::export]
impl Phone {
    /// The jobs on this phone.
    pub fn jobs(&self) -> Result<Shown, PhoneError> {
        self.with(|held| held.job_list(&self.words))
    }

    /// The screen of a job for one person.
    pub fn screen(&self, job: String, person: String) -> Result<Shown, PhoneError> {
        let outcome = self.now().and_then(|now| {
            let who = PersonId::new(person)?;
            // Nothing is drawn by chance for a screen.
            self.lock().at(&job_id(job)?, &now, &[0; 32], |whole, device| {
                let Whole { state, sheets, .. } = whole;
                let shown: Shown = screen::screen(state, sheets, &who, device, &self.words).into();
                let pages = screen::pages(state, sheets, &self.words);
                Ok(Shown { pages: pages.into_iter().map(Into::into).collect(), ..shown })
            })
        });
        self.said(outcome)
    }

    /// What an act with these answers would write down, or which answer does not fit. Nothing is
    /// written.
    pub fn draft(
        &self,
        job: String,
        person: String,
        act: Act,
        answers: Vec<Answer>,
    ) -> Result<Draft, PhoneError> {
        let outcome = self.draft_now(job, person, act, answers);
        self.said(outcome)
    }
}

impl Phone {
    fn draft_now(
        &self,
        job: String,
        person: String,
        act: Act,
        answers: Vec<Answer>,
    ) -> Result<Draft, Trouble> {
        let (job, who) = (job_id(job)?, PersonId::new(person)?);
        let (now, chance) = (self.now()?, self.chance()?);
        let answers: Vec<screen::Answer> = answers.into_iter().map(Into::into).collect();
        let mut held = self.lock();
        let drafted = held.at(&job, &now, &chance, |whole, device| {
            let Whole { state, sheets, .. } = whole;
            screen::draft(state, sheets, &who, act.into(), &answers, device, &self.words)
                .map_err(|unfit| Trouble::Unfit(Box::new(unfit)))
        })?;
        let statements: Vec<String> = drafted
            .statements
            .iter()
            .map(serde_json::to_string)
            .collect::<Result<_, _>>()
            .map_err(|error| Trouble::Bug(error.to_string()))?;
        held.drafted.remember(&statements, drafted.secrets);
        Ok(Draft { statements })
    }
}

impl Held {
    /// Does something with a job as a whole, and with what this device has beside it.
    pub(crate) fn at<T>(
        &mut self,
        job: &JobId,
        now: &Instant,
        chance: &[u8; 32],
        act: impl FnOnce(&Whole<'_>, &Device<'_>) -> Result<T, Trouble>,
    ) -> Result<T, Trouble> {
        let secrets: BTreeMap<String, String> = self.store()?.secrets(job)?;
        let instruments = self.store()?.instruments()?;
        let (oneself, carried) = self.writer_of(job)?;
        let own = oneself.own.as_ref().ok_or(Trouble::NotEnrolled)?;
        let whole = carried.whole().ok_or(Trouble::NoSuchJob)?;
        let last = whole.log.chain(&own.device).last();
        let device = Device {
            device: &own.device,
            now,
            written: last.map_or(0, Entry::seq),
            chance,
            secrets: &secrets,
            instruments: &instruments,
            head: last.map(Entry::hash),
        };
        act(&whole, &device)
    }
}
