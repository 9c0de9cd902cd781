//! Everything the desk keeps, behind one lock.

use std::collections::BTreeMap;

use coldlug_core::{
    log::PublicKey,
    quantity::{DeviceId, JobId},
};
use coldlug_store::{
    Store, StoreError,
    desk::{DeskStore, Photos},
};

use crate::carried::Carried;

/// What is kept, and the jobs that are in memory.
#[derive(Debug)]
pub(crate) struct Held {
    /// Jobs: entries and sheets.
    pub(crate) jobs: Store,
    /// The desk's own file.
    pub(crate) desk: DeskStore,
    /// Photos.
    pub(crate) photos: Photos,
    /// Jobs in memory, by name. Whatever stands here is in the store.
    pub(crate) carried: BTreeMap<JobId, Carried>,
}

impl Held {
    /// A job; none: there is none of this name that was opened.
    pub(crate) fn job(&mut self, job: &JobId) -> Result<Option<&mut Carried>, StoreError> {
        if !self.carried.contains_key(job)
            && let Some(carried) = Carried::load(&self.jobs, job)?
        {
            self.carried.insert(job.clone(), carried);
        }
        Ok(self.carried.get_mut(job))
    }

    /// Every job that was opened, by name.
    pub(crate) fn every_job(&mut self) -> Result<Vec<JobId>, StoreError> {
        let mut jobs = self.jobs.jobs()?;
        for job in &jobs {
            self.job(job)?;
        }
        jobs.retain(|job| self.carried.contains_key(job));
        Ok(jobs)
    }

    /// A job that a device works on.
    pub(crate) fn job_of(
        &mut self,
        job: &JobId,
        device: &DeviceId,
        key: &PublicKey,
    ) -> Result<Option<&mut Carried>, StoreError> {
        let carried = self.job(job)?;
        Ok(carried.filter(|carried| carried.log.keys().get(device) == Some(key)))
    }
}
