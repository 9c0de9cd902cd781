//! The desk: its key, its words, and everything it keeps.

use std::{
    collections::BTreeMap,
    fs,
    net::SocketAddr,
    path::Path,
    sync::{Mutex, MutexGuard, PoisonError},
};

use coldlug_core::{
    log::{DeviceKey, PublicKey},
    quantity::{DeviceId, Instant},
    words::Words,
};
use coldlug_store::{
    Store,
    desk::{Code, CodeFor, DeskStore, Password, Photos},
};

use crate::{
    chance,
    held::Held,
    password,
    rates::{Rates, Tries},
    settings::Settings,
    trouble::{StartError, Trouble},
};

/// The desk's name as a device.
pub(crate) const DESK: &str = "desk";
/// How long a one-time code is good. Common practice, no source.
pub(crate) const CODE_MS: i64 = 20 * 60 * 1000;

/// A desk at work.
#[derive(Debug)]
pub struct Desk {
    pub(crate) settings: Settings,
    pub(crate) words: Words,
    pub(crate) device: DeviceId,
    pub(crate) key: DeviceKey,
    /// How it is reached, without a slash at the end.
    pub(crate) public_url: String,
    /// What a password is compared with when the name is not known, so that it takes as long.
    pub(crate) nobodys: Password,
    held: Mutex<Held>,
    rates: Mutex<Rates>,
}

impl Desk {
    /// Opens everything in the data folder.
    pub(crate) fn open(settings: Settings, address: SocketAddr) -> Result<Self, StartError> {
        let folder = settings.data.clone();
        make(&folder)?;
        let mut desk = DeskStore::open(&folder.join("desk.sqlite"))?;
        let jobs = Store::open(&folder.join("jobs.sqlite"))?;
        let photos = Photos::open(&folder.join("photos"))?;
        let system = |error: &dyn std::fmt::Display| StartError::System(error.to_string());
        let mut fresh = [0; 32];
        settings.surroundings.random(&mut fresh).map_err(|error| system(&error))?;
        let key = DeviceKey::from_seed(&desk.seed(fresh)?);
        let nobodys = password::keep("nobody", settings.strength, &*settings.surroundings)?;
        let public_url = match &settings.public_url {
            Some(url) => url.trim_end_matches('/').to_owned(),
            None => format!("http://{address}"),
        };
        Ok(Self {
            words: Words::english()?,
            device: DeviceId::new(DESK).map_err(|error| system(&error))?,
            key,
            public_url,
            nobodys,
            held: Mutex::new(Held {
                jobs,
                desk,
                photos,
                carried: BTreeMap::new(),
                damaged: BTreeMap::new(),
                plants: Vec::new(),
            }),
            rates: Mutex::new(Rates::new(settings.strength.tries)),
            settings,
        })
    }

    /// The code of the first dispatcher; none: there is one already. An earlier code is void.
    pub(crate) fn first_code(&self) -> Result<Option<String>, Trouble> {
        let mut held = self.held();
        if !held.desk.dispatchers()?.is_empty() {
            return Ok(None);
        }
        held.desk.drop_first_codes()?;
        let code = chance::code(&*self.settings.surroundings)?;
        let now_ms = self.now().wall_ms;
        let kept = Code {
            hash: chance::code_hash(&code),
            good_for: CodeFor::Dispatcher { person: None },
            until_ms: now_ms.saturating_add(CODE_MS),
        };
        held.desk.put_code(&kept, now_ms)?;
        Ok(Some(code))
    }

    /// What is kept, for as long as nobody else needs it.
    pub(crate) fn held(&self) -> MutexGuard<'_, Held> {
        self.held.lock().unwrap_or_else(|poisoned| {
            // Somebody stopped in the middle. What is on disk is whole; what is in memory may not be.
            self.held.clear_poison();
            let mut held = poisoned.into_inner();
            held.carried.clear();
            held
        })
    }

    /// Counts a try.
    pub(crate) fn tries(&self, tries: Tries, who: &str) -> Result<(), Trouble> {
        let mut rates = self.rates.lock().unwrap_or_else(PoisonError::into_inner);
        if rates.take(tries, who, self.now().mono_ms) { Ok(()) } else { Err(Trouble::TooMany) }
    }

    /// This moment.
    pub(crate) fn now(&self) -> Instant {
        self.settings.surroundings.now()
    }

    /// The desk's public key.
    pub(crate) fn public_key(&self) -> PublicKey {
        self.key.public()
    }

    /// Whether cookies go over encrypted lines alone.
    pub(crate) fn is_encrypted(&self) -> bool {
        self.public_url.starts_with("https://")
    }
}

/// The data folder; one that is made here is for nobody else to read.
fn make(folder: &Path) -> Result<(), StartError> {
    let failed = |error: std::io::Error| StartError::Folder {
        folder: folder.to_owned(),
        reason: error.to_string(),
    };
    if folder.is_dir() {
        return Ok(());
    }
    fs::create_dir_all(folder).map_err(failed)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(folder, fs::Permissions::from_mode(0o700)).map_err(failed)?;
    }
    Ok(())
}
