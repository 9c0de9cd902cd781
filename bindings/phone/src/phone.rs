//! The phone: opening, sleeping, closing, and what is asked of it as a whole.

use std::{
    collections::BTreeMap,
    path::Path,
    sync::{
        Arc, Mutex, MutexGuard,
        atomic::{AtomicBool, Ordering},
    },
};

use coldlug_core::{
    job::{Sheets, State},
    log::{DeviceKey, Log, write_record},
    quantity::{Instant, JobId},
    screen::job_list,
    words::Words,
};
use coldlug_store::Store;

use crate::{
    act::Drafted,
    carried::{Carried, Whole},
    error::PhoneError,
    feed::{Feed, Watch},
    own::{Enrolment, Oneself},
    ports::{Clock, Keys, Observer},
    screen::Shown,
    sentence::Sentence,
    trouble::Trouble,
};

/// The name of the store in the phone's folder.
pub const STORE: &str = "jobs.sqlite";
/// Bytes of a key's seed.
const SEED: usize = 32;

/// A phone: one folder, one key, one desk.
#[derive(uniffi::Object)]
pub struct Phone {
    pub(crate) clock: Arc<dyn Clock>,
    pub(crate) keys: Arc<dyn Keys>,
    pub(crate) words: Words,
    pub(crate) feed: Arc<Feed>,
    held: Mutex<Held>,
    talking: AtomicBool,
}

impl std::fmt::Debug for Phone {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Phone").field("revision", &self.feed.revision()).finish_non_exhaustive()
    }
}

/// What one call at a time may touch.
#[derive(Debug)]
pub(crate) struct Held {
    /// None: closed.
    store: Option<Store>,
    pub(crate) oneself: Oneself,
    jobs: BTreeMap<JobId, Carried>,
    pub(crate) drafted: Drafted,
}

#[uniffi::export]
impl Phone {
    /// Opens the phone that lives in a folder, or makes it there.
    #[uniffi::constructor]
    pub fn open(
        folder: String,
        clock: Arc<dyn Clock>,
        keys: Arc<dyn Keys>,
    ) -> Result<Arc<Self>, PhoneError> {
        let words = Words::english().map_err(|error| PhoneError::Internal {
            detail: error.to_string(),
            said: Sentence { id: String::new(), text: error.to_string(), spoken: String::new() },
        })?;
        match Self::opened(Path::new(&folder), &*keys) {
            Ok(held) => Ok(Arc::new(Self {
                clock,
                keys,
                words,
                feed: Arc::new(Feed::default()),
                held: Mutex::new(held),
                talking: AtomicBool::new(false),
            })),
            Err(trouble) => Err(trouble.say(&words)),
        }
    }

    /// As whom this phone is enrolled; none: it is not.
    pub fn enrolment(&self) -> Option<Enrolment> {
        self.lock().oneself.enrolment()
    }

    /// The revision now.
    pub fn revision(&self) -> u64 {
        self.feed.revision()
    }

    /// Tells an observer the present revision at once and every later one, coalesced, from one
    /// thread, until the watch is stopped or dropped.
    pub fn watch(&self, observer: Arc<dyn Observer>) -> Result<Arc<Watch>, PhoneError> {
        let watch = self.feed.watch(observer).map_err(|error| Trouble::Bug(error.to_string()));
        self.said(watch.map(Arc::new))
    }

    /// The record of a job, signed by this phone: what `coldlug verify` checks.
    pub fn record(&self, job: String) -> Result<Vec<u8>, PhoneError> {
        self.with(|held| {
            let job = job_id(job)?;
            held.carried(&job)?.whole().ok_or(Trouble::NoSuchJob)?;
            let (oneself, carried) = held.writer_of(&job)?;
            let (own, key) = oneself.signer()?;
            Ok(write_record(&carried.log, &own.device, key)?)
        })
    }

    /// Puts everything into the store and lets go of it, for when the app goes to sleep.
    pub fn suspend(&self) -> Result<(), PhoneError> {
        self.with(|held| Ok(held.store()?.suspend()?))
    }

    /// Takes the store up again. Awake already is fine.
    pub fn resume(&self) -> Result<(), PhoneError> {
        self.with(|held| Ok(held.store()?.resume()?))
    }

    /// Closes the phone. Every later call says so; closing again is fine.
    pub fn close(&self) -> Result<(), PhoneError> {
        let store = {
            let mut held = self.lock();
            held.jobs.clear();
            held.store.take()
        };
        self.feed.close();
        self.said(store.map_or(Ok(()), |store| Ok(store.close()?)))
    }
}

impl Phone {
    /// Looks at a job as core has it: for the simulated crew, which decides by the evidence what it
    /// measures next. Not for shells: they are given screens.
    pub fn look<T>(
        &self,
        job: &str,
        at: impl FnOnce(&State, &Sheets<'_>, &Log) -> T,
    ) -> Result<T, PhoneError> {
        self.with(|held| {
            let Whole { log, sheets, state } = held.whole(&job_id(job.to_owned())?)?;
            Ok(at(state, &sheets, log))
        })
    }

    fn opened(folder: &Path, keys: &dyn Keys) -> Result<Held, Trouble> {
        std::fs::create_dir_all(folder).map_err(|error| Trouble::Invalid {
            place: "folder",
            reason: format!("{}: {error}", folder.display()),
        })?;
        let key = match keys.seed().map_err(|error| Trouble::Port(error.to_string()))? {
            Some(seed) => Some(key_of(&seed)?),
            None => None,
        };
        let store = Store::open(&folder.join(STORE))?;
        let own = store.own()?;
        Ok(Held {
            store: Some(store),
            oneself: Oneself { own, key },
            jobs: BTreeMap::new(),
            drafted: Drafted::default(),
        })
    }

    /// What may be touched by one call at a time. A call that panicked may have left half a thought
    /// in memory; what is in the store is whole, so memory is filled from there again.
    pub(crate) fn lock(&self) -> MutexGuard<'_, Held> {
        self.held.lock().unwrap_or_else(|poisoned| {
            self.held.clear_poison();
            let mut held = poisoned.into_inner();
            held.jobs.clear();
            held
        })
    }

    /// Does something with what is held; what goes wrong is said.
    pub(crate) fn with<T>(
        &self,
        act: impl FnOnce(&mut Held) -> Result<T, Trouble>,
    ) -> Result<T, PhoneError> {
        let outcome = act(&mut self.lock());
        self.said(outcome)
    }

    /// What went wrong, said.
    pub(crate) fn said<T>(&self, outcome: Result<T, Trouble>) -> Result<T, PhoneError> {
        outcome.map_err(|trouble| trouble.say(&self.words))
    }

    /// This moment.
    pub(crate) fn now(&self) -> Result<Instant, Trouble> {
        self.clock.now().map_err(|error| Trouble::Port(error.to_string()))?.instant()
    }

    /// Bytes that nobody can guess.
    pub(crate) fn chance(&self) -> Result<[u8; SEED], Trouble> {
        let short = || Trouble::Port("the key store gives too little chance".into());
        let bytes = self
            .keys
            .random(u32::try_from(SEED).unwrap_or(u32::MAX))
            .map_err(|error| Trouble::Port(error.to_string()))?;
        bytes.try_into().map_err(|_| short())
    }

    /// The one turn of talking to the desk: messages are numbered, so they go one by one.
    pub(crate) fn turn(&self) -> Result<Turn<'_>, Trouble> {
        if self.talking.swap(true, Ordering::AcqRel) {
            return Err(Trouble::Busy);
        }
        Ok(Turn(&self.talking))
    }
}

/// Held while the phone talks to the desk.
pub(crate) struct Turn<'a>(&'a AtomicBool);

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        self.0.store(false, Ordering::Release);
    }
}

impl Held {
    /// The store, where the phone is not closed.
    pub(crate) fn store(&mut self) -> Result<&mut Store, Trouble> {
        self.store.as_mut().ok_or(Trouble::Closed)
    }

    /// The jobs in the store, shown or not.
    pub(crate) fn job_ids(&mut self) -> Result<Vec<JobId>, Trouble> {
        Ok(self.store()?.jobs()?)
    }

    /// A job of the store in memory, whole or not.
    pub(crate) fn carried(&mut self, job: &JobId) -> Result<&mut Carried, Trouble> {
        let store = self.store.as_ref().ok_or(Trouble::Closed)?;
        match self.jobs.entry(job.clone()) {
            std::collections::btree_map::Entry::Occupied(there) => Ok(there.into_mut()),
            std::collections::btree_map::Entry::Vacant(place) => {
                Ok(place.insert(Carried::load(store, job)?))
            }
        }
    }

    /// A job that is shown.
    pub(crate) fn whole(&mut self, job: &JobId) -> Result<Whole<'_>, Trouble> {
        self.carried(job)?.whole().ok_or(Trouble::NoSuchJob)
    }

    /// A job, and who writes on it.
    pub(crate) fn writer_of(&mut self, job: &JobId) -> Result<(&Oneself, &mut Carried), Trouble> {
        self.carried(job)?;
        let carried = self.jobs.get_mut(job).ok_or(Trouble::NoSuchJob)?;
        Ok((&self.oneself, carried))
    }

    /// The list of the jobs that are shown.
    pub(crate) fn job_list(&mut self, words: &Words) -> Result<Shown, Trouble> {
        for job in self.job_ids()? {
            self.carried(&job)?.whole();
        }
        Ok(job_list(self.jobs.values().filter_map(Carried::state), words).into())
    }

    /// Forgets what is in memory of a job: the store has it.
    pub(crate) fn forget(&mut self, job: &JobId) {
        self.jobs.remove(job);
    }
}

/// The key of a seed that the key store gave.
pub(crate) fn key_of(seed: &[u8]) -> Result<DeviceKey, Trouble> {
    let seed: &[u8; SEED] =
        seed.try_into().map_err(|_| Trouble::Port("the key store gives no key's seed".into()))?;
    Ok(DeviceKey::from_seed(seed))
}

/// A job's name as a shell gave it.
pub(crate) fn job_id(job: String) -> Result<JobId, Trouble> {
    Ok(JobId::new(job)?)
}
