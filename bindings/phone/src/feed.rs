//! The feed of changes: revisions alone, coalesced, told on one thread of its own.

use std::{
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
    thread,
};

use crate::ports::Observer;

/// The count of changes, and who waits for them.
#[derive(Debug, Default)]
pub(crate) struct Feed {
    now: Mutex<Now>,
    changed: Condvar,
}

#[derive(Debug, Default)]
struct Now {
    revision: u64,
    closed: bool,
}

/// A feed that is being watched. It ends when this is dropped or stopped, or the phone is closed.
#[derive(Debug, uniffi::Object)]
pub struct Watch {
    feed: Arc<Feed>,
    stopped: Arc<Mutex<bool>>,
}

#[uniffi::export]
impl Watch {
    /// Ends it. The observer may be told once more, if it is being told now.
    pub fn stop(&self) {
        *self.stopped.lock().unwrap_or_else(PoisonError::into_inner) = true;
        // Whoever waits holds the feed's lock until it waits: taken once, nobody misses this.
        drop(self.feed.lock());
        self.feed.changed.notify_all();
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.stop();
    }
}

impl Feed {
    fn lock(&self) -> MutexGuard<'_, Now> {
        self.now.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The revision now.
    pub(crate) fn revision(&self) -> u64 {
        self.lock().revision
    }

    /// Something changed: the new revision.
    pub(crate) fn bump(&self) -> u64 {
        let mut now = self.lock();
        now.revision += 1;
        let revision = now.revision;
        drop(now);
        self.changed.notify_all();
        revision
    }

    /// No more changes come.
    pub(crate) fn close(&self) {
        self.lock().closed = true;
        self.changed.notify_all();
    }

    /// Tells an observer the present revision, and every later one that it has time for.
    pub(crate) fn watch(self: &Arc<Self>, observer: Arc<dyn Observer>) -> std::io::Result<Watch> {
        let stopped = Arc::new(Mutex::new(false));
        let (feed, ended) = (Arc::clone(self), Arc::clone(&stopped));
        thread::Builder::new()
            .name("coldlug-watch".into())
            .spawn(move || feed.tell(&*observer, &ended))?;
        Ok(Watch { feed: Arc::clone(self), stopped })
    }

    fn tell(&self, observer: &dyn Observer, stopped: &Mutex<bool>) {
        let ended = || *stopped.lock().unwrap_or_else(PoisonError::into_inner);
        let mut told = None;
        loop {
            let mut now = self.lock();
            while told == Some(now.revision) && !now.closed && !ended() {
                now = self.changed.wait(now).unwrap_or_else(PoisonError::into_inner);
            }
            if ended() || (now.closed && told == Some(now.revision)) {
                return;
            }
            let revision = now.revision;
            drop(now);
            // An observer that fails is told the next change all the same.
            if let Err(why) = observer.changed(revision) {
                tracing::warn!(%why, "an observer failed");
            }
            told = Some(revision);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ports::PortError;
    use std::sync::mpsc::{Receiver, Sender, channel};

    struct Ear(Mutex<(Sender<u64>, Receiver<()>)>);

    impl Observer for Ear {
        fn changed(&self, revision: u64) -> Result<(), PortError> {
            let ear = self.0.lock().unwrap();
            ear.0.send(revision).unwrap();
            // Slow on purpose: waits to be let on.
            let _ = ear.1.recv();
            Err(PortError::Failed { reason: "a shell that fails".into() })
        }
    }

    #[test]
    fn the_present_revision_comes_at_once_and_later_ones_are_coalesced() {
        let feed = Arc::new(Feed::default());
        let (told, hear) = channel();
        let (let_on, wait) = channel();
        let watch = feed.watch(Arc::new(Ear(Mutex::new((told, wait))))).unwrap();
        assert_eq!(hear.recv().unwrap(), 0);
        for _ in 0..5 {
            feed.bump();
        }
        let_on.send(()).unwrap();
        assert_eq!(hear.recv().unwrap(), 5);
        watch.stop();
        let_on.send(()).unwrap();
        feed.bump();
        // The thread has ended and dropped its observer: nothing more can come.
        assert!(hear.recv().is_err());
        feed.close();
    }
}
