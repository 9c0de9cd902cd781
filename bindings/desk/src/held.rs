//! Everything the desk keeps, behind one lock.

use std::{collections::BTreeMap, sync::Arc};

use coldlug_core::{
    event::Sha256Hex,
    log::PublicKey,
    mapsheet,
    plant::Plant,
    quantity::{DeviceId, JobId},
};
use coldlug_store::{
    BlobKind, Store, StoreError,
    desk::{DeskStore, Photos},
};

use crate::carried::Carried;

/// Most map sheets that stay in memory: one may take some hundred megabytes.
const MOST_PLANTS: usize = 3;

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
    /// Jobs that cannot be read, and what was found. They are left as they are until the next start.
    pub(crate) damaged: BTreeMap<JobId, String>,
    /// Map sheets that were read, by the hash of their bytes; the last one used last.
    pub(crate) plants: Vec<(Sha256Hex, Arc<Plant>)>,
}

impl Held {
    /// A job; none: there is none of this name that was opened.
    pub(crate) fn job(&mut self, job: &JobId) -> Result<Option<&mut Carried>, StoreError> {
        if let Some(reason) = self.damaged.get(job) {
            return Err(StoreError::Corrupt { reason: reason.clone() });
        }
        if !self.carried.contains_key(job) {
            match Carried::load(&self.jobs, job) {
                Ok(Some(carried)) => drop(self.carried.insert(job.clone(), carried)),
                Ok(None) => {}
                Err(error) => return Err(self.noted(job, error)),
            }
        }
        Ok(self.carried.get_mut(job))
    }

    /// Damage is said once in the desk's diagnostics, and the job is not read again.
    fn noted(&mut self, job: &JobId, error: StoreError) -> StoreError {
        if let StoreError::Corrupt { reason } = &error {
            tracing::error!(%job, %reason, "a job cannot be read");
            self.damaged.insert(job.clone(), reason.clone());
        }
        error
    }

    /// Every job that was opened and can be read, by name. One that is damaged holds up no other.
    pub(crate) fn every_job(&mut self) -> Result<Vec<JobId>, StoreError> {
        let mut jobs = self.jobs.jobs()?;
        for job in &jobs {
            match self.job(job) {
                Ok(_) | Err(StoreError::Corrupt { .. }) => {}
                Err(error) => return Err(error),
            }
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
        Ok(carried.filter(|carried| carried.is_of(device, key)))
    }

    /// A listed map sheet; none: it is not here.
    pub(crate) fn plant(&mut self, hash: &Sha256Hex) -> Result<Option<Arc<Plant>>, StoreError> {
        if let Some(at) = self.plants.iter().position(|(known, _)| known == hash) {
            let found = self.plants.remove(at);
            let plant = Arc::clone(&found.1);
            self.plants.push(found);
            return Ok(Some(plant));
        }
        let Some(bytes) = self.jobs.blob(BlobKind::MapSheet, hash)? else { return Ok(None) };
        let read = mapsheet::read(&bytes)
            .map_err(|refused| StoreError::Corrupt { reason: refused.to_string() })?;
        Ok(Some(self.keep_plant(*hash, read.plant)))
    }

    /// Keeps a map sheet in memory that was just read.
    pub(crate) fn keep_plant(&mut self, hash: Sha256Hex, plant: Plant) -> Arc<Plant> {
        let plant = Arc::new(plant);
        if self.plants.len() >= MOST_PLANTS {
            self.plants.remove(0);
        }
        self.plants.push((hash, Arc::clone(&plant)));
        plant
    }
}
