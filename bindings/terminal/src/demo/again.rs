//! A folder in which the demo was killed, played again.
//!
//! The play is the same whenever it is played, so it begins anew. What an earlier run had kept is put
//! aside first, and every entry of it must be found again in what the new run keeps: nothing that was
//! acknowledged may be missing or other. A folder whose desk was handed to a person is no longer such a
//! folder: what they write is not in the play, so no run begins there again.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use coldlug_core::log::Entry;
use coldlug_phone::STORE;
use coldlug_store::Store;

use super::{halt::Halt, people::PhoneAt};
use crate::trouble::Trouble;

/// Which run a folder holds.
const MARK: &str = "demo-seed.txt";
/// What an earlier run had kept, until it was compared.
const ASIDE: &str = "kept-before";

/// The folder of the desk.
const DESK: &str = "desk";
/// Who has a store, each in a folder of its own name.
const PHONES: [&str; 2] = [PhoneAt::Pad.name(), PhoneAt::House.name()];
const STORES: [&str; 3] = [PHONES[0], PHONES[1], DESK];

/// Gives the folder to whoever sits down at its desk, before anybody can: from here on a person may
/// write by hand, and a later run is refused as in any folder that holds another.
pub(crate) fn hand_over(dir: &Path) -> Result<(), Halt> {
    let mark = dir.join(MARK);
    fs::remove_file(&mark).map_err(|source| unwritable(&mark, source))
}

/// A folder ready to be played in, and what was kept in it before.
pub(crate) struct Again {
    dir: PathBuf,
    /// The stores of each earlier run that was killed, in a folder a run.
    before: Vec<PathBuf>,
}

impl Again {
    /// Puts aside what a killed run of the same seed had kept. A folder of another run is refused
    /// before anything in it is touched.
    pub(crate) fn begin(dir: &Path, seed: u64) -> Result<Self, Halt> {
        let mark = dir.join(MARK);
        match fs::read_to_string(&mark) {
            Ok(found) if found.trim() == seed.to_string() => {}
            Ok(_) => return Err(Halt::OtherRun { folder: dir.to_owned() }),
            Err(_) if STORES.iter().any(|store| dir.join(store).exists()) => {
                return Err(Halt::OtherRun { folder: dir.to_owned() });
            }
            Err(_) => {
                let text = format!("{seed}\n");
                fs::write(&mark, text).map_err(|source| unwritable(&mark, source))?;
            }
        }
        let aside = dir.join(ASIDE);
        fs::create_dir_all(&aside).map_err(|source| unwritable(&aside, source))?;
        let mut before = folders(&aside)?;
        if STORES.iter().any(|store| dir.join(store).exists()) {
            let run = aside.join(before.len().to_string());
            fs::create_dir_all(&run).map_err(|source| unwritable(&run, source))?;
            for store in STORES {
                let from = dir.join(store);
                if from.exists() {
                    let to = run.join(store);
                    fs::rename(&from, &to).map_err(|source| unwritable(&from, source))?;
                }
            }
            before.push(run);
        }
        for run in &before {
            acknowledged_is_kept(run)?;
        }
        Ok(Self { dir: dir.to_owned(), before })
    }

    /// Where a store of this run lies.
    pub(crate) fn store(&self, name: &str) -> PathBuf {
        self.dir.join(name)
    }

    /// Holds what was kept before against what is kept now, and lets go of it.
    pub(crate) fn end(self) -> Result<(), Halt> {
        // Whoever compares with nothing finds nothing missing.
        if let Some(name) = STORES.into_iter().find(|name| !file(&self.dir, name).exists()) {
            return Err(Halt::Lost { lost: format!("the whole store of {name}") });
        }
        let now = entries(&self.dir)?;
        for run in &self.before {
            if let Some(lost) = entries(run)?.into_iter().find(|entry| !now.contains(entry)) {
                let lost = String::from_utf8_lossy(&lost).chars().take(120).collect();
                return Err(Halt::Lost { lost });
            }
        }
        let aside = self.dir.join(ASIDE);
        fs::remove_dir_all(&aside).map_err(|source| unwritable(&aside, source))?;
        Ok(())
    }
}

/// Where the store of a phone or of the desk lies; the desk's is named as a phone's.
fn file(run: &Path, name: &str) -> PathBuf {
    run.join(name).join(STORE)
}

/// The store of a phone or of the desk; none: it was not made yet.
fn store(run: &Path, name: &str) -> Result<Option<Store>, Halt> {
    let file = file(run, name);
    file.exists().then(|| Store::open(&file).map_err(Halt::Store)).transpose()
}

/// Every entry that a run had kept, as its bytes.
fn entries(run: &Path) -> Result<BTreeSet<Vec<u8>>, Halt> {
    let mut entries = BTreeSet::new();
    for name in STORES {
        let Some(store) = store(run, name)? else { continue };
        for job in store.jobs().map_err(Halt::Store)? {
            for entry in store.load(&job).map_err(Halt::Store)?.in_order() {
                entries.insert(entry.to_bytes()?);
            }
        }
        store.close().map_err(Halt::Store)?;
    }
    Ok(entries)
}

/// What the desk had told a phone that it keeps, it keeps.
fn acknowledged_is_kept(run: &Path) -> Result<(), Halt> {
    let Some(desk) = store(run, DESK)? else { return Ok(()) };
    for name in PHONES {
        let Some(phone) = store(run, name)? else { continue };
        for job in phone.jobs().map_err(Halt::Store)? {
            let told = phone.acknowledged(&job).map_err(Halt::Store)?;
            if told.is_empty() {
                continue;
            }
            let log = desk.load(&job).map_err(Halt::Store)?;
            for (device, count) in told {
                if log.chain(&device).last().map_or(0, Entry::seq) < count {
                    let lost = format!("entry {count} of {device} on {job}, at the desk");
                    return Err(Halt::Lost { lost });
                }
            }
        }
        phone.close().map_err(Halt::Store)?;
    }
    desk.close().map_err(Halt::Store)
}

fn folders(dir: &Path) -> Result<Vec<PathBuf>, Halt> {
    let listed = fs::read_dir(dir).map_err(|source| unwritable(dir, source))?;
    let mut found = Vec::new();
    for entry in listed {
        found.push(entry.map_err(|source| unwritable(dir, source))?.path());
    }
    found.sort();
    Ok(found)
}

fn unwritable(path: &Path, source: std::io::Error) -> Halt {
    Halt::Trouble(Trouble::Unwritable { path: path.to_owned(), source })
}
