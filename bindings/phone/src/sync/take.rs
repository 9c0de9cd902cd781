//! What the desk answered to an offer, taken entry by entry.

use std::collections::{BTreeMap, BTreeSet};

use coldlug_core::{
    event::Sha256Hex,
    exchange::{ExchangeError, JobNews, OfferAnswer, Outcome, Receipt, read_entries},
    log::{Admitted, Entry, LogError},
    quantity::JobId,
    words::Words,
};
use coldlug_store::StoreError;

use super::{
    gather::{Line, Offered},
    report::SyncReport,
};
use crate::{phone::Held, trouble::Trouble};

/// Most entries of one answer. Their bytes are bounded as well.
const MOST_LINES: usize = 10_000;

/// What an answer left to be done.
#[derive(Debug, Default)]
pub(super) struct Taken {
    /// Whether anything is other than before.
    pub(super) changed: bool,
    /// Whether the desk has more.
    pub(super) more: bool,
    /// Jobs that are taken part in, and what the desk has of each.
    pub(super) news: BTreeMap<JobId, JobNews>,
}

impl Held {
    /// Takes an answer. What is taken is kept when this returns.
    pub(super) fn take(
        &mut self,
        offered: &Offered,
        answer: OfferAnswer,
        rest: &[u8],
        words: &Words,
        report: &mut SyncReport,
    ) -> Result<Taken, Trouble> {
        let OfferAnswer { receipts, jobs, more } = answer;
        let not_an_answer = || Trouble::NotTheDesk(ExchangeError::OtherAnswer);
        let told: Vec<Sha256Hex> = receipts.iter().map(|receipt| receipt.entry).collect();
        if told != offered.hashes() {
            return Err(not_an_answer());
        }
        let mut taken = Taken { more, ..Taken::default() };
        for (line, receipt) in offered.lines.iter().zip(&receipts) {
            taken.changed |= count(line, receipt, words, report);
        }
        for (job, news) in jobs {
            match self.enrol_all(&job, &news) {
                Ok(()) => {
                    taken.news.insert(job, news);
                }
                Err(Trouble::Log(LogError::OtherKey { device })) => {
                    let places = [("job", job.as_str()), ("device", device.as_str())];
                    let said = words.say("phone-other-key", &places);
                    report.problem(&job, said, format!("another key for {device}"));
                }
                Err(other) => return Err(other),
            }
        }
        let entries = read_entries(rest, MOST_LINES).map_err(|_| not_an_answer())?;
        let mut by_job: BTreeMap<JobId, Vec<Entry>> = BTreeMap::new();
        for entry in entries {
            let entry = entry.map_err(|_| not_an_answer())?;
            by_job.entry(entry.unsigned().job.clone()).or_default().push(entry);
        }
        for (job, entries) in by_job {
            if taken.news.contains_key(&job) {
                taken.changed |= self.take_entries(&job, entries, words, report)?;
            }
        }
        for (job, news) in &taken.news {
            taken.changed |= self.store()?.acknowledge(job, &news.have)?;
        }
        Ok(taken)
    }

    /// Enrols the devices of a job. The desk's and this phone's keys are known already.
    fn enrol_all(&mut self, job: &JobId, news: &JobNews) -> Result<(), Trouble> {
        let (own, _) = self.oneself.signer()?;
        let desk = self.oneself.desk()?;
        for (device, key) in [(&own.device, own.public_key), (&desk.device, desk.key)] {
            if news.devices.get(device) != Some(&key) {
                return Err(LogError::OtherKey { device: device.clone() }.into());
            }
        }
        let known = self.job_ids()?.contains(job);
        let keys = if known { self.carried(job)?.log.keys().clone() } else { BTreeMap::new() };
        for (device, key) in &news.devices {
            match keys.get(device) {
                Some(have) if have == key => {}
                Some(_) => return Err(LogError::OtherKey { device: device.clone() }.into()),
                None => {
                    match self.store()?.enrol(job, device, key) {
                        Err(StoreError::Entry(error)) => return Err(error.into()),
                        other => other?,
                    }
                    if known {
                        self.carried(job)?.log.enrol(device.clone(), *key)?;
                    }
                }
            }
        }
        Ok(())
    }

    /// Takes the entries of one job that hold. What does not is a problem, and what had seen it or
    /// comes after it in its chain waits as well.
    fn take_entries(
        &mut self,
        job: &JobId,
        entries: Vec<Entry>,
        words: &Words,
        report: &mut SyncReport,
    ) -> Result<bool, Trouble> {
        let carried = self.carried(job)?;
        let mut new = Vec::new();
        let mut amiss = BTreeSet::new();
        for entry in entries {
            let (device, seq) = (entry.device().clone(), entry.seq());
            match carried.log.admit(entry.clone()) {
                Ok(Admitted::New) => new.push(entry),
                Ok(Admitted::Already) => {}
                // One problem a chain: the rest of it follows from the first.
                Err(error) => {
                    if amiss.insert(device.clone()) {
                        let said = amiss_said(job, &device.to_string(), seq, &error, words);
                        report.problem(job, said, error.to_string());
                    }
                }
            }
        }
        if new.is_empty() {
            return Ok(false);
        }
        carried.entries_came();
        let kept = self.store()?.append_all(job, &new, &BTreeMap::new());
        if let Err(error) = kept {
            // Memory is ahead of the store now: it is filled from there again.
            self.forget(job);
            return Err(error.into());
        }
        report.received += u32::try_from(new.len()).unwrap_or(u32::MAX);
        Ok(true)
    }
}

fn amiss_said(
    job: &JobId,
    device: &str,
    seq: u64,
    error: &LogError,
    words: &Words,
) -> coldlug_core::words::Sentence {
    let forked = matches!(error, LogError::Fork { .. } | LogError::Chain { .. });
    let id = if forked { "phone-fork" } else { "phone-entry-not-taken" };
    let seq = seq.to_string();
    words.say(id, &[("job", job.as_str()), ("device", device), ("seq", &seq)])
}

/// Counts one receipt; true: the desk has something it had not.
fn count(line: &Line, receipt: &Receipt, words: &Words, report: &mut SyncReport) -> bool {
    match &receipt.outcome {
        Outcome::Kept => {
            report.sent += 1;
            true
        }
        // The receipt of an earlier sync was lost.
        Outcome::Already => true,
        Outcome::Refused { reason } => {
            let seq = line.seq.to_string();
            let places =
                [("job", line.job.as_str()), ("device", line.device.as_str()), ("seq", &seq)];
            report.problem(&line.job, words.say("phone-entry-not-taken", &places), reason.clone());
            false
        }
    }
}
