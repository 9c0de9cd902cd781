//! What must hold before an entry is taken into a log.

use super::{chain::Log, entry::Entry, error::LogError};
use crate::quantity::DeviceId;

/// What became of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Admitted {
    /// It was new, and is here now.
    New,
    /// It was here already, to the byte.
    Already,
}

impl Log {
    /// Takes an entry, or says why not; a refused one changes nothing.
    ///
    /// Entries of one chain come in their order, and after those of other chains that their writer
    /// had seen; [`LogError::Gap`] and [`LogError::HeadMissing`] say what to send first.
    pub fn admit(&mut self, entry: Entry) -> Result<Admitted, LogError> {
        let admitted = self.would_admit(&entry)?;
        if admitted == Admitted::New {
            let (device, seq) = (entry.device().clone(), entry.seq());
            self.places.insert(entry.hash(), (device.clone(), seq));
            self.chains.entry(device).or_default().push(entry);
        }
        Ok(admitted)
    }

    /// What [`Log::admit`] would say. Nothing is taken: for a store that keeps the entry first.
    pub fn would_admit(&self, entry: &Entry) -> Result<Admitted, LogError> {
        let (device, seq) = (entry.device().clone(), entry.seq());
        if entry.unsigned().job != *self.job() {
            let found = entry.unsigned().job.clone();
            return Err(LogError::OtherJob { job: self.job().clone(), found });
        }
        let Some(key) = self.keys().get(&device) else {
            return Err(LogError::NotEnrolled { device });
        };
        if entry.event().device != device {
            let found = entry.event().device.clone();
            return Err(LogError::OtherDevice { device, seq, found });
        }
        if !entry.signed_by(key) {
            return Err(LogError::Signature { device, seq });
        }
        let chain = self.chain(&device);
        let have = chain.last().map_or(0, Entry::seq);
        if seq == 0 || seq > have + 1 {
            return Err(LogError::Gap { device, seq, have });
        }
        if seq <= have {
            let same = chain.contains(entry);
            return if same { Ok(Admitted::Already) } else { Err(LogError::Fork { device, seq }) };
        }
        if entry.unsigned().prev != chain.last().map(Entry::hash) {
            return Err(LogError::Chain { device, seq });
        }
        self.heads_hold(entry)?;
        Ok(Admitted::New)
    }

    /// Every head the entry names is here, on the chain it is named for, and not before the one the
    /// entry's predecessor had seen.
    fn heads_hold(&self, entry: &Entry) -> Result<(), LogError> {
        let (device, seq) = (entry.device(), entry.seq());
        let before = self.chain(device).last();
        for (other, head) in &entry.unsigned().heads {
            let (device, other) = (device.clone(), other.clone());
            if device == other {
                return Err(LogError::OwnHead { device, seq });
            }
            match self.places.get(head) {
                Some((found, _)) if *found == other => {}
                _ => return Err(LogError::HeadMissing { device, seq, other, head: *head }),
            }
        }
        let went_back = |other: &&DeviceId| {
            let seen = |entry: &Entry| {
                let head = entry.unsigned().heads.get(other)?;
                self.places.get(head).map(|(_, place)| *place)
            };
            before.and_then(seen) > seen(entry)
        };
        match before.and_then(|before| before.unsigned().heads.keys().find(went_back)) {
            Some(other) => {
                let (device, other) = (device.clone(), other.clone());
                Err(LogError::HeadBack { device, seq, other })
            }
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        log::{
            DeviceKey, Unsigned,
            sample::{empty, event, job_of_two, key, phone},
        },
        quantity::JobId,
    };

    fn refused(log: &mut Log, change: impl FnOnce(&mut Unsigned), signer: &DeviceKey) -> LogError {
        let next = event(9, phone(0), 1_790_000_100_000);
        let mut unsigned = log.sign(next, &key("phone-a")).unwrap().unsigned().clone();
        change(&mut unsigned);
        let before = log.clone();
        let error = log.admit(unsigned.sign(signer).unwrap()).unwrap_err();
        assert_eq!(*log, before, "a refused entry changed the log");
        error
    }

    #[test]
    fn every_break_of_a_chain_is_named() {
        let mut log = job_of_two(&[0, 1, 0, 1]);
        let (phone_a, phone_b) = (key("phone-a"), key("phone-b"));
        let zero = crate::event::Sha256Hex([0; 32]);
        let mut check = |change: &dyn Fn(&mut Unsigned), signer, says: &str| {
            let error = refused(&mut log, change, signer).to_string();
            assert!(error.contains(says), "{error}");
        };
        check(&|e| e.job = JobId::new("other").unwrap(), &phone_a, "belongs to job other");
        check(&|_| {}, &phone_b, "signature does not hold");
        check(&|e| e.device = phone(1), &phone_a, "holds an event of device phone-a");
        check(
            &|e| {
                e.device = DeviceId::new("phone-c").unwrap();
                e.event.device = DeviceId::new("phone-c").unwrap();
            },
            &phone_a,
            "not enrolled",
        );
        check(&|e| e.seq = 5, &phone_a, "send the ones between first");
        check(&|e| e.seq = 0, &phone_a, "send the ones between first");
        check(&|e| e.seq = 2, &phone_a, "forked");
        check(&|e| e.prev = Some(zero), &phone_a, "chain is broken");
        check(&|e| e.prev = None, &phone_a, "chain is broken");
        check(&|e| e.heads.values_mut().for_each(|h| *h = zero), &phone_a, "send that first");
        check(&|e| e.heads.clear(), &phone_a, "seen less of phone-b");
        check(
            &|e| {
                let own = e.prev.unwrap();
                e.heads.insert(phone(0), own);
            },
            &phone_a,
            "its own chain",
        );
    }

    #[test]
    fn the_same_entry_again_is_fine() {
        let log = job_of_two(&[0, 1, 0]);
        let mut again = log.clone();
        for entry in log.in_order() {
            assert_eq!(again.admit(entry.clone()), Ok(Admitted::Already));
        }
        assert_eq!(again, log);
    }

    proptest::proptest! {
        /// Two phones write apart and meet at random; whatever the order of arrival, with
        /// whatever repetition, the same log and the same fold order come out.
        #[test]
        fn a_merge_does_not_depend_on_arrival(
            script in proptest::collection::vec((0_usize..3, 0_i64..5), 1..20),
            arrivals in proptest::collection::vec(0_usize..40, 0..120),
        ) {
            let mut logs = [empty(), empty()];
            let mut written = Vec::new();
            for (n, (turn, wall)) in script.into_iter().enumerate() {
                if turn == 2 {
                    let [a, b] = &mut logs;
                    for entry in b.clone().in_order() { a.admit(entry.clone()).unwrap(); }
                    for entry in a.clone().in_order() { b.admit(entry.clone()).unwrap(); }
                } else {
                    let event = event(n, phone(turn), 1_790_000_000_000 + wall);
                    let signer = key(phone(turn).as_str());
                    written.push(logs[turn].append(event, &signer).unwrap());
                }
            }
            let mut whole = empty();
            for entry in &written { whole.admit(entry.clone()).unwrap(); }
            let mut met = empty();
            let mut left: Vec<_> = written.clone();
            for pick in arrivals {
                if written.is_empty() { break; }
                let entry = &written[pick % written.len()];
                if met.admit(entry.clone()).is_ok() { left.retain(|other| other != entry); }
            }
            for entry in left { let _ = met.admit(entry); }
            proptest::prop_assert_eq!(met.in_order(), whole.in_order());
            let order = whole.in_order();
            proptest::prop_assert_eq!(order.len(), written.len());
            let mut seen = std::collections::BTreeSet::new();
            for entry in order {
                for head in entry.unsigned().heads.values().chain(&entry.unsigned().prev) {
                    proptest::prop_assert!(seen.contains(head), "before what it had seen");
                }
                seen.insert(entry.hash());
            }
        }
    }
}
