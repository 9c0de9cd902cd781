//! What the parts need is made and fetched in the background while cargo compiles.

use std::collections::BTreeMap;
use std::sync::{Arc, Condvar, Mutex, PoisonError};

use super::part::Need;
use super::{actionlint, android, browser, cross, feeders, open_data, swift, venv};

/// Needs under way and done.
#[derive(Debug, Clone, Default)]
pub(crate) struct Needs {
    shared: Arc<Shared>,
}

#[derive(Debug, Default)]
struct Shared {
    done: Mutex<BTreeMap<Need, Result<(), String>>>,
    changed: Condvar,
}

impl Needs {
    /// Starts on `wanted` in a thread of its own, one after the other.
    pub(crate) fn start(wanted: Vec<Need>) -> Self {
        let needs = Self::default();
        let worker = needs.clone();
        std::thread::spawn(move || {
            for need in wanted {
                let result = std::panic::catch_unwind(|| provide(need))
                    .unwrap_or_else(|_| Err(String::from("a bug in the runner: see above")));
                let mut done = worker.shared.done.lock().unwrap_or_else(PoisonError::into_inner);
                done.insert(need, result);
                worker.shared.changed.notify_all();
            }
        });
        needs
    }

    /// Waits until `need` is there, or says why it is not. Only for needs that were started.
    pub(crate) fn wait(&self, need: Need) -> Result<(), String> {
        let done = self.shared.done.lock().unwrap_or_else(PoisonError::into_inner);
        let done = self
            .shared
            .changed
            .wait_while(done, |done| !done.contains_key(&need))
            .unwrap_or_else(PoisonError::into_inner);
        done.get(&need).cloned().unwrap_or(Ok(()))
    }
}

fn provide(need: Need) -> Result<(), String> {
    match need {
        Need::Venv => venv::provide(),
        Need::SmartDs => open_data::provide(),
        Need::Feeders => feeders::provide(),
        Need::Actionlint => actionlint::provide(),
        Need::CrossCompiler => cross::provide(),
        Need::Browser => browser::provide(),
        Need::Swift => swift::provide(),
        Need::Android => android::provide(),
    }
}

impl Need {
    /// As a person would call it.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Venv => "the Python environment with the reference engines",
            Self::SmartDs => "the SMART-DS network",
            Self::Feeders => "the outside feeders and the engines that answer for them",
            Self::Actionlint => "the checker of workflow files",
            Self::CrossCompiler => "the compiler for other targets",
            Self::Swift => "Swift for Linux",
            Self::Android => "what the Android app is compiled, tested and packed with",
            Self::Browser => "the browser and what drives it",
        }
    }
}
