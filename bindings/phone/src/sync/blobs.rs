//! Sheets of new jobs, and photos both ways.

use std::collections::BTreeSet;

use coldlug_core::{
    event::{Body, JobOpened, Sha256Hex},
    exchange::{
        ExchangeError, MOST_OTHER_BYTES, MOST_PHOTO_BYTES, MOST_SHEET_BYTES, PhotoAsked, PhotoForm,
        PhotoGiven, PhotoHere, PhotoKept, SheetAsked, SheetHere, SheetKind,
    },
    job::CarriedSheets,
    log::{Log, sha256},
    quantity::JobId,
};
use coldlug_store::BlobKind;

use super::{report::SyncReport, take::Taken};
use crate::{phone::Phone, ports::Transport, trouble::Trouble};

/// What was tried in this sync: once is enough.
pub(super) type Tried = BTreeSet<(JobId, Sha256Hex)>;

impl Phone {
    /// Fetches the sheets of jobs that lack them, gives photos that are wanted, fetches photos that
    /// entries name. What the desk refuses of it is a problem, and the rest goes on.
    pub(super) fn fetch_and_give(
        &self,
        transport: &dyn Transport,
        taken: &Taken,
        tried: &mut Tried,
        report: &mut SyncReport,
    ) -> Result<(), Trouble> {
        for (job, news) in &taken.news {
            let opened = {
                let mut held = self.lock();
                let carried = held.carried(job)?;
                let opened = carried.sheets.is_none().then(|| opening(&carried.log)).flatten();
                opened.filter(|_| tried.insert((job.clone(), news.map_sheet)))
            };
            if let Some(opened) = opened {
                self.fetch_sheets(
                    transport,
                    job,
                    (news.map_sheet, news.rule_sheet),
                    &opened,
                    report,
                )?;
            }
            for photo in &news.photos_wanted {
                if tried.insert((job.clone(), *photo)) {
                    self.give_photo(transport, job, *photo, report)?;
                }
            }
            let lacking = self.photos_lacking(job, &news.photos_wanted)?;
            for photo in lacking {
                if tried.insert((job.clone(), photo)) {
                    self.fetch_photo(transport, job, photo, report)?;
                }
            }
        }
        Ok(())
    }

    fn fetch_sheets(
        &self,
        transport: &dyn Transport,
        job: &JobId,
        named: (Sha256Hex, Sha256Hex),
        opened: &JobOpened,
        report: &mut SyncReport,
    ) -> Result<(), Trouble> {
        let map = self.sheet(transport, job, SheetKind::MapSheet, named.0);
        let rules = self.sheet(transport, job, SheetKind::RuleSheet, named.1);
        let (map, rules) = match (map, rules) {
            (Ok(map), Ok(rules)) => (map, rules),
            (Err(trouble), _) | (_, Err(trouble)) => return self.noted(job, trouble, report),
        };
        let read = CarriedSheets::read(&map, &rules);
        let fits = matches!(&read, Ok(sheets) if sheets.lend().pinned_by(opened));
        if !fits {
            let detail = read.map_or_else(|why| why.to_string(), |_| "other hashes".to_owned());
            let said = self.words.say("phone-other-sheet", &[("job", job.as_str())]);
            report.problem(job, said, detail);
            return Ok(());
        }
        let mut held = self.lock();
        let store = held.store()?;
        for (kind, bytes) in [(BlobKind::MapSheet, &map), (BlobKind::RuleSheet, &rules)] {
            let hash = store.keep(kind, bytes)?;
            store.pin(job, kind, &hash)?;
        }
        held.forget(job);
        drop(held);
        report.new_jobs.push(job.to_string());
        self.feed.bump();
        Ok(())
    }

    /// A sheet that is here under its hash already, or the desk's.
    fn sheet(
        &self,
        transport: &dyn Transport,
        job: &JobId,
        sheet: SheetKind,
        named: Sha256Hex,
    ) -> Result<Vec<u8>, Trouble> {
        if let Some(bytes) = self.lock().store()?.blob(sheet.into(), &named)? {
            return Ok(bytes);
        }
        let asked = SheetAsked { job: job.clone(), sheet };
        let (here, bytes): (SheetHere, _) =
            self.ask(transport, "sheet", asked, &[], MOST_SHEET_BYTES)?;
        if here.job != *job || here.sheet != sheet || sha256(&bytes) != named {
            return Err(Trouble::NotTaken(ExchangeError::OtherBytes));
        }
        Ok(bytes)
    }

    fn give_photo(
        &self,
        transport: &dyn Transport,
        job: &JobId,
        photo: Sha256Hex,
        report: &mut SyncReport,
    ) -> Result<(), Trouble> {
        let Some(bytes) = self.lock().store()?.blob(BlobKind::Photo, &photo)? else {
            return Ok(());
        };
        let given = PhotoGiven { job: job.clone(), photo };
        let kept: Result<(PhotoKept, _), _> =
            self.ask(transport, "photo", given, &bytes, MOST_OTHER_BYTES);
        match kept {
            Ok((kept, _)) if kept.photo == photo => report.photos_sent += 1,
            Ok(_) => return Err(Trouble::NotTheDesk(ExchangeError::OtherAnswer)),
            Err(Trouble::NotTaken(why)) => {
                let said = self.words.say("phone-photo-not-taken", &[("job", job.as_str())]);
                report.problem(job, said, why.to_string());
            }
            Err(other) => return Err(other),
        }
        Ok(())
    }

    /// Photos that entries name, that are not here, and that the desk does not lack itself.
    fn photos_lacking(&self, job: &JobId, wanted: &[Sha256Hex]) -> Result<Vec<Sha256Hex>, Trouble> {
        let mut held = self.lock();
        let named = held.carried(job)?.photos_named().clone();
        let mut lacking = Vec::new();
        for photo in named {
            if !wanted.contains(&photo) && !held.store()?.has_blob(BlobKind::Photo, &photo)? {
                lacking.push(photo);
            }
        }
        Ok(lacking)
    }

    fn fetch_photo(
        &self,
        transport: &dyn Transport,
        job: &JobId,
        photo: Sha256Hex,
        report: &mut SyncReport,
    ) -> Result<(), Trouble> {
        let asked = PhotoAsked { job: job.clone(), photo };
        let here: Result<(PhotoHere, Vec<u8>), _> =
            self.ask(transport, "photo-of", asked, &[], MOST_PHOTO_BYTES);
        let bytes = match here {
            Ok((here, bytes)) if here.photo == photo && sha256(&bytes) == photo => bytes,
            Ok(_) => {
                return self.noted(job, Trouble::NotTaken(ExchangeError::OtherBytes), report);
            }
            // An entry may name what nobody ever gave: it is asked for again with the next sync.
            Err(Trouble::NotTaken(ExchangeError::NotHere)) => return Ok(()),
            Err(other) => return self.noted(job, other, report),
        };
        if PhotoForm::of(&bytes).is_err() {
            return self.noted(job, Trouble::NotTaken(ExchangeError::NoPhoto), report);
        }
        self.lock().store()?.keep(BlobKind::Photo, &bytes)?;
        report.photos_received += 1;
        self.feed.bump();
        Ok(())
    }

    /// What the desk said no to is a problem; everything else ends the sync.
    fn noted(&self, job: &JobId, trouble: Trouble, report: &mut SyncReport) -> Result<(), Trouble> {
        match trouble {
            Trouble::NotTaken(why) => {
                report.problem(job, self.words.plain(why.id()), why.to_string());
                Ok(())
            }
            other => Err(other),
        }
    }
}

/// What opened the job, by the entries that are here.
fn opening(log: &Log) -> Option<JobOpened> {
    log.in_order().into_iter().find_map(|entry| match &entry.event().body {
        Body::JobOpened(opened) => Some(opened.clone()),
        _ => None,
    })
}
