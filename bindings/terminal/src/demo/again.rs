//! A folder in which the demo was killed, played again.
//!
//! The play is the same whenever it is played, so it begins anew. What an earlier run had kept is put
//! aside first, and every entry of it must be found again in what the new run keeps: nothing that was
//! acknowledged may be missing or other.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use coldlug_store::Store;

use super::halt::Halt;
use crate::trouble::Trouble;

/// Which run a folder holds.
const MARK: &str = "demo-seed.txt";
/// What an earlier run had kept, until it was compared.
const ASIDE: &str = "kept-before";

/// Where the stores lie, each in a folder of its own.
const STORES: [&str; 3] = ["phone-pad", "phone-house", "desk"];

/// A folder ready to be played in, and what was kept in it before.
pub(crate) struct Again {
    dir: PathBuf,
    /// Stores of earlier runs that were killed.
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
        for store in STORES {
            let from = dir.join(store);
            if from.exists() {
                let to = aside.join(format!("{}-{store}", before.len()));
                fs::rename(&from, &to).map_err(|source| unwritable(&from, source))?;
                before.push(to);
            }
        }
        Ok(Self { dir: dir.to_owned(), before })
    }

    /// Where a store of this run lies.
    pub(crate) fn store(&self, name: &str) -> PathBuf {
        self.dir.join(name)
    }

    /// Holds what was kept before against what is kept now, and lets go of it.
    pub(crate) fn end(self) -> Result<(), Halt> {
        let mut now = BTreeSet::new();
        for store in STORES {
            now.extend(kept(&self.dir.join(store))?);
        }
        for before in &self.before {
            if let Some(lost) = kept(before)?.into_iter().find(|entry| !now.contains(entry)) {
                let lost = String::from_utf8_lossy(&lost).chars().take(120).collect();
                return Err(Halt::Lost { lost });
            }
        }
        let aside = self.dir.join(ASIDE);
        fs::remove_dir_all(&aside).map_err(|source| unwritable(&aside, source))?;
        Ok(())
    }
}

/// Every entry of the store in a folder, as its bytes; none where there is no store yet.
fn kept(folder: &Path) -> Result<BTreeSet<Vec<u8>>, Halt> {
    let file = folder.join("jobs.sqlite");
    let mut entries = BTreeSet::new();
    if !file.exists() {
        return Ok(entries);
    }
    let store = Store::open(&file).map_err(Halt::Store)?;
    for job in store.jobs().map_err(Halt::Store)? {
        for entry in store.load(&job).map_err(Halt::Store)?.in_order() {
            entries.insert(entry.to_bytes()?);
        }
    }
    store.close().map_err(Halt::Store)?;
    Ok(entries)
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
